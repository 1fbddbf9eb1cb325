"""What a lane is doing at an instant, from its track. Nothing here reads a clock."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from enum import StrEnum
from typing import NamedTuple

from pacer.timeline.laneline import LaneLine
from pacer.timeline.shape import Shape
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import NEVER, Track

READY_MS = 10_000  #: the last seconds before a send-off, in which a lane gets ready
NOTICE_MS = 5_000  #: the least time for swimmers, at the wall, between a press and the send-off it sets
GO_MS = 3_000  #: how long a lane is told to go after its last swimmer's send-off


class State(StrEnum):
    """What the lane is doing, as the word that is shown."""

    READY = "ready"  # leaves within READY_MS
    GO = "go"  # is leaving
    SWIMMING = "swim"
    RESTING = "rest"
    CHANGEOVER = "changeover"  # waits for its next section (or the first)
    HELD = "held"
    DONE = "done"


class LaneState(NamedTuple):
    """One lane at an instant, by its leader.

    `index` is the repeat last left on (counted through the session, -1 before the first), `upcoming` the one on
    which the lane leaves next (-1: none). A line swum straight through has one send-off: its later repeats are
    never `upcoming`. `leaves_in_ms` counts down to that send-off, `swum_ms` up from the last one; each is None if
    there is none. `segment` is the current segment of `index` while it is swum, and `segment_done` the share of it
    done, in thousandths.
    """

    state: State
    index: int  # type: ignore[assignment]  # nobody uses a tuple's own `index`
    upcoming: int
    leaves_in_ms: int | None
    swum_ms: int | None
    segment: int
    segment_done: int


class Place(NamedTuple):
    """Where a swimmer should be: `along` the pool from the home wall in thousandths of its length.

    `outward` is the direction of swimming; `moving` is false at a wall.
    """

    along: int
    outward: bool
    moving: bool


def lane_state(track: Track, at_ms: int) -> LaneState:
    """The state of a lane at `at_ms` from the session's zero (negative before it). A bisect, not a walk."""
    sendoffs = track.sendoffs
    # A paused lane has left on nothing since: its plan ahead is kept, but does not count.
    index = bisect_right(sendoffs, at_ms if track.held_ms is None else min(at_ms, track.held_ms)) - 1
    upcoming = index + 1
    if index < 0:
        if track.held_ms is not None and at_ms >= track.held_ms:
            return LaneState(State.HELD, -1, -1, None, None, 0, 0)
        if not sendoffs:
            return LaneState(State.DONE, -1, -1, None, None, 0, 0)
        first_in = sendoffs[0] - at_ms
        state = State.READY if first_in <= READY_MS else State.CHANGEOVER
        return LaneState(state, -1, 0, first_in, None, 0, 0)
    found = track.passes[track.pass_of[index]]
    line = found.laneline
    repeat = found.skipped + index - found.first
    if line.own is not None:
        upcoming = found.first + found.count
    swum = at_ms - sendoffs[index]
    if track.held_ms is not None and at_ms >= track.held_ms:
        return LaneState(State.HELD, index, -1, None, swum, 0, 0)
    leaves_in: int | None = sendoffs[upcoming] - at_ms if upcoming < len(sendoffs) else None
    if leaves_in is None:
        upcoming = -1
    elif leaves_in <= READY_MS:
        return LaneState(State.READY, index, upcoming, leaves_in, swum, 0, 0)
    times = line.times(repeat, 0)
    cut = track.cuts.get(index) if track.cuts else None
    if swum < times[-1] and (cut is None or at_ms < cut):
        segment, share = in_hand(times, swum)
        fresh = swum < (len(line.bases) - 1) * line.spacing_ms + GO_MS and (line.own is None or index == found.first)
        return LaneState(State.GO if fresh else State.SWIMMING, index, upcoming, leaves_in, swum, segment, share)
    if upcoming < 0:
        return LaneState(
            State.DONE if at_ms >= track.end_ms or cut is not None else State.SWIMMING,
            index,
            -1,
            None,
            swum,
            len(times) - 1,
            1000,
        )
    waits = track.passes[track.pass_of[upcoming]].section != found.section
    return LaneState(State.CHANGEOVER if waits else State.RESTING, index, upcoming, leaves_in, swum, 0, 0)


def lane_states(timeline: Timeline, at_ms: int) -> list[LaneState]:
    """The state of every lane, in the squad's order."""
    return [lane_state(track, at_ms) for track in timeline.tracks]


def in_hand(times: Sequence[int], since_ms: int) -> tuple[int, int]:
    """The segment that is swum `since_ms` after the send-off, before the last of `times`, and the share of it done, in
    thousandths.
    """
    segment = bisect_right(times, since_ms)
    before = times[segment - 1] if segment else 0
    return segment, (since_ms - before) * 1000 // (times[segment] - before)


def swum_at(ends: Sequence[int], times: Sequence[int], since_ms: int) -> int:
    """The distance done `since_ms` after the send-off, in thousandths of the unit, of segments that end at `ends`
    (whole units) after `times`.
    """
    if since_ms >= times[-1]:
        return ends[-1] * 1000
    if since_ms <= 0:
        return 0
    segment = bisect_right(times, since_ms)
    before = times[segment - 1] if segment else 0
    start = ends[segment - 1] if segment else 0
    return start * 1000 + (ends[segment] - start) * 1000 * (since_ms - before) // (times[segment] - before)


def swims_in(ends: Sequence[int], times: Sequence[int], since_ms: int, span: int, far: bool = False) -> int:
    """How far a swimmer swims who is told to break off `since_ms` after the send-off.

    They swim on to the home wall, or to the wall where the repeat ends.

    In thousandths of the unit, like `span`, the pool's length. `far`: the repeat began at the far wall.
    """
    both, ahead = 2 * span, span if far else 0
    return min(ends[-1] * 1000, -(-(swum_at(ends, times, since_ms) + ahead) // both) * both - ahead)


def _runs_over(line: LaneLine) -> bool:
    """Whether somebody who swims a line straight through touches after the next line begins."""
    return line.own is not None and max(sums[-1] for sums in line.own) > line.takes_ms


def late(track: Track, swimmer: int) -> dict[int, int]:
    """When a swimmer leaves, by prediction, on the repeats whose send-off comes too early for them.

    They leave at their own touch of the repeat before. Keys are repeats.
    """
    return _late(track, swimmer, _totals(track)) if _is_tight(track) else {}


def lates(track: Track) -> list[dict[int, int]]:
    """For each swimmer of a lane, the repeats on which they leave `late`, and when."""
    if track.behind is not None:
        return track.behind
    swimmers = range(max([len(found.laneline.bases) for found in track.passes], default=0))
    if not _is_tight(track):
        return [{} for _ in swimmers]
    totals = _totals(track)
    return [_late(track, swimmer, totals) for swimmer in swimmers]


def _is_tight(track: Track) -> bool:
    lines = {id(found.laneline): found.laneline for found in track.passes}
    return any(line.too_tight or _runs_over(line) for line in lines.values())


def _totals(track: Track) -> dict[int, tuple[list[list[int]], int]]:
    """By line (its id): the `totals` of its kinds of repeats, and its least interval."""
    lines = {id(found.laneline): found.laneline for found in track.passes}
    return {at: (line.totals(), min(line.intervals, default=0)) for at, line in lines.items()}


def _late(track: Track, swimmer: int, totals: Mapping[int, tuple[list[list[int]], int]]) -> dict[int, int]:
    made: dict[int, int] = {}
    touch = -NEVER
    as_planned = not track.closed and not track.cuts and track.held_ms is None
    for found in track.passes:
        line = found.laneline
        if swimmer >= len(line.bases):
            continue
        rows, least_ms = totals[id(line)]
        first, last = found.skipped, found.skipped + found.count - 1
        if (
            as_planned
            and touch <= found.start_ms + line.leaves(first, swimmer, first)
            and (line.own is not None or all(row[swimmer] <= least_ms for row in rows))
        ):  # in time for the first repeat, and back for each of the others
            touch = found.start_ms + line.leaves(last, swimmer, first) + rows[line.kind_of[last]][swimmer]
            continue
        for index in range(found.first, found.first + found.count):
            repeat = first + index - found.first
            leaves = told = found.start_ms + line.leaves(repeat, swimmer, first)
            if touch > told:
                leaves = made[index] = touch
            leaves_by, done_by = track.bounds(index)
            if leaves <= leaves_by:
                touch = min(
                    leaves + rows[line.kind_of[repeat]][swimmer], max(leaves, done_by) + 1
                )  # a swimmer who breaks off leaves on no repeat announced before
    return made


def from_far(track: Track, swimmer: int, span: int, behind: Mapping[int, int]) -> frozenset[int]:
    """The repeats on which a swimmer leaves from the far wall, because the one before ended there.

    `behind`: the repeats on which the swimmer leaves `late`. `span` is the pool's length in thousandths of the unit.
    """
    if all(shape.distance * 1000 // span % 2 == 0 for found in track.passes for shape, _ in found.laneline.kinds):
        return frozenset()
    made, far = set(), False
    for found in track.passes:
        line = found.laneline
        if swimmer >= len(line.bases):
            continue
        for index in range(found.first, found.first + found.count):
            repeat = found.skipped + index - found.first
            leaves = behind.get(index) or found.start_ms + line.leaves(repeat, swimmer, found.skipped)
            leaves_by, done_by = track.bounds(index)
            if leaves > leaves_by:
                continue
            if far:
                made.add(index)
            shape = line.shapes[repeat]
            swims = shape.distance * 1000
            if shape.distance and done_by != NEVER:
                swims = swims_in(shape.ends, line.times(repeat, swimmer), done_by - leaves, span, far)
            far ^= swims // span % 2 == 1
    return frozenset(made)


class LastSwim(NamedTuple):
    """The last swim on which a swimmer left.

    The track's repeat `index`, at `left_ms`; its work and how long it takes. `swims`: how far, in thousandths of the
    unit; less than all of it if it is broken off. `far`: from the far wall.
    """

    index: int  # type: ignore[assignment]  # a tuple's own is used by nobody
    left_ms: int
    shape: Shape
    times: tuple[int, ...]
    swims: int
    far: bool = False

    @property
    def home_ms(self) -> int:
        """When the swimmer reaches the wall where it ends."""
        ends, times = self.shape.ends, self.times
        if not self.shape.distance or self.swims >= ends[-1] * 1000:
            return self.left_ms + times[-1]
        segment = bisect_right(ends, self.swims // 1000)
        before, start = (times[segment - 1], ends[segment - 1]) if segment else (0, 0)
        return (
            self.left_ms
            + before
            - (self.swims - start * 1000) * (times[segment] - before) // (1000 * (start - ends[segment]))
        )


def crew(timeline: Timeline, lane: int, at_ms: int) -> int:
    """How many swimmers a lane has at `at_ms`: its own, and those moved elsewhere since it left last, who swim home."""
    track, here = timeline.tracks[lane], len(timeline.squad.lanes[lane].swimmers)
    index = track.index_at(at_ms if track.held_ms is None else min(at_ms, track.held_ms))
    return here if index < 0 else max(here, len(track.pass_at(index).laneline.bases))


def last_swims(
    timeline: Timeline, lane: int, at_ms: int, *, broken_off: bool = False, to_come: bool = False
) -> list[LastSwim | None]:
    """The last swim of each swimmer of the lane's `crew` at `at_ms`, in leaving order.

    None before the first. `broken_off`: all are told to break off then. `to_come`: swimmers still to leave on the
    leader's last repeat count as having left.
    """
    track = timeline.tracks[lane]
    passes, pass_of, span = track.passes, track.pass_of, span_of(timeline)
    newest_ms = at_ms if track.held_ms is None else min(at_ms, track.held_ms)  # nobody leaves after the pause
    top = bisect_right(track.sendoffs, newest_ms) - 1
    made: list[LastSwim | None] = []
    for swimmer in range(crew(timeline, lane, at_ms)):
        behind = late(track, swimmer)
        far = from_far(track, swimmer, span, behind)
        for index in range(top, -1, -1):
            found = passes[pass_of[index]]
            line = found.laneline
            repeat = found.skipped + index - found.first
            if swimmer >= len(line.bases):  # joined the lane later
                continue
            leaves = behind.get(index) or found.start_ms + line.leaves(repeat, swimmer, found.skipped)
            if leaves <= (track.bounds(index)[0] if to_come else min(newest_ms, track.closed.get(index, NEVER))):
                shape = line.shapes[repeat]
                times = line.times(repeat, swimmer)
                cut = track.cuts.get(index, at_ms if broken_off else None)
                if cut is not None and not shape.distance:  # a timed repeat ends at once
                    times = (max(0, min(times[-1], cut - leaves)),)
                swims = (
                    shape.distance * 1000
                    if cut is None or not shape.distance
                    else swims_in(shape.ends, times, cut - leaves, span, index in far)
                )
                made.append(LastSwim(index, leaves, shape, times, swims, index in far))
                break
        else:
            made.append(None)
    return made


def stops(timeline: Timeline, lane: int) -> tuple[tuple[int, int], ...]:
    """When the lane was told to break off, and until when somebody in it is still swimming to the home wall."""
    made = []
    for since in sorted(set(timeline.tracks[lane].cuts.values())):
        until = max([swim.home_ms for swim in last_swims(timeline, lane, since) if swim is not None], default=since)
        if until > since:
            made.append((since, until))
    return tuple(made)


def span_of(timeline: Timeline) -> int:
    """The pool's length in thousandths of its unit; whole if the pool's length is a whole number of millimetres."""
    length = timeline.plan.pool.length
    return length.numerator * 1000 // length.denominator


def places(timeline: Timeline, lane: int, at_ms: int) -> list[Place]:
    """Where each swimmer of the lane at index `lane` should be, in leaving order.

    Swimmers told to break off swim on to the home wall.
    """
    span = span_of(timeline)
    return [
        Place(0, True, False) if swim is None else _place(swim, span, at_ms - swim.left_ms)
        for swim in last_swims(timeline, lane, at_ms)
    ]


def _place(swim: LastSwim, span: int, since_ms: int) -> Place:
    done = swum_at(swim.shape.ends, swim.times, since_ms) if since_ms < swim.times[-1] else swim.swims
    if done >= swim.swims or not swim.shape.distance:
        return Place(0, True, False) if (swim.swims // span + swim.far) % 2 == 0 else Place(1000, False, False)
    lengths, rest = divmod(done + span * swim.far, span)
    if lengths % 2:
        return Place(1000 - rest * 1000 // span, False, True)
    return Place(rest * 1000 // span, True, True)


def back_ms(timeline: Timeline, lane: int, at_ms: int, *, broken_off: bool, to_come: bool = False) -> int:
    """The earliest send-off for which everybody in the lane is back at the wall in time; `at_ms` if nobody is swimming.

    `broken_off`: all are told to break off at `at_ms`. Otherwise those who are swimming finish, and with `to_come` also
    those still to leave on the leader's last repeat. After a repeat that was broken off, nobody leaves before all are
    home.
    """
    track = timeline.tracks[lane]
    spacing_ms, cuts = timeline.squad.lanes[lane].spacing_ms, track.cuts
    spacing_ms = min([spacing_ms, *(found.laneline.spacing_ms for found in track.passes)])  # sets may have their own
    swims = last_swims(timeline, lane, at_ms, broken_off=broken_off, to_come=to_come)
    return max(
        [
            at_ms,
            *(
                swim.home_ms - (0 if broken_off or swim.index in cuts else place * spacing_ms)
                for place, swim in enumerate(swims)
                if swim is not None and swim.home_ms > at_ms
            ),
        ]
    )
