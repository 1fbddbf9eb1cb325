"""Swimmers who join, leave or change lane, and lanes that follow another lane.

An entry about a lane or a swimmer that does not exist changes nothing.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import replace

from pacer.session.journal.entries import LaneJoined, SwimmerChanged, SwimmerJoined, SwimmerLeft
from pacer.session.running.moves import back_for, sections_begun
from pacer.session.running.runstate import Position, Run, as_planned, laid, now_of, position, take_up
from pacer.session.running.swumtrack import closed, kept, stopped
from pacer.squad.squad import Lane, Pace, Swimmer


def join(run: Run, entry: SwimmerJoined) -> Run:
    """Add a swimmer to a lane."""
    if not run.lanes((entry.lane,)):
        return run
    lane = run.timeline.squad.lanes[entry.lane]
    pace = lane.base if entry.base_ms is None else Pace(entry.base_ms, run.timeline.plan.pool.unit)
    return _with_squad(
        run, {entry.lane: _put(lane, Swimmer(pace, entry.name), entry.place)}, entry.at_ms, entry.leave_ms
    )


def leave(run: Run, entry: SwimmerLeft) -> Run:
    """Remove a swimmer from a lane; a lane with nobody left swims no more."""
    if not _is_there(run, entry.lane, entry.place):
        return run
    lane = run.timeline.squad.lanes[entry.lane]
    return _with_squad(run, {entry.lane: _taken(lane, entry.place)}, entry.at_ms, entry.at_ms)


def change(run: Run, entry: SwimmerChanged) -> Run:
    """Move a swimmer to another lane, or to another place in the lane."""
    if not (_is_there(run, entry.lane, entry.place) and run.lanes((entry.to_lane,))):
        return run
    lanes = run.timeline.squad.lanes
    swimmer = lanes[entry.lane].swimmers[entry.place]
    changed = {entry.lane: _taken(lanes[entry.lane], entry.place)}
    changed[entry.to_lane] = _put(changed.get(entry.to_lane, lanes[entry.to_lane]), swimmer, entry.to_place)
    return _with_squad(run, changed, entry.at_ms, entry.leave_ms)


def _is_there(run: Run, lane: int, place: int) -> bool:
    return bool(run.lanes((lane,))) and 0 <= place < len(run.timeline.squad.lanes[lane].swimmers)


def _put(lane: Lane, swimmer: Swimmer, place: int | None) -> Lane:
    rows = list(lane.swimmers)
    rows.insert(len(rows) if place is None else place, swimmer)
    return replace(lane, swimmers=tuple(rows))


def _taken(lane: Lane, place: int) -> Lane:
    return replace(lane, swimmers=lane.swimmers[:place] + lane.swimmers[place + 1 :])


def _with_squad(run: Run, lanes: dict[int, Lane], at_ms: int, leave_ms: int) -> Run:
    """The run with other swimmers in some lanes, from their next send-off on."""
    old = run.timeline.squad.lanes
    squad = replace(run.timeline.squad, lanes=tuple(lanes.get(i, lane) for i, lane in enumerate(old)))
    course = run.course.but(squad=squad)
    tracks, entries = {}, {}
    for lane in lanes:
        track = run.timeline.tracks[lane]
        tracks[lane], at = as_planned(run, lane, at_ms)
        if at is None and not old[lane].swimmers:
            at = take_up(track, _place_of(run, lane, leave_ms), leave_ms)
        if at is not None:
            entries[lane] = at
    return laid(run, tracks, entries, at_ms, course=course)


def _place_of(run: Run, lane: int, leave_ms: int) -> Position:
    """Where an empty lane enters the plan: where it stopped, or where the others are by now."""
    track = run.timeline.tracks[lane]
    last = position(track, len(track.sendoffs) - 1)
    at = Position(0, 0) if last is None else Position(last.section, last.ordinal + 1)
    begun = sections_begun(run, at.section, leave_ms)
    return Position(max(begun), 0) if begun else at


def join_lane(run: Run, entry: LaneJoined) -> Run:
    """Let a lane follow another one from that lane's send-off at `leave_ms` on."""
    if len(run.lanes((entry.lane, entry.leader))) < 2:
        return run
    leader, track = run.timeline.tracks[entry.leader], run.timeline.tracks[entry.lane]
    index = bisect_left(leader.sendoffs, entry.leave_ms)
    at = position(leader, index)
    if at is None or leader.sendoffs[index] != entry.leave_ms:
        return run
    late = entry.breaks_off and not back_for(run, entry.lane, entry.at_ms, entry.leave_ms)
    made = track if track.held_ms is not None else closed(track, entry.at_ms, cut=late)
    count = made.index_at(now_of(track, entry.at_ms)) + 1
    if late or not entry.breaks_off:
        made = stopped(made, count, entry.at_ms if late else entry.leave_ms)
    made = kept(made, count)
    course = run.course.but(deviation=run.course.deviation.with_leader(entry.lane, entry.leader))
    began = leader.starts.get(at.section)
    start = take_up(leader, at, entry.leave_ms)._replace(section_ms=began)
    return laid(run, {entry.lane: made}, {entry.lane: start}, entry.at_ms, course=course, together=False)
