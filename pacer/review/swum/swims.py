"""Every repeat that every swimmer left on, with the time that was taken of it.

How far somebody swam is known without one time: what a swimmer left on counts whole once its predicted time has
passed, or once a time of it was taken. What was broken off counts in whole lengths, as far as it was swum by
prediction.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from pacer.review.swum.whoswam import Replayed
from pacer.session.journal.recordentries import Touched
from pacer.session.records.touches import Taken
from pacer.session.running.instant import swum_at
from pacer.timeline.laneline import LaneLine
from pacer.timeline.shape import Shape
from pacer.timeline.track import NEVER, Pass


class Swum(NamedTuple):
    """One repeat that one swimmer left on.

    `lane`, `section` and `at` (the repeat on the lane's track) are indexes, `place` counts from 0, `round`, `line`
    and `repeat` from 1; `who` is the person's number. `swum_ms` is what of it was swum: the time taken, else the
    predicted one, or what of that there was until it was broken off. `time_ms` is None without a time, `entry` the
    number of the time's entry (0: none).
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

    @property
    def whole(self) -> bool:
        """Whether the whole repeat was swum."""
        return self.distance == self.shape.distance and self.swum_ms >= min(self.predicted_ms, self.time_ms or NEVER)

    @property
    def held(self) -> bool:
        """Whether the predicted time is the target that the set holds everybody to."""
        return self.laneline.holds[self.repeat - 1] is not None


class Swims(NamedTuple):
    """All swims, by lane, then by the lane's repeats, then by place; and the times that belong to none of them.

    A time is loose where a change on deck took back the swim that it was taken of.
    """

    swims: tuple[Swum, ...]
    loose: tuple[Taken, ...]


def swims_of(replay: Replayed, taken: Iterable[Taken]) -> Swims:
    """Every swim of a session, with the times that stand after all corrections."""
    known = {((entry := one.touched).lane, entry.swimmer, entry.left_ms): one for one in taken}
    made: list[Swum] = []
    for lane in range(len(replay.run.timeline.tracks)):
        made += _of_lane(replay, lane, known)
    there = {swim.entry for swim in made}
    return Swims(tuple(made), tuple(one for one in known.values() if one.number not in there))


def _of_lane(replay: Replayed, lane: int, known: dict[tuple[int, int, int], Taken]) -> Iterator[Swum]:
    track, until_ms = replay.run.timeline.tracks[lane], replay.until_ms
    length = replay.run.timeline.plan.pool.length
    held_ms = NEVER if track.held_ms is None else track.held_ms
    for found in track.passes:
        line = found.laneline
        spacing_ms, own = line.spacing_ms, line.own
        for index in range(found.first, found.first + found.count):
            repeat = found.skipped + index - found.first
            shape, hold = line.shapes[repeat], line.holds[repeat]
            leader_ms, distance = track.sendoffs[index], shape.distance
            closed_ms, stop_ms = track.closed.get(index, NEVER), min(until_ms, track.cuts.get(index, NEVER))
            for place, who in enumerate(replay.who(lane, leader_ms)[: len(line.bases)]):
                left_ms = (
                    leader_ms + place * spacing_ms
                    if own is None
                    else found.start_ms + line.leaves(repeat, place, found.skipped)
                )
                if left_ms > closed_ms or left_ms >= held_ms or left_ms >= until_ms:
                    continue
                times = shape.times(line.bases[place], hold)
                swum_ms = predicted_ms = times[-1]
                far, time_ms, entry = distance, None, 0
                one = known.get((lane, place, left_ms))
                if one is not None and _is_of(one.touched, found, repeat):
                    swum_ms = time_ms = one.touched.time_cs * 10
                    entry = one.number
                elif stop_ms - left_ms < predicted_ms:
                    swum_ms = max(0, stop_ms - left_ms)
                    far = int(swum_at(shape.ends, times, swum_ms) // (1000 * length) * length)
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
                    far,
                    predicted_ms,
                    swum_ms,
                    time_ms,
                    entry,
                    shape,
                    line,
                )


def _is_of(entry: Touched, found: Pass, repeat: int) -> bool:
    """Whether a time's entry names this repeat.

    It does, unless a change gave its send-off to another repeat since.
    """
    return (entry.section, entry.line, entry.repeat) == (found.section, found.laneline.number, repeat + 1)
