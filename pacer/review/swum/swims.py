"""Every repeat on which every swimmer left, with its recorded time.

Distances are known even without times: a repeat counts whole once its predicted time has passed, or once it has a
time. A repeat that was broken off, also by the end of the session, counts up to the wall where the swimmer stops, in
whole lengths. Where swimmers were then goes by the session's times, as on the screen.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from pacer.review.swum.whoswam import Replayed
from pacer.session.journal.recordentries import Touched
from pacer.session.records.expectedtimes import expected, paces
from pacer.session.records.touches import TakenTime
from pacer.session.running.brokenrepeats import counted, reach
from pacer.session.running.instant import lates
from pacer.session.running.whereabouts import sides, span_of
from pacer.timeline.laneline import LaneLine
from pacer.timeline.shape import Shape
from pacer.timeline.track import NEVER, Pass, Track


class Swum(NamedTuple):
    """One repeat on which one swimmer left.

    `lane`, `section` and `at` (the repeat on the lane's track) are indexes, `place` counts from 0, `round`, `line`
    and `repeat` from 1; `who` is the person's number. `swum_ms` is how long they swam: the recorded time, otherwise
    the predicted one, or the time until they broke off. `time_ms` is None without a time, `entry` is the number of the
    time's entry (0: none), `source` the lane screen that took it ("": the tablet), and `bound_ms` how wrong that
    screen's clock may have been.
    """

    lane: int
    place: int
    who: int
    at: int
    section: int
    round: int
    line: int
    repeat: int
    left_ms: int
    distance: int
    predicted_ms: int
    swum_ms: int
    time_ms: int | None
    entry: int
    shape: Shape
    laneline: LaneLine
    source: str = ""
    bound_ms: int | None = None

    @property
    def whole(self) -> bool:
        """Whether the repeat is complete."""
        return self.distance == self.shape.distance and self.swum_ms >= min(self.predicted_ms, self.time_ms or NEVER)

    @property
    def held(self) -> bool:
        """Whether the predicted time is the set's target time."""
        return self.laneline.holds[self.repeat - 1] is not None


class Swims(NamedTuple):
    """All swims, by lane, then by the lane's repeats, then by place; and the times that belong to none of them.

    A time is loose if a change on deck has removed its swim.
    """

    swims: tuple[Swum, ...]
    loose: tuple[TakenTime, ...]


def swims_of(replay: Replayed, taken: Iterable[TakenTime]) -> Swims:
    """Every swim of a session, with its time after all corrections."""
    taken = tuple(taken)
    known = {((entry := one.touched).lane, entry.swimmer, entry.left_ms): one for one in taken}
    run = replay.run
    parts = run.ended_ms is None or any(track.cuts for track in run.timeline.tracks)
    seen = expected(run, paces(run, taken)) if taken and parts else run
    made: list[Swum] = []
    for lane, track in enumerate(seen.timeline.tracks):
        made += _of_lane(replay, lane, track, known)
    there = {swim.entry for swim in made}
    return Swims(tuple(made), tuple(one for one in known.values() if one.number not in there))


def _of_lane(replay: Replayed, lane: int, seen: Track, known: dict[tuple[int, int, int], TakenTime]) -> Iterator[Swum]:
    """The swims of a lane; `seen` is its track with the swimmers' speeds by their times."""
    track, until_ms = replay.run.timeline.tracks[lane], NEVER if replay.run.ended_ms is not None else replay.until_ms
    span, paused_ms = span_of(replay.run.timeline), NEVER if track.paused_ms is None else track.paused_ms
    behind = lates(seen)
    far = sides(seen, span, behind).far if track.cuts else {}
    for found, found_seen in zip(track.passes, seen.passes):
        line, line_seen = found.laneline, found_seen.laneline
        for index in range(found.first, found.first + found.count):
            repeat = found.repeat_in_line(index)
            hold, distance = line.holds[repeat], line.shapes[repeat].distance
            leaves_by, cut_ms = min(track.closed.get(index, NEVER), paused_ms), track.cuts.get(index)
            for place, who in enumerate(line.who):
                left_ms = found.leaves(index, place)
                if left_ms > leaves_by or left_ms >= until_ms:
                    continue
                shape = line.shape(repeat, place)
                swum_ms = predicted_ms = shape.times(line.bases[place], hold)[-1]
                swam, time_ms, entry, source, bound_ms = distance, None, 0, "", None
                one = known.get((lane, place, left_ms))
                if one is not None and _is_of(one.touched, found, repeat):
                    swum_ms = time_ms = one.touched.time_cs * 10
                    entry, source, bound_ms = one.number, one.touched.source, one.touched.bound_ms
                elif cut_ms is not None or until_ms != NEVER:
                    leaves_ms = behind[who].get(index, found_seen.leaves(index, place))
                    times = line_seen.times(repeat, place)
                    if cut_ms is not None or until_ms - leaves_ms < times[-1]:
                        home = cut_ms is not None and index in far[who]
                        swam, swum_ms = _part(shape, times, span, until_ms - leaves_ms, cut_ms, leaves_ms, home)
                yield Swum(
                    lane,
                    place,
                    who,
                    index,
                    found.section,
                    found.round,
                    line.number,
                    repeat + 1,
                    left_ms,
                    swam,
                    predicted_ms,
                    swum_ms,
                    time_ms,
                    entry,
                    shape,
                    line,
                    source,
                    bound_ms,
                )


def _part(
    shape: Shape, times: Sequence[int], span: int, most_ms: int, cut_ms: int | None, leaves_ms: int, from_far_wall: bool
) -> tuple[int, int]:
    """How far somebody swam of a repeat that was broken off, or during which the session ended; and for how long.

    `most_ms` is the time available, `span` the pool's length in thousandths.
    """
    ends = shape.ends
    if not shape.distance:  # a timed repeat ends at once
        return 0, max(0, min(times[-1], most_ms, NEVER if cut_ms is None else cut_ms - leaves_ms))
    reached = reach(shape, times, span, most_ms, None if cut_ms is None else cut_ms - leaves_ms, from_far_wall)
    if reached >= ends[-1] * 1000:
        return shape.distance, times[-1]
    segment = bisect_right(ends, reached // 1000)
    began, start = (times[segment - 1], ends[segment - 1]) if segment else (0, 0)
    took_ms = began + (reached - 1000 * start) * (times[segment] - began) // (1000 * (ends[segment] - start))
    return counted(shape, reached, span), min(took_ms, max(0, most_ms))


def _is_of(entry: Touched, found: Pass, repeat: int) -> bool:
    """Whether a time's entry names this repeat: a change may have given its send-off to another repeat since."""
    return (entry.section, entry.line, entry.repeat) == (found.section, found.laneline.number, repeat + 1)
