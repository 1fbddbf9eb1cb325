"""Where every swimmer should be, fast enough to ask in each frame.

The same answer as `pacer.session.running.whereabouts.places`, as one number for each swimmer: how far round the lane,
from 0 at the home wall through 1 at the far wall to 2 at the home wall again. Waiting at the home wall is -1, at the
far wall -2.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from pacer.session.running.instant import lates, swims_in
from pacer.session.running.whereabouts import Sides, sides, swim_back_ms, swims_by_number, waits_far
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
    """The ways of a lane's swimmers through one repeat, by row; None for who does not swim it.

    `leaves_by`: nobody leaves on it after that. `all`: there is a way for every row.
    """

    ways: tuple[Way | None, ...]
    leaves_by: int
    all: bool


class LanePaths:
    """The ways of all swimmers of one lane through its repeats.

    `who`: their numbers by row. First the lane's swimmers in leaving order, then those who swam here before. `joins`:
    by row, until when a swimmer of this lane is in another one: until they are home there.
    """

    __slots__ = (
        "back",
        "far",
        "here",
        "joins",
        "known",
        "lane",
        "late",
        "span",
        "swimmers",
        "thousandths",
        "timeline",
        "track",
        "waits",
        "who",
    )

    def __init__(self, timeline: Timeline, lane: int):
        self.timeline, self.lane, self.track = timeline, lane, timeline.tracks[lane]
        self.here = len(timeline.squad.lanes[lane].swimmers)  #: its swimmers now
        now = [swimmer.number for swimmer in timeline.squad.lanes[lane].swimmers]
        self.who = tuple(dict.fromkeys([*now, *self.track.swimmers()]))
        self.swimmers = len(self.who)  #: they, and those who swam here before and may still swim home
        self.joins = _homes(timeline, lane, {number: row for row, number in enumerate(now)})
        length = timeline.plan.pool.length
        self.span, self.thousandths = float(length), length.numerator * 1000 // length.denominator
        self.known: dict[int, Repeat] = {}
        late = lates(self.track)
        far, back = sides(self.track, self.thousandths, late)
        #: who leaves late on which repeat because the send-off is too early
        self.late = [late.get(number, {}) for number in self.who]
        #: the repeats on which each leaves from the far wall; after which ones, and from when, they swim back from it
        self.far = [far.get(number, ()) for number in self.who]
        self.back = [back.get(number, {}) for number in self.who]
        waits = waits_far(self.track, Sides(far, back), self.thousandths)
        #: where each waits before they first leave here
        self.waits = tuple([FAR if number in waits else HOME for number in self.who])

    def place(self, index: int, row: int) -> int | None:
        """The place of a row's swimmer on a repeat; None if they don't swim it."""
        who = self.track.pass_at(index).laneline.who
        return who.index(self.who[row]) if self.who[row] in who else None

    def leaves(self, index: int, row: int) -> int:
        """When the swimmer of a row leaves, by prediction, on a repeat that they swim."""
        found, place = self.track.pass_at(index), self.place(index, row)
        assert place is not None, "they swim it"
        return self.late[row].get(index) or found.leaves(index, place)

    def places(self, index: int, at_ms: int) -> tuple[float, ...]:
        """Where the swimmers are at `at_ms`; `index` is the repeat the lane last left on (-1: none)."""
        if index < 0:
            return self.waits[: self.here]
        repeat = self.known.get(index) or self._made(index)
        if at_ms > repeat.leaves_by or not repeat.all or any(self.back):
            return tuple([self._before(index, k, at_ms) for k in range(self.swimmers)])
        made: list[float] = []
        for way in repeat.ways:
            assert way is not None, "everybody has one"
            bounds, offsets, speeds = way
            j = bisect_right(bounds, at_ms)
            speed, offset = speeds[j], offsets[j]
            if offset is None:
                made.append(self._before(index - 1, len(made), at_ms))
            else:
                made.append(offset if speed is None else (offset + at_ms * speed) % 2)
        return tuple(made)

    def seen(self, index: int, at_ms: int) -> tuple[float, ...]:
        """The same for drawing: swimmers in another lane, or out of the water, are `AWAY`."""
        places = self.places(index, at_ms)
        if not (self.swimmers > self.here or self.joins):
            return places
        made = [AWAY if place < 0 and self.is_away(index, row, at_ms) else place for row, place in enumerate(places)]
        while len(made) > self.here and made[-1] == AWAY:
            made.pop()
        return tuple(made)

    def is_away(self, index: int, row: int, at_ms: int) -> bool:
        """Whether a swimmer who does not swim here at the moment is in another lane, or has got out. `index` is the
        repeat the lane last left on.
        """
        place = self.place(index, row) if index >= 0 else None
        if row < self.here:
            return place is None and at_ms < self.joins.get(row, at_ms)
        return place is None or not at_ms < self.leaves(index, row) <= self.track.bounds(index)[0]

    def _before(self, index: int, row: int, at_ms: int) -> float:
        """Where a swimmer is who may have left on repeat `index` or on one before it."""
        while index >= 0:
            repeat = self.known.get(index) or self._made(index)
            if (way := repeat.ways[row]) is not None:
                bounds, offsets, speeds = way
                if bounds[1] <= at_ms and bounds[1] <= repeat.leaves_by:
                    j = bisect_right(bounds, at_ms)
                    speed, offset = speeds[j], offsets[j]
                    if offset is not None:
                        back = self._way_back(index, row, at_ms)
                        if back is not None:
                            return _on(back, at_ms)
                        return offset if speed is None else (offset + at_ms * speed) % 2
            index -= 1
        return self.waits[row]

    def _way_back(self, index: int, row: int, at_ms: int) -> Way | None:
        """The way of a swimmer who swims back from the far wall by `at_ms`; `index` is the repeat they last left on."""
        if index not in self.back[row]:
            return None
        start_ms = self.back_starts_ms(index, row)
        if at_ms < start_ms:
            return None
        place = self.place(index, row)
        assert place is not None, "they swim it"
        takes_ms = swim_back_ms(self.timeline, self.lane, self.track.pass_at(index).laneline.bases[place])
        bounds = start_ms, start_ms, start_ms + takes_ms
        return Way(bounds, (FAR, FAR, 1 - start_ms / takes_ms, HOME), (None, None, 1 / takes_ms, None))

    def back_starts_ms(self, index: int, row: int) -> int:
        """When a swimmer swims back after repeat `index`: told to, and at the wall."""
        way = (self.known.get(index) or self._made(index)).ways[row]
        assert way is not None, "they swim it"
        return max(self.back[row][index], round(way.bounds[-1]))

    def way(self, index: int, row: int, at_ms: int) -> Way | None:
        """The way on which a swimmer has left last; None for none. `index`: the repeat the lane last left on."""
        for number in range(index, -1, -1):
            repeat = self.known.get(number) or self._made(number)
            way = repeat.ways[row]
            if way is not None and way.bounds[1] <= min(at_ms, repeat.leaves_by):
                return self._way_back(number, row, at_ms) or way
        return None

    def _touch(self, index: int, row: int) -> tuple[int, float] | None:
        """When and where a swimmer touches on repeat `index`; None if that is not so simple."""
        if index < 0:
            return None
        track = self.track
        found = track.pass_at(index)
        repeat = track.repeat_in_line(index)
        line, place = found.laneline, self.place(index, row)
        if place is None or index in track.closed or index in track.cuts:
            return None
        shape = line.shapes[repeat]
        return self.leaves(index, row) + line.times(repeat, place)[-1], self._wall(
            shape.distance, index in self.far[row]
        )

    def _wall(self, distance: float, far: bool) -> float:
        return FAR if (int(distance / self.span + 1e-9) + far) % 2 else HOME

    def wall(self, index: int, row: int, at_ms: int) -> float:
        """The wall at which the swimmer's current repeat ends; `index` is the repeat the lane last left on."""
        way = self.way(index, row, at_ms)
        if way is None:
            return self.waits[row]
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
        repeat = found.repeat_in_line(index)
        shape = line.shapes[repeat]
        cut = track.cuts.get(index)
        ways: list[Way | None] = []
        for k in range(self.swimmers):
            place = self.place(index, k)
            if place is None:
                ways.append(None)
                continue
            leaves = self.leaves(index, k)
            touched, stood = self._touch(index - 1, k) or (leaves, None)
            if touched > leaves:  # leaves again before the touch
                touched, stood = leaves, None
            times: Sequence[float] = line.times(repeat, place)
            ends: Sequence[float] = shape.ends
            far, reach = index in self.far[k], shape.distance * 1000
            if cut is not None:  # cut short: only as far as the wall that the swimmer comes to
                reach = swims_in(shape.ends, line.times(repeat, place), cut - leaves, self.thousandths, far)
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
        made = self.known[index] = Repeat(tuple(ways), track.bounds(index)[0], None not in ways)
        return made


def _homes(timeline: Timeline, lane: int, row: dict[int, int]) -> dict[int, int]:
    """By row, when swimmers of a lane who swam in another one are home there for the last time."""
    made: dict[int, int] = {}
    for other, track in enumerate(timeline.tracks):
        for number in row.keys() & set(track.swimmers()) if other != lane else ():
            index = max(found.first + found.count - 1 for found in track.passes if number in found.laneline.who)
            found = track.pass_at(index)
            leaves = found.leaves(index, found.laneline.who.index(number))
            swim = swims_by_number(timeline, other, max(leaves, lates(track)[number].get(index, 0))).get(number)
            if swim is not None:
                made[row[number]] = max(made.get(row[number], 0), swim.home_ms)
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
