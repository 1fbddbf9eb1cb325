"""Where every swimmer should be, fast enough to ask for each frame.

The same answer as `pacer.session.state.places`, as one number for each swimmer: how far
round the lane, from 0 at the home wall through 1 at the far wall to 2 at the home wall again.
Standing at the home wall is -1, at the far wall -2.
"""

from __future__ import annotations

from bisect import bisect_right

from pacer.timeline.model import Timeline

HOME = -1.0
FAR = -2.0
_KEPT = 512   #: repeats whose ways are remembered, a lane


class Ways:
    """The ways of all swimmers of one lane through its repeats."""

    __slots__ = ("track", "swimmers", "span", "known")

    def __init__(self, timeline: Timeline, lane: int):
        self.track = timeline.tracks[lane]
        self.swimmers = len(timeline.squad.lanes[lane].swimmers)
        self.span = float(timeline.plan.pool.length)
        self.known: dict[int, tuple] = {}

    def places(self, index: int, at_ms: int) -> tuple[float, ...]:
        """Where the swimmers are at `at_ms`, `index` being the lane's repeat last left on (-1: none)."""
        if index < 0:
            return (HOME,) * self.swimmers
        ways = self.known.get(index)
        if ways is None:
            ways = self._made(index)
        held_ms = self.track.held_ms
        late = 0 if held_ms is None or held_ms > at_ms else at_ms - held_ms   # nobody leaves a lane that waits
        made = []
        for k, (leaves, total, after, speed, legs) in enumerate(ways):
            since = at_ms - leaves
            if late <= since < total:
                if legs is None:
                    made.append(since * speed % 2)
                else:
                    times, starts, speeds = legs
                    j = bisect_right(times, since) - 1
                    made.append((starts[j] + (since - times[j]) * speeds[j]) % 2)
            elif since >= late:
                made.append(after)
            else:
                made.append(self._before(index - 1, k, at_ms, late))
        return tuple(made)

    def _before(self, index: int, swimmer: int, at_ms: int, late: int) -> float:
        """The swimmer has not left on the repeat after `index`."""
        while index >= 0:
            leaves, total, after, speed, legs = (self.known.get(index) or self._made(index))[swimmer]
            since = at_ms - leaves
            if since >= late:
                if since >= total:
                    return after
                if legs is None:
                    return since * speed % 2
                times, starts, speeds = legs
                j = bisect_right(times, since) - 1
                return (starts[j] + (since - times[j]) * speeds[j]) % 2
            index -= 1
        return HOME

    def _made(self, index: int) -> tuple:
        if len(self.known) >= _KEPT:
            self.known.clear()
        found = self.track.passes[self.track.pass_of[index]]
        line = found.laneline
        repeat = found.skipped + index - found.first
        shape = line.shapes[repeat]
        rows = []
        after = FAR if int(shape.distance / self.span + 1e-9) % 2 else HOME
        broken_off = index in self.track.cuts
        for k in range(self.swimmers):
            if line.own is None:
                leaves = self.track.sendoffs[index] + k * line.spacing_ms
            else:
                leaves = found.start_ms + line.leaves(repeat, k, found.skipped)
            times = line.times(repeat, k)
            total = 0 if broken_off or not shape.distance else times[-1]
            speed = shape.distance / self.span / times[-1]
            legs = None
            if len(times) > 1:
                begins = (0, *times[:-1])
                starts = tuple(end / self.span for end in (0, *shape.ends[:-1]))
                speeds = tuple((end / self.span - start) / (time - begin)
                               for end, start, time, begin in zip(shape.ends, starts, times, begins))
                legs = (begins, starts, speeds)
            rows.append((leaves, total, after, speed, legs))
        made = self.known[index] = tuple(rows)
        return made
