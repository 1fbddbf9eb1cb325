"""The times of a set as dots, repeat by repeat, with the target or the prediction under them."""

from __future__ import annotations

from collections.abc import Collection

from pacer.language import tr, tr_n
from pacer.plan.sentence import sentence
from pacer.plan.times import in_tenths, text_from_ms
from pacer.review.report.reviewnames import ReviewNames
from pacer.review.swum.timedsets import TimedSet
from pacer.show.figures.figure import Axis, Dot, Figure, Key, Note, Spot, Tick, Trace
from pacer.show.figures.scaleticks import time_reach, time_ticks
from pacer.show.figures.swummarks import People, over_said

HALF = 0.38  #: the part of a repeat's column used on either side of its middle
DASH = 0.06  #: half the width of a swimmer's own target line


def repeat_times(timed: TimedSet, called: ReviewNames, out: Collection[int] = ()) -> Figure:
    """The figure of one timed set.

    Times of the entries `out` don't count: they don't stretch the scale, and are drawn at its edge with their value.
    """
    review = called.review
    people = People(called, (row.who for row in timed.rows))
    left = {swim.entry: swim.left_ms for swim in review.swims if swim.entry}
    asked: list[tuple[int, float, int]] = []
    dots: list[Dot] = []
    for place, row in enumerate(timed.rows):
        fill, shape = people.dot(row.who)
        # Side by side, so that equal times stay apart.
        beside = HALF * (2 * (place + 0.5) / len(timed.rows) - 1) if len(timed.rows) > 1 else 0.0
        for cell in row.cells:
            column = timed.columns[cell.column]
            asked.append((cell.column, cell.column + beside, cell.predicted_ms))
            which = (
                tr("repeat {repeat} of round {round}", repeat=column.repeat, round=column.round)
                if timed.columns[-1].round > 1
                else tr("repeat {repeat}", repeat=column.repeat)
            )
            when = text_from_ms(left[cell.entry] // 1000 * 1000) if cell.entry in left else ""
            where = (people.said(row.who), which, *([tr("left at {left}", left=when)] if when else []))
            said = f"{', '.join(where)}: {in_tenths(cell.time_ms)}, {over_said(cell.over_ms, timed.target)}"
            if cell.entry in out:
                said = tr("{said}; it doesn't count", said=said)
            spot = Spot(timed.lane, timed.section, timed.line, column.round, column.repeat, row.who)
            dots.append(Dot(cell.column + beside, cell.time_ms, fill, shape, said, spot))
    counted = [cell.time_ms for row in timed.rows for cell in row.cells if cell.entry not in out]
    values = counted + [ms for _, _, ms in asked]
    low, high = time_reach(min(values), max(values))
    beyond = [dot for dot in dots if not low <= dot.y <= high]
    what = tr("target") if timed.target else tr("expected")
    begins = [
        (place, column.round)
        for place, column in enumerate(timed.columns)
        if not place or column.round != timed.columns[place - 1].round
    ]
    return Figure(
        title=tr("Lane {lane_number}: {timed}", lane_number=review.lane_number(timed.lane), timed=timed.text),
        words=_words(timed, people),
        x=Axis(
            -0.5,
            len(timed.columns) - 0.5,
            tuple(Tick(place, str(column.repeat)) for place, column in enumerate(timed.columns)),
            tr("repeat"),
        ),
        y=Axis(low, high, time_ticks(low, high), tr("time"), tr("min:s")),
        traces=_asked(asked),
        dots=tuple(dot._replace(y=min(high, max(low, dot.y))) for dot in dots),
        heads=tuple(Note(place - 0.5, 0, tr("round {number}", number=number)) for place, number in begins)
        if len(begins) > 1
        else (),
        notes=tuple(_value(dot, low, high, len(timed.columns)) for dot in beyond),
        grid=True,
        keys=(Key("target", what, "line"), *people.keys()),
    )


def _value(dot: Dot, low: float, high: float, columns: int) -> Note:
    """The time of a dot that is beyond the scale, beside it, towards the middle."""
    sideways = "left" if dot.x < columns / 2 else "right"
    return Note(dot.x, min(high, max(low, dot.y)), f"({in_tenths(dot.y)})", sideways)


def _asked(asked: list[tuple[int, float, int]]) -> tuple[Trace, ...]:
    """What was asked for: a line across the repeat's column if it is the same for everybody, else one at each dot.

    `asked` has the column, the place in it and the time of each dot.
    """
    same: dict[int, set[int]] = {}
    for column, _, ms in asked:
        same.setdefault(column, set()).add(ms)
    lines = {
        (column - 0.5, column + 0.5, ms) if len(same[column]) == 1 else (at - DASH, at + DASH, ms)
        for column, at, ms in asked
    }
    return tuple(Trace(((start, ms), (end, ms)), "target", heavy=True) for start, end, ms in sorted(lines))


def _words(timed: TimedSet, people: People) -> str:
    rows = []
    for row in timed.rows:
        times = [cell.time_ms for cell in row.cells]
        fastest, slowest = in_tenths(min(times)), in_tenths(max(times))
        said = [
            tr_n("{who}: {n:,} time", "{who}: {n:,} times", len(times), who=people.said(row.who)),
            tr("{fastest} to {slowest}", fastest=fastest, slowest=slowest) if len(times) > 1 else fastest,
        ]
        if row.over_ms is not None:
            over = over_said(row.over_ms, timed.target)
            said.append(tr("{over} on average", over=over) if len(times) > 1 else over)
        rows.append(sentence(", ".join(said)))
    return " ".join(rows)
