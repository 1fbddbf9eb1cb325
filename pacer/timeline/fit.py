"""The fit: flexible rounds and repeats chosen for each lane so that the session ends in time (design: section 6).

Exact, by dynamic programming over the common starts of sections. Among all choices that end in
time it takes, in this order: the greatest distance summed over swimmers; the earliest end; the
greater distance of the first lane, the second and so on; the earlier last touch of the first
lane and so on; more rounds in all, then more of earlier sections and in them of earlier lanes;
then more of earlier lines and in them of earlier lanes. Counts that make no difference to what is
swum stay at their least.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from pacer.plan.model import MAX_SESSION_MS, Plan
from pacer.squad.model import Squad
from pacer.timeline.build import Course, TakeUp
from pacer.timeline.choices import Choices
from pacer.timeline.model import Counts, Timeline, Track
from pacer.timeline.shape import up_to
from pacer.timeline.ways import NEVER, Chain, Joint, Way, lane_ways

_LANE_BITS = 40
_ROOT = -1          # the start of lanes that take up the plan each at its own time


@dataclass(frozen=True, slots=True)
class Fit:
    """What was chosen: counts for every flexible place, one per lane.

    `end_ms` is the last touch and `distances` what each swimmer of a lane swims (in a refit: still has
    to). `limit_ms` is when the session has to end, None without a booking. `over_ms` is by how much
    even the smallest choice ends later; it is then the one chosen.
    """

    plan: Plan
    squad: Squad
    counts: Counts
    end_ms: int
    distances: tuple[int, ...]
    limit_ms: int | None
    over_ms: int = 0
    frozen: frozenset[tuple[int, int]] = frozenset()

    @property
    def distance(self) -> int:
        """Summed over all swimmers."""
        return sum(d * len(lane.swimmers) for d, lane in zip(self.distances, self.squad.lanes))


def fit(plan: Plan, squad: Squad, *, booking_ms: int | None = None, frozen: frozenset[tuple[int, int]] = frozenset(),
        start: Mapping[int, TakeUp] | None = None, tracks: tuple[Track, ...] | None = None, counts: Counts | None = None,
        end_ms: int | None = None) -> Fit:
    """Choose the flexible counts of a session, or of the rest of one.

    The session ends by `end_ms`; without it, by `booking_ms` (the plan's own where None) less the
    plan's spare. Without any of them every count is the least. Nothing is added to `frozen` lines
    (section index, line number) nor to the rounds of their sections.

    For the rest of a session `start` says where and when each lane (by index) takes up the plan,
    `tracks` what they have swum and `counts` by which counts; these stay for what is swum already.
    `Course.lay` with the new counts then lays it out. Raises `CannotRun` as `build_timeline` does.
    """
    limit = end_ms
    if limit is None:
        booking = plan.booking_ms if booking_ms is None else booking_ms
        limit = None if booking is None else booking - plan.spare_ms
    within = MAX_SESSION_MS if limit is None else min(limit, MAX_SESSION_MS)
    lanes = range(len(squad.lanes))
    if start is not None:
        start = {lane: entry for lane, entry in start.items() if entry.section < len(plan.sections)}
    entries = {} if start is None else start
    choices = Choices(plan, squad, within, frozen, entries, counts or {})
    chosen = _least(choices, lanes if start is None else entries, counts or {})
    if limit is not None:
        touched = {lane: tracks[lane].end_ms if tracks else 0 for lane in entries}
        answer = _Search(choices, None if start is None else entries, touched).best()
        if answer is not None:
            end, distances, picks = answer
            for lane, way in picks:
                for choice in way.choices():
                    for key, count in choice.counts:
                        chosen[key][lane] = count
            return Fit(plan, squad, _frozen(chosen), end, distances, limit, 0, frozen)
    made = _frozen(chosen)
    end, distances = _laid_out(plan, squad, made, start, tracks)
    return Fit(plan, squad, made, end, distances, limit, 0 if limit is None else max(0, end - limit), frozen)


def _least(choices: Choices, lanes, present: Counts) -> dict[tuple[int, int | None], list[int]]:
    """The counts to begin with: what is behind stays, all else is the least."""
    made = {}
    for key, count in choices.flexible.items():
        made[key] = list(present.get(key, (count.least,) * len(choices.squad.lanes)))
        if key[1] is None:
            for lane, told in enumerate(choices.squad.lanes):
                if told.rounds is not None:
                    made[key][lane] = min(max(told.rounds, count.least), count.most)
    for section in {key[0] for key in made}:
        for lane in lanes:
            if lane in choices.entries and section < choices.entries[lane].section:
                continue
            for key in made:
                if key[0] == section and (key[1] is not None or choices.squad.lanes[lane].rounds is None):
                    made[key][lane] = choices.flexible[key].least
            for key, span in choices.ranges(section, lane).items():
                made[key][lane] = span[0]
    return made


def _frozen(counts: Mapping[tuple[int, int | None], list[int]]) -> Counts:
    return {key: tuple(values) for key, values in counts.items()}


def _laid_out(plan: Plan, squad: Squad, counts: Counts, start, tracks) -> tuple[int, tuple[int, ...]]:
    """The end and each lane's distance when these counts are swum."""
    course = Course(plan, squad, counts)
    fresh = tuple(Track() for _ in squad.lanes)
    for lane, track in enumerate(fresh):
        track.end_ms = tracks[lane].end_ms if tracks else 0
    entries = {lane: TakeUp(0, 0, 0) for lane in range(len(fresh))} if start is None else start
    course.lay(fresh, entries, {})
    laid = Timeline(plan, squad, counts, fresh, {})
    return max([fresh[lane].end_ms for lane in entries], default=0), tuple(laid.distance(lane) for lane in range(len(fresh)))


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


class _Search:
    """Forward over common starts for distance and end; then, among what reaches both, back for the rest."""

    def __init__(self, choices: Choices, entries: Mapping[int, TakeUp] | None, touched: Mapping[int, int]):
        self.choices = choices
        self.plan = choices.plan
        self.limit_ms = choices.limit_ms
        self.entries = entries or {}
        self.touched = touched
        squad = choices.squad
        self.lanes = tuple(range(len(squad.lanes))) if entries is None else tuple(sorted(entries))
        self.swimmers = [len(squad.lanes[lane].swimmers) for lane in self.lanes]
        self.root = (0, 0) if entries is None else (min([e.section for e in entries.values()], default=0), _ROOT)
        self._can_leave_out: dict[int, bool] = {}
        self._chains: dict[tuple[int, bool], tuple[Chain, ...]] = {}
        self._joints: dict[tuple, Joint] = {}

    # -- sections and chains -----------------------------------------------------------------------

    def _leaves_out(self, section: int) -> bool:
        """Whether all lanes can leave a section out."""
        found = self._can_leave_out.get(section)
        if found is None:
            found = True
            for lane in self.lanes:
                entry = self.entries.get(lane)
                if entry is not None and entry.section > section:
                    continue
                if entry is not None and entry.section == section:
                    options = self.choices.taken_up(lane)
                    found = entry.ordinal == 0
                else:
                    options = self.choices.of(section, lane)
                found = found and any(option.takes_ms is None for option in options)
                if not found:
                    break
            self._can_leave_out[section] = found
        return found

    def _waiting(self, section: int, rooted: bool) -> list[int]:
        """Lanes that do not start `section` with the others but take up the plan by themselves."""
        return [lane for lane, entry in self.entries.items()
                if rooted or entry.section > section or (entry.section == section and entry.ordinal)]

    def chains(self, section: int, rooted: bool) -> tuple[Chain, ...]:
        """The chains that lead on from a common start of `section`."""
        found = self._chains.get((section, rooted))
        if found is None:
            found = self._chains[section, rooted] = tuple(self._lead_on(section, rooted))
        return found

    def _lead_on(self, section: int, rooted: bool):
        sections = self.plan.sections
        last = len(sections) - 1
        rest_optional = [True] * (len(sections) + 1)
        for at in range(last, section - 1, -1):
            rest_optional[at] = rest_optional[at + 1] and self._leaves_out(at)
        taken: list[int] = []
        for at in range(section, last + 1):
            whole = tuple(range(section, at + 1))
            swum = frozenset([*taken, at])
            if rest_optional[at + 1]:
                yield Chain(tuple(range(section, last + 1)), swum, at, False)
            if at == last:
                return
            if sections[at].run_on:
                taken.append(at)
                continue
            yield Chain(whole, swum, at, True)
            if not self._leaves_out(at) or (at == section and self.skips(at, rooted)):
                return

    def skips(self, section: int, rooted: bool) -> bool:
        """Whether all can leave the section out, so that the next one starts in its stead."""
        return (section + 1 < len(self.plan.sections) and not self.plan.sections[section].run_on
                and self._leaves_out(section) and not self._waiting(section, rooted))

    def joint(self, chain: Chain, start_ms: int) -> Joint:
        """The lanes' ways through a chain from a common start."""
        first = chain.sections[0]
        rooted = start_ms == _ROOT
        waiting = self._waiting(first, rooted)
        runs_on = len(chain.swum) > 1
        phase = 0 if waiting or not runs_on else start_ms % self.plan.clock_ms
        key = (chain, start_ms if waiting else phase)
        found = self._joints.get(key)
        if found is None:
            changeover = self.plan.changeover_ms
            ways, swimmers, forced = [], [], False
            for lane, many in zip(self.lanes, self.swimmers):
                if lane not in waiting:
                    at = start_ms if waiting else phase
                    ways.append(lane_ways(self.plan, self.choices, lane, chain, at, None, at - changeover))
                else:
                    entry = self.entries[lane]
                    waits = entry.section <= chain.last + 1 or not chain.gate
                    touched = self.touched[lane] if waits else NEVER
                    ways.append(lane_ways(self.plan, self.choices, lane, chain, 0, entry, touched))
                    forced = forced or (entry.section == chain.last and entry.ordinal > 0)
                swimmers.append(many)
            found = self._joints[key] = Joint(chain, None if waiting else phase, ways, swimmers, forced)
        return found

    # -- forward -------------------------------------------------------------------------------------

    def best(self) -> tuple[int, tuple[int, ...], list[tuple[int, Way]]] | None:
        """The end, each lane's distance, and what each lane does; None where nothing ends in time."""
        count = len(self.plan.sections)
        reached: list[dict[int, list]] = [{} for _ in range(count + 1)]
        reached[self.root[0]][self.root[1]] = [0, []]
        ends: list[_Move] = []
        best = (-1, 0)
        rest = self._rest()
        for section in range(self.root[0], count):
            farthest = -1
            for start in sorted(reached[section]):
                distance, _ = reached[section][start]
                if distance < farthest:
                    continue        # a start that is later, with less swum: nothing follows that the other has not
                farthest = distance
                rooted = start == _ROOT
                for chain in self.chains(section, rooted):
                    joint = self.joint(chain, start)
                    if not joint.times:
                        continue
                    if chain.gate:
                        self._step(reached[chain.last + 1], section, start, distance, joint, rest[chain.last + 1])
                        continue
                    base = joint.base_ms(start)
                    step = bisect_right(joint.times, self.limit_ms - base) - 1
                    if step < 0:
                        continue
                    found = (distance + joint.totals[step], -(base + joint.times[step]))
                    if joint.totals[step] == 0 and not self._anybody(joint, step):
                        if (section, start) != self.root:
                            continue
                        found = (distance, -max(self.touched.values(), default=0))
                    if found > best:
                        best, ends = found, []
                    if found == best:
                        ends.append(_Move(section, start, joint, step, None))
                if self.skips(section, rooted):
                    found = reached[section + 1].setdefault(start, [-1, []])
                    if found[0] < distance:
                        found[:] = [distance, []]
                    if found[0] == distance:
                        found[1].append((section, start, None, 0, (section + 1, start)))
        if not self.lanes:
            return max(self.touched.values(), default=0), (0,) * len(self.choices.squad.lanes), []
        if not ends:
            return None
        return self._traced(reached, ends, -best[1])

    def _anybody(self, joint: Joint, step: int) -> bool:
        return any(way.touch_ms is not None for way in joint.picks(joint.times[step], [True] * len(self.lanes)))

    def _step(self, later: dict[int, list], section: int, start: int, distance: int, joint: Joint, rest: int) -> None:
        to, latest = joint.chain.last + 1, self.limit_ms - rest
        from_ms = 0 if start == _ROOT else start
        for slot, total, step in joint.steps(from_ms, self.plan.changeover_ms, self.plan.starts_ms):
            gate = from_ms + slot
            if gate > latest:
                break
            so_far = distance + total
            found = later.get(gate)
            if found is None or found[0] < so_far:
                later[gate] = [so_far, [(section, start, joint, step, (to, gate))]]
            elif found[0] == so_far:
                found[1].append((section, start, joint, step, (to, gate)))

    def _rest(self) -> list[int]:
        """The least time from a common start of each section to the end; 0 where that depends on the start."""
        count = len(self.plan.sections)
        rest = [0] * (count + 1)
        if self.plan.starts_ms % self.plan.clock_ms:
            return rest
        for section in range(count - 1, max([entry.section for entry in self.entries.values()], default=-1), -1):
            least = self.limit_ms + 1
            for chain in self.chains(section, False):
                joint = self.joint(chain, 0)
                if not joint.times:
                    continue
                if chain.gate:
                    slots = joint.steps(0, self.plan.changeover_ms, self.plan.starts_ms)
                    least = min(least, slots[0][0] + rest[chain.last + 1])
                else:
                    least = min(least, max(0, joint.times[0]))
            if self.skips(section, False):
                least = min(least, rest[section + 1])
            rest[section] = least
        return rest

    # -- back ------------------------------------------------------------------------------------------

    def _traced(self, reached: list[dict[int, list]], ends: list[_Move], end_ms: int):
        moves: dict[tuple[int, int], list[_Move]] = {}
        for move in ends:
            moves.setdefault((move.section, move.start_ms), []).append(move)
        rests: dict[tuple[int, int], _Rest] = {}
        for section in range(len(reached) - 1, self.root[0] - 1, -1):
            for start in [at for number, at in moves if number == section]:
                rest = self._best_rest(moves[section, start], rests)
                if rest is None:
                    continue
                rests[section, start] = rest
                for move in reached[section][start][1]:
                    moves.setdefault(move[:2], []).append(_Move(*move))
        at, picks = self.root, []
        distances = [0] * len(self.choices.squad.lanes)
        while at is not None:
            rest = rests[at]
            for lane, way in zip(self.lanes, rest.ways):
                distances[lane] += way.distance
                picks.append((lane, way))
            at = rest.move.to
        return end_ms, tuple(distances), picks

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
