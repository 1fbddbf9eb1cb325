"""One set line as one lane swims it: how many repeats, when each leaves, when all have touched.

Everything is counted from the line's own start, so that a line swum in several rounds is
worked out once (design: sections 5.2 and 5.3).
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import accumulate
from operator import add

from pacer.plan.model import (
    BaseHold,
    BaseInterval,
    FixedInterval,
    Interval,
    Section,
    SetLine,
    Unit,
)
from pacer.squad.model import Lane
from pacer.timeline.shape import Shape, half_up, shape_key, shape_of, up_to
from pacer.timeline.wanted import step


class LaneLine:
    """A line worked out for a lane.

    `offsets[i]`: when the leader leaves on repeat i (from 0), from the line's start, in ms.
    `ends[i]`: when the last swimmer has touched on repeat i; `end_ms` is the latest of them.
    `intervals[i]`: from that send-off to the next; `takes_ms` is their sum, the way to the next line.
    `own`: for a line swum straight through, each swimmer's own send-offs less the spacing
    (`own[k][i]`, with one entry more than repeats: the last touch), else None.
    `alike`: all repeats have the same shape and hold.
    `leader`: the line as another lane swims it, whose send-offs this lane goes by (else None).
    """

    __slots__ = ("line", "number", "count", "shapes", "spacing_ms", "bases", "holds", "offsets", "intervals", "ends",
                 "end_ms", "alike", "slowest", "own", "takes_ms", "distance", "clock_ms", "leader")

    line: SetLine
    number: int
    count: int
    shapes: tuple[Shape, ...]
    spacing_ms: int
    bases: tuple[int | Fraction, ...]
    holds: tuple[int | Fraction | None, ...]
    offsets: tuple[int, ...]
    intervals: tuple[int, ...]
    ends: tuple[int, ...]
    end_ms: int
    alike: bool
    slowest: tuple[int, ...]
    own: tuple[tuple[int, ...], ...] | None
    takes_ms: int
    distance: int
    clock_ms: int
    leader: LaneLine | None

    def times(self, repeat: int, swimmer: int) -> tuple[int, ...]:
        """Times of `swimmer` (from 0) to each segment's end of repeat `repeat` (from 0)."""
        return self.shapes[repeat].times(self.bases[swimmer], self.holds[repeat])

    def leaves(self, repeat: int, swimmer: int, skipped: int = 0) -> int:
        """When `swimmer` leaves on `repeat`, from the line's start, if the line began at repeat `skipped`."""
        if self.own is None:
            return self.offsets[repeat] - self.offsets[skipped] + swimmer * self.spacing_ms
        own = self.own[swimmer]
        return own[repeat] - own[skipped] + swimmer * self.spacing_ms

    def leaves_from(self, swimmer: int, skipped: int, start_ms: int) -> list[int]:
        """When `swimmer` leaves on each repeat, if the leader leaves on repeat `skipped` at `start_ms`."""
        sums = self.offsets if self.own is None else self.own[swimmer]
        lead = start_ms + swimmer * self.spacing_ms - sums[skipped]
        return [lead + offset for offset in sums]

    def remaining_ms(self, skipped: int) -> int:
        """From the line's start to the next line's when it begins at repeat `skipped`."""
        if self.own is None:
            return self.takes_ms - self.offsets[skipped]
        if self.leader is not None:
            return self.leader.remaining_ms(skipped)
        return up_to(max(own[-1] - own[skipped] for own in self.own), self.clock_ms)


class LineMaker:
    """Makes `LaneLine`s for one lane, sharing shapes with lanes that have the same factors.

    `shapes` is the shared store; it belongs to one set of factors.
    """

    def __init__(self, lane: Lane, index: int, unit: Unit, clock_ms: int, factors: Mapping[str, Fraction],
                 shapes: dict[tuple, tuple[SetLine, tuple[Shape, ...]]]):
        self.lane = lane
        self.index = index
        self.clock_ms = clock_ms
        self.factors = factors
        self.shapes = shapes
        self.base = lane.base.per_100(unit)
        self.bases = tuple([swimmer.base.per_100(unit) for swimmer in lane.swimmers])

    def make(self, line: SetLine, number: int, section: Section, count: int, *, more: int = 0,
             interval_ms: int | None = None, leader: LaneLine | None = None) -> LaneLine:
        """`line`, the `number`-th of its section, with `count` repeats (a ladder has its own count).

        `more` repeats are added behind (negative: left out) without changing those before; they are as
        the last one, but for what comes in turn. `interval_ms` takes the place of what was written, and
        `leader`, the same line of another lane, that of the whole schedule.
        """
        step()
        made = LaneLine()
        made.line, made.number, made.clock_ms, made.leader = line, number, self.clock_ms, leader
        lengths = self._lengths(line, count)
        written = len(lengths)
        if more < 0:
            lengths = lengths[: max(0, written + more)]
        elif more:
            lengths = [*lengths, *[lengths[-1] if lengths else self._lengths(line, 1)[0]] * more]
        made.count = len(lengths)
        made.distance = sum(lengths)
        made.shapes = self._shapes(line, section, lengths)
        made.spacing_ms = self.lane.spacing_ms if line.apart_ms is None else line.apart_ms
        made.bases = self.bases
        made.holds = self._holds(line, lengths)
        self._schedule(made, lengths, written, interval_ms)
        return made

    def _lengths(self, line: SetLine, count: int) -> list[int] | tuple[int, ...]:
        if line.ladder is not None:
            return line.ladder
        if line.time_ms is not None:
            return [0] * count
        return [line.distance.for_lane(self.index, self.lane.group)] * count

    def _shapes(self, line: SetLine, section: Section, lengths) -> tuple[Shape, ...]:
        # The section counts only by what it lends a line: effort and cue.
        place = (id(line), section.effort, section.cue, tuple(lengths))
        _, found = self.shapes.get(place, (None, None))
        if found is None:
            known: dict[tuple, Shape] = {}
            for repeat, length in enumerate(lengths, 1):
                key = (length, shape_key(line, repeat))
                if key not in known:
                    known[key] = shape_of(line, section, repeat, length, self.factors)
            found = tuple([known[length, shape_key(line, i)] for i, length in enumerate(lengths, 1)])
            self.shapes[place] = line, found   # the line is kept, so that its id stays its own
        return found

    def _holds(self, line: SetLine, lengths) -> tuple[int | Fraction | None, ...]:
        if line.hold is None:
            return (None,) * len(lengths)
        hold = line.hold.for_lane(self.index, self.lane.group)
        if isinstance(hold, BaseHold):
            return tuple([Fraction((self.base + hold.extra_ms) * length, 100) for length in lengths])
        return (hold.hold_ms,) * len(lengths)

    def _schedule(self, made: LaneLine, lengths, written: int, interval_ms: int | None) -> None:
        line, leader = made.line, made.leader
        made.own = None
        made.alike = made.count > 0 and made.shapes.count(made.shapes[0]) == made.count
        if made.alike and leader is None and self._schedule_alike(made, lengths[0], interval_ms):
            return
        slowest, tails = self._slowest_and_tails(made)
        made.slowest = slowest
        if leader is not None and leader.own is None:
            intervals = leader.intervals
        elif interval_ms is not None:
            intervals = (interval_ms,) * made.count
        elif line.interval is not None:
            intervals = self._intervals(line, lengths, written)
        elif line.rest_ms is not None:
            rest = line.rest_ms.for_lane(self.index, self.lane.group)
            intervals = [up_to(slow + rest, self.clock_ms) for slow in slowest]
        else:
            self._straight_through(made)
            return
        made.intervals = tuple(intervals)
        *offsets, made.takes_ms = accumulate(intervals, initial=0)
        made.offsets = tuple(offsets)
        made.ends = tuple([offset + tail for offset, tail in zip(offsets, tails)])
        made.end_ms = max(made.ends, default=0)

    def _schedule_alike(self, made: LaneLine, length: int, interval_ms: int | None) -> bool:
        """The schedule of repeats that are all the same, in one step; false where it takes several."""
        line, count = made.line, made.count
        if interval_ms is None and line.interval is not None:
            chosen = line.interval.for_lane(self.index, self.lane.group)
            if len(chosen) > 1:
                return False
            interval_ms = self._interval(chosen[0], length)
        elif interval_ms is None and line.rest_ms is None:
            return False
        totals = made.shapes[0].totals(made.bases, made.holds[0])
        slow = max(totals)
        if interval_ms is None:
            interval_ms = up_to(slow + line.rest_ms.for_lane(self.index, self.lane.group), self.clock_ms)
        tail = max(map(add, range(0, made.spacing_ms * len(totals), made.spacing_ms), totals))
        takes = made.takes_ms = interval_ms * count
        made.slowest, made.intervals = (slow,) * count, (interval_ms,) * count
        made.offsets = tuple(range(0, takes, interval_ms))
        made.ends = tuple(range(tail, tail + takes, interval_ms))
        made.end_ms = made.ends[-1]
        return True

    def _slowest_and_tails(self, made: LaneLine) -> tuple[tuple[int, ...], tuple[int, ...]]:
        """Per repeat: the slowest swimmer's time, and from the leader's send-off to the last touch."""
        leads = [k * made.spacing_ms for k in range(len(made.bases))]
        known, pairs = {}, []
        for shape, hold in zip(made.shapes, made.holds):
            found = known.get((shape, hold))
            if found is None:
                totals = shape.totals(made.bases, hold)
                found = known[shape, hold] = (max(totals), max(map(add, leads, totals)))
            pairs.append(found)
        return tuple(zip(*pairs)) if pairs else ((), ())

    def _intervals(self, line: SetLine, lengths, written: int) -> list[int]:
        chosen = line.interval.for_lane(self.index, self.lane.group)
        known = {}
        for interval in chosen:
            for length in set(lengths):
                known[interval, length] = self._interval(interval, length)
        if len(chosen) == 1:
            return [known[chosen[0], length] for length in lengths]
        share = max(1, written // len(chosen))
        return [known[chosen[min(i // share, len(chosen) - 1)], length] for i, length in enumerate(lengths)]

    def _interval(self, interval: Interval, length: int) -> int:
        if isinstance(interval, FixedInterval):
            return interval.interval_ms
        if isinstance(interval, BaseInterval):
            return up_to(_hundredth(self.base * length) + interval.extra_ms, self.clock_ms)
        return _hundredth(interval.per_100_ms * length)

    def _straight_through(self, made: LaneLine) -> None:
        known = {}
        for shape, hold in zip(made.shapes, made.holds):
            if (shape, hold) not in known:
                known[shape, hold] = shape.totals(made.bases, hold)
        totals = [known[pair] for pair in zip(made.shapes, made.holds)]
        made.own = own = tuple([tuple(accumulate([row[k] for row in totals], initial=0)) for k in range(len(made.bases))])
        made.offsets = own[0][:-1]
        made.intervals = tuple([after - before for before, after in zip(own[0], own[0][1:])])
        spacing = made.spacing_ms
        made.ends = tuple([max([k * spacing + sums[i + 1] for k, sums in enumerate(own)]) for i in range(made.count)])
        made.end_ms = max(made.ends, default=0)
        made.takes_ms = up_to(max([sums[-1] for sums in own]), self.clock_ms) if made.leader is None else made.leader.takes_ms


def _hundredth(value: int | Fraction) -> int:
    """A hundredth of `value`, rounded half up."""
    return (value + 50) // 100 if isinstance(value, int) else half_up(value / 100)
