"""One set line as one lane swims it: the number of repeats, each send-off, and when all have touched.

All times count from the line's own start, so that a line swum in several rounds is worked out
only once (T5 and T6 of the package).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from copy import copy
from fractions import Fraction
from itertools import accumulate
from operator import add, sub
from typing import NamedTuple

from pacer.plan.model import (
    BaseHold,
    BaseInterval,
    FixedInterval,
    Hold,
    Interval,
    Section,
    SetLine,
    Unit,
)
from pacer.plan.times import half_up
from pacer.squad.squad import Lane
from pacer.timeline.cancellation import step
from pacer.timeline.shape import Shape, shape_keys, shape_of, up_to

LEAST_REST_MS = 5_000  #: less rest is as good as none


class LaneLine:
    """A line worked out for a lane.

    `offsets[i]`: when the leader leaves on repeat i (from 0), from the line's start, in ms; a `range` if all intervals
    are equal. `ends[i]`: when the last swimmer touches on repeat i; `end_ms` is the latest of them. `intervals[i]`:
    from that send-off to the next; `takes_ms` is their sum, the time to the next line. `own`: for a line swum straight
    through, each swimmer's own send-offs less the spacing (`own[k][i]`, with one entry more than repeats: the last
    touch), otherwise None. `kinds`: the shapes among its repeats, each once, with their hold times;
    `kind_of[i]`: which of them repeat i is. `leader`: the line as another lane swims it, whose send-offs this lane goes
    by (else None).
    """

    __slots__ = (
        "bases",
        "clock_ms",
        "count",
        "distance",
        "end_ms",
        "ends",
        "holds",
        "intervals",
        "kind_of",
        "kinds",
        "leader",
        "line",
        "number",
        "offsets",
        "own",
        "shapes",
        "spacing_ms",
        "takes_ms",
    )

    line: SetLine
    number: int
    count: int
    shapes: tuple[Shape, ...]
    kinds: tuple[tuple[Shape, int | Fraction | None], ...]
    kind_of: tuple[int, ...]
    spacing_ms: int
    bases: tuple[int | Fraction, ...]
    holds: tuple[int | Fraction | None, ...]
    offsets: Sequence[int]
    intervals: tuple[int, ...]
    ends: Sequence[int]
    end_ms: int
    own: tuple[Sequence[int], ...] | None
    takes_ms: int
    distance: int
    clock_ms: int
    leader: LaneLine | None

    @property
    def slowest(self) -> tuple[int, ...]:
        """The slowest swimmer's time on each repeat."""
        base = max(self.bases)
        slowest = [shape.total(base, hold) for shape, hold in self.kinds]
        return tuple([slowest[kind] for kind in self.kind_of])

    @property
    def tightest(self) -> tuple[int, int] | None:
        """The slowest swimmer's time and the interval, on the repeat with the least rest.

        None if the line is swum straight through.
        """
        if self.own is not None or not self.count:
            return None
        return max(zip(self.slowest, self.intervals), key=lambda pair: pair[0] - pair[1])

    @property
    def judged(self) -> tuple[int, int, int] | None:
        """The slowest swimmer's time, the interval, and the repeat (from 1) that shows whether it can be made.

        That is the repeat with the least rest; if the set descends or ascends, it is the fastest repeat with that
        interval, because swimmers can swim the others as fast as the interval asks.
        """
        if self.own is not None or not self.count:
            return None
        rows = [(slow, interval, n) for n, (slow, interval) in enumerate(zip(self.slowest, self.intervals), start=1)]
        if self.line.change is not None:
            quickest: dict[int, tuple[int, int, int]] = {}
            for row in rows:
                quickest[row[1]] = min(quickest.get(row[1], row), row, key=lambda each: each[0])
            rows = list(quickest.values())
        return max(rows, key=lambda row: row[0] - row[1])

    @property
    def short_ms(self) -> int:
        """How much too tight it is for the slowest swimmer, who should be back LEAST_REST_MS before each send-off.

        With a written rest instead of an interval, it is enough to be back at all. 0 if it is not too tight.
        """
        if self.tightest is None:
            return 0
        takes_ms, interval_ms = self.tightest
        return max(0, takes_ms - interval_ms + (LEAST_REST_MS if self.line.interval is not None else 0))

    @property
    def too_tight(self) -> bool:
        """Whether the line is too tight."""
        return self.short_ms > 0

    def times(self, repeat: int, swimmer: int) -> tuple[int, ...]:
        """The times of `swimmer` (from 0) to the end of each segment of repeat `repeat` (from 0)."""
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

    def leader_leaves(self, skipped: int, count: int, start_ms: int) -> Iterable[int]:
        """When the leader leaves on each of `count` repeats, if repeat `skipped` is at `start_ms`."""
        offsets = self.offsets
        if type(offsets) is range:
            return range(start_ms, start_ms + count * offsets.step, offsets.step)
        shift = start_ms - offsets[skipped]
        return [shift + offset for offset in offsets[skipped : skipped + count]]

    def paced(self, bases: tuple[int | Fraction, ...], held: float = 1) -> LaneLine:
        """The line with the same send-offs but other bases, and with hold times multiplied by `held`.

        On a line swum straight through, swimmers leave at their own touch, whenever that is.
        """
        made = copy(self)
        made.bases = bases
        kinds = [(shape, None if hold is None else round(hold * held)) for shape, hold in self.kinds]
        made.kinds, made.holds = tuple(kinds), tuple([kinds[kind][1] for kind in self.kind_of])
        if self.own is not None:
            totals = [shape.totals(bases, hold) for shape, hold in kinds]
            made.own = tuple(
                zip(*accumulate([totals[kind] for kind in self.kind_of], _added, initial=[0] * len(bases)))
            )
            made.offsets = made.own[0][:-1]
        return made

    def remaining_ms(self, skipped: int) -> int:
        """The time from the line's start to the next line's, if it begins at repeat `skipped`."""
        if self.own is None:
            return self.takes_ms - self.offsets[skipped]
        if self.leader is not None:
            return self.leader.remaining_ms(skipped)
        return up_to(max(own[-1] - own[skipped] for own in self.own), self.clock_ms)


class Repeats(NamedTuple):
    """The repeats of a line, the same for all lanes with the same count, distances and factors.

    `kinds`: the shapes among them, each once, and `holds`, their hold times if the line has none of its own;
    `kind_of[i]`: the kind of repeat i.
    """

    line: SetLine  #: kept, so that no other line gets its id
    shapes: tuple[Shape, ...]
    kinds: tuple[tuple[Shape, None], ...]
    holds: tuple[None, ...]
    kind_of: tuple[int, ...]
    distance: int


class LineMaker:
    """Make `LaneLine`s for one lane, sharing repeats with lanes that have the same factors.

    `known` is the shared store; it belongs to one set of factors.
    """

    def __init__(
        self,
        lane: Lane,
        index: int,
        unit: Unit,
        clock_ms: int,
        factors: Mapping[str, Fraction],
        known: dict[tuple, Repeats],
    ):
        self.lane = lane
        self.index = index
        self.clock_ms = clock_ms
        self.factors = factors
        self.known = known
        self.base = lane.base.per_100(unit)
        self.bases = tuple([swimmer.base.per_100(unit) for swimmer in lane.swimmers])
        self.slowest: int | Fraction = 0
        self.last: list[
            int
        ] = []  #: places of swimmers who can be the last to touch: all who leave after them are faster
        for place in reversed(range(len(self.bases))):
            if self.bases[place] > self.slowest:
                self.slowest = self.bases[place]
                self.last.append(place)

    def make(
        self,
        line: SetLine,
        number: int,
        section: Section,
        count: int,
        *,
        more: int = 0,
        interval_ms: int | None = None,
        leader: LaneLine | None = None,
    ) -> LaneLine:
        """`line`, the `number`-th of its section, with `count` repeats (a ladder has its own count).

        `more` repeats are added at the end (negative: left out) without changing those before; they are like
        the last one, except for work that comes in turn. `interval_ms` replaces the written interval, and
        `leader`, the same line of another lane, replaces the whole schedule.
        """
        step()
        made = LaneLine()
        made.line, made.number, made.clock_ms, made.leader = line, number, self.clock_ms, leader
        _, made.shapes, made.kinds, made.holds, made.kind_of, made.distance = self._repeats(line, section, count, more)
        made.count = len(made.shapes)
        made.spacing_ms = self.lane.spacing_ms if line.apart_ms is None else line.apart_ms
        made.bases = self.bases
        if line.hold is not None:
            hold = line.hold.for_lane(self.index, self.lane.group)
            made.kinds = tuple([(shape, self._held(hold, shape)) for shape, _ in made.kinds])
            made.holds = tuple([made.kinds[kind][1] for kind in made.kind_of])
        intervals = self._intervals(made, count, interval_ms)
        if intervals is None:
            self._straight_through(made)
        else:
            self._one_by_one(made, intervals)
        return made

    def _repeats(self, line: SetLine, section: Section, count: int, more: int) -> Repeats:
        length = line.distance.for_lane(self.index, self.lane.group) if line.distance is not None else 0
        # Only the section's effort and cue affect a line.
        key = (id(line), section.effort, section.cue, length, count, more)
        found = self.known.get(key)
        if found is None:
            lengths = (length,) * count if line.ladder is None else line.ladder
            if more < 0:
                lengths = lengths[: max(0, len(lengths) + more)]
            elif more:
                lengths += (lengths[-1] if lengths else length,) * more
            found = self.known[key] = self._worked_out(line, section, lengths)
        return found

    def _worked_out(self, line: SetLine, section: Section, lengths: tuple[int, ...]) -> Repeats:
        kinds: dict[tuple, Shape] = {}
        keys = list(zip(lengths, shape_keys(line, len(lengths))))
        for repeat, key in enumerate(keys, 1):
            if key not in kinds:
                kinds[key] = shape_of(line, section, repeat, key[0], self.factors)
        places = {key: place for place, key in enumerate(kinds)}
        return Repeats(
            line,
            tuple([kinds[key] for key in keys]),
            tuple([(shape, None) for shape in kinds.values()]),
            (None,) * len(keys),
            tuple([places[key] for key in keys]),
            sum(lengths),
        )

    def _held(self, hold: Hold, shape: Shape) -> int | Fraction:
        """The hold time of a repeat."""
        if isinstance(hold, BaseHold):
            return Fraction((self.base + hold.extra_ms) * shape.distance, 100)
        return hold.hold_ms

    def _intervals(self, made: LaneLine, written: int, interval_ms: int | None) -> tuple[int, ...] | None:
        """The time from each send-off to the next.

        None for a line swum straight through. `written` is the count without added repeats.
        """
        line, leader = made.line, made.leader
        if leader is not None and leader.own is None:
            return leader.intervals
        if interval_ms is not None:
            return (interval_ms,) * made.count
        if line.interval is not None:
            chosen = line.interval.for_lane(self.index, self.lane.group)
            known = [[self._interval(interval, shape.distance) for shape, _ in made.kinds] for interval in chosen]
            if len(chosen) > 1:
                share = max(1, (written if line.ladder is None else len(line.ladder)) // len(chosen))
                return tuple([known[min(i // share, len(chosen) - 1)][kind] for i, kind in enumerate(made.kind_of)])
            each = known[0]
        elif line.rest_ms is not None:
            rest = line.rest_ms.for_lane(self.index, self.lane.group)
            each = [up_to(shape.total(self.slowest, hold) + rest, self.clock_ms) for shape, hold in made.kinds]
        else:
            return None
        return (each[0],) * made.count if len(each) == 1 else tuple([each[kind] for kind in made.kind_of])

    def _interval(self, interval: Interval, length: int) -> int:
        if isinstance(interval, FixedInterval):
            return interval.interval_ms
        if isinstance(interval, BaseInterval):
            return up_to(_hundredth(self.base * length) + interval.extra_ms, self.clock_ms)
        return _hundredth(interval.per_100_ms * length)

    def _one_by_one(self, made: LaneLine, intervals: tuple[int, ...]) -> None:
        """Work out the schedule of a line whose repeats have their own send-offs."""
        made.own, made.intervals = None, intervals
        # From the leader's send-off to the last touch, by kind of repeat.
        tails = [
            max([place * made.spacing_ms + shape.total(self.bases[place], hold) for place in self.last])
            for shape, hold in made.kinds
        ]
        if len(tails) == 1 and intervals.count(intervals[0]) == made.count:
            each, tail = intervals[0], tails[0]
            takes = made.takes_ms = each * made.count
            made.offsets, made.ends = range(0, takes, each), range(tail, tail + takes, each)
            made.end_ms = takes - each + tail
            return
        *offsets, made.takes_ms = accumulate(intervals, initial=0)
        made.offsets = tuple(offsets)
        made.ends = tuple([offset + tails[kind] for offset, kind in zip(offsets, made.kind_of)])
        made.end_ms = max(made.ends, default=0)

    def _straight_through(self, made: LaneLine) -> None:
        """Work out the schedule of a line swum without a stop: everybody leaves again at their own touch."""
        totals = [shape.totals(self.bases, hold) for shape, hold in made.kinds]
        nobody = [0] * len(self.bases)
        reached = list(
            accumulate([totals[kind] for kind in made.kind_of], _added, initial=nobody)
        )  # each swimmer's sum after each repeat
        leads = range(0, made.spacing_ms * len(self.bases), made.spacing_ms)
        made.own = tuple(zip(*reached))
        made.offsets = made.own[0][:-1]
        made.intervals = tuple(map(sub, made.own[0][1:], made.offsets))
        made.ends = tuple([max(map(add, leads, sums)) for sums in reached[1:]])
        made.end_ms = max(made.ends, default=0)
        made.takes_ms = up_to(max(reached[-1]), self.clock_ms) if made.leader is None else made.leader.takes_ms


def _added(sums: list[int], row: list[int]) -> list[int]:
    return list(map(add, sums, row))


def _hundredth(value: int | Fraction) -> int:
    """A hundredth of `value`, rounded half up."""
    return (value + 50) // 100 if isinstance(value, int) else half_up(Fraction(value, 100))
