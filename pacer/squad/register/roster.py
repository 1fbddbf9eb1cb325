"""A squad and who is absent today, and every change that a coach makes to it.

Each change is a function that returns a new roster. Lanes are indexes in the squad's order, swimmers are places in
their lane's leaving order, both from 0. A change that is impossible raises `Refused` and leaves everything as it was.
One rule for paces: swimmers without their own base follow their lane's, those with their own keep it. If all swimmers
of a lane have their own base, and the lane's base is its slowest swimmer's, it keeps following the slowest.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

from pacer.language import tr
from pacer.plan.decimals import half_up
from pacer.plan.model import MAX_REPEATS, Pool, lane_label
from pacer.squad.defaultsquad import default_squad
from pacer.squad.files.basefield import follows_slowest, mixed_units, slowest_of
from pacer.squad.files.squadreader import group_from_text
from pacer.squad.names import plain_text
from pacer.squad.pace import checked_pace
from pacer.squad.refusal import Refused
from pacer.squad.squad import (
    LEAST_SPACING_MS,
    MAX_LANE_NUMBER,
    MAX_LANES,
    MAX_SWIMMERS,
    MOST_SPACING_MS,
    Absent,
    Lane,
    Pace,
    Squad,
    Swimmer,
    Trial,
)
from pacer.squad.trials.basefromtrials import base_from_tests
from pacer.squad.trials.laneproposal import propose_lanes

Away = Collection[tuple[int, int]]


@dataclass(frozen=True, slots=True)
class Roster:
    """A squad, and the (lane, swimmer) of those who are absent."""

    squad: Squad
    away: frozenset[tuple[int, int]] = frozenset()

    @property
    def heads(self) -> int:
        """How many swimmers are here."""
        return sum(len(lane.swimmers) for lane in self.squad.lanes) - len(self.away)

    @property
    def absent(self) -> tuple[Absent, ...]:
        """Those who are absent and have a name."""
        found = [(lane := self.squad.lanes[at], lane.swimmers[place]) for at, place in sorted(self.away)]
        return tuple(Absent(one.name, lane.number, one.base if one.own else None) for lane, one in found if one.name)

    def here(self, lane: int) -> int:
        """How many of a lane's swimmers are here."""
        return sum((lane, place) not in self.away for place in range(len(self.squad.lanes[lane].swimmers)))

    def lane_here(self, lane: int) -> Lane:
        """The lane as it swims, not counting absent swimmers; with all of them if nobody is here."""
        told = self.squad.lanes[lane]
        away = frozenset((0, place) for index, place in self.away if index == lane)
        here = present(replace(self.squad, lanes=(told,)), away).lanes
        return here[0] if here else told

    def lanes_here(self) -> tuple[int, ...]:
        """The lanes in which somebody is here."""
        return tuple(lane for lane in range(len(self.squad.lanes)) if self.here(lane))

    def gone(self) -> frozenset[str]:
        """The groups and lanes, as a plan labels its lines, in which nobody is here."""
        here = [self.squad.lanes[lane] for lane in self.lanes_here()]
        borne = {lane.group for lane in here} | {lane_label(lane.number) for lane in here}
        every = {lane.group for lane in self.squad.lanes} | {lane_label(lane.number) for lane in self.squad.lanes}
        return frozenset(label for label in every - borne if label)


def present(squad: Squad, away: Away) -> Squad:
    """The squad not counting absent swimmers, and without lanes left empty by that.

    Leave out the same lanes' entries in a plan: `plan_for_lanes(plan, roster.lanes_here())`.
    """
    lanes = []
    for index, lane in enumerate(squad.lanes):
        swimmers = tuple(swimmer for place, swimmer in enumerate(lane.swimmers) if (index, place) not in away)
        if swimmers:
            lanes.append(_with_swimmers(lane, swimmers))
    return replace(squad, lanes=tuple(lanes))


# -- the squad ----------------------------------------------------------------------------------------


def new_roster(name: str = "") -> Roster:
    """A new squad: one lane, one swimmer at 1:40."""
    return Roster(Squad(default_squad().lanes, _name(name, tr("a squad's name"))))


def named(roster: Roster, name: str) -> Roster:
    """The squad under another name."""
    return replace(roster, squad=replace(roster.squad, name=_name(name, tr("a squad's name"))))


def proposed(roster: Roster, lanes: int, pool: Pool, *, least: int = 1, most: int = MAX_SWIMMERS) -> Roster:
    """Put those who are here into lanes as `propose_lanes` says, and those absent into the lane that fits their pace.

    The new lanes get the numbers and groups of the old lanes, in order, and gaps that lanes have. Raises LanesRefused.
    """
    rows = [[(_settled(swimmer), is_here) for swimmer, is_here in row] for row in _rows(roster)]
    here = [swimmer for row in rows for swimmer, is_here in row if is_here]
    gaps = default_squad().lanes[0].spacing_ms, *(lane.spacing_ms for lane in roster.squad.lanes)
    squad = propose_lanes(here, lanes, pool, least=least, most=most, spacings_ms=gaps)
    made = [[(swimmer, True) for swimmer in lane.swimmers] for lane in squad.lanes]
    for swimmer in (swimmer for row in rows for swimmer, is_here in row if not is_here):
        _lane_for(swimmer, made, pool).append((swimmer, False))
    old, numbers = roster.squad.lanes, _numbers(roster.squad, len(squad.lanes))
    proposal = [
        replace(lane, number=number, group=old[place].group if place < len(old) else old[-1].group)
        for place, (lane, number) in enumerate(zip(squad.lanes, numbers))
    ]
    return _from_rows(roster, proposal, made)


def _lane_for(swimmer: Swimmer, lanes: list[list[tuple[Swimmer, bool]]], pool: Pool) -> list[tuple[Swimmer, bool]]:
    """The first lane whose slowest swimmer is no faster than this one, otherwise the last lane."""
    pace = swimmer.base.per_100(pool.unit)
    return next((row for row in lanes if max(one.base.per_100(pool.unit) for one, _ in row) >= pace), lanes[-1])


# -- lanes ------------------------------------------------------------------------------------------


def lane_added(roster: Roster) -> Roster:
    """Add a lane after the last, with its base and one swimmer."""
    lanes = roster.squad.lanes
    if len(lanes) >= MAX_LANES:
        raise Refused(tr("a squad has at most {max_lanes} lanes", max_lanes=MAX_LANES))
    _room_for(roster, 1)
    last = lanes[-1]
    base = _whole(last.base)
    lane = Lane(
        _numbers(roster.squad, len(lanes) + 1)[-1], base, (Swimmer(base, own=False),), last.spacing_ms, last.group
    )
    return replace(roster, squad=replace(roster.squad, lanes=(*lanes, lane)))


def lane_gone(roster: Roster, lane: int) -> Roster:
    """Delete a lane and everybody in it."""
    if len(roster.squad.lanes) == 1:
        raise Refused(tr("a squad needs at least one lane"))
    lanes, rows = list(roster.squad.lanes), _rows(roster)
    del lanes[lane], rows[lane]
    return _from_rows(roster, lanes, rows)


def lane_moved(roster: Roster, lane: int, to: int) -> Roster:
    """Move a lane, with its number and swimmers, to another place in the order."""
    return _from_rows(roster, _moved(roster.squad.lanes, lane, to), _moved(_rows(roster), lane, to))


def with_base(roster: Roster, lane: int, pace: Pace) -> Roster:
    """Change a lane's base, and with it the base of its swimmers who have none of their own."""
    pace = checked_pace(pace)
    old = roster.squad.lanes[lane]
    swimmers = tuple(swimmer if swimmer.own else replace(swimmer, base=pace) for swimmer in old.swimmers)
    return with_lane(roster, lane, replace(old, base=pace, swimmers=swimmers, tests=()))


def with_spacing(roster: Roster, lane: int, spacing_ms: int) -> Roster:
    """Change a lane's spacing."""
    if not LEAST_SPACING_MS <= spacing_ms <= MOST_SPACING_MS:
        raise Refused(tr("swimmers leave 0:01 to 10:00 apart"), tr("5 or 10 seconds are usual"))
    return with_lane(roster, lane, replace(roster.squad.lanes[lane], spacing_ms=spacing_ms))


def with_group(roster: Roster, lane: int, group: str) -> Roster:
    """Put a lane in another group, "" for none."""
    label = group_from_text(group.strip()) if group.strip() else None
    return with_lane(roster, lane, replace(roster.squad.lanes[lane], group=label))


def with_number(roster: Roster, lane: int, number: int) -> Roster:
    """Change a lane's number on the wall; if another lane has that number, the two swap."""
    if not 0 <= number <= MAX_LANE_NUMBER:
        raise Refused(tr("a lane's number must be between 0 and {max_lane_number}", max_lane_number=MAX_LANE_NUMBER))
    lanes = list(roster.squad.lanes)
    was = lanes[lane].number
    for index, other in enumerate(lanes):
        if other.number == number:
            lanes[index] = replace(other, number=was)
    lanes[lane] = replace(lanes[lane], number=number)
    return replace(roster, squad=replace(roster.squad, lanes=tuple(lanes)))


def with_rounds(roster: Roster, lane: int, rounds: int | None) -> Roster:
    """Fix a lane's flexible rounds; None lets the fit choose them."""
    if rounds is not None and not 0 <= rounds <= MAX_REPEATS:
        raise Refused(tr("rounds must be between 0 and {max_repeats}", max_repeats=MAX_REPEATS))
    return with_lane(roster, lane, replace(roster.squad.lanes[lane], rounds=rounds))


def with_count(roster: Roster, lane: int, count: int) -> Roster:
    """Change the number of a lane's swimmers: add some with its base at the end, or delete from the end."""
    if count < 1:
        raise Refused(tr("a lane needs at least one swimmer"))
    old, rows = roster.squad.lanes[lane], _rows(roster)
    _room_for(roster, count - len(old.swimmers))
    lanes, more = list(roster.squad.lanes), count - len(old.swimmers)
    if more > 0:
        base = old.base if old.tests else _whole(old.base)
        lanes[lane] = replace(old, base=base)  # now the lane's own, which the new swimmers follow
        rows[lane] += [(Swimmer(base, own=False), True)] * more
    rows[lane] = rows[lane][:count]
    return _from_rows(roster, lanes, rows)


# -- swimmers -----------------------------------------------------------------------------------------


def swimmer_added(roster: Roster, lane: int) -> Roster:
    """Add a swimmer at the lane's end, with its base."""
    return with_count(roster, lane, len(roster.squad.lanes[lane].swimmers) + 1)


def swimmer_gone(roster: Roster, lane: int, place: int) -> Roster:
    """Delete a swimmer, and the lane too if nobody is left in it."""
    rows = _rows(roster)
    if len(rows[lane]) == 1:
        return lane_gone(roster, lane)
    del rows[lane][place]
    return _from_rows(roster, roster.squad.lanes, rows)


def swimmer_moved(roster: Roster, lane: int, place: int, to_lane: int, to_place: int | None = None) -> Roster:
    """Move a swimmer to a place in this lane or another, None for its end; a lane with nobody left is deleted."""
    rows, lanes = _rows(roster), list(roster.squad.lanes)
    swimmer, is_here = rows[lane].pop(place)
    moved = swimmer if to_lane == lane else _settled(swimmer)  # a move to another lane makes nobody faster
    rows[to_lane].insert(len(rows[to_lane]) if to_place is None else to_place, (moved, is_here))
    if not rows[lane]:
        del rows[lane], lanes[lane]
    return _from_rows(roster, lanes, rows)


def with_name(roster: Roster, lane: int, place: int, name: str) -> Roster:
    """Change a swimmer's name, "" for none."""
    return _with_swimmer(roster, lane, place, name=_name(name, tr("a name")))


def with_swimmer_base(roster: Roster, lane: int, place: int, pace: Pace) -> Roster:
    """Change a swimmer's base."""
    return _with_swimmer(roster, lane, place, base=checked_pace(pace), tests=(), own=True)


def with_tests(roster: Roster, lane: int, place: int, trials: Sequence[Trial]) -> Roster:
    """Take a swimmer's base from these test swims. Raises TestSwimsRefused."""
    found = base_from_tests(trials)
    return _with_swimmer(roster, lane, place, base=found.pace, tests=found.trials, own=True)


def with_factor(roster: Roster, lane: int, place: int | None, name: str, value: Fraction | None) -> Roster:
    """Change a swimmer's own factor, or with `place` None the lane's; None deletes it."""
    told = roster.squad.lanes[lane]
    whose = told if place is None else told.swimmers[place]
    factors = {known: factor for known, factor in whose.factors.items() if known != name}
    if value is not None:
        factors[name] = value
    if place is None:
        return with_lane(roster, lane, replace(told, factors=factors))
    return _with_swimmer(roster, lane, place, factors=factors)


def turned(roster: Roster, lane: int, place: int) -> Roster:
    """Mark a swimmer who is here as absent, or the other way round."""
    return replace(roster, away=roster.away ^ {(lane, place)})


def all_here(roster: Roster, lane: int) -> Roster:
    """Mark all of a lane as here; if they all are already, mark all absent."""
    whole = {(lane, place) for place in range(len(roster.squad.lanes[lane].swimmers))}
    return replace(roster, away=roster.away - whole if roster.away & whole else roster.away | whole)


def one_fewer(roster: Roster, lane: int) -> Roster:
    """One swimmer fewer in a lane: mark the last of those here as absent. Raises Refused if nobody is here."""
    here = [place for place in range(len(roster.squad.lanes[lane].swimmers)) if (lane, place) not in roster.away]
    if not here:
        raise Refused(tr("everybody in this lane is absent"))
    return turned(roster, lane, here[-1])


def one_more(roster: Roster, lane: int) -> Roster:
    """One swimmer more in a lane.

    The first one absent after the last of those here; failing that, one absent before; if nobody is absent, a new one.
    """
    places = range(len(roster.squad.lanes[lane].swimmers))
    away = [place for place in places if (lane, place) in roster.away]
    if not away:
        return swimmer_added(roster, lane)
    last = max((place for place in places if place not in away), default=-1)
    return turned(roster, lane, next((place for place in away if place > last), away[-1]))


def in_order_of_pace(roster: Roster, lane: int) -> Roster:
    """Sort a lane's swimmers so that the fastest leaves first; those of equal pace keep their order."""
    rows = _rows(roster)
    unit = roster.squad.lanes[lane].base.unit
    rows[lane].sort(key=lambda row: row[0].base.ms if unit is None else row[0].base.per_100(unit))
    return _from_rows(roster, roster.squad.lanes, rows)


# -- the parts ------------------------------------------------------------------------------------------


def _rows(roster: Roster) -> list[list[tuple[Swimmer, bool]]]:
    """Every lane's swimmers, and whether they are here."""
    return [
        [(swimmer, (index, place) not in roster.away) for place, swimmer in enumerate(lane.swimmers)]
        for index, lane in enumerate(roster.squad.lanes)
    ]


def _from_rows(roster: Roster, lanes: Sequence[Lane], rows: Sequence[Sequence[tuple[Swimmer, bool]]]) -> Roster:
    made = tuple(_with_swimmers(lane, tuple(swimmer for swimmer, _ in row)) for lane, row in zip(lanes, rows))
    away = frozenset(
        (index, place) for index, row in enumerate(rows) for place, (_, is_here) in enumerate(row) if not is_here
    )
    return Roster(replace(roster.squad, lanes=made), away)


def with_lane(roster: Roster, lane: int, made: Lane) -> Roster:
    """Put a lane in place of another."""
    lanes = list(roster.squad.lanes)
    lanes[lane] = made
    return replace(roster, squad=replace(roster.squad, lanes=tuple(lanes)))


def _with_swimmers(lane: Lane, swimmers: tuple[Swimmer, ...]) -> Lane:
    """The lane with other swimmers; if its base was its slowest swimmer's, it still is."""
    if swimmers == lane.swimmers and all(new is old for new, old in zip(swimmers, lane.swimmers)):
        return lane
    base = lane.base
    if follows_slowest(lane):
        base = slowest_of(swimmers) or base
    return replace(lane, base=base, swimmers=swimmers)


def _with_swimmer(roster: Roster, lane: int, place: int, **values: Any) -> Roster:
    old = roster.squad.lanes[lane]
    swimmers = list(old.swimmers)
    swimmers[place] = replace(swimmers[place], **values)
    made = _with_swimmers(old, tuple(swimmers))
    if slowest_of(made.swimmers) is None:
        raise mixed_units()
    return with_lane(roster, lane, made)


def _settled(swimmer: Swimmer) -> Swimmer:
    """The swimmer, with the current base as their own."""
    return swimmer if swimmer.own else replace(swimmer, base=_whole(swimmer.base), own=True)


def _whole(pace: Pace) -> Pace:
    """The pace rounded so that it can be written: a base from test swims may be a fraction."""
    return Pace(half_up(pace.ms), pace.unit)


def _moved(items: Sequence, start: int, end: int) -> list:
    rest = [*items[:start], *items[start + 1 :]]
    return [*rest[:end], items[start], *rest[end:]]


def _numbers(squad: Squad, count: int) -> list[int]:
    """Numbers on the wall for `count` lanes.

    The squad's own, then the next above them, then the lowest that are free.
    """
    numbers = [lane.number for lane in squad.lanes][:count]
    free = [*range(max(numbers) + 1, MAX_LANE_NUMBER + 1), *range(MAX_LANE_NUMBER + 1)]
    return numbers + [number for number in dict.fromkeys(free) if number not in numbers][: count - len(numbers)]


def _room_for(roster: Roster, more: int) -> None:
    if sum(len(lane.swimmers) for lane in roster.squad.lanes) + more > MAX_SWIMMERS:
        raise Refused(tr("a squad has at most {max_swimmers} swimmers", max_swimmers=MAX_SWIMMERS))


def _name(text: str, what: str) -> str:
    try:
        return plain_text(text)
    except Refused as wrong:
        raise Refused(tr("{what} {wrong}", what=what, wrong=wrong.message), wrong.hint) from None
