"""Where every swimmer should be, fast enough to ask for each frame.

The same answer as `pacer.session.running.whereabouts.places`, as one number for each swimmer: how far round the lane,
from 0 at the home wall through 1 at the far wall to 2 at the home wall again. Waiting at the home wall is -1, at the
far wall -2.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from pacer.session.running.instant import lates, swims_in
from pacer.session.running.whereabouts import sides, swim_back_ms
from pacer.timeline.timeline import Timeline

HOME = -1.0
FAR = -2.0
AWAY = -3.0  #: in another lane: does not swim this here
#: How often gliding things move (swimmers, how far a segment is done, the hand): a frame without a visible change is
#: not drawn, which saves battery. A second is a whole number of these, so that both change in the same picture.
GLIDE_MS = 250
_KEPT = 256  #: repeats of a lane whose ways are remembered


class Way(NamedTuple):
    """One swimmer's way through one repeat, in lengths of the pool from the home wall.

    `bounds`: session times at which the swimmer has touched on the repeat before, leaves, changes to the next segment,
    touches. In the j-th stretch, between `bounds[j - 1]` and `bounds[j]`, the position at time t is `offsets[j] + t *
    speeds[j]`. If the speed is None the swimmer waits at `offsets[j]`; if that is None too, the repeats before decide.
    """

    bounds: tuple[float, ...]
    offsets: tuple[float | None, ...]
    speeds: tuple[float | None, ...]


class Repeat(NamedTuple):
    """The ways of a lane's swimmers through one repeat. `leaves_by`: nobody leaves on it after that.

    `all`: there is a way for every swimmer of the lane.
    """

    ways: tuple[Way, ...]
    leaves_by: int
    all: bool


class LanePaths:
    """The ways of all swimmers of one lane through its repeats."""

    __slots__ = (
        "away",
        "back",
        "far",
        "here",
        "homes",
        "known",
        "lane",
        "late",
        "span",
        "swimmers",
        "thousandths",
        "timeline",
        "track",
    )

    def __init__(self, timeline: Timeline, lane: int):
        self.timeline, self.lane, self.track = timeline, lane, timeline.tracks[lane]
        self.here = len(timeline.squad.lanes[lane].swimmers)  #: its swimmers now
        #: they, and those who swam here before and may still swim home
        self.swimmers = max([self.here, *(len(found.laneline.bases) for found in self.track.passes)])
        length = timeline.plan.pool.length
        self.span, self.thousandths = float(length), length.numerator * 1000 // length.denominator
        self.known: dict[int, Repeat] = {}
        self.homes = (HOME,) * self.here
        self.away: dict[int, range] = {}  #: by pass of the track, the places of swimmers in another lane
        most = 0
        for number, found in enumerate(self.track.passes):
            here = len(found.laneline.bases)
            if here < min(most, self.swimmers):
                self.away[number] = range(here, min(most, self.swimmers))
            most = max(most, here)
        late = lates(self.track)
        #: who leaves late on which repeat because the send-off is too early
        self.late = [late[place] if place < len(late) else {} for place in range(self.swimmers)]
        #: the repeats on which each leaves from the far wall; after which ones, and from when, they swim back from it
        self.far, self.back = sides(self.track, self.thousandths, self.late)

    def leaves(self, index: int, swimmer: int) -> int:
        """When a swimmer leaves on a repeat by prediction."""
        found = self.track.pass_at(index)
        return self.late[swimmer].get(index) or found.start_ms + found.laneline.leaves(
            self.track.repeat_in_line(index), swimmer, found.skipped
        )

    def places(self, index: int, at_ms: int) -> tuple[float, ...]:
        """Where the swimmers are at `at_ms`; `index` is the repeat the lane last left on (-1: none)."""
        if index < 0:
            return self.homes
        repeat = self.known.get(index) or self._made(index)
        if at_ms > repeat.leaves_by or not repeat.all or any(self.back):
            return tuple([self._before(index, k, at_ms) for k in range(self.swimmers)])
        made: list[float] = []
        for bounds, offsets, speeds in repeat.ways:
            j = bisect_right(bounds, at_ms)
            speed, offset = speeds[j], offsets[j]
            if offset is None:
                made.append(self._before(index - 1, len(made), at_ms))
            else:
                made.append(offset if speed is None else (offset + at_ms * speed) % 2)
        return tuple(made)

    def seen(self, index: int, at_ms: int) -> tuple[float, ...]:
        """The same for drawing: swimmers in another lane are left out."""
        places = self.places(index, at_ms)
        if not (self.away or self.swimmers > self.here or self.track.joining):
            return places
        made = [AWAY if self.is_away(index, k, at_ms) else place for k, place in enumerate(places)]
        for k in range(self.here, len(made)):  # they are in the other lane once they are home
            made[k] = AWAY if made[k] < 0 and not self._still_leaves(index, k, at_ms) else made[k]
        while len(made) > self.here and made[-1] == AWAY:
            made.pop()
        return tuple(made)

    def _still_leaves(self, index: int, swimmer: int, at_ms: int) -> bool:
        """Whether a swimmer waits to leave on the repeat the lane last left on."""
        if index < 0 or swimmer >= len(self.track.pass_at(index).laneline.bases):
            return False
        return at_ms < self.leaves(index, swimmer) <= self.track.bounds(index)[0]

    def is_away(self, index: int, swimmer: int, at_ms: int) -> bool:
        """Whether a swimmer is in another lane. `index` is the repeat the lane last left on."""
        joining = self.track.joining
        if self.here - len(joining) <= swimmer < self.here and at_ms < joining[swimmer - self.here]:
            # unless somebody who has been moved since then swims home in that place
            return index < 0 or swimmer >= len(self.track.pass_at(index).laneline.bases)
        return index >= 0 and swimmer in self.away.get(self.track.pass_of[index], ())

    def _before(self, index: int, swimmer: int, at_ms: int) -> float:
        """Where a swimmer is who may have left on repeat `index` or on one before it."""
        while index >= 0:
            repeat = self.known.get(index) or self._made(index)
            if swimmer < len(repeat.ways):
                bounds, offsets, speeds = repeat.ways[swimmer]
                if bounds[1] <= at_ms and bounds[1] <= repeat.leaves_by:
                    j = bisect_right(bounds, at_ms)
                    speed, offset = speeds[j], offsets[j]
                    if offset is not None:
                        back = self._way_back(index, swimmer, at_ms)
                        if back is not None:
                            return _on(back, at_ms)
                        return offset if speed is None else (offset + at_ms * speed) % 2
            index -= 1
        return HOME

    def _way_back(self, index: int, swimmer: int, at_ms: int) -> Way | None:
        """The way of a swimmer who swims back from the far wall by `at_ms`; `index` is the repeat they last left on."""
        if index not in self.back[swimmer]:
            return None
        start_ms = self.back_starts_ms(index, swimmer)
        if at_ms < start_ms:
            return None
        takes_ms = swim_back_ms(self.timeline, self.lane, self.track.pass_at(index).laneline.bases[swimmer])
        bounds = start_ms, start_ms, start_ms + takes_ms
        return Way(bounds, (FAR, FAR, 1 - start_ms / takes_ms, HOME), (None, None, 1 / takes_ms, None))

    def back_starts_ms(self, index: int, swimmer: int) -> int:
        """When a swimmer swims back after repeat `index`: told to, and at the wall."""
        repeat = self.known.get(index) or self._made(index)
        return max(self.back[swimmer][index], round(repeat.ways[swimmer].bounds[-1]))

    def way(self, index: int, swimmer: int, at_ms: int) -> Way | None:
        """The way on which a swimmer has left last; None for none. `index`: the repeat the lane last left on."""
        for number in range(index, -1, -1):
            repeat = self.known.get(number) or self._made(number)
            if swimmer < len(repeat.ways) and repeat.ways[swimmer].bounds[1] <= min(at_ms, repeat.leaves_by):
                return self._way_back(number, swimmer, at_ms) or repeat.ways[swimmer]
        return None

    def _touch(self, index: int, swimmer: int) -> tuple[int, float] | None:
        """When and where a swimmer touches on repeat `index`; None if that is not so simple."""
        if index < 0:
            return None
        track = self.track
        found = track.pass_at(index)
        repeat = track.repeat_in_line(index)
        line = found.laneline
        if swimmer >= len(line.bases) or index in track.closed or index in track.cuts:
            return None
        shape = line.shapes[repeat]
        return self.leaves(index, swimmer) + line.times(repeat, swimmer)[-1], self._wall(
            shape.distance, index in self.far[swimmer]
        )

    def _wall(self, distance: float, far: bool) -> float:
        return FAR if (int(distance / self.span + 1e-9) + far) % 2 else HOME

    def wall(self, index: int, swimmer: int, at_ms: int) -> float:
        """The wall at which the swimmer's current repeat ends; `index` is the repeat the lane last left on."""
        way = self.way(index, swimmer, at_ms)
        if way is None:
            return HOME
        if way.offsets[0] == FAR:  # swims back, whenever they have touched
            return _on(way, at_ms)
        wall = way.offsets[-1]
        assert wall is not None, "a way ends at a wall"
        return wall

    def _made(self, index: int) -> Repeat:
        if len(self.known) >= _KEPT:
            self.known.clear()
        track = self.track
        found = track.passes[track.pass_of[index]]
        line = found.laneline
        repeat = found.skipped + index - found.first
        shape = line.shapes[repeat]
        cut = track.cuts.get(index)
        ways = []
        for k in range(min(self.swimmers, len(line.bases))):
            leaves = self.leaves(index, k)
            touched, stood = self._touch(index - 1, k) or (leaves, None)
            if touched > leaves:  # leaves again before the touch
                touched, stood = leaves, None
            times: Sequence[float] = line.times(repeat, k)
            ends: Sequence[float] = shape.ends
            far, reach = index in self.far[k], shape.distance * 1000
            if cut is not None:  # cut short: only as far as the wall that the swimmer comes to
                reach = swims_in(shape.ends, line.times(repeat, k), cut - leaves, self.thousandths, far)
                times, ends = _shortened(times, ends, reach / 1000)
            start = 1.0 if far else 0.0
            after = FAR if (reach // self.thousandths + far) % 2 else HOME
            if not times or not shape.distance:
                ways.append(Way((touched, leaves), (None, stood, after), (None, None, None)))
                continue
            ends = [end / self.span for end in ends]
            bounds = (leaves, *(leaves + time for time in times))
            speeds = [
                (end - done) / (until - since) for done, end, since, until in zip((0, *ends), ends, bounds, bounds[1:])
            ]
            offsets = [start + done - since * speed for done, since, speed in zip((0, *ends), bounds, speeds)]
            ways.append(Way((touched, *bounds), (None, stood, *offsets, after), (None, None, *speeds, None)))
        made = self.known[index] = Repeat(tuple(ways), track.bounds(index)[0], len(ways) == self.swimmers)
        return made


def _on(way: Way, at_ms: int) -> float:
    """Where a swimmer is on a way back."""
    j = bisect_right(way.bounds, at_ms)
    speed, offset = way.speeds[j], way.offsets[j]
    assert offset is not None, "it begins at the far wall"
    return offset if speed is None else (offset + at_ms * speed) % 2


def _shortened(times: Sequence[float], ends: Sequence[float], most: float) -> tuple[list[float], list[float]]:
    """The segments up to the distance `most`: when each ends after the send-off, and where."""
    made_times: list[float] = []
    made_ends: list[float] = []
    since, start = 0.0, 0.0
    for time, end in zip(times, ends):
        if start >= most:
            break
        made_times.append(time if end <= most else since + (time - since) * (most - start) / (end - start))
        made_ends.append(min(end, most))
        since, start = time, end
    return made_times, made_ends
