"""Where every swimmer should be, fast enough to ask for each frame.

The same answer as `pacer.session.state.places`, as one number for each swimmer: how far
round the lane, from 0 at the home wall through 1 at the far wall to 2 at the home wall again.
Standing at the home wall is -1, at the far wall -2.
"""

from __future__ import annotations

from bisect import bisect_right
from typing import NamedTuple

from pacer.timeline.model import Timeline

HOME = -1.0
FAR = -2.0
_KEPT = 256   #: repeats whose ways are remembered, a lane


class Way(NamedTuple):
    """One swimmer's way through one repeat, in lengths of the pool from the home wall.

    It begins at `leaves` and lasts `total` ms (0: not swum); then the swimmer stands at `after`. At t ms after leaving, in
    segment j with `times[j] <= t`, the way done is `offsets[j] + t * speeds[j]`.
    """

    leaves: int
    total: int
    after: float
    times: tuple[int, ...]
    offsets: tuple[float, ...]
    speeds: tuple[float, ...]


class Repeat(NamedTuple):
    """The ways of a lane's swimmers through one repeat. `leaves_by`: nobody leaves on it after that.

    `all`: there is a way for every swimmer of the lane.
    """

    ways: tuple[Way, ...]
    leaves_by: int
    all: bool


class Ways:
    """The ways of all swimmers of one lane through its repeats."""

    __slots__ = ("homes", "known", "span", "swimmers", "track")

    def __init__(self, timeline: Timeline, lane: int):
        self.track = timeline.tracks[lane]
        self.swimmers = len(timeline.squad.lanes[lane].swimmers)
        self.span = float(timeline.plan.pool.length)
        self.known: dict[int, Repeat] = {}
        self.homes = (HOME,) * self.swimmers

    def places(self, index: int, at_ms: int) -> tuple[float, ...]:
        """Where the swimmers are at `at_ms`, `index` being the lane's repeat last left on (-1: none)."""
        if index < 0:
            return self.homes
        repeat = self.known.get(index) or self._made(index)
        if at_ms > repeat.leaves_by or not repeat.all:
            return tuple([self._before(index, k, at_ms) for k in range(self.swimmers)])
        made = []
        for leaves, total, after, times, offsets, speeds in repeat.ways:
            since = at_ms - leaves
            if 0 <= since < total:
                j = bisect_right(times, since) - 1
                made.append((offsets[j] + since * speeds[j]) % 2)
            elif since >= 0:
                made.append(after)
            else:
                made.append(self._before(index - 1, len(made), at_ms))
        return tuple(made)

    def _before(self, index: int, swimmer: int, at_ms: int) -> float:
        """Where a swimmer is who may have left on repeat `index`, or on one before it."""
        while index >= 0:
            repeat = self.known.get(index) or self._made(index)
            if swimmer < len(repeat.ways):
                way = repeat.ways[swimmer]
                if way.leaves <= at_ms and way.leaves <= repeat.leaves_by:
                    since = at_ms - way.leaves
                    if since >= way.total:
                        return way.after
                    j = bisect_right(way.times, since) - 1
                    return (way.offsets[j] + since * way.speeds[j]) % 2
            index -= 1
        return HOME

    def _made(self, index: int) -> Repeat:
        if len(self.known) >= _KEPT:
            self.known.clear()
        track = self.track
        found = track.passes[track.pass_of[index]]
        line = found.laneline
        repeat = found.skipped + index - found.first
        shape = line.shapes[repeat]
        swum = shape.distance and index not in track.cuts
        after = FAR if int(shape.distance / self.span + 1e-9) % 2 else HOME
        bounds = [end / self.span for end in shape.ends]
        ways = []
        for k in range(min(self.swimmers, len(line.bases))):
            times = line.times(repeat, k)
            begins = (0, *times[:-1])
            speeds = tuple((end - start) / (time - begin) for start, end, begin, time in zip((0, *bounds), bounds, begins, times))
            offsets = tuple(start - begin * speed for start, begin, speed in zip((0, *bounds), begins, speeds))
            leaves = found.start_ms + line.leaves(repeat, k, found.skipped)
            ways.append(Way(leaves, times[-1] if swum else 0, after, begins, offsets, speeds))
        made = self.known[index] = Repeat(tuple(ways), track.bounds(index)[0], len(ways) == self.swimmers)
        return made
