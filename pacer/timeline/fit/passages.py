"""From one common start to the next or to the end: the chains of sections, and the lanes' ways through them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from pacer.timeline.course import TakeUp
from pacer.timeline.fit.choices import Choices, least_of
from pacer.timeline.fit.laneroutes import Chain, Joint, LaneWays
from pacer.timeline.fit.pruningbytime import Bounds

ROOT = -1  # the start of lanes that enter the plan each at its own time


_START = TakeUp(0, 0, 0)  #: the start of all lanes together


class Passages:
    """Chains and ways, worked out on demand, and only once for all starts with the same ways.

    `entries`: where lanes enter the plan by themselves, None if all start together at zero;
    `touched`: their last touches before that. `root` is the section and time of the first start; `known`
    has, by section, the results by `key`.
    """

    def __init__(self, choices: Choices, entries: Mapping[int, TakeUp] | None, touched: Mapping[int, int]):
        self.choices = choices
        self.plan = choices.plan
        self.limit_ms = choices.limit_ms
        self.entries = entries or {}
        self.touched = touched
        self.lanes = tuple(sorted(choices.together))
        self.swimmers = [
            sum([len(choices.squad.lanes[member].swimmers) for member in choices.together[lane]]) for lane in self.lanes
        ]
        self.root = (0, 0) if entries is None else (min([e.section for e in entries.values()], default=0), ROOT)
        self.optional = [
            all(self._leaves_out(section, lane) for lane in self.lanes) for section in range(len(self.plan.sections))
        ]
        begin_ms = min(touched.values(), default=0)
        bounds = Bounds(self.plan, len(self.lanes), self._least, self.optional, self.first_common(), begin_ms)
        self.known: list[dict[int, list[Joint]]] = [{} for _ in self.plan.sections]
        self._ways = {
            lane: LaneWays(
                self.plan, choices, bounds, place, lane, self.entries.get(lane, _START), touched.get(lane, 0)
            )
            for place, lane in enumerate(self.lanes)
        }

    # -- sections and chains -----------------------------------------------------------------------

    def _leaves_out(self, section: int, lane: int) -> bool:
        """Whether a lane can leave the section out.

        A lane past the section counts as able to; a lane in the middle of it is not.
        """
        entry = self.entries.get(lane)
        if entry is None or entry.section < section:
            return any(option.takes_ms is None for option in self.choices.of(section, lane))
        if entry.section > section:
            return True
        return not entry.ordinal and any(option.takes_ms is None for option in self.choices.taken_up(lane))

    def _least(self, section: int, place: int) -> int | None:
        options = self.choices.of(section, self.lanes[place])
        return least_of(options) if options else self.limit_ms + 1

    def alone(self, section: int, start_ms: int) -> tuple[int, ...]:
        """Lanes that do not start `section` with the others but enter the plan by themselves.

        A lane that waits for a later section joins the common start, and leaves out the sections before its own.
        """
        return tuple(
            [
                lane
                for lane, entry in self.entries.items()
                if start_ms == ROOT or (entry.section >= section and entry.ordinal)
            ]
        )

    def skips(self, section: int, alone: tuple[int, ...]) -> bool:
        """Whether all lanes can leave the section out, so that the next one starts in its place."""
        return (
            section + 1 < len(self.plan.sections)
            and not self.plan.sections[section].run_on
            and self.optional[section]
            and not alone
        )

    def _chains(self, section: int, alone: tuple[int, ...]) -> Iterator[Chain]:
        """The chains that begin with a start of `section`."""
        sections = self.plan.sections
        last = len(sections) - 1
        needed = max([at for at in range(section, last + 1) if not self.optional[at]], default=section)
        taken: list[int] = []
        for at in range(section, last + 1):
            swum = frozenset([*taken, at])
            if at >= needed:
                yield Chain(tuple(range(section, last + 1)), swum, at, False)
            if at == last:
                return
            if sections[at].run_on:
                taken.append(at)
                continue
            yield Chain(tuple(range(section, at + 1)), swum, at, True)
            if not self.optional[at] or (at == section and self.skips(at, alone)):
                return

    def common(self) -> set[int]:
        """The sections that can begin with a common start."""
        first, begin = self.root
        reached = {first}
        for section in range(first, len(self.plan.sections)):
            if section not in reached:
                continue
            for start in {begin, 0} if section == first else {0}:
                alone = self.alone(section, start)
                reached |= {chain.last + 1 for chain in self._chains(section, alone) if chain.gate}
                if self.skips(section, alone):
                    reached.add(section + 1)
        return reached

    def _joint(self, chain: Chain, start_ms: int, alone: tuple[int, ...]) -> Iterator[Joint]:
        """The lanes' ways through a chain.

        Without `alone` lanes, the result is valid for all starts at the same clock reading.
        """
        phase = None if alone else self._phase(chain, start_ms)
        ways, forced = [], False
        for lane in self.lanes:
            entry = self.entries[lane] if lane in alone else None
            waits = entry is None or entry.section <= chain.last or not entry.ordinal
            forced = forced or (entry is not None and entry.section == chain.last and entry.ordinal > 0)
            ways.append(self._ways[lane].through(chain, start_ms if phase is None else phase, lane in alone, waits))
        self.choices.work.spend(3 * sum(map(len, ways)))
        sooner = alone or (len(chain.swum) > 1 and self.plan.starts_ms % self.plan.clock_ms)
        if not sooner or forced or not chain.gate or not self.optional[chain.last]:
            yield Joint(chain, phase, ways, self.swimmers, forced)
            return
        # There is a common start only if somebody swims right before it. Otherwise each lane starts at its own time,
        # mostly earlier. But that can be later, so the fit must not get a common start for free.
        for place, own in enumerate(ways):
            here = [way for way in own if way.here]
            if here:
                yield Joint(chain, phase, [*ways[:place], here, *ways[place + 1 :]], self.swimmers, True)

    def _phase(self, chain: Chain, start_ms: int) -> int:
        return start_ms % self.plan.clock_ms if len(chain.swum) > 1 else 0

    def key(self, section: int, start_ms: int, alone: tuple[int, ...]) -> int:
        """The part of a start of `section` on which its ways depend."""
        if alone:
            return start_ms
        return start_ms % self.plan.clock_ms if self.plan.sections[section].run_on else 0

    def joints(self, section: int, start_ms: int) -> list[Joint]:
        """The joint ways from a start of `section`."""
        alone = self.alone(section, start_ms)
        key = self.key(section, start_ms, alone)
        found = self.known[section].get(key)
        if found is None:
            found = self.known[section][key] = [
                joint
                for chain in self._chains(section, alone)
                for joint in self._joint(chain, start_ms, alone)
                if joint.times
            ]
        return found

    def first_common(self) -> int:
        """The first section that all lanes can reach only together, or running on."""
        return max([entry.section + 1 for entry in self.entries.values()], default=0)
