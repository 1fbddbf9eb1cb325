"""The views of a review, each as a column of tiles."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.face.review.loading import Loading
from pacer.face.tiles.board import Tile
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.table import say_table, wide
from pacer.language import tr
from pacer.plan.sentence import sentence
from pacer.plan.titles import titled
from pacer.review.learning.offers import no_offer_said
from pacer.review.logtables import Table, about
from pacer.review.report.reviewtables import (
    distance_tables,
    notes_table,
    own_table,
    plan_table,
    set_tables,
    spent_table,
    stroke_table,
)
from pacer.review.swum.timedsets import TimedSet
from pacer.review.wasswum import TOO_SHORT, counts_as_swum
from pacer.session.storage.store import StoreTrouble
from pacer.show.after.pastsession import PastSession
from pacer.show.wording.commonkeys import UNDO

ACROSS = (8, 6, 4, 3, 2)  #: how many times are side by side: the most that have room
TILE = 18  #: width of a swimmer's tile in character heights
RATES = "rates"  #: the name of the tile above the stroke rates
KEY_SHARE = 0.24  #: share of a row for the key after an offer


def summary_column(column: Column, lookback: PastSession) -> Column:
    """What the session was, and its news: the worst first, each with its figure. A tap goes to the set."""
    reading = lookback.reading
    listed = reading.review.listed
    column.say(titled(listed.title), bold=True, scale=1.3, most=2)
    column.say(about(listed)[0], colour="dim")
    if not counts_as_swum(listed):
        column.say(TOO_SHORT, colour="warn")
    column.skip(1.0)
    if len(reading.news) > 1:
        column.say(tr("What mattered most comes first:"), colour="dim")
    column.skip(0.5)
    for number, one in enumerate(reading.news):
        timed = one.lane is not None and one.section is not None
        column.say(one.text, bold=True, name=f"news {number}" if timed else "")
        column.say(sentence(one.figure), colour="dim")
        column.skip(1.2)
    return column


def offers_column(column: Column, lookback: PastSession) -> Column:
    """What is offered, each to take or undo; then the times that were left out."""
    offers, left_out = lookback.offers, lookback.left_out
    column.say(tr("Suggestions"), bold=True, scale=1.3)
    if lookback.reading.review.squad.assumed:
        column.say(tr("This session had no squad. With one, pacer could suggest bases from its times."), colour="dim")
    elif not lookback.reading.learned:
        column.say(tr("To suggest bases, pacer needs times on sets without a target. None were taken."), colour="dim")
    elif not offers:
        column.say(no_offer_said(lookback.reading.learned), colour="dim")
    if offers:
        column.say(_whose(lookback), colour="dim")
    column.skip(0.5)
    for offer in offers:
        key = (
            Cell(f"undo {offer.key}", (UNDO,), look="lit")
            if offer.taken
            else Cell(f"take {offer.key}", (tr("Accept"),), look="key")
        )
        beside(column, key, [(sentence(offer.text), True, "ink"), (sentence(offer.evidence), False, "dim")])
        for line in offer.change:
            column.say(sentence(line))
        column.skip(1.5)
    if left_out:
        column.say(tr("Left out"), bold=True, scale=1.3)
        column.say(
            tr("These times look wrong, so pacer ignores them. A missed touch, for example, doubles a time."),
            colour="dim",
        )
        column.skip(0.5)
    for row in left_out:
        key = Cell(
            f"turn {row.entry}",
            (tr("Leave out"),) if row.back else (tr("Put back"),),
            look="lit" if row.back else "key",
        )
        beside(column, key, [(sentence(row.text), False, "ink")])
        column.skip(0.5)
    return column


def _whose(lookback: PastSession) -> str:
    plan = lookback.next_plan
    if plan is None:
        return tr("None of your plans follows this one, so pacer can't show what a suggestion would change.")
    return tr("Below each suggestion: what it would change in {title}.", title=plan.title or tr("the next plan"))


def beside(column: Column, key: Cell, texts: Sequence[tuple[str, bool, str]]) -> None:
    """Words, and a key to the right of them."""
    least = column.least(key)
    high = max(KEY_SHARE * column.width, least)
    whole, top = column.width, column.top
    column.width = whole - high - column.gap
    for text, bold, colour in texts:
        column.say(text, bold=bold, colour=colour)
    bottom = column.top
    x, column.x, column.width, column.top = column.x, column.x + column.width + column.gap, high, top
    column.row(key)
    column.x, column.width, column.top = x, whole, max(bottom, column.top - column.gap)


def sets_column(
    column: Column, lookback: PastSession, lanes: Sequence[int], lane: int, sets: Sequence[TimedSet], chosen: int
) -> list[Tile]:
    """The timed sets of a lane; the one in the figure is highlighted."""
    reading = lookback.reading
    if not lanes:
        column.say(tr("No times were taken."), bold=True)
        return column.tiles
    numbers = [reading.review.lanes[one] for one in lanes]
    column.flow(
        *(
            Cell(f"lane {at}", (tr("Lane {number}", number=number),), look="lit" if at == lane else "key")
            for at, number in enumerate(numbers)
        )
    )
    out = reading.out
    column.say(
        tr(
            "In seconds. Average: compared with the target, or with the expected time (+ is slower). Varies: how much "
            "the times differ. Slows: how much slower each repeat gets. Times in brackets don't count. Tap a dot to "
            "see whose it is."
        ),
        colour="dim",
    )
    column.skip(0.8)
    for at, table in enumerate(sets):
        shown = _fitting(column, lookback, table, out)
        heading = shown.heading.partition(": ")[2]
        column.row(
            Cell(
                f"set {at}",
                (heading, tr("Set {line}", line=table.line)),
                across="left",
                look="lit" if at == chosen else "key",
            )
        )
        say_table(column, shown)
        column.skip(1.5)
    return column.tiles


def _fitting(column: Column, lookback: PastSession, table: TimedSet, out: frozenset[int]) -> Table:
    """A set's table, as many times side by side as there is room for."""
    called = lookback.reading.called
    made = [set_tables((table,), called, out, most) for most in ACROSS]
    return next((shown for (shown,) in made if wide(shown, column.cap) <= column.width), made[-1][0])


def session_column(column: Column, lookback: PastSession, pictures: Sequence[str], chosen: int) -> list[Tile]:
    """Everything that is not news: which figure, plan and done, distances, time in the water, stroke rates, notes."""
    if len(pictures) > 1:
        column.flow(
            *(Cell(f"picture {at}", (name,), look="lit" if at == chosen else "key") for at, name in enumerate(pictures))
        )
    reading = lookback.reading
    review, called = reading.review, reading.called
    tables = (
        plan_table(review),
        stroke_table(review, called),
        notes_table(review, called),
        own_table(reading.learned, called),
        *distance_tables(review),
        spent_table(review, called),
    )
    return _tables(column, tables)


def _tables(column: Column, tables: Sequence[Table]) -> list[Tile]:
    for table in tables:
        if table.rows:
            named = table.heading == tr("Stroke rates")
            tile = column.say(table.heading, bold=True, name=RATES if named else "")
            if named and tile is not None and tile.height < column.target:  # a name can be touched, so it is as high
                column.top += column.target - tile.height
                column.tiles[-1] = tile._replace(height=column.target)
            say_table(column, table)
            column.skip(1.5)
    return column.tiles


def swimmers_column(column: Column, lookback: PastSession, swimmer: str, loading: Loading) -> list[Tile]:
    """Everybody with a name and how often they came, or one swimmer's history."""
    try:
        if swimmer:
            return _tables(column, lookback.history(swimmer))
    except StoreTrouble as trouble:
        column.say(str(trouble), bold=True, colour="warn")
        return column.tiles
    loading.say(column)
    rows = lookback.attendance
    if not rows and loading.unread == 0:
        column.say(tr("No names were entered for these sessions. Enter names on the Squad page."), bold=True)
    cells = [
        Cell(
            f"swimmer {one.name}",
            (one.name,),
            label=(
                tr("{came} of {of} sessions", came=one.came, of=one.of),
                tr("{came} of {of}", came=one.came, of=one.of),
            ),
        )
        for one in rows
    ]
    column.grid(cells, max(2, int(column.width / (TILE * column.cap))))
    column.skip(1.0)
    return _tables(column, lookback.season)
