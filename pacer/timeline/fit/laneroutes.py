"""The ways of all lanes from one common start to the next, or to the session's end.

Between common starts, lanes do not affect one another: given the time in between, each has its own best
way. If sections run on, a lane's way covers several.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Sequence
from typing import NamedTuple

from pacer.plan.model import Plan
from pacer.timeline.course import TakeUp
from pacer.timeline.fit.choices import Choice, Choices
from pacer.timeline.fit.pruningbytime import Bounds
from pacer.timeline.shape import up_to
from pacer.timeline.stepcounter import spread

UNREACHED = -(1 << 62)


class Chain(NamedTuple):
    """Sections between two common starts, by index; nobody swims in those not in `swum`.

    `last` is the last that is swum. With `gate` a common start follows it, for section `last` + 1;
    without, nobody swims anything afterwards.
    """

    sections: tuple[int, ...]
    swum: frozenset[int]
    last: int
    gate: bool


class Way(NamedTuple):
    """One lane's way through a chain: `at_ms` is the time for which the next common start waits, `touch_ms` its
    last touch (None: swims nothing), `here` whether it swims in the chain's last section."""

    at_ms: int
    touch_ms: int | None
    distance: int
    rank: int
    here: bool
    picked: tuple | None

    def choices(self) -> list[Choice]:
        """The choice in each section, the last first."""
        made, picked = [], self.picked
        while picked is not None:
            picked, choice = picked
            made.append(choice)
        return made


class LaneWays:
    """The ways of one lane, worked out once for each beginning that chains share.

    `entry` is where the lane enters the plan by itself, `touched_ms` its last touch before that. `place` is
    the lane's place in `bounds`.
    """

    def __init__(
        self, plan: Plan, choices: Choices, bounds: Bounds, place: int, lane: int, entry: TakeUp, touched_ms: int
    ):
        self.plan = plan
        self.choices = choices
        self.bounds = bounds
        self.place = place
        self.lane = lane
        self.entry = entry
        self.touched_ms = touched_ms
        self._so_far: dict[tuple, list[tuple]] = {}
        self._open: dict[tuple[int, bool], tuple[tuple[Choice, ...], tuple[Choice, ...]]] = {}

    def _done_ms(self) -> int:
        """When the lane counts as done with the section that it enters, if it swims nothing more of it."""
        if not self.entry.ordinal:
            return self.touched_ms
        return max(self.touched_ms, self.entry.at_ms - self.plan.changeover_ms)

    def through(self, chain: Chain, start_ms: int, alone: bool, waits: bool) -> list[Way]:
        """The lane's ways through a chain that starts at `start_ms`, or that the lane enters by itself (`alone`).

        `waits`: the common start after the chain waits for this lane even if the lane swims nothing in the chain.
        """
        before = chain.sections.index(chain.last)
        ways = self._go(chain, before + 1, start_ms, alone, True)
        for section in chain.sections[before + 1 :]:
            ways = self._on(ways, section, chain, start_ms, alone, True)
        entry = self.entry if alone else None
        first = chain.sections[0] if entry is None else entry.section
        for_ms = self.plan.sections[chain.last].for_ms if chain.gate and first <= chain.last else None
        begun = entry.section_ms if entry is not None and first == chain.last else None
        idle = UNREACHED  # nobody waits for a lane that has no more to swim
        if chain.gate and waits:
            idle = start_ms - self.plan.changeover_ms
            if alone:
                idle = self._done_ms() if first <= chain.last else self.touched_ms
        if for_ms is None:  # otherwise more than the touch decides what the common start waits for
            ways = [way for kind in (True, False) for way in _worthwhile([way for way in ways if way[4] is kind])]
        made = []
        for start, touch, distance, rank, here, picked in ways:
            at = idle if touch is None else touch
            if for_ms is not None:
                at = max(at, (start if begun is None else begun) + for_ms)
            made.append(Way(at, touch, distance, rank, here, picked))
        return made

    def _go(self, chain: Chain, many: int, start_ms: int, alone: bool, ends: bool) -> list[tuple]:
        """(start of the next section, last touch, distance, rank, swims here, picked) after `many` sections.

        A way is left out if another is at least as good for anything that may follow, but not after the last section.
        """
        if not many:
            return [(self.entry.at_ms if alone else start_ms, None, 0, 0, False, None)]
        if ends:
            return self._on(
                self._go(chain, many - 1, start_ms, alone, False),
                chain.sections[many - 1],
                chain,
                start_ms,
                alone,
                True,
            )
        key = (chain.sections[0], many, start_ms, alone)
        found = self._so_far.get(key)
        if found is None:
            before = self._go(chain, many - 1, start_ms, alone, False)
            ways = _worthwhile(self._on(before, chain.sections[many - 1], chain, start_ms, alone, False))
            found = self._so_far[key] = list(spread(ways, self.choices.few))
        return found

    def _on(self, ways: list[tuple], section: int, chain: Chain, start_ms: int, alone: bool, ends: bool) -> list[tuple]:
        if section < self.entry.section:
            return ways
        own = alone and section == self.entry.section
        idle, swum = self._options(section, own)
        if section not in chain.swum:
            swum = ()
        changeover, clock = self.plan.changeover_ms, self.plan.clock_ms
        limit = self.choices.limit_ms - self.bounds.after[section][self.place]
        if not alone:
            limit -= max(0, self.bounds.starts[chain.sections[0]][self.place] - start_ms)
        made: list[tuple] = []
        times, work = [option.takes_ms for option in swum], self.choices.work
        best: dict = {}  # the best of the ways with the same last touch (and the same start of the section)
        apart = ends and self.plan.sections[section].for_ms is not None
        for start, touch, distance, rank, here, picked in ways:
            for option in idle:
                after = start
                if own and self.entry.ordinal and not ends:  # it has swum here already
                    after = up_to(self._done_ms() + changeover, clock)
                made.append(
                    (after, touch, distance, rank + option.rank, here and section > chain.last, (picked, option))
                )
            fit = bisect_right(times, limit - start)
            work.spend(fit + 2)
            for option in swum[:fit]:
                end = start + option[0]
                farther, key = distance + option[1], (end, start) if apart else end
                found = best.get(key)
                if found is None or farther > found[2] or (farther == found[2] and rank + option[2] > found[3]):
                    after = start if ends else -(-(end + changeover) // clock) * clock
                    best[key] = (after, end, farther, rank + option[2], True, (picked, option))
        return made + list(best.values())

    def _options(self, section: int, own: bool) -> tuple[tuple[Choice, ...], tuple[Choice, ...]]:
        """The lane's ways to leave a section out, and those to swim it, the shortest first.

        Of the latter, a way is left out if another is no longer and swims farther, or as far with a higher rank."""
        found = self._open.get((section, own))
        if found is None:
            options = self.choices.taken_up(self.lane) if own else self.choices.of(section, self.lane)
            idle = tuple([option for option in options if option.takes_ms is None])
            swum = [option for option in options if option.takes_ms is not None]
            kept, best = [], (-1, -1)
            for option in sorted(swum, key=lambda option: (option.takes_ms, -option.distance, -option.rank)):
                if (option.distance, option.rank) > best:
                    best = (option.distance, option.rank)
                    kept.append(option)
            found = self._open[section, own] = idle, tuple(spread(kept, self.choices.few))
        return found


def _worthwhile(ways: list[tuple]) -> list[tuple]:
    """Leave out ways that end no earlier than another with at least the same distance and rank."""
    ways.sort(key=lambda way: (UNREACHED if way[1] is None else way[1], -way[2], -way[3]))
    kept, best = [], (-1, -1)
    for way in ways:
        if (way[2], way[3]) > best:
            best = (way[2], way[3])
            kept.append(way)
    return kept


def _onward(way: Way) -> tuple:
    return way.distance, way.rank


def _parting(way: Way) -> tuple:
    return way.distance, -(way.touch_ms or 0), way.rank


class Front:
    """A lane's best ways by the time available: more time, a better way."""

    __slots__ = ("times", "ways")

    def __init__(self, ways: Sequence[Way], worth: Callable[[Way], tuple]):
        self.times: list[int] = []
        self.ways: list[Way] = []
        best: tuple = ()
        for at, worthy, place in sorted([(way.at_ms, worth(way), place) for place, way in enumerate(ways)]):
            if worthy > best:
                best = worthy
                if self.times and self.times[-1] == at:
                    self.ways[-1] = ways[place]
                else:
                    self.times.append(at)
                    self.ways.append(ways[place])

    def within(self, time_ms: int) -> Way:
        """The best way for which the common start waits no longer than `time_ms`."""
        return self.ways[bisect_right(self.times, time_ms) - 1]


class Joint:
    """All lanes' ways through one chain, by the time of the slowest: `totals[k]` is the greatest distance,
    summed over swimmers, within `times[k]`, both ascending.

    Times count from `phase_ms` before the common start, or from the session's zero if that is None.
    `forced`: the last section counts as swum for every choice.
    """

    __slots__ = ("_onward", "_parting", "_ways", "chain", "forced", "phase_ms", "slots", "times", "totals")

    def __init__(
        self, chain: Chain, phase_ms: int | None, ways: Sequence[Sequence[Way]], swimmers: Sequence[int], forced: bool
    ):
        self.chain = chain
        self.phase_ms = phase_ms
        self.forced = forced
        self.slots: list[tuple[int, int, int]] | None = None
        self._ways = ways
        self._onward = [Front(ways, _onward) for ways in ways] if chain.gate else None
        self._parting = None if chain.gate else [Front(ways, _parting) for ways in ways]
        self.times: list[int] = []
        self.totals: list[int] = []
        fronts = self._onward or self._parting or []
        if all(front.times for front in fronts):
            self._join(fronts, swimmers)

    def _join(self, fronts: Sequence[Front], swimmers: Sequence[int]) -> None:
        begin = max([front.times[0] for front in fronts])
        total, steps = 0, []
        for front, many in zip(fronts, swimmers):
            before = None
            for time, way in zip(front.times, front.ways):
                if before is None or time <= begin:
                    total += (way.distance - (before or 0)) * many
                else:
                    steps.append((time, (way.distance - before) * many))
                before = way.distance
        times, totals = [begin], [total]
        for time, more in sorted(steps):
            total += more
            if time == times[-1]:
                totals[-1] = total
            else:
                times.append(time)
                totals.append(total)
        self.times, self.totals = times, totals

    def base_ms(self, start_ms: int) -> int:
        """The session time from which `times` count, for a common start at `start_ms`."""
        return 0 if self.phase_ms is None else start_ms - self.phase_ms

    def steps(self, start_ms: int, changeover_ms: int, starts_ms: int) -> list[tuple[int, int, int]]:
        """(time to the next common start, distance, index of the step) for a start at `start_ms`."""
        if self.phase_ms is not None and start_ms % starts_ms == 0:
            if self.slots is None:
                self.slots = self._steps(-self.phase_ms + changeover_ms, 0, starts_ms)
            return self.slots
        return self._steps(self.base_ms(start_ms) + changeover_ms, start_ms, starts_ms)

    def _steps(self, shift_ms: int, start_ms: int, starts_ms: int) -> list[tuple[int, int, int]]:
        made: dict[int, tuple[int, int, int]] = {}
        for step, (time, total) in enumerate(zip(self.times, self.totals)):
            slot = up_to(time + shift_ms, starts_ms) - start_ms
            made[slot] = (slot, total, step)
        return list(made.values())

    def picks(self, time_ms: int, parts: Sequence[bool]) -> list[Way]:
        """Each lane's way within `time_ms`.

        Lanes in `parts` swim nothing afterwards, so it is better if they finish sooner.
        """
        if self._parting is None:
            self._parting = [Front(ways, _parting) for ways in self._ways]
        onward = self._onward or self._parting
        return [(last if part else on).within(time_ms) for on, last, part in zip(onward, self._parting, parts)]
