"""Make a lane's lines: how often each is swum, how long every swimmer takes, when they leave (T5, T6 of the package).

Repeats are worked out once for each set of factors, and shared by all lanes and swimmers who have these.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from itertools import accumulate
from operator import add, sub
from typing import NamedTuple

from pacer.plan.decimals import half_up
from pacer.plan.model import BaseHold, BaseInterval, FixedInterval, Hold, Interval, Section, SetLine, Unit
from pacer.squad.squad import Lane, behind_ms
from pacer.timeline.cancellation import step
from pacer.timeline.laneline import LaneLine, added
from pacer.timeline.shape import Shape, shape_keys, shape_of, up_to


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


class Factored(NamedTuple):
    """Factors, and the repeats worked out with them, which all lanes and swimmers with these factors share."""

    factors: Mapping[str, Fraction]
    known: dict[tuple, Repeats]


class LineMaker:
    """Make `LaneLine`s for one lane, sharing repeats with lanes that have the same factors.

    `factored`: the lane's factors; `personal`: those of each swimmer with factors of their own, by place.
    """

    def __init__(
        self,
        lane: Lane,
        index: int,
        unit: Unit,
        clock_ms: int,
        factored: Factored,
        personal: Mapping[int, Factored],
    ):
        self.lane = lane
        self.index = index
        self.clock_ms = clock_ms
        self.factored = factored
        self.personal = personal
        self.base = lane.base.per_100(unit)
        self.bases = tuple([swimmer.base.per_100(unit) for swimmer in lane.swimmers])
        self.who = tuple([swimmer.number for swimmer in lane.swimmers])
        self.slowest: int | Fraction = 0
        self.last: list[
            int
        ] = []  #: places of swimmers who can be the last to touch, besides `personal`: those behind them are faster
        for place in reversed(range(len(self.bases))):
            if place not in personal and self.bases[place] > self.slowest:
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
        repeats = self._repeats(self.factored, line, section, count, more)
        _, made.shapes, made.kinds, made.holds, made.kind_of, made.distance = repeats
        made.personal = {
            place: tuple([shape for shape, _ in self._repeats(own, line, section, count, more).kinds])
            for place, own in self.personal.items()
        }
        made.count = len(made.shapes)
        made.spacing_ms = self.lane.spacing_ms if line.apart_ms is None else line.apart_ms
        made.bases, made.who = self.bases, self.who
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

    def _repeats(self, factored: Factored, line: SetLine, section: Section, count: int, more: int) -> Repeats:
        length = line.distance.for_lane(self.index, self.lane.group) if line.distance is not None else 0
        # Only the section's effort and cue affect a line.
        key = (id(line), section.effort, section.cue, length, count, more)
        found = factored.known.get(key)
        if found is None:
            lengths = (length,) * count if line.ladder is None else line.ladder
            if more < 0:
                lengths = lengths[: max(0, len(lengths) + more)]
            elif more:
                lengths += (lengths[-1] if lengths else length,) * more
            found = factored.known[key] = _worked_out(line, section, lengths, factored.factors)
        return found

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
            slowest = self._tails(made, 0)
            each = [up_to(time + rest, self.clock_ms) for time in slowest]
        else:
            return None
        return (each[0],) * made.count if len(each) == 1 else tuple([each[kind] for kind in made.kind_of])

    def _interval(self, interval: Interval, length: int) -> int:
        if isinstance(interval, FixedInterval):
            return interval.interval_ms
        if isinstance(interval, BaseInterval):
            return up_to(_hundredth(self.base * length) + interval.extra_ms, self.clock_ms)
        return _hundredth(interval.per_100_ms * length)

    def _tails(self, made: LaneLine, spacing_ms: int) -> list[int]:
        """From the leader's send-off to the last touch if swimmers leave `spacing_ms` apart, by kind of repeat."""
        tails = [
            max([behind_ms(place, spacing_ms) + shape.total(self.bases[place], hold) for place in self.last], default=0)
            for shape, hold in made.kinds
        ]
        for place in self.personal:
            own = [
                behind_ms(place, spacing_ms) + shape.total(self.bases[place], hold)
                for shape, hold in made.kinds_of(place)
            ]
            tails = list(map(max, tails, own))
        return tails

    def _one_by_one(self, made: LaneLine, intervals: tuple[int, ...]) -> None:
        """Work out the schedule of a line whose repeats have their own send-offs."""
        made.own, made.intervals = None, intervals
        tails = self._tails(made, made.spacing_ms)
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
        totals = made.totals()
        nobody = [0] * len(self.bases)
        reached = list(
            accumulate([totals[kind] for kind in made.kind_of], added, initial=nobody)
        )  # each swimmer's sum after each repeat
        leads = [made.behind(place) for place in range(len(self.bases))]
        made.own = tuple(zip(*reached))
        made.offsets = made.own[0][:-1]
        made.intervals = tuple(map(sub, made.own[0][1:], made.offsets))
        made.ends = tuple([max(map(add, leads, sums)) for sums in reached[1:]])
        made.end_ms = max(made.ends, default=0)
        made.takes_ms = up_to(max(reached[-1]), self.clock_ms) if made.leader is None else made.leader.takes_ms


def _worked_out(line: SetLine, section: Section, lengths: tuple[int, ...], factors: Mapping[str, Fraction]) -> Repeats:
    kinds: dict[tuple, Shape] = {}
    keys = list(zip(lengths, shape_keys(line, len(lengths))))
    for repeat, key in enumerate(keys, 1):
        if key not in kinds:
            kinds[key] = shape_of(line, section, repeat, key[0], factors)
    places = {key: place for place, key in enumerate(kinds)}
    return Repeats(
        line,
        tuple([kinds[key] for key in keys]),
        tuple([(shape, None) for shape in kinds.values()]),
        (None,) * len(keys),
        tuple([places[key] for key in keys]),
        sum(lengths),
    )


def _hundredth(value: int | Fraction) -> int:
    """A hundredth of `value`, rounded half up."""
    return (value + 50) // 100 if isinstance(value, int) else half_up(Fraction(value, 100))
