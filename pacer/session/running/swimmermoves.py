"""Swimmers who join, leave or change lane, and lanes that follow another lane.

An entry about a lane or a swimmer that does not exist changes nothing.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import replace
from typing import NamedTuple

from pacer.session.journal.entries import LaneJoined, SwimmerChanged, SwimmerJoined, SwimmerLeft
from pacer.session.running.pauses import back_for, sections_begun
from pacer.session.running.runstate import Position, Run, as_planned, laid, now_of, position, take_up
from pacer.session.running.swumtrack import closed, kept, stopped
from pacer.session.running.whogotout import got_out, who_comes_back
from pacer.squad.squad import Pace, Swimmer
from pacer.timeline.track import NEVER


def join(run: Run, entry: SwimmerJoined) -> Run:
    """Add a swimmer to a lane."""
    if not run.lanes((entry.lane,)):
        return run
    swimmer = _who_joins(run, entry)
    if swimmer.number == len(run.people):
        run = replace(run, people=(*run.people, entry))
    crew = _put(_crew(run, entry.lane), _Here(swimmer), entry.place)
    return _with_crews(run, {entry.lane: crew}, entry.at_ms, entry.leave_ms)


def _who_joins(run: Run, entry: SwimmerJoined) -> Swimmer:
    if (back := who_comes_back(run, entry)) is not None:
        return back.swimmer
    lane = run.timeline.squad.lanes[entry.lane]
    pace = lane.base if entry.base_ms is None else Pace(entry.base_ms, run.timeline.plan.pool.unit)
    return Swimmer(pace, entry.name, number=_number(run, entry))


def _number(run: Run, entry: SwimmerJoined) -> int:
    """The number of somebody new: that of a swimmer of the same name whose joining was undone, otherwise the next.

    A join that is made again because an older change is undone keeps its number.
    """
    known = {swimmer.number for lane in run.timeline.squad.lanes for swimmer in lane.swimmers}
    known.update(one.swimmer.number for one in got_out(run))
    undone = [(number, joined) for number, joined in enumerate(run.people) if joined and number not in known]
    same = [number for number, joined in undone if joined == entry]
    same += [number for number, joined in undone if (joined.name, joined.absent) == (entry.name, entry.absent)][-1:]
    return same[0] if same else len(run.people)


def leave(run: Run, entry: SwimmerLeft) -> Run:
    """Remove a swimmer from a lane; a lane with nobody left swims no more."""
    if not _is_there(run, entry.lane, entry.place):
        return run
    crew = _crew(run, entry.lane)
    return _with_crews(run, {entry.lane: _taken(crew, entry.place)}, entry.at_ms, entry.at_ms)


def change(run: Run, entry: SwimmerChanged) -> Run:
    """Move a swimmer to another lane, or to another place in the lane."""
    if not (_is_there(run, entry.lane, entry.place) and run.lanes((entry.to_lane,))):
        return run
    crew = _crew(run, entry.lane)
    changed = {entry.lane: _taken(crew, entry.place)}
    moved = _Here(crew[entry.place].swimmer, 0 if entry.joins_ms is None else entry.joins_ms)
    there = changed[entry.lane] if entry.to_lane == entry.lane else _crew(run, entry.to_lane)
    changed[entry.to_lane] = _put(there, moved, entry.to_place)
    return _with_crews(run, changed, entry.at_ms, entry.leave_ms)


def first_with_all(run: Run, lane: int, at_ms: int) -> int | None:
    """The first send-off after `at_ms` on which all swimmers of a lane leave, those from other lanes too; None if the
    lane is paused, or there is none.
    """
    track, swimmers = run.timeline.tracks[lane], len(run.timeline.squad.lanes[lane].swimmers)
    if track.paused_ms is not None:
        return None
    for index in range(track.index_at(at_ms) + 1, len(track.sendoffs)):
        found = track.pass_at(index)
        if len(found.laneline.bases) == swimmers and (found.laneline.own is None or index == found.first):
            return track.sendoffs[index]
    return None


class _Here(NamedTuple):
    """A swimmer of a lane, and from when on they can leave with it."""

    swimmer: Swimmer
    from_ms: int = 0


def _crew(run: Run, lane: int) -> tuple[_Here, ...]:
    """The swimmers of a lane in their leaving order."""
    swimmers, joining = run.timeline.squad.lanes[lane].swimmers, run.joining.get(lane, ())
    return tuple(map(_Here, swimmers, (0,) * (len(swimmers) - len(joining)) + joining))


def _is_there(run: Run, lane: int, place: int) -> bool:
    return bool(run.lanes((lane,))) and 0 <= place < len(run.timeline.squad.lanes[lane].swimmers)


def _put(crew: tuple[_Here, ...], one: _Here, place: int | None) -> tuple[_Here, ...]:
    rows = list(crew)
    rows.insert(len(rows) if place is None else place, one)
    return tuple(rows)


def _taken(crew: tuple[_Here, ...], place: int) -> tuple[_Here, ...]:
    return crew[:place] + crew[place + 1 :]


def _with_crews(run: Run, crews: dict[int, tuple[_Here, ...]], at_ms: int, leave_ms: int) -> Run:
    """The run with other swimmers in some lanes, from their next send-off on.

    Without a booking, a lane that had swimmers swims all that it had, though a new one is home later.
    """
    old, joining = run.timeline.squad.lanes, dict(run.joining)
    lanes = list(old)
    for number, crew in crews.items():
        lanes[number] = replace(old[number], swimmers=tuple([one.swimmer for one in crew]))
        there = next((place for place, one in enumerate(crew) if one.from_ms), len(crew))
        joining[number] = tuple([one.from_ms for one in crew[there:]])
    run = replace(run, joining={lane: from_ms for lane, from_ms in joining.items() if from_ms})
    squad = replace(run.timeline.squad, lanes=tuple(lanes))
    course = run.course.but(squad=squad)
    tracks, entries = {}, {}
    for lane in crews:
        track = run.timeline.tracks[lane]
        tracks[lane], at = as_planned(run, lane, at_ms)
        if at is None and not old[lane].swimmers:
            at = take_up(track, _place_of(run, lane, leave_ms), leave_ms)
        if at is not None:
            entries[lane] = at
    no_end = run.out_ms is None and run.timeline.plan.out_ms is None and all(old[lane].swimmers for lane in crews)
    return laid(run, tracks, entries, at_ms, course=course, latest_ms=NEVER if no_end else None)


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
    made = track if track.paused_ms is not None else closed(track, entry.at_ms, cut=late)
    count = made.index_at(now_of(track, entry.at_ms)) + 1
    if late or not entry.breaks_off:
        made = stopped(made, count, entry.at_ms if late else entry.leave_ms)
    made = kept(made, count)
    course = run.course.but(deviation=run.course.deviation.with_leader(entry.lane, entry.leader))
    began = leader.starts.get(at.section)
    start = take_up(leader, at, entry.leave_ms)._replace(section_ms=began)
    return laid(run, {entry.lane: made}, {entry.lane: start}, entry.at_ms, course=course, together=False)
