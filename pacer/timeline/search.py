"""The search of the fit: over the common starts of sections, forward for distance and end, back for the rest.

A common start of a section, and its time, is all that what follows depends on. So the most that
can be swum before each such start is worked out in the plan's order, up to the greatest distance
and earliest end; then, from the end back along all that comes to these, what is best in the rest.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from pacer.plan.model import MAX_SESSION_MS
from pacer.timeline.bounds import Bounds
from pacer.timeline.build import TakeUp
from pacer.timeline.choices import Choices
from pacer.timeline.ways import NEVER, Chain, Joint, LaneWays, Way

_LANE_BITS = 40
_ROOT = -1          # the start of lanes that take up the plan each at its own time


class _Move(NamedTuple):
    """From a common start to a later one (`joint` None: the section in between is left out), or to the end (`to` None)."""

    section: int
    start_ms: int
    joint: Joint | None
    step: int
    to: tuple[int, int] | None


class _Rest(NamedTuple):
    """The best from a common start on: what it is compared by, then the first move and its ways."""

    distances: int              # all lanes' in one number, the first lane's first
    touches: tuple[int, ...]    # each lane's last touch, negative; 0 where it swims nothing
    rank: int
    move: _Move
    ways: tuple[Way, ...]


class Search:
    """Forward over common starts for distance and end; then, among what reaches both, back for the rest."""

    def __init__(self, choices: Choices, entries: Mapping[int, TakeUp] | None, touched: Mapping[int, int]):
        self.choices = choices
        self.plan = choices.plan
        self.limit_ms = choices.limit_ms
        self.entries = entries or {}
        self.touched = touched
        self.lanes = tuple(sorted(choices.together))
        self.swimmers = [sum([len(choices.squad.lanes[member].swimmers) for member in choices.together[lane]]) for lane in self.lanes]
        self.root = (0, 0) if entries is None else (min([e.section for e in entries.values()], default=0), _ROOT)
        self._optional = [all(self._leaves_out(section, lane) for lane in self.lanes) for section in range(len(self.plan.sections))]
        first = max([entry.section + 1 for entry in self.entries.values()], default=0)
        bounds = Bounds(self.plan, len(self.lanes), self._least, self._optional, first, min(touched.values(), default=0))
        self._ways = {lane: LaneWays(self.plan, choices, bounds, place, lane, self.entries.get(lane), touched.get(lane, 0))
                      for place, lane in enumerate(self.lanes)}

    # -- sections and chains -----------------------------------------------------------------------

    def _leaves_out(self, section: int, lane: int) -> bool:
        """Whether a lane can leave the section out; one that is past it does not count, one in the midst of it cannot."""
        entry = self.entries.get(lane)
        if entry is None or entry.section < section:
            return any(option.takes_ms is None for option in self.choices.of(section, lane))
        if entry.section > section:
            return True
        return not entry.ordinal and any(option.takes_ms is None for option in self.choices.taken_up(lane))

    def _least(self, section: int, place: int) -> int | None:
        options = self.choices.of(section, self.lanes[place])
        if not options:
            return self.limit_ms + 1
        return None if any(option.takes_ms is None for option in options) else min([option.takes_ms for option in options])

    def _alone(self, section: int, start_ms: int) -> tuple[int, ...]:
        """Lanes that do not start `section` with the others but take up the plan by themselves."""
        return tuple([lane for lane, entry in self.entries.items()
                      if start_ms == _ROOT or entry.section > section or (entry.section == section and entry.ordinal)])

    def _skips(self, section: int, alone: tuple[int, ...]) -> bool:
        """Whether all can leave the section out, so that the next one starts in its stead."""
        return (section + 1 < len(self.plan.sections) and not self.plan.sections[section].run_on
                and self._optional[section] and not alone)

    def _chains(self, section: int, alone: tuple[int, ...]) -> Iterator[Chain]:
        """The chains that lead on from a start of `section`."""
        sections = self.plan.sections
        last = len(sections) - 1
        needed = max([at for at in range(section, last + 1) if not self._optional[at]], default=section)
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
            if not self._optional[at] or (at == section and self._skips(at, alone)):
                return

    def _joint(self, chain: Chain, start_ms: int, alone: tuple[int, ...]) -> Iterator[Joint]:
        """The lanes' ways through a chain; without lanes that are `alone` it goes for all starts at the same place of the clock."""
        phase = None if alone else self._phase(chain, start_ms)
        ways, forced = [], False
        for lane in self.lanes:
            entry = self.entries[lane] if lane in alone else None
            waits = entry is None or entry.section <= chain.last + 1
            forced = forced or (entry is not None and entry.section == chain.last and entry.ordinal > 0)
            ways.append(self._ways[lane].through(chain, start_ms if phase is None else phase, lane in alone, waits))
        sooner = alone or (len(chain.swum) > 1 and self.plan.starts_ms % self.plan.clock_ms)
        if not sooner or forced or not chain.gate or not self._optional[chain.last]:
            yield Joint(chain, phase, ways, self.swimmers, forced)
            return
        # There is a common start only if somebody swims right before it. Else lanes go on each at its own time,
        # mostly sooner; but where that can be later, the common start may not be had for nothing.
        for place, own in enumerate(ways):
            here = [way for way in own if way.here]
            if here:
                yield Joint(chain, phase, [*ways[:place], here, *ways[place + 1:]], self.swimmers, True)

    def _phase(self, chain: Chain, start_ms: int) -> int:
        return start_ms % self.plan.clock_ms if len(chain.swum) > 1 else 0

    def _joints(self, section: int, start_ms: int, known: dict) -> list[Joint]:
        """What leads on from a start of `section`; `known` keeps what goes for other starts too."""
        alone = self._alone(section, start_ms)
        key = start_ms if alone else start_ms % self.plan.clock_ms
        found = known.get(key)
        if found is None:
            found = known[key] = [joint for chain in self._chains(section, alone)
                                  for joint in self._joint(chain, start_ms, alone) if joint.times]
        return found

    # -- forward -------------------------------------------------------------------------------------

    def best(self) -> tuple[int, tuple[int, ...], list[tuple[int, Way]]] | None:
        """The end, each lane's distance, and what each lane does; None where nothing ends in time."""
        if not self.lanes:
            return max(self.touched.values(), default=0), (0,) * len(self.choices.squad.lanes), []
        count = len(self.plan.sections)
        known: list[dict] = [{} for _ in range(count)]
        latest = self._latest(known)
        reached: list[dict[int, int]] = [{} for _ in range(count + 1)]     # the most swum before each common start
        reached[self.root[0]][self.root[1]] = 0
        best, ends = (-1, 0), []
        for section in range(self.root[0], count):
            farthest = -1
            for start, distance in sorted(reached[section].items()):
                if distance < farthest:
                    # Later, with less swum, than another: nothing follows that the other has not.
                    del reached[section][start]
                    continue
                farthest = distance
                for joint in self._joints(section, start, known[section]):
                    if joint.chain.gate:
                        self._step(reached[joint.chain.last + 1], start, distance, joint, latest[joint.chain.last + 1])
                    elif (found := self._end(section, start, distance, joint)) is not None and found[0] >= best:
                        if found[0] > best:
                            best, ends = found[0], []
                        ends.append(found[1])
                if self._skips(section, self._alone(section, start)):
                    reached[section + 1][start] = max(distance, reached[section + 1].get(start, 0))
        return self._traced(reached, known, ends, -best[1]) if ends else None

    def _end(self, section: int, start: int, distance: int, joint: Joint) -> tuple[tuple[int, int], _Move] | None:
        """(distance, negative end) and the move, for swimming a chain as the last; None where nobody swims it or it does not fit."""
        base = joint.base_ms(start)
        step = bisect_right(joint.times, self.limit_ms - base) - 1
        if step < 0:
            return None
        before = max(self.touched.values(), default=0)
        end = max(before, base + joint.times[step])
        if joint.totals[step] == 0 and all(way.touch_ms is None for way in joint.picks(joint.times[step], [True] * len(self.lanes))):
            if (section, start) != self.root:
                return None
            end = before
        return ((distance + joint.totals[step], -end), _Move(section, start, joint, step, None)) if end <= self.limit_ms else None

    def _step(self, later: dict[int, int], start: int, distance: int, joint: Joint, latest_ms: int) -> None:
        """Note the common starts that a chain leads to in time, with the most that can be swum before each."""
        start = max(start, 0)
        most = latest_ms - start
        for slot, total, _ in joint.steps(start, self.plan.changeover_ms, self.plan.starts_ms):
            if slot > most:
                break
            if later.get(start + slot, -1) < distance + total:
                later[start + slot] = distance + total

    def _latest(self, known: list[dict]) -> list[int]:
        """The latest common start of each section after which the session can end in time, as far as is known."""
        count = len(self.plan.sections)
        # Where lanes are ahead by themselves, nobody may have to swim after a common start.
        latest = [MAX_SESSION_MS] * (count + 1)
        first = max([entry.section + 1 for entry in self.entries.values()], default=0)
        for section in range(count - 1, first - 1, -1):
            latest[section] = self.limit_ms
            if self.plan.starts_ms % self.plan.clock_ms:
                continue
            latest[section] = -1
            for joint in self._joints(section, 0, known[section]):
                if joint.chain.gate:
                    slots = joint.steps(0, self.plan.changeover_ms, self.plan.starts_ms)
                    latest[section] = max(latest[section], latest[joint.chain.last + 1] - slots[0][0])
                else:
                    latest[section] = max(latest[section], self.limit_ms - max(0, joint.times[0]))
            if self._skips(section, ()):
                latest[section] = max(latest[section], latest[section + 1])
        return latest

    # -- back ------------------------------------------------------------------------------------------

    def _traced(self, reached: list[dict[int, int]], known: list[dict], ends: list[_Move], end_ms: int):
        """From the ends back to the beginning, along all that swims as far, to what is the best in the rest too."""
        moves: dict[tuple[int, int], list[_Move]] = {}
        for move in ends:
            moves.setdefault((move.section, move.start_ms), []).append(move)
        rests: dict[tuple[int, int], _Rest] = {}
        for section in range(len(reached) - 2, self.root[0] - 1, -1):
            for start in [at for number, at in moves if number == section]:
                rest = self._best_rest(moves[section, start], rests)
                if rest is None:
                    continue
                rests[section, start] = rest
                for move in self._led_to(section, start, reached, known):
                    moves.setdefault((move.section, move.start_ms), []).append(move)
        at, picks = self.root, []
        distances = [0] * len(self.choices.squad.lanes)
        while at is not None:
            rest = rests[at]
            for lane, way in zip(self.lanes, rest.ways):
                for member in self.choices.together[lane]:
                    distances[member] += way.distance
                picks.append((lane, way))
            at = rest.move.to
        return end_ms, tuple(distances), picks

    def _led_to(self, section: int, start: int, reached: list[dict[int, int]], known: list[dict]) -> Iterator[_Move]:
        """The moves to a common start before which the most is swum."""
        swum = reached[section][start]
        for earlier in range(self.root[0], section):
            swum_by = reached[earlier]
            for key, joints in known[earlier].items():
                for joint in joints:
                    if not joint.chain.gate or joint.chain.last + 1 != section:
                        continue
                    shared = joint.phase_ms is not None
                    for slot, total, step in joint.steps(0 if shared else max(key, 0), self.plan.changeover_ms, self.plan.starts_ms):
                        before = start - slot if shared else key
                        if max(before, 0) + slot != start or swum_by.get(before, NEVER) + total != swum:
                            continue
                        if not shared or before % self.plan.clock_ms == key:
                            yield _Move(earlier, before, joint, step, (section, start))
        if section and reached[section - 1].get(start) == swum and self._skips(section - 1, self._alone(section - 1, start)):
            yield _Move(section - 1, start, None, 0, (section, start))

    def _best_rest(self, moves: list[_Move], rests: Mapping[tuple[int, int], _Rest]) -> _Rest | None:
        best = None
        for move in moves:
            rest = self._rest_by(move, None if move.to is None else rests.get(move.to))
            if rest is not None and (best is None or rest[:3] > best[:3]):
                best = rest
        return best

    def _rest_by(self, move: _Move, after: _Rest | None) -> _Rest | None:
        """A move with the best that follows; None where nobody would swim the section that its common start follows."""
        if move.to is not None and after is None:
            return None
        if move.joint is None:
            left_out = [self.choices.left_out(move.section, lane) for lane in self.lanes]
            ways = tuple([Way(NEVER, None, 0, choice.rank, False, (None, choice)) for choice in left_out])
            return after._replace(rank=after.rank + sum([way.rank for way in ways]), move=move, ways=ways)
        joint = move.joint
        base = joint.base_ms(move.start_ms)
        parts = [True] * len(self.lanes) if after is None else [touch == 0 for touch in after.touches]
        ways = joint.picks(joint.times[move.step], parts)
        if after is not None and not joint.forced and not any(way.here for way in ways):
            return None
        distances, touches, rank = 0, [], 0
        for way, part, place in zip(ways, parts, range(len(ways))):
            distances = (distances << _LANE_BITS) + way.distance
            rank += way.rank
            if not part:
                touches.append(after.touches[place])
            else:
                touches.append(0 if way.touch_ms is None else -(base + way.touch_ms))
        if after is not None:
            distances += after.distances
            rank += after.rank
        return _Rest(distances, tuple(touches), rank, move, tuple(ways))
