"""Repeats that are broken off: who still finishes them, and how far a lane has swum."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.session.running.instant import late, lates, swims_in, swum_at
from pacer.session.running.whereabouts import sides, span_of
from pacer.timeline.shape import Shape
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import NEVER, Track


def to_its_end(timeline: Timeline, lane: int, index: int, swimmer: int) -> bool:
    """Whether a swimmer (place from 0) who left on repeat `index` swims it to its end.

    They do if nobody breaks it off, or if the wall to stop at is the wall where it ends.
    """
    track = timeline.tracks[lane]
    cut = track.cuts.get(index)
    if cut is None:
        return True
    found, repeat = track.pass_at(index), track.repeat_in_line(index)
    shape, times = found.laneline.shapes[repeat], found.laneline.times(repeat, swimmer)
    number, span = found.laneline.who[swimmer], span_of(timeline)
    behind = late(track, number)
    swum_ms = cut - behind.get(index, found.leaves(index, swimmer))
    if not shape.distance:  # a timed repeat ends at once
        return swum_ms >= times[-1]
    far = index in sides(track, span).far[number]
    return swims_in(shape.ends, times, swum_ms, span, far) >= shape.ends[-1] * 1000


def stopped_short(timeline: Timeline, lane: int, last: int) -> bool:
    """Whether somebody of the lane was stopped before the end of a repeat since it left on repeat `last`."""
    track = timeline.tracks[lane]
    return any(
        found.leaves(index, swimmer) <= track.bounds(index)[0] and not to_its_end(timeline, lane, index, swimmer)
        for index, cut in track.cuts.items()
        if cut >= track.sendoffs[last]
        for found in [track.pass_at(index)]
        for swimmer in range(len(found.laneline.bases))
    )


def hardly_swum(timeline: Timeline, lane: int, index: int) -> bool:
    """Whether repeat `index` was cut short before its leader had swum a length of it.

    Lanes that were on the same repeat and were stopped together go together: it is enough if that is so in one of them.
    """
    track = timeline.tracks[lane]
    if index not in track.cuts or to_its_end(timeline, lane, index, 0) or not _shape(track, index).distance:
        return False
    cut, key = track.cuts[index], _written(track, index)
    return any(
        told == cut and _written(each, here) == key and _led(timeline, other, here) < span_of(timeline)
        for other, each in enumerate(timeline.tracks)
        for here, told in each.cuts.items()
    )


def _written(track: Track, index: int) -> tuple[int, int, int, int]:
    """Which repeat of the page that is, for any lane."""
    found = track.pass_at(index)
    return found.section, found.round, found.laneline.number, track.repeat_in_line(index)


def _led(timeline: Timeline, lane: int, index: int) -> int:
    """How far the leader had swum of a repeat when it was broken off, in thousandths of the unit."""
    track = timeline.tracks[lane]
    line = track.pass_at(index).laneline
    leaves = late(track, line.who[0]).get(index, track.sendoffs[index])
    times = line.times(track.repeat_in_line(index), 0)
    return swum_at(_shape(track, index).ends, times, track.cuts[index] - leaves)


def _shape(track: Track, index: int) -> Shape:
    return track.pass_at(index).laneline.shapes[track.repeat_in_line(index)]


def swum(timeline: Timeline, lane: int, until_ms: int | None = None) -> int:
    """The distance that the leader of the lane at index `lane` has swum by `until_ms`, in the pool's unit.

    None means the distance of the whole session.
    """
    track = timeline.tracks[lane]
    left_on = len(track.sendoffs) if track.paused_ms is None else track.index_at(track.paused_ms) + 1
    if until_ms is not None:
        left_on = min(left_on, track.index_at(until_ms) + 1)
    return sum(swum_of(timeline, lane, index, until_ms) for index in range(left_on))


def in_all(timeline: Timeline, lane: int, ended_ms: int | None = None) -> int:
    """The distance of a lane's whole session, as it is planned now; if it was ended at `ended_ms`, as it would
    be without that. What is said of the distance anywhere is this.

    A repeat that is broken off counts as far as the leader swims; a paused lane may swim it again.
    """
    track, distance = timeline.tracks[lane], timeline.distance(lane)
    for index, cut in track.cuts.items():
        if cut != ended_ms and not to_its_end(timeline, lane, index, 0):
            distance += swum_of(timeline, lane, index)
            distance -= 0 if _is_to_come(track, index) else _shape(track, index).distance
    return distance


def _is_to_come(track: Track, index: int) -> bool:
    """Whether a paused lane swims a repeat again that it was on."""
    return track.again and track.paused_ms is not None and index == track.index_at(track.paused_ms)


def in_all_each(timeline: Timeline, lane: int, *, ended: bool = False) -> dict[int, int]:
    """The distance of a lane's whole session for each of its swimmers, by number: as it is planned now, for a paused
    lane too. `ended`: the session was ended, so that nobody leaves any more.
    """
    track, made = timeline.tracks[lane], dict.fromkeys(timeline.tracks[lane].swimmers(), 0)
    last = len(track.sendoffs)
    if ended and track.paused_ms is not None:
        last = track.index_at(track.paused_ms) + 1
    behind = lates(track) if track.closed else {}
    for found in track.passes:
        line, until = found.laneline, min(last, found.first + found.count)
        for index in range(found.first, until):
            distance = line.shapes[found.skipped + index - found.first].distance
            closed = track.closed.get(index)
            for place, number in enumerate(line.who):
                if closed is None:
                    made[number] += distance
                    continue
                if behind[number].get(index, found.leaves(index, place)) <= closed:
                    made[number] += swum_of(timeline, lane, index, None, place)
                if not ended and _is_to_come(track, index):
                    made[number] += distance
    return made


def swum_of(timeline: Timeline, lane: int, index: int, until_ms: int | None = None, swimmer: int = 0) -> int:
    """The distance of repeat `index` that a swimmer (place from 0) who left on it has swum by `until_ms` (None: in
    the end), in pool units.

    It is in whole lengths unless the repeat is complete; a repeat that was broken off counts up to the wall to stop at.
    """
    track = timeline.tracks[lane]
    found, repeat = track.pass_at(index), track.repeat_in_line(index)
    shape, cut = found.laneline.shapes[repeat], track.cuts.get(index)
    if cut is None and until_ms is None:
        return shape.distance
    times, number, span = found.laneline.times(repeat, swimmer), found.laneline.who[swimmer], span_of(timeline)
    behind = late(track, number)
    left_ms = behind.get(index, found.leaves(index, swimmer))
    most_ms = NEVER if until_ms is None else until_ms - left_ms
    far = cut is not None and index in sides(track, span).far[number]
    return counted(shape, reach(shape, times, span, most_ms, None if cut is None else cut - left_ms, far), span)


def reach(shape: Shape, times: Sequence[int], span: int, most_ms: int, cut_ms: int | None, far: bool) -> int:
    """How far somebody swims of a repeat within `most_ms`, told to break off after `cut_ms` (None: not), in thousandths
    of the unit like `span`, the pool's length. `far`: the repeat began at the far wall.
    """
    reached = swum_at(shape.ends, times, most_ms)
    return reached if cut_ms is None else min(reached, swims_in(shape.ends, times, cut_ms, span, far))


def counted(shape: Shape, reached: int, span: int) -> int:
    """What counts of a repeat that was swum as far as `reached`: all of it, otherwise whole lengths."""
    return shape.distance if reached >= shape.ends[-1] * 1000 else reached // span * span // 1000
