"""Send-offs and stroke rates of the main set on the next page, by the times and rates that were taken."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from pacer.plan.model import ByLane, FixedInterval, Interval, PerHundredInterval, Plan, RateRange, SetLine
from pacer.plan.times import half_up, text_from_ms
from pacer.review.report.reviewnames import counted, seconds
from pacer.review.series.pagesteps import Kind, PageStep, lanes_named, with_line
from pacer.review.series.skillsteps import short_line
from pacer.review.swum.beyondchance import LEAST, is_off
from pacer.review.swum.review import Review
from pacer.review.swum.timedsets import Cell, TimedSet
from pacer.squad.squad import Squad
from pacer.timeline.laneline import LEAST_REST_MS

RATE_STEP = 2
LEAST_RATE, MOST_RATE = 15, 90


def send_off_step(
    plan: Plan, at: int, number: int, line: SetLine, tables: Sequence[TimedSet], review: Review, out: frozenset[int]
) -> Iterator[PageStep]:
    """New send-offs for a line, if lanes clearly differed from what is written."""
    by_lane = line.interval
    if by_lane is None or any(len(entry) != 1 for entry in by_lane.entries) or line.hold is not None:
        return
    squad, clock = review.squad, plan.clock_ms
    shifts: dict[int, tuple[int, float, int]] = {}
    for table in tables:
        shift = _shift(table, out)
        if shift is not None:
            shifts[table.lane] = shift
    if not shifts:
        return
    distance = max(line.distance.entries) if line.distance is not None else 0
    entries: list[tuple[Interval, ...]] = []
    told: list[str] = []
    for served, (old,) in zip(_served(by_lane, squad), by_lane.entries):
        there = [lane for lane in served if any(table.lane == lane for table in tables)]
        moves = [
            _bounded(_marks(shifts[lane][0], old, clock, distance), old, clock, distance, _slowest(tables, lane))
            if lane in shifts
            else 0
            for lane in there
        ]
        move = max(moves, default=0)
        if len(served) > len(there):  # a lane that nobody timed keeps what it has
            move = max(move, 0)
        new = _later(old, move)
        entries.append((new,))
        if new != old:
            lanes = [lane for lane in there if lane in shifts]
            worst = max(lanes, key=lambda lane: shifts[lane][0])
            over, times = shifts[worst][1:]
            way = "slower" if over > 0 else "faster"
            told.append(
                f"{lanes_named(lanes, squad)} on {_said(new)} instead of {_said(old)} "
                f"({seconds(over)} {way} than written over {counted(times, 'time')})"
            )
    if not told:
        return
    made = replace(by_lane, entries=tuple(entries))
    text = f"{short_line(line)}: {'; '.join(told)}."
    yield PageStep(
        f"on {number}",
        text,
        Kind.CHANGE,
        lambda page: with_line(page, at, number, lambda old: replace(old, interval=made)),
    )


def _shift(table: TimedSet, out: frozenset[int]) -> tuple[int, float, int] | None:
    """How far the slowest swimmer of a lane was off on average, the lane's mean, and the number of times behind it.

    None if the lane was not clearly off.
    """
    rows = [[cell for cell in row.cells if cell.entry not in out] for row in table.rows]
    cells: list[Cell] = [cell for row in rows for cell in row]
    sign = 1 if is_off(cells, 1) else -1 if is_off(cells, -1) else 0
    if not sign or len(cells) < LEAST:
        return None
    slowest = max(sum(cell.over_ms for cell in row) / len(row) for row in rows if row)
    return half_up(Fraction(slowest)), sum(cell.over_ms for cell in cells) / len(cells), len(cells)


def _marks(shift_ms: int, old: Interval, clock_ms: int, distance: int) -> int:
    """A change in milliseconds, rounded to the clock's marks, always towards the later send-off."""
    if isinstance(old, PerHundredInterval) and distance:
        shift_ms = half_up(Fraction(100 * shift_ms, distance))
    return -(-shift_ms // clock_ms) * clock_ms


def _slowest(tables: Sequence[TimedSet], lane: int) -> int:
    """The longest predicted time of a lane."""
    return max(cell.predicted_ms for table in tables if table.lane == lane for row in table.rows for cell in row.cells)


def _bounded(move_ms: int, old: Interval, clock_ms: int, distance: int, slowest_ms: int) -> int:
    """A move to an earlier send-off, limited so that the slowest swimmer keeps some rest by the base."""
    least_ms = slowest_ms + LEAST_REST_MS
    match old:
        case FixedInterval(ms):
            pass
        case PerHundredInterval(ms) if distance:
            least_ms = -(-100 * least_ms // distance)
        case _:
            return 0
    return max(move_ms, min(0, -(-(least_ms - ms) // clock_ms) * clock_ms))


def _later(old: Interval, move_ms: int) -> Interval:
    match old:
        case FixedInterval(ms) if ms + move_ms > 0:
            return FixedInterval(ms + move_ms)
        case PerHundredInterval(ms) if ms + move_ms > 0:
            return PerHundredInterval(ms + move_ms)
    return old


def _said(interval: Interval) -> str:
    match interval:
        case FixedInterval(ms):
            return text_from_ms(ms)
        case PerHundredInterval(ms):
            return f"{text_from_ms(ms)} per 100"
    return f"base+{text_from_ms(interval.extra_ms)}"


def _served(by_lane: ByLane, squad: Squad) -> list[list[int]]:
    """The lanes (by index) that use each entry."""
    if by_lane.labels is not None:
        return [[at for at, lane in enumerate(squad.lanes) if lane.group == label] for label in by_lane.labels]
    last = len(by_lane.entries) - 1
    return [
        [at for at in range(len(squad.lanes)) if at == place or (place == last and at > last)]
        for place in range(last + 1)
    ]


# -- stroke rates ----------------------------------------------------------------------------------------


def rate_step(at: int, number: int, line: SetLine, review: Review) -> Iterator[PageStep]:
    if line.rate is None:
        return
    taken = [
        stroke.rate
        for stroke in review.strokes
        if stroke.swim is not None and (stroke.swim.section, stroke.swim.line) == (at, number)
    ]
    if len(taken) < LEAST:
        return
    fell = [fall for fall in review.falls if (fall.swim.section, fall.swim.line) == (at, number)]
    mean = sum(taken, Fraction(0)) / len(taken)
    low, high = sorted((line.rate.start, line.rate.end))
    if fell:
        step, why = -RATE_STEP, f"{counted(len(fell), 'swimmer')} fell in the last 100"
    elif mean >= high:
        step, why = RATE_STEP, f"{len(taken)} rates averaged {half_up(mean)}"
    elif mean < low:
        step, why = -RATE_STEP, f"{len(taken)} rates averaged {half_up(mean)}"
    else:
        return
    made = RateRange(line.rate.start + step, line.rate.end + step)
    if min(made.start, made.end) < LEAST_RATE or max(made.start, made.end) > MOST_RATE:
        return
    text = f"{short_line(line)}: rate {_range(made)} instead of {_range(line.rate)} ({why})."
    yield PageStep(
        f"rate {number}",
        text,
        Kind.CHANGE,
        lambda page: with_line(page, at, number, lambda old: replace(old, rate=made)),
    )


def _range(rate: RateRange) -> str:
    return str(rate.start) if rate.start == rate.end else f"{rate.start}-{rate.end}"
