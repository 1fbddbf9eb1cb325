"""The stroke rate that a line asks for (`rate 32-40`) at the leader's predicted position, and its beats."""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction
from functools import partial
from typing import NamedTuple

from pacer.plan.model import RateRange
from pacer.session.records.strokefigures import target_rate, ticks
from pacer.session.running.runstate import now_of
from pacer.timeline.shape import Shape
from pacer.timeline.track import Track


class Target(NamedTuple):
    """The stroke rate that the lane's leader should have.

    `rate` is in cycles a minute, at this point of the line's `wanted` range. `swimming`: now; otherwise on the next
    repeat.
    """

    rate: Fraction
    wanted: RateRange
    swimming: bool


def target(track: Track, at_ms: int) -> Target | None:
    """The target of a lane's leader.

    Between two repeats, it is the target at the start of the next one. None if the line has no rate.
    """
    index = track.index_at(now_of(track, at_ms))
    if index >= 0:
        repeat = track.repeat_in_line(index)
        line = track.pass_at(index).laneline
        times, shape = line.times(repeat, 0), line.shapes[repeat]
        swum_ms = at_ms - track.sendoffs[index]
        if swum_ms < times[-1] and index not in track.cuts:
            wanted = line.line.rate
            return (
                None
                if wanted is None
                else Target(target_rate(wanted, done(shape, times, swum_ms), shape.distance), wanted, True)
            )
    if index + 1 >= len(track.sendoffs):
        return None
    wanted = track.pass_at(index + 1).laneline.line.rate
    return None if wanted is None else Target(Fraction(wanted.start), wanted, False)


def done(shape: Shape, times: tuple[int, ...], swum_ms: int) -> int:
    """The distance of a repeat done after `swum_ms`, rounded down; `times` are predicted, to each segment's end.

    >>> shape = Shape(100, (None, None), ("", ""), ("", ""), (50, 100), (Fraction(1), Fraction(2)))
    >>> [done(shape, (40_000, 120_000), ms) for ms in (20_000, 40_000, 80_000, 120_000)]
    [25, 50, 75, 100]
    """
    stretch = bisect_right(times, swum_ms)
    if stretch == len(times):
        return shape.distance
    from_ms, start = (times[stretch - 1], shape.ends[stretch - 1]) if stretch else (0, 0)
    return start + (shape.ends[stretch] - start) * (swum_ms - from_ms) // (times[stretch] - from_ms)


def beats(track: Track, from_ms: int, to_ms: int) -> tuple[int, ...]:
    """The session times of ticks at the wanted rate, from `from_ms` to before `to_ms`.

    There is one tick a cycle, while the leader swims.
    """
    made: set[int] = set()
    for index in range(max(0, track.index_at(from_ms)), track.index_at(to_ms) + 1):
        line, repeat = track.pass_at(index).laneline, track.repeat_in_line(index)
        shape, times, leaves = line.shapes[repeat], line.times(repeat, 0), track.sendoffs[index]
        leaves_by, done_by = track.bounds(index)
        if line.line.rate is None or leaves > leaves_by:
            continue
        until = min(to_ms, done_by)
        found = ticks(line.line.rate, shape.distance, partial(done, shape, times), times[-1])
        made |= {leaves + ms for ms in found if from_ms <= leaves + ms < until}
    return tuple(sorted(made))
