"""A squad as tiles: its lanes, one lane with its swimmers, and what is asked about them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction

from pacer.face.kit.textures import measure
from pacer.face.tiles.board import Text, Tile
from pacer.face.tiles.column import ROW, Cell, Column
from pacer.language import listed, tr, tr_n
from pacer.plan.decimals import short_decimal
from pacer.plan.model import Unit
from pacer.plan.times import text_from_ms
from pacer.show.measure.typesizes import TITLE
from pacer.show.wording.commonkeys import DELETE
from pacer.squad.register.roster import Roster
from pacer.squad.squad import Lane, Pace, Swimmer, called
from pacer.squad.trials.baseorigin import base_text, origin, tenths
from pacer.timeline.pacebasistext import factors_said

FIELD = "–"  #: shown for an empty value


def pace_said(pace: Pace) -> tuple[str, ...]:
    """A base, in tenths if it is not whole seconds, with its unit if it has one; the longest way first.

    >>> pace_said(Pace(88_500)), pace_said(Pace(90_000))
    (('1:28.5',), ('1:30',))
    """
    said = tenths(pace.ms)
    return (f"{said} /100 {pace.unit}", said) if pace.unit else (said,)


#: Headings above the lanes: as many as there is room for.
LANE_HEADS = ((tr("lane"), "base/100", tr("group")), ("", tr("base"), ""), ("", "", ""))


def keep_said(lane: Lane) -> tuple[str, ...]:
    """Which swimmers have a base of their own instead of the lane's, the longest way first; () if none do.

    >>> keep_said(Lane(1, Pace(80_000), (Swimmer(Pace(78_000), "Orla"), Swimmer(Pace(80_000), own=False))))
    ("Orla keeps 1:18, the others use the lane's base", '1 keeps their own base')
    """
    own = [
        f"{called(swimmer, place)} {tenths(swimmer.base.ms)}"
        for place, swimmer in enumerate(lane.swimmers)
        if swimmer.own
    ]
    if not own:
        return ()
    names = [text.rpartition(" ") for text in own]
    all_ = len(own) == len(lane.swimmers)
    said = (
        tr("{name} keeps {base}", name=names[0][0], base=names[0][2])
        if len(own) == 1
        else tr("{own}: keep their own bases", own=", ".join(own))
    )
    return (
        said if all_ else tr("{said}, the others use the lane's base", said=said),
        tr_n("{n} keeps their own base", "{n} keep their own bases", len(own)),
    )


def heads_said(here: int, of: int) -> tuple[str, ...]:
    """How many are here, the longest way first.

    >>> heads_said(4, 5), heads_said(5, 5)
    (('4 of 5 here', '4 of 5'), ('5 here', '5'))
    """
    return (
        (tr("{here} here", here=here), str(here))
        if here == of
        else (tr("{here} of {of} here", here=here, of=of), tr("{here} of {of}", here=here, of=of))
    )


def lanes_tiles(
    roster: Roster, order: Sequence[int], chosen: int | None, target: int | None, column: Column
) -> list[Tile]:
    """The squad's name and all its lanes in `order`.

    `chosen` is highlighted, as is `target` (something is being dragged onto it).
    """
    squad, cap, pad = roster.squad, column.cap, 0.75 * column.inset
    column.say(squad.name or tr("The squad"), bold=True, most=2)
    total = sum(len(lane.swimmers) for lane in squad.lanes)
    column.say(heads_said(roster.heads, total)[0], colour="dim")
    column.skip(0.5)
    column.row(Cell("add lane", (tr("Add a lane"), tr("Add lane"))))  # above the rows, so that it never moves
    wide, row = column.width - column.target - column.gap, round(ROW * cap)
    cells = {
        lane: (str(told.number), pace_said(roster.lane_here(lane).base)[-1], told.group or "")
        for lane, told in enumerate(squad.lanes)
    }
    heads = [heads_said(roster.here(lane), len(told.swimmers)) for lane, told in enumerate(squad.lanes)]
    between = 0.8 * cap
    for named in LANE_HEADS:  # a column without room has no heading
        columns = [
            max(measure(head, cap), *(measure(each[place], cap, not place) for each in cells.values()))
            if any(each[place] for each in cells.values())
            else 0.0
            for place, head in enumerate(named)
        ]
        taken = 2 * pad + sum(each + between for each in columns if each)
        if max(measure(ways[-1], cap) for ways in heads) <= wide - taken:
            break
    short = int(max(measure(ways[0], cap) for ways in heads) > wide - taken)
    if any(named):
        above = _cells(named, columns, pad, between, row, "dim")
        column.tiles.append(Tile("", column.x, column.top, wide, row, tuple(above), "plain"))
        column.top += row + 0.5 * column.gap
    for lane in order:
        here = roster.here(lane)
        texts = _cells(cells[lane], columns, pad, between, column.target, "ink")
        x = pad + sum(columns) + between * sum(1 for each in columns if each)
        texts.append(
            Text(
                heads[lane][short:],
                (x, 0, max(1.0, wide - x - pad), column.target),
                across="right",
                colour="ink" if here else "dim",
            )
        )
        look = "lit" if lane in (chosen, target) else "key"
        column.tiles += [
            Tile(f"lane {lane}", column.x, column.top, wide, column.target, tuple(texts), look, bool(here)),
            *_gripped(f"grip {lane}", column, wide),
        ]
        column.top += column.target + column.gap
    return column.tiles


def _cells(
    words: Sequence[str], columns: Sequence[float], left: float, between: float, high: float, colour: str
) -> list[Text]:
    """Words in columns, the first bold in a row of its own values; a missing column has no width."""
    made = []
    for place, (text, wide) in enumerate(zip(words, columns)):
        if wide:
            made.append(Text((text,), (left, 0, wide + 1, high), place == 0 and colour == "ink", colour))
            left += wide + between
    return made


def _gripped(name: str, column: Column, wide: float) -> list[Tile]:
    """The grip of a row, at its right end."""
    made = Column(
        column.target,
        column.cap,
        column.padding,
        column.gap,
        column.target,
        x=column.x + wide + column.gap,
        top=column.top,
    )
    return made.row(Cell(name, grip=True))


def base_known(roster: Roster, lane: int, unit: Unit) -> str:
    """The base of the lane in a pool of that unit for those who are here, and where it comes from.

    >>> from pacer.squad.squad import Lane, Squad
    >>> two = Lane(1, Pace(80_000), (Swimmer(Pace(78_000)), Swimmer(Pace(80_000))))
    >>> one_here = Roster(Squad((two,)), frozenset({(0, 1)}))
    >>> base_known(Roster(Squad((two,))), 0, Unit.METRE), base_known(one_here, 0, Unit.METRE)
    ('Base 1:20 of the slowest', 'Base 1:18 typed in, not counting absent swimmers')
    """
    told = roster.squad.lanes[lane]
    swims = roster.lane_here(lane)
    said = tr("Base {base} {origin}", base=base_text(swims.base, unit), origin=origin(swims, unit)[1])
    return said if swims.base == told.base else tr("{said}, not counting absent swimmers", said=said)


def lane_tiles(
    roster: Roster, lane: int, order: Sequence[int], lifted: int | None, column: Column, unit: Unit = Unit.METRE
) -> list[Tile]:
    """One lane: its values, in a pool of `unit` its pace, then its swimmers in `order`.

    `lifted` is being dragged.
    """
    told, swims = roster.squad.lanes[lane], roster.lane_here(lane)
    fields = [
        Cell("number", (str(told.number),), label=(tr("Lane"),)),
        Cell("group", (told.group or FIELD,), label=(tr("Group"),)),
        Cell(
            "base",
            pace_said(swims.base),
            label=(
                tr("Base per 100, {origin}", origin=origin(swims, unit)[1]),
                tr("Base, {origin}", origin=origin(swims, unit)[1]),
                tr("Base per 100"),
                tr("Base"),
            ),
            share=1.5,
        ),
        Cell(
            "spacing",
            (text_from_ms(told.spacing_ms),),
            label=(tr("Swimmers apart"), tr("Apart")),
        ),
    ]
    column.flow(*fields)
    here = roster.here(lane)
    column.row(
        Cell("add swimmer", (tr("Add a swimmer"), tr("Add"))),
        Cell(
            "all here",
            (tr("Mark all here"), tr("All here"))
            if here < len(told.swimmers)
            else (tr("Mark all absent"), tr("All absent")),
        ),
    )
    for said in _own_factors(told):
        column.say(said, colour="dim", most=3)
    for place in order:
        column.tiles += _swimmer_row(roster, lane, place, place == lifted, column)
        column.top += column.target + column.gap
    return column.tiles


def _own_factors(lane: Lane) -> Iterator[str]:
    """The factors that a lane and its swimmers have of their own, a sentence each."""
    if lane.factors:
        yield tr("This lane's own {factors}.", factors=factors_said(lane.factors))
    for place, swimmer in enumerate(lane.swimmers):
        if swimmer.factors:
            yield tr("{called}: own {factors}.", called=called(swimmer, place), factors=factors_said(swimmer.factors))


def _delete_factors(column: Column, factors: Mapping[str, Fraction]) -> None:
    """A key for each own factor, which deletes it."""
    if factors:
        column.say(tr("How this swimmer's times compare with freestyle at base pace. Tap one to delete it:"), most=3)
        column.skip(0.3)
        column.flow(*(Cell(f"factor {name}", (f"{name} {short_decimal(factors[name], 2)}",)) for name in factors))


def _swimmer_row(roster: Roster, lane: int, place: int, lifted: bool, column: Column) -> list[Tile]:
    swimmer = roster.squad.lanes[lane].swimmers[place]
    here = (lane, place) not in roster.away
    look = "lit" if lifted else "key"
    state = max(measure(word, column.cap, True) for word in (tr("here"), tr("absent"))) + 2 * column.inset
    pace = measure("0:00.0", column.cap) + 2 * column.inset
    made = Column(column.width, column.cap, column.padding, column.gap, column.target, x=column.x, top=column.top)
    return made.row(
        Cell(
            f"here {place}",
            (tr("here") if here else tr("absent"),),
            width=max(state, column.target),
            look=look,
            able=here,
        ),
        Cell(f"name {place}", (called(swimmer, place),), look=look, able=here, across="left", bold=bool(swimmer.name)),
        Cell(
            f"base {place}", pace_said(swimmer.base), width=max(pace, column.target), look=look, able=here, bold=False
        ),
        Cell(f"grip {place}", width=column.target, look=look, able=here, grip=True),
    )


def swimmer_tiles(roster: Roster, lane: int, place: int, column: Column) -> list[Tile]:
    """What can be done with one swimmer."""
    told, swimmer = roster.squad.lanes[lane], roster.squad.lanes[lane].swimmers[place]
    column.say(tr("{called}, lane {number}", called=called(swimmer, place), number=told.number), bold=True, scale=TITLE)
    column.say(_rests_on(swimmer), colour="dim", most=3)
    column.skip(0.5)
    column.flow(
        Cell("up", (tr("Move up"),), able=place > 0),
        Cell("down", (tr("Move down"),), able=place < len(told.swimmers) - 1),
        Cell("typed tests", (tr("Type test swims"), tr("Test swims"))),
        Cell("out", (DELETE,)),
    )
    _delete_factors(column, swimmer.factors)
    others = [index for index in range(len(roster.squad.lanes)) if index != lane]
    if others:
        column.say(tr("To another lane:"))
        column.skip(0.3)
        cells = [Cell(f"to {index}", (f"{roster.squad.lanes[index].number}",)) for index in others]
        column.grid(cells, max(1, min(len(cells), int((column.width + column.gap) // (column.target + column.gap)))))
    return column.tiles


def _rests_on(swimmer: Swimmer) -> str:
    said = tr("Base {pace}", pace=pace_said(swimmer.base)[0])
    return tr("{said}, from {tests}", said=said, tests=listed([*map(str, swimmer.tests)])) if swimmer.tests else said


def lane_sheet_tiles(roster: Roster, lane: int, column: Column, unit: Unit = Unit.METRE) -> list[Tile]:
    """What can be done with one lane as a whole."""
    told, last = roster.squad.lanes[lane], len(roster.squad.lanes) - 1
    column.say(tr("Lane {number}", number=told.number), bold=True, scale=TITLE)
    column.say(f"{base_known(roster, lane, unit)}.")
    column.skip(0.5)
    rounds = tr("as many as fit") if told.rounds is None else tr("always {rounds}", rounds=told.rounds)
    column.flow(
        Cell("up", (tr("Up"),), able=lane > 0),
        Cell("down", (tr("Down"),), able=lane < last),
        Cell("rounds", (tr("Rounds: {rounds}", rounds=rounds), tr("Rounds {rounds}", rounds=rounds))),
        Cell("lane out", (tr("Delete lane"), DELETE), able=last > 0),
    )
    column.say(
        tr("The order matters: in “4:00 / 4:20” the first time is for the top lane of the squad's list."), colour="dim"
    )
    _delete_factors(column, told.factors)
    return column.tiles


def proposal_tiles(
    before: Roster, proposal: Roster | None, refused: str, lanes: int, pool: str, column: Column
) -> list[Tile]:
    """The lanes proposed for those who are here."""
    column.say(tr("{heads} here, {pool} pool: how many lanes?", heads=before.heads, pool=pool), bold=True)
    column.skip(0.3)
    across = max(1, min(10, int((column.width + column.gap) // (column.target + column.gap))))
    column.grid([Cell(f"lanes {n}", (str(n),), look="lit" if n == lanes else "key") for n in range(1, 11)], across)
    if proposal is None:
        column.say(refused, colour="warn")
        return column.tiles
    for index, lane in enumerate(proposal.squad.lanes):
        there = [swimmer for place, swimmer in enumerate(lane.swimmers) if (index, place) not in proposal.away]
        column.say(tr("Lane {number}: {spread}", number=lane.number, spread=_spread(lane, there)))
    return column.tiles


def _spread(lane: Lane, swimmers: Sequence[Swimmer]) -> str:
    paces = sorted(swimmers, key=lambda swimmer: swimmer.base.ms)
    first, last = pace_said(paces[0].base)[0], pace_said(paces[-1].base)[0]
    count = tr_n("{n} swimmer", "{n} swimmers", len(swimmers))
    return tr(
        "{count}, {first}, {spacing} apart",
        count=count,
        first=first if first == last else tr("{first} to {last}", first=first, last=last),
        spacing=text_from_ms(lane.spacing_ms),
    )
