"""The forward search of the fit: over the common starts of sections, for distance and end.

What follows a common start depends only on its section and time. So the search works out, in the
plan's order, the most that can be swum before each such start, up to the greatest distance and the
earliest end.
"""

from __future__ import annotations

from bisect import bisect_right
from heapq import nlargest

from pacer.plan.model import MAX_SESSION_MS
from pacer.timeline.cancellation import step
from pacer.timeline.fit.laneroutes import Joint, Way
from pacer.timeline.fit.passages import Passages
from pacer.timeline.fit.pruningbydistance import MostAhead
from pacer.timeline.fit.retrace import Move, Retrace
from pacer.timeline.stepcounter import spread

_FEW = 8  # starts of each section that the first pass follows


class Search:
    """Search forward for distance and end; then backward, among all choices with both, for the other criteria."""

    def __init__(self, passages: Passages):
        self.passages = passages
        self.plan = passages.plan
        self.limit_ms = passages.limit_ms

    def best(self) -> tuple[int, tuple[int, ...], list[tuple[int, Way]]] | None:
        """The end, each lane's distance and each lane's ways; None if no choice ends in time."""
        if not self.passages.lanes:
            return max(self.passages.touched.values(), default=0), (0,) * len(self.passages.choices.squad.lanes), []
        ceiling, latest = self._ceiling(), self._latest()
        floor = -1
        if ceiling.knows(self.passages.root[0]):
            floor = self._forward(ceiling, latest, floor, _FEW)[0][0]
        best, ends, reached = self._forward(ceiling, latest, floor, None)
        if not ends:
            return None
        found = Retrace(self.passages, reached).best(ends)
        return None if found is None else (-best[1], *found)

    def _forward(
        self, ceiling: MostAhead, latest: list[int], floor: int, few: int | None
    ) -> tuple[tuple[int, int], list[Move], list[dict[int, int]]]:
        """The greatest distance with its earliest end (negative), the moves that reach it, and the most swum
        before each start.

        Starts after which `floor` is out of reach are left out; with `few`, all but the most promising of
        each section are left out too.
        """
        count = len(self.plan.sections)
        reached: list[dict[int, int]] = [{} for _ in range(count + 1)]
        reached[self.passages.root[0]][self.passages.root[1]] = 0
        best: tuple[int, int] = (-1, 0)
        ends: list[Move] = []
        for section in range(self.passages.root[0], count):
            reached[section] = self._worth(section, reached[section], ceiling, floor, few)
            for start, distance in reached[section].items():
                step()
                for joint in self.passages.joints(section, start):
                    self.passages.choices.work.spend(len(joint.times))
                    if joint.chain.gate:
                        self._step(reached[joint.chain.last + 1], start, distance, joint, latest[joint.chain.last + 1])
                    elif (found := self._end(section, start, distance, joint)) is not None and found[0] >= best:
                        if found[0] > best:
                            best, ends = found[0], []
                        ends.append(found[1])
                if self.passages.skips(section, self.passages.alone(section, start)):
                    reached[section + 1][start] = max(distance, reached[section + 1].get(start, 0))
        return best, ends, reached

    def _worth(
        self, section: int, starts: dict[int, int], ceiling: MostAhead, floor: int, few: int | None
    ) -> dict[int, int]:
        """The common starts worth following, in order."""
        kept, hopes, farthest = {}, [], -1
        knows = ceiling.knows(section)
        for start, distance in sorted(starts.items()):
            if distance < farthest:
                continue  # later than another and with less swum, so never better
            farthest = distance
            if knows:
                hope = distance + ceiling.most(section, start)
                if hope < floor:
                    continue
                hopes.append((hope, start))
            kept[start] = distance
        if few is not None and knows and len(kept) > few:
            return {start: kept[start] for start in sorted([start for _, start in nlargest(few, hopes)])}
        return {start: kept[start] for start in spread(list(kept), self.passages.choices.few)}

    def _end(self, section: int, start: int, distance: int, joint: Joint) -> tuple[tuple[int, int], Move] | None:
        """(distance, negative end) and the move, if this chain is the last.

        None if nobody swims it or it does not fit.
        """
        base = joint.base_ms(start)
        step = bisect_right(joint.times, self.limit_ms - base) - 1
        if step < 0:
            return None
        before = max(self.passages.touched.values(), default=0)
        end = max(before, base + joint.times[step])
        if joint.totals[step] == 0 and all(
            way.touch_ms is None for way in joint.picks(joint.times[step], [True] * len(self.passages.lanes))
        ):
            if (section, start) != self.passages.root:
                return None
            end = before
        return (
            ((distance + joint.totals[step], -end), Move(section, start, joint, step, None))
            if end <= self.limit_ms
            else None
        )

    def _step(self, later: dict[int, int], start: int, distance: int, joint: Joint, latest_ms: int) -> None:
        """Record the common starts that a chain reaches in time, with the most that can be swum before each."""
        start = max(start, 0)
        most = latest_ms - start
        for slot, total, _ in joint.steps(start, self.plan.changeover_ms, self.plan.starts_ms):
            if slot > most:
                break
            if later.get(start + slot, -1) < distance + total:
                later[start + slot] = distance + total

    def _ceiling(self) -> MostAhead:
        """The ceiling of the sections after the last one that runs on."""
        plan = self.plan
        last = max([at for at, section in enumerate(plan.sections) if section.run_on], default=-1)
        points: list = [None] * len(plan.sections)
        for section in range(max(last + 1, self.passages.first_common()), len(plan.sections)):
            joints = [joint for joint in self.passages.joints(section, 0) if joint.chain.last == section]
            if joints:  # those that end the session wait for nobody
                steps = min(joints, key=lambda joint: joint.chain.gate).steps(0, plan.changeover_ms, plan.starts_ms)
                least = [(0, 0)] if self.passages.optional[section] else []
                points[section] = least + [(slot, total) for slot, total, _ in steps if slot > 0]
        return MostAhead(points, self.limit_ms, plan.changeover_ms + plan.starts_ms)

    def _latest(self) -> list[int]:
        """The latest known common start of each section after which the session can end in time."""
        count = len(self.plan.sections)
        # If lanes are ahead by themselves, it may be that nobody has to swim after a common start.
        latest = [MAX_SESSION_MS] * (count + 1)
        reached = self.passages.common()
        for section in range(count - 1, self.passages.first_common() - 1, -1):
            latest[section] = self.limit_ms
            if self.plan.starts_ms % self.plan.clock_ms or section not in reached:
                continue
            latest[section] = -1
            for joint in self.passages.joints(section, 0):
                if joint.chain.gate:
                    slots = joint.steps(0, self.plan.changeover_ms, self.plan.starts_ms)
                    latest[section] = max(latest[section], latest[joint.chain.last + 1] - slots[0][0])
                else:
                    latest[section] = max(latest[section], self.limit_ms - max(0, joint.times[0]))
            if self.passages.skips(section, ()):
                latest[section] = max(latest[section], latest[section + 1])
        return latest
