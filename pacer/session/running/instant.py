"""What a lane is doing at an instant, from its track. Nothing here reads a clock."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence
from enum import StrEnum
from typing import NamedTuple

from pacer.timeline.laneline import LaneLine
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
    PAUSED = "paused"
    DONE = "done"


class LaneState(NamedTuple):
    """One lane at an instant, by its leader.

    `index` is the repeat last left on (counted through the session, -1 before the first), `upcoming` the one on
    which the lane leaves next (-1: none). A line swum straight through has one send-off: its later repeats are
    never `upcoming`. `leaves_in_ms` counts down to that send-off, `swum_ms` up from the last one; each is None if
    there is none. `segment` is the current segment of `index` while it is swum.
    """

    state: State
    index: int  # type: ignore[assignment]  # nobody uses a tuple's own `index`
    upcoming: int
    leaves_in_ms: int | None
    swum_ms: int | None
    segment: int


def lane_state(track: Track, at_ms: int) -> LaneState:
    """The state of a lane at `at_ms` from the session's zero (negative before it). A bisect, not a walk."""
    sendoffs = track.sendoffs
    # A paused lane has left on nothing since: its plan ahead is kept, but does not count.
    index = bisect_right(sendoffs, at_ms if track.paused_ms is None else min(at_ms, track.paused_ms)) - 1
    upcoming = index + 1
    if index < 0:
        if track.paused_ms is not None and at_ms >= track.paused_ms:
            return LaneState(State.PAUSED, -1, -1, None, None, 0)
        if not sendoffs:
            return LaneState(State.DONE, -1, -1, None, None, 0)
        first_in = sendoffs[0] - at_ms
        state = State.READY if first_in <= READY_MS else State.CHANGEOVER
        return LaneState(state, -1, 0, first_in, None, 0)
    found = track.passes[track.pass_of[index]]
    line = found.laneline
    repeat = found.repeat_in_line(index)
    if line.own is not None:
        upcoming = found.first + found.count
    swum = at_ms - sendoffs[index]
    if track.paused_ms is not None and at_ms >= track.paused_ms:
        return LaneState(State.PAUSED, index, -1, None, swum, 0)
    leaves_in: int | None = sendoffs[upcoming] - at_ms if upcoming < len(sendoffs) else None
    if leaves_in is None:
        upcoming = -1
    elif leaves_in <= READY_MS:
        return LaneState(State.READY, index, upcoming, leaves_in, swum, 0)
    times = line.times(repeat, 0)
    cut = track.cuts.get(index) if track.cuts else None
    if swum < times[-1] and (cut is None or at_ms < cut):
        fresh = swum < go_ends(line) and (line.own is None or index == found.first)
        return LaneState(
            State.GO if fresh else State.SWIMMING, index, upcoming, leaves_in, swum, segment_at(times, swum)
        )
    if upcoming < 0:
        return LaneState(
            State.DONE if at_ms >= track.end_ms or cut is not None else State.SWIMMING,
            index,
            -1,
            None,
            swum,
            len(times) - 1,
        )
    waits = track.passes[track.pass_of[upcoming]].section != found.section
    return LaneState(State.CHANGEOVER if waits else State.RESTING, index, upcoming, leaves_in, swum, 0)


def lane_states(timeline: Timeline, at_ms: int) -> list[LaneState]:
    """The state of every lane, in the squad's order."""
    return [lane_state(track, at_ms) for track in timeline.tracks]


def go_ends(line: LaneLine) -> int:
    """How long after its leader's send-off a lane is no longer told to go."""
    return line.behind(len(line.bases) - 1) + GO_MS


def segment_at(times: Sequence[int], since_ms: int) -> int:
    """The segment that is swum `since_ms` after the send-off, before the last of `times`."""
    return bisect_right(times, since_ms)


def swum_at(ends: Sequence[int], times: Sequence[int], since_ms: int) -> int:
    """The distance done `since_ms` after the send-off, in thousandths of the unit, of segments that end at `ends`
    (whole units) after `times`.
    """
    if since_ms >= times[-1]:
        return ends[-1] * 1000
    if since_ms <= 0:
        return 0
    segment = segment_at(times, since_ms)
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


def late(track: Track, number: int) -> dict[int, int]:
    """When a swimmer, by number, leaves by prediction on the repeats whose send-off comes too early for them.

    They leave at their own touch of the repeat before. Keys are repeats.
    """
    return _late(track, number, _totals(track)) if _is_tight(track) else {}


def lates(track: Track) -> Mapping[int, dict[int, int]]:
    """For each swimmer of a lane, by number, the repeats on which they leave `late`, and when."""
    if track.behind is not None:
        return track.behind
    if _is_tight(track):
        totals = _totals(track)
        made = {number: _late(track, number, totals) for number in track.swimmers()}
    else:
        made = {number: {} for number in track.swimmers()}
    if track.final:
        track.behind = made
    return made


def _is_tight(track: Track) -> bool:
    lines = {id(found.laneline): found.laneline for found in track.passes}
    return any(line.too_tight or _runs_over(line) for line in lines.values())


def _totals(track: Track) -> dict[int, tuple[list[list[int]], int]]:
    """By line (its id): the `totals` of its kinds of repeats, and its least interval."""
    lines = {id(found.laneline): found.laneline for found in track.passes}
    return {at: (line.totals(), min(line.intervals, default=0)) for at, line in lines.items()}


def _late(track: Track, number: int, totals: Mapping[int, tuple[list[list[int]], int]]) -> dict[int, int]:
    made: dict[int, int] = {}
    touch = -NEVER
    as_planned = not track.closed and not track.cuts and track.paused_ms is None
    for found in track.passes:
        line = found.laneline
        if number not in line.who:
            continue
        swimmer = line.who.index(number)
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
            leaves = told = found.leaves(index, swimmer)
            if touch > told:
                leaves = made[index] = touch
            leaves_by, done_by = track.bounds(index)
            if leaves <= leaves_by:
                touch = min(
                    leaves + rows[line.kind_of[repeat]][swimmer], max(leaves, done_by) + 1
                )  # a swimmer who breaks off leaves on no repeat announced before
    return made
