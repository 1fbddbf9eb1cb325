"""Send-offs and target times of the main set on the next page, by the times that were taken."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from math import ceil
from typing import Any, NamedTuple

from pacer.language import tr, tr_n
from pacer.plan.model import ByLane, Hold, Interval, Plan, SetLine
from pacer.review.report.writtenvalues import seconds
from pacer.review.series.earliermoves import Moves, aims_of, moves_so_far
from pacer.review.series.movabletimes import Aim, LaneTimes, aim_of, lane_times
from pacer.review.series.pagestep import Kind, PageStep, lanes_named, with_line
from pacer.review.series.skillsteps import short_line
from pacer.review.swum.beyondchance import is_off
from pacer.review.swum.sessionreview import Review
from pacer.review.swum.timedsets import TimedSet
from pacer.squad.squad import Squad
from pacer.timeline.restlimits import LEAST_REST_MS

TARGET_STEP_MS = 1_000  #: target times are whole seconds, or as far from them as the coach wrote them


class Off(NamedTuple):
    """A lane that was clearly off: slower (`sign` 1) or faster (−1); by how much on average, over how many times.

    `moved_ms`: by how much each of its send-offs was moved for that on earlier pages; `over_ms` is what is left.
    """

    sign: int
    over_ms: float
    taken: int
    times: LaneTimes
    moved_ms: tuple[int, ...]


def send_off_step(
    plan: Plan,
    at: int,
    number: int,
    line: SetLine,
    tables: Sequence[TimedSet],
    review: Review,
    squad: Squad,
    out: frozenset[int],
    earlier: Sequence[Review],
) -> Iterator[PageStep]:
    """New target times for a line that has some, else new send-offs, if lanes clearly differed from what is written.

    `squad` swims the next page; `earlier` sessions of the series, oldest first, say what was moved before.
    """
    off = {}
    for lane in sorted({table.lane for table in tables if table.lane < len(squad.lanes)}):
        mine = [table for table in tables if table.lane == lane]
        before, now = (one.lanes[lane].base.per_100(plan.pool.unit) for one in (review.squad, squad))
        moves = Moves((), before) if line.hold is not None else moves_so_far(plan, number, lane, review, earlier)
        aims = () if line.hold is not None else aims_of(line, lane, review.squad.lanes[lane].group)
        found = _off(mine, aims, moves, lane_times(mine, out, before, now, moves.base), out)
        off.update({} if found is None else {lane: found})
    if not off:
        return
    there = {table.lane for table in tables}
    if line.hold is not None:
        once: ByLane[Any] = ByLane(tuple((entry,) for entry in line.hold.entries), line.hold.labels, line.hold.said)
        moved, said = _moved(once, TARGET_STEP_MS, off, there, squad, target=True)
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


def _off(
    tables: Sequence[TimedSet], aims: Sequence[Aim], moves: Moves, times: LaneTimes, out: frozenset[int]
) -> Off | None:
    """How far a lane was off, if it clearly was: from what its send-offs allow for by now, or from its targets."""
    cells = []
    for table in tables:
        for cell in (cell for row in table.rows for cell in row.cells if cell.entry not in out):
            if aims:
                far = table.columns[cell.column].distance
                moved = moves.moved_ms[0] * far / 100 if aims[0].per_100 else moves.moved_ms[0]
                cell = cell._replace(predicted_ms=round(times.expected(aims[0], cell.predicted_ms) + round(moved)))
            cells.append(cell)
    sign = 1 if is_off(cells, 1) else -1 if is_off(cells, -1) else 0
    if not sign:
        return None
    return Off(sign, sum(cell.over_ms for cell in cells) / len(cells), len(cells), times, moves.moved_ms)


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
    over, moved = seconds(off.over_ms), any(off.moved_ms)  # a target's moves are never counted
    way = tr("slower") if off.sign > 0 else tr("faster")
    if moved:
        why = tr_n(
            "{over} {less} rest than at first over {n:,} timed repeat",
            "{over} {less} rest than at first over {n:,} timed repeats",
            off.taken,
            over=over,
            less=tr("less") if off.sign > 0 else tr("more"),
        )
    elif target:
        why = tr_n(
            "{over} {way} than the target over {n:,} timed repeat",
            "{over} {way} than the target over {n:,} timed repeats",
            off.taken,
            over=over,
            way=way,
        )
    else:
        why = tr_n(
            "{over} {way} than expected over {n:,} timed repeat",
            "{over} {way} than expected over {n:,} timed repeats",
            off.taken,
            over=over,
            way=way,
        )
    if len(lanes) > 1:
        lane = lanes_named([worst], squad)
        why = tr("{lane} had {why}", lane=lane, why=why) if moved else tr("{lane} was {why}", lane=lane, why=why)
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
    moved = off.moved_ms or (0,) * len(aims)
    moves = tuple(_mark(aim, off, before, mark_ms, target=target) for aim, before in zip(aims, moved))
    if len({type(aim.written) for aim in aims}) == 1:
        moves = (min(moves, key=abs),) * len(moves)
    return moves


def _mark(aim: Aim, off: Off, moved_ms: int, mark_ms: int, *, target: bool) -> int:
    """How far a lane moves an aim that was moved before, in whole marks: always rounded to the later one.

    An earlier send-off leaves the slowest swimmer some rest by the base.
    """
    shift = off.times.shift(aim) - moved_ms
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
