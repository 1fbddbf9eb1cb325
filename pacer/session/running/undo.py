"""Undo: reverse what has not happened yet, keep what has happened.

If a lane was sent off, or waited past its send-off, that stays on record. If a lane's past is the same with and without
the change, the lane resumes exactly as before the change. If not, the lane keeps its past and leaves on the next repeat
of the earlier plan: when that was planned, or from now by the rules of a resume. If the change let it leave earlier, it
goes on as much earlier. If it was sent elsewhere, to a repeat or to another lane's send-offs, and is on a repeat that
it left on later than planned, it goes on as much later, so that it has the rest of that repeat. A lane that would leave
too soon for anybody to be told leaves from now, too.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

from pacer.language import tr
from pacer.plan.planlines import numbered_lines
from pacer.session.journal.entries import (
    Change,
    Ended,
    LaneJoined,
    LineLeftOut,
    LinePutIn,
    Moved,
    Paused,
    Resumed,
    Stopped,
    TakenBack,
)
from pacer.session.running.addandskip import leave_out
from pacer.session.running.brokenrepeats import hardly_swum, swum_of
from pacer.session.running.instant import NOTICE_MS
from pacer.session.running.pauses import pause, paused_by_end, paused_since_end, resume
from pacer.session.running.runstate import (
    Position,
    RepeatKey,
    Run,
    as_planned,
    laid,
    now_of,
    position,
    repeat_key,
    still_to_come,
    take_up,
    with_tracks,
)
from pacer.session.running.swumtrack import goes_by
from pacer.session.running.whereabouts import crew, places
from pacer.timeline.course import TakeUp
from pacer.timeline.findings import CannotRun, Finding, Severity
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import NEVER, Track


def taken_back(run: Run, entry: TakenBack) -> Run:
    """The run without its last change that is not undone yet, with its clocks as they are set now.

    Raises CannotRun if the change has been swum.

    An entry without `leave_ms`, from an older journal, restores the run as it was, whatever has happened since.
    """
    if run.before is None:
        return run
    if run.ended_ms is not None and (entry.stopped or entry.leave_ms is not None):
        return _after_the_end(run, entry)
    before = _with_clocks(run.before, run)
    if entry.leave_ms is not None:
        before = _with_stops(before, run, entry.at_ms)
    happened = [] if entry.leave_ms is None else touched_lanes(run, entry.at_ms)
    if not happened:
        return before
    if _swam_more(run, happened, entry.at_ms):
        if not isinstance(run.by, LinePutIn):
            raise CannotRun([Finding(Severity.STOPS, None, (), tr("already swum: too late to undo"))])
        made = _rest_left_out(run, before, entry.at_ms)
    else:
        made = _with_the_past(run, before, happened, entry)
    return _with_clocks(replace(made, ended_ms=before.ended_ms, before=before.before, by=before.by), run)


def _with_clocks(run: Run, now: Run) -> Run:
    """The run with its clocks as they are set `now`."""
    return replace(run, begun=now.begun, phase_ms=now.phase_ms, marks_ms=now.marks_ms)


def to_reopen(run: Run, entry: TakenBack) -> tuple[Run, tuple[int, ...]]:
    """The paused run from which an ended session is resumed, and the lanes (indexes) that the end stopped.

    With `swims_on`, the lanes for which the end has not happened yet are neither.
    """
    paused, lanes = paused_since_end(run, entry.again), paused_by_end(run)
    assert run.before is not None, "it is ended"
    if not entry.swims_on:
        return paused, lanes
    happened, timeline = touched_lanes(run, entry.at_ms), paused.timeline
    tracks = [
        track if lane in happened else run.before.timeline.tracks[lane] for lane, track in enumerate(timeline.tracks)
    ]
    told = Timeline(timeline.plan, timeline.squad, timeline.counts, tuple(tracks), timeline.gates)
    return replace(paused, timeline=told), tuple(lane for lane in lanes if lane in happened)


def _after_the_end(run: Run, entry: TakenBack) -> Run:
    """An ended session, resumed like a paused one; if it was stopped after its end, it stays stopped."""
    assert run.ended_ms is not None, "it is ended"
    paused, lanes = to_reopen(run, entry)
    if entry.leave_ms is None:
        return replace(paused, stopped=bool(paused.paused()), by=Stopped(run.ended_ms))
    resumed = Resumed(entry.at_ms, entry.leave_ms, lanes)
    return replace(resume(paused, resumed), before=paused, by=resumed)


def undone(changes: list[Change], entry: TakenBack) -> Change | None:
    """Remove the change that `entry` undoes from the changes made so far, and return it; None if there is none.

    An end that is resumed is a pause after that, and its resume one more change.
    """
    at = len(changes) - 1 - len(entry.stay)
    if at < 0:
        return None
    last, *later = changes[at:]
    changes[at:] = [change for change, stays in zip(later, reversed(entry.stay)) if stays]
    if isinstance(last, Ended) and (entry.stopped or entry.leave_ms is not None):
        changes.append(Paused(last.at_ms, breaks_off=True, again=entry.again))
        if entry.leave_ms is not None:
            changes.append(Resumed(entry.at_ms, entry.leave_ms))
    return last


def undoes(run: Run, entry: TakenBack) -> Change:
    """The change that `entry` undoes."""
    for _ in entry.stay:
        assert run.before is not None, "there is an older change"
        run = run.before
    assert run.by is not None, "there is something to undo"
    return run.by


def is_over(run: Run, at_ms: int) -> bool:
    """Whether the last change is a resume that is long over: all its lanes have left again after that, or are done.

    To undo it would be a pause that nobody asked for.
    """
    if not isinstance(run.by, Resumed) or run.before is None or run.ended_ms is not None:
        return False
    for lane in run.lanes(run.by.lanes):
        track = run.timeline.tracks[lane]
        if run.before.timeline.tracks[lane].paused_ms is None or at_ms >= track.end_ms:
            continue
        again = [leaves_ms for leaves_ms in track.sendoffs if leaves_ms >= run.by.leave_ms][1:2]
        if not again or at_ms < again[0]:
            return False
    return True


def touched_lanes(run: Run, at_ms: int) -> list[int]:
    """The lanes (indexes) for which the last change has happened by `at_ms`.

    Their past, or their swimmers' places, differ from what they would be without it; or they would leave unwarned.
    """
    assert run.before is not None and run.by is not None, "a change is there"
    now, then = run.timeline, run.before.timeline
    return [
        lane
        for lane in range(len(now.tracks))
        if now.tracks[lane] is not then.tracks[lane]
        and not _only_stopped(run, lane, at_ms)
        and (
            departures(now, lane, at_ms) != departures(then, lane, at_ms)
            or _elsewhere(now, then, lane, at_ms)
            or _without_notice(now.tracks[lane], then.tracks[lane], at_ms)
            or _stopped_since(run, lane, at_ms)
        )
    ]


def _with_stops(before: Run, run: Run, at_ms: int) -> Run:
    """`before` with the stops of the lanes that leave alike with and without the change."""
    tracks = [
        now if _only_stopped(run, lane, at_ms) else then
        for lane, (now, then) in enumerate(zip(run.timeline.tracks, before.timeline.tracks))
    ]
    if all(track is then for track, then in zip(tracks, before.timeline.tracks)):
        return before
    return replace(before, timeline=with_tracks(before.timeline, tracks))


def _only_stopped(run: Run, lane: int, at_ms: int) -> bool:
    """Whether a lane was stopped since the last change, and leaves alike with and without that change."""
    assert run.before is not None, "a change is there"
    now, then = run.timeline, run.before.timeline
    track, other = now.tracks[lane], then.tracks[lane]
    return (
        track is not other
        and track.paused_ms == other.paused_ms
        and track.sendoffs == other.sendoffs
        and all(_swims(track, index) == _swims(other, index) for index in range(len(track.sendoffs)))
        and departures(now, lane, at_ms) == departures(then, lane, at_ms)
        and _stopped_since(run, lane, at_ms)
    )


def _swims(track: Track, index: int) -> tuple:
    """What a lane swims on repeat `index` of its track, and who swims it."""
    line = track.pass_at(index).laneline
    return repeat_key(track, index), line.bases, line.intervals


def _stopped_since(run: Run, lane: int, at_ms: int) -> bool:
    """Whether somebody was stopped in a lane in which everybody left alike with and without the last change.

    They were told after that change, or have swum less by now.
    """
    assert run.before is not None and run.by is not None, "a change is there"
    now, then = run.timeline, run.before.timeline
    track, other = now.tracks[lane], then.tracks[lane]
    for index in track.cuts.keys() | other.cuts.keys():
        cut_ms = track.cuts.get(index, NEVER)
        if cut_ms == other.cuts.get(index, NEVER) or index > track.index_at(at_ms):
            continue
        if run.by.at_ms < cut_ms <= at_ms:
            return True
        found = track.pass_at(index)
        if any(
            swum_of(now, lane, index, at_ms, swimmer) != swum_of(then, lane, index, at_ms, swimmer)
            for swimmer in range(len(found.laneline.bases))
            if found.leaves(index, swimmer) <= min(at_ms, track.bounds(index)[0])
        ):
            return True
    return False


def _without_notice(now: Track, then: Track, at_ms: int) -> bool:
    """Whether a lane that was told otherwise would leave so soon that it can't be told."""
    leaves_ms = next_ms(then, at_ms)
    return leaves_ms is not None and leaves_ms < at_ms + NOTICE_MS and leaves_ms != next_ms(now, at_ms)


def next_ms(track: Track, at_ms: int) -> int | None:
    """When a lane leaves next; None if it is paused or has nothing left."""
    index = track.index_at(at_ms) + 1
    return track.sendoffs[index] if track.paused_ms is None and index < len(track.sendoffs) else None


def _elsewhere(now: Timeline, then: Timeline, lane: int, at_ms: int) -> bool:
    """Whether a swimmer who is in the lane both with and without the change is somewhere else."""
    here, there = (dict(zip(crew(each, lane, at_ms), places(each, lane, at_ms))) for each in (now, then))
    return any(here[number] != there[number] for number in here.keys() & there.keys())


def departures(timeline: Timeline, lane: int, at_ms: int) -> list[tuple[int, RepeatKey, int | Fraction]]:
    """The lane's departures by `at_ms`: when, on which repeat, with which base."""
    track, made = timeline.tracks[lane], []
    newest = now_of(track, at_ms)
    for index in range(track.index_at(newest) + 1):
        found = track.pass_at(index)
        by_ms = min(newest, track.closed.get(index, NEVER))
        made += [
            (leaves_ms, repeat_key(track, index), found.laneline.bases[swimmer])
            for swimmer in range(len(found.laneline.bases))
            if (leaves_ms := found.leaves(index, swimmer)) <= by_ms
        ]
    return made


def _keys(track: Track, count: int) -> list[RepeatKey]:
    return [repeat_key(track, index) for index in range(count)]


def _swam_more(run: Run, lanes: Iterable[int], at_ms: int) -> bool:
    """Whether one of the lanes has left on a repeat that it would not have had without the change.

    On a set swum straight through it has left on all of its repeats.
    """
    assert run.before is not None, "a change is there"
    for lane in lanes:
        then, (left, _) = run.before.timeline.tracks[lane], as_planned(run, lane, at_ms)
        if not set(_keys(then, len(then.sendoffs))).issuperset(_keys(left, len(left.sendoffs))):
            return True
    return False


def _rest_left_out(run: Run, before: Run, at_ms: int) -> Run:
    """Skip added lines from now on."""
    for section in range(len(before.course.plan.sections)):
        now, then = (
            sum(each == section for each, *_ in numbered_lines(course.plan)) for course in (run.course, before.course)
        )
        lanes = tuple(
            lane
            for lane in range(len(run.timeline.tracks))
            if run.course.deviation.put.get((lane, section)) != before.course.deviation.put.get((lane, section))
        )
        for line in range(then + 1, now + 1) if lanes else ():
            run = leave_out(run, LineLeftOut(at_ms, section, line, lanes))
    return run


def _with_the_past(run: Run, before: Run, lanes: list[int], entry: TakenBack) -> Run:
    """`before`, but with everything that `lanes` have done since."""
    waiting = [lane for lane in lanes if before.timeline.tracks[lane].paused_ms is not None]
    tracks, entries = {}, {}
    for lane in lanes:
        past = run
        if lane in waiting:  # it was resumed and left: it is paused again from now
            past = pause(run, Paused(entry.at_ms, (lane,), _broke_off(before, lane), again=entry.again))
        tracks[lane], _ = as_planned(past, lane, entry.at_ms)
        last, stopped = len(tracks[lane].sendoffs) - 1, tracks[lane].again
        again = entry.again and lane not in waiting and hardly_swum(run.timeline, lane, last)
        tracks[lane].paused_ms, tracks[lane].again = None, False
        _count_as(before.timeline.tracks[lane], tracks[lane])
        _goes_by(before.timeline.tracks[lane], tracks[lane])
        rests = isinstance(run.by, LaneJoined | Moved)
        if at := _goes_on(before, lane, tracks[lane], entry, rests=rests, swum_again=again):
            entries[lane] = at
            if lane in waiting:
                tracks[lane].paused_ms, tracks[lane].again = entry.at_ms, stopped
    together = None if not waiting else False
    return _started_as_it_was(run, laid(before, tracks, entries, entry.at_ms, together=together))


def _started_as_it_was(run: Run, made: Run) -> Run:
    """`made` with the common starts of `run` for the sections that no lane begins at the earlier plan's any more."""
    timeline, gates = made.timeline, dict(made.timeline.gates)
    for section, start in timeline.gates.items():
        begun = {track.starts.get(section) for track in timeline.tracks}
        if start not in begun and (was := run.timeline.gates.get(section)) is not None and was in begun:
            gates[section] = was
    return replace(made, timeline=Timeline(timeline.plan, timeline.squad, timeline.counts, timeline.tracks, gates))


def _count_as(then: Track, past: Track) -> None:
    """Number what was swum by the earlier plan, which may have more or fewer repeats before it in the section."""
    first = {(each.section, each.round, each.place): each.ordinal - each.skipped for each in then.passes}
    past.passes = [
        each._replace(
            ordinal=first.get((each.section, each.round, each.place), each.ordinal - each.skipped) + each.skipped
        )
        for each in past.passes
    ]


def _goes_by(then: Track, past: Track) -> None:
    """Let the last repeat that was left on go by the earlier plan: its interval is that to the next send-off."""
    last, keys = len(past.sendoffs) - 1, _keys(then, len(then.sendoffs))
    if last >= 0 and (key := repeat_key(past, last)) in keys:
        goes_by(past, last, then.pass_at(keys.index(key)).laneline)


def _broke_off(run: Run, lane: int) -> bool:
    """Whether a paused lane was told to break off when it was paused."""
    change: Run | None = run
    while change is not None and change.by is not None:
        if isinstance(change.by, Paused) and lane in run.lanes(change.by.lanes):
            return change.by.breaks_off
        if isinstance(change.by, Stopped):
            return True
        change = change.before
    return True


def _goes_on(before: Run, lane: int, past: Track, entry: TakenBack, *, rests: bool, swum_again: bool) -> TakeUp | None:
    """Where and when a lane with its own past continues in the earlier plan; None if nothing is left.

    `rests`: not before it has had the rest of the repeat that it is on. `swum_again`: it swims that again.
    """
    track, index = before.timeline.tracks[lane], 0
    done = _keys(past, len(past.sendoffs))
    if done:
        same = [each for each, key in enumerate(_keys(track, len(track.sendoffs))) if key == done[-1]]
        left = min(done.count(done[-1]), len(same))
        swum_again = swum_again and left == len(same)  # otherwise it is ahead in that plan
        index = same[left - 1] + (not swum_again)
    at = position(track, index)
    if at is None:
        return None
    soonest = entry.at_ms if entry.leave_ms is None else entry.leave_ms
    if not swum_again and (whole := still_to_come(before, lane, index, entry.at_ms)):
        return whole._replace(at_ms=max(whole.at_ms, soonest))
    planned_ms = track.sendoffs[index]
    if index and not swum_again and track.pass_at(index - 1).section == at.section:
        later_ms = past.sendoffs[-1] - track.sendoffs[index - 1]
        planned_ms += later_ms if rests and len(done) - 1 not in past.cuts else min(0, later_ms)
    leave_ms = max(soonest, planned_ms)
    passed = [
        section
        for section, start in before.timeline.gates.items()
        if start is not None and at.section < section and start <= leave_ms
    ]
    if passed and before.others(leave_ms, {lane: None}):  # the others are in a later section by now
        return TakeUp(max(passed), 0, leave_ms, exact=True)
    again = take_up(track, Position(*at), leave_ms, waited_ms=max(0, leave_ms - track.sendoffs[index]))
    if again.section_ms is not None and track.starts[at.section] > entry.at_ms and at.section in past.starts:
        return again._replace(section_ms=past.starts[at.section])  # it began the section earlier than planned
    return again
