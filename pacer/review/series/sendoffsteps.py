"""Send-offs and target times of the main set on the next page, by the times that were taken."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil
from typing import Any, NamedTuple

from pacer.language import tr, tr_n
from pacer.plan.model import ByLane, Hold, Interval, Plan, SetLine
from pacer.review.report.reviewnames import seconds
from pacer.review.series.movabletimes import Aim, LaneTimes, aim_of, lane_times
from pacer.review.series.pagesteps import Kind, PageStep, lanes_named, with_line
from pacer.review.series.skillsteps import short_line
from pacer.review.swum.beyondchance import is_off
from pacer.review.swum.sessionreview import Review
from pacer.review.swum.timedsets import TimedSet
from pacer.squad.squad import Squad
from pacer.timeline.laneline import LEAST_REST_MS

MARK_MS = 1_000  #: target times are whole seconds, or as far from them as the coach wrote them


class Off(NamedTuple):
    """A lane that was clearly off: slower (`sign` 1) or faster (−1); by how much on average, over how many times."""

    sign: int
    over_ms: float
    taken: int
    times: LaneTimes


def send_off_step(
    plan: Plan,
    at: int,
    number: int,
    line: SetLine,
    tables: Sequence[TimedSet],
    review: Review,
    squad: Squad,
    out: frozenset[int],
) -> Iterator[PageStep]:
    """New target times for a line that has some, else new send-offs, if lanes clearly differed from what is written.

    `squad` swims the next page.
    """
    off = _lanes_off(plan, tables, review, squad, out)
    if not off:
        return
    there = {table.lane for table in tables}
    if line.hold is not None:
        once: ByLane[Any] = ByLane(tuple((entry,) for entry in line.hold.entries), line.hold.labels, line.hold.said)
        moved, said = _moved(once, MARK_MS, off, there, squad, target=True)
        hold: ByLane[Any] = replace(moved, entries=tuple(entry for (entry,) in moved.entries))
        yield from _step("hold", at, number, line, said, {"hold": hold})
    elif line.interval is not None:
        intervals, said = _moved(line.interval, plan.clock_ms, off, there, squad, target=False)
        yield from _step("on", at, number, line, said, {"interval": intervals})


def _step(
    name: str, at: int, number: int, line: SetLine, said: Sequence[str], changed: dict[str, Any]
) -> Iterator[PageStep]:
    if said:
        text = f"{short_line(line)}: {'; '.join(said)}."
        change = lambda page: with_line(page, at, number, lambda old: replace(old, **changed))  # noqa: E731
        yield PageStep(f"{name} {number}", text, Kind.CHANGE, change)


def _lanes_off(
    plan: Plan, tables: Sequence[TimedSet], review: Review, squad: Squad, out: frozenset[int]
) -> dict[int, Off]:
    """The lanes (by index) that were clearly off."""
    unit, found = plan.pool.unit, {}
    for lane in {table.lane for table in tables}:
        mine = [table for table in tables if table.lane == lane]
        cells = [cell for table in mine for row in table.rows for cell in row.cells if cell.entry not in out]
        sign = 1 if is_off(cells, 1) else -1 if is_off(cells, -1) else 0
        if sign and lane < len(squad.lanes):
            bases = review.squad.lanes[lane].base.per_100(unit), squad.lanes[lane].base.per_100(unit)
            over = sum(cell.over_ms for cell in cells) / len(cells)
            found[lane] = Off(sign, over, len(cells), lane_times(mine, out, *bases))
    return found


def _moved(
    by_lane: ByLane[Any], mark_ms: int, off: dict[int, Off], there: set[int], squad: Squad, *, target: bool
) -> tuple[ByLane[Any], list[str]]:
    """The entries, each moved as far as all lanes that use it allow; and what is said of it.

    A time on top of the base, which every lane has as its own anyway, is made longer only for the lanes that need it.
    """
    entries: list[tuple[Interval | Hold, ...]] = []
    told = []
    for served, written in zip(_served(by_lane, squad), by_lane.entries):
        aims = tuple(map(aim_of, written))
        stays = (0,) * len(aims)
        # A lane that nobody timed keeps what it has.
        moves = {
            lane: _marks(aims, off[lane], mark_ms, target=target) if lane in there and lane in off else stays
            for lane in served
        }
        whole = tuple(map(max, zip(*moves.values()))) or stays  # () for an entry that serves no lane
        alone = by_lane.labels is None and all(aim.by_base for aim in aims) and max(whole) > 0
        lanes_by: dict[tuple[Aim, ...], list[int]] = {}
        for lane, move in moves.items():
            mine = tuple(max(0, one) for one in move) if alone else whole
            lanes_by.setdefault(tuple(aim_of(aim.later(by)) for aim, by in zip(aims, mine)), []).append(lane)
        new_of = {lane: new for new, lanes in lanes_by.items() for lane in lanes}
        each = [new_of[lane] for lane in served] if len(lanes_by) > 1 else list(lanes_by) or [aims]
        entries += [tuple(aim.written for aim in new) for new in each]
        for new, lanes in lanes_by.items():
            if new != aims:
                worst = max((lane for lane in lanes if lane in off), key=lambda lane: moves[lane])
                told.append(_said(aims, new, lanes, worst, off[worst], squad, target=target))
    return replace(by_lane, entries=tuple(entries)), told


def _said(
    old: Sequence[Aim], new: Sequence[Aim], lanes: Sequence[int], worst: int, off: Off, squad: Squad, *, target: bool
) -> str:
    """What moves for which lanes, and why; for several lanes, which of them is the reason."""
    way = tr("slower") if off.sign > 0 else tr("faster")
    than = {"over": seconds(off.over_ms), "way": way}
    why = (
        tr_n(
            "{over} {way} than the target over {n:,} timed repeat",
            "{over} {way} than the target over {n:,} timed repeats",
            off.taken,
            **than,
        )
        if target
        else tr_n(
            "{over} {way} than expected over {n:,} timed repeat",
            "{over} {way} than expected over {n:,} timed repeats",
            off.taken,
            **than,
        )
    )
    if len(lanes) > 1:
        why = tr("{lane} was {why}", lane=lanes_named([worst], squad), why=why)
    if any(aim.by_base for aim in old) and off.times.now != off.times.before:
        why = tr("{why}; the new base already allows for part of it", why=why)
    after, before = (" then ".join(aim.text for aim in aims) for aims in (new, old))
    told = {"lanes": lanes_named(lanes, squad), "after": after, "before": before, "why": why}
    if not target:
        return tr("{lanes} on {after} instead of {before} ({why})", **told)
    return tr_n(
        "{lanes} holds {after} instead of {before} ({why})",
        "{lanes} hold {after} instead of {before} ({why})",
        len(lanes),
        **told,
    )


def _marks(aims: Sequence[Aim], off: Off, mark_ms: int, *, target: bool) -> tuple[int, ...]:
    """How far a lane moves its aims on a line; `1:40 then 1:35` moves as a whole, as far as all its parts can."""
    moves = tuple(_mark(aim, off, mark_ms, target=target) for aim in aims)
    if len({type(aim.written) for aim in aims}) == 1:
        moves = (min(moves, key=abs),) * len(moves)
    return moves


def _mark(aim: Aim, off: Off, mark_ms: int, *, target: bool) -> int:
    """How far a lane moves an aim, in whole marks: always rounded to the later one.

    An earlier send-off leaves the slowest swimmer some rest by the base.
    """
    shift = off.times.shift(aim)
    if shift * off.sign <= 0:  # a new base has done it already
        return 0
    move = ceil(shift / mark_ms) * mark_ms
    if move < 0 and not target:
        least = off.times.least(aim, LEAST_REST_MS)
        move = max(move, min(0, ceil((least - aim.amount_ms) / mark_ms) * mark_ms))
    return max(move, -aim.amount_ms) if aim.by_base else move


def _served(by_lane: ByLane[Any], squad: Squad) -> list[list[int]]:
    """The lanes (by index) that use each entry."""
    if by_lane.labels is not None:
        return [[at for at, lane in enumerate(squad.lanes) if lane.group == label] for label in by_lane.labels]
    last = len(by_lane.entries) - 1
    return [
        [at for at in range(len(squad.lanes)) if at == place or (place == last and at > last)]
        for place in range(last + 1)
    ]
