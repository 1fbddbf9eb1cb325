"""One set line as one lane swims it: the number of repeats, each send-off, and when all have touched.

All times count from the line's own start, so that a line swum in several rounds is worked out
only once. `linemaker` makes them.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from copy import copy
from fractions import Fraction
from itertools import accumulate
from operator import add

from pacer.plan.model import Part, SetLine
from pacer.squad.squad import behind_ms
from pacer.timeline.restlimits import LEAST_REST_MS
from pacer.timeline.shape import Shape, up_to


class LaneLine:
    """A line worked out for a lane.

    `offsets[i]`: when the leader leaves on repeat i (from 0), from the line's start, in ms; a `range` if all intervals
    are equal. `ends[i]`: when the last swimmer touches on repeat i; `end_ms` is the latest of them. `intervals[i]`:
    from that send-off to the next; `takes_ms` is their sum, the time to the next line. `own`: for a line swum straight
    through, each swimmer's own send-offs less the spacing (`own[k][i]`, with one entry more than repeats: the last
    touch), otherwise None. `kinds`: the shapes among its repeats, each once, with their hold times;
    `kind_of[i]`: which of them repeat i is. `personal`: the same shapes for each swimmer with factors of their own, by
    place; they differ only in how long the work takes. `leader`: the line as another lane swims it, whose send-offs
    this lane goes by (else None). `who`: the numbers of its swimmers, by place.
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
        "personal",
        "shapes",
        "spacing_ms",
        "takes_ms",
        "who",
    )

    line: SetLine
    number: int
    count: int
    shapes: tuple[Shape, ...]
    kinds: tuple[tuple[Shape, int | Fraction | None], ...]
    kind_of: tuple[int, ...]
    personal: Mapping[int, tuple[Shape, ...]]
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
    who: tuple[int, ...]

    @property
    def slowest(self) -> tuple[int, ...]:
        """The slowest swimmer's time on each repeat."""
        slowest = [max(times) for times in self.totals()]
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

        That is the repeat with the least rest; if the set descends or ascends, only the fastest of the repeats that
        are equally far and swum alike counts, because swimmers can swim the others as fast as the interval asks.
        """
        if self.own is not None or not self.count:
            return None
        rows = [(slow, interval, n) for n, (slow, interval) in enumerate(zip(self.slowest, self.intervals), start=1)]
        if self.line.change is not None:
            quickest: dict[tuple[int, int, Part], tuple[int, int, int]] = {}
            for row in rows:
                far = self.line.ladder[row[2] - 1] if self.line.ladder else 0
                alike = (row[1], far, self.line.pattern.part_of(row[2]))
                quickest[alike] = min(quickest.get(alike, row), row, key=lambda each: each[0])
            rows = list(quickest.values())
        return max(rows, key=lambda row: row[0] - row[1])

    @property
    def short_ms(self) -> int:
        """How much too tight it is for the slowest swimmer, who should be back LEAST_REST_MS before each send-off.

        With a written rest instead of an interval, it is enough to be back at all. 0 if it is not too tight.
        """
        tightest = self.tightest
        if tightest is None:
            return 0
        takes_ms, interval_ms = tightest
        return max(0, takes_ms - interval_ms + (LEAST_REST_MS if self.line.interval is not None else 0))

    @property
    def too_tight(self) -> bool:
        """Whether the line is too tight."""
        return self.short_ms > 0

    def times(self, repeat: int, swimmer: int) -> tuple[int, ...]:
        """The times of `swimmer` (from 0) to the end of each segment of repeat `repeat` (from 0)."""
        return self.shape(repeat, swimmer).times(self.bases[swimmer], self.holds[repeat])

    def shape(self, repeat: int, swimmer: int) -> Shape:
        """Repeat `repeat` (from 0) as `swimmer` swims it, with factors of their own if they have any."""
        own = self.personal.get(swimmer) if self.personal else None
        return self.shapes[repeat] if own is None else own[self.kind_of[repeat]]

    def kinds_of(self, swimmer: int) -> Sequence[tuple[Shape, int | Fraction | None]]:
        """The `kinds` as `swimmer` swims them."""
        own = self.personal.get(swimmer) if self.personal else None
        return self.kinds if own is None else [(shape, hold) for shape, (_, hold) in zip(own, self.kinds)]

    def totals(self) -> list[list[int]]:
        """For each kind of repeat, every swimmer's time."""
        made = [shape.totals(self.bases, hold) for shape, hold in self.kinds]
        for place in self.personal:
            for times, (shape, hold) in zip(made, self.kinds_of(place)):
                times[place] = shape.total(self.bases[place], hold)
        return made

    def behind(self, swimmer: int) -> int:
        """How long after the leader `swimmer` leaves; one more than the last: after that, all have left."""
        return behind_ms(swimmer, self.spacing_ms)

    def leaves(self, repeat: int, swimmer: int, skipped: int = 0) -> int:
        """When `swimmer` leaves on `repeat`, from the line's start, if the line began at repeat `skipped`."""
        if self.own is None:
            return self.offsets[repeat] - self.offsets[skipped] + self.behind(swimmer)
        own = self.own[swimmer]
        return own[repeat] - own[skipped] + self.behind(swimmer)

    def leaves_from(self, swimmer: int, skipped: int, start_ms: int) -> list[int]:
        """When `swimmer` leaves on each repeat, if the leader leaves on repeat `skipped` at `start_ms`."""
        sums = self.offsets if self.own is None else self.own[swimmer]
        lead = start_ms + self.behind(swimmer) - sums[skipped]
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
        kinds = [(shape, hold if hold is None or held == 1 else round(hold * held)) for shape, hold in self.kinds]
        made.kinds, made.holds = tuple(kinds), tuple([kinds[kind][1] for kind in self.kind_of])
        totals, behind = made.totals(), [self.behind(place) for place in range(len(bases))]
        if self.own is not None:
            made.own = tuple(zip(*accumulate([totals[kind] for kind in self.kind_of], added, initial=[0] * len(bases))))
            made.offsets = made.own[0][:-1]
            made.ends = tuple([max(map(add, row, behind)) for row in zip(*[sums[1:] for sums in made.own])])
        else:
            last = [max(map(add, row, behind)) for row in totals]
            made.ends = tuple([at + last[kind] for at, kind in zip(self.offsets, self.kind_of)])
        made.end_ms = max(made.ends, default=0)
        return made

    def of_first(self, swimmers: int) -> LaneLine:
        """The line with the same send-offs, swum only by the first `swimmers` of the lane."""
        made = copy(self)
        made.personal = {place: shapes for place, shapes in self.personal.items() if place < swimmers}
        made.who = self.who[:swimmers]
        return made.paced(self.bases[:swimmers])

    def remaining_ms(self, skipped: int) -> int:
        """The time from the line's start to the next line's, if it begins at repeat `skipped`."""
        if self.own is None:
            return self.takes_ms - self.offsets[skipped]
        if self.leader is not None:
            return self.leader.remaining_ms(skipped)
        return up_to(max(own[-1] - own[skipped] for own in self.own), self.clock_ms)


def added(sums: list[int], row: list[int]) -> list[int]:
    """Two rows of times added, swimmer by swimmer."""
    return list(map(add, sums, row))
