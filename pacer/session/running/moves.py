"""Lanes pause, leave again, move elsewhere in the plan, leave late or miss a repeat."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from pacer.session.journal.entries import Ended, Held, LeftLate, Missed, Moved, Resumed, SectionSet, Stopped, Unit
from pacer.session.running.brokenoff import stopped_short
from pacer.session.running.instant import NOTICE_MS, READY_MS, back_ms
from pacer.session.running.runstate import Position, Run, laid, now_of, planned, position, still_to_come, take_up
from pacer.session.running.swumtrack import closed, kept, last_touch, stopped, under_way, without
from pacer.timeline.course import TakeUp
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import Track

GRACE_MS = 5_000  #: how long after a send-off a lane can still leave late on it, or miss it


def hold(run: Run, entry: Held) -> Run:
    """Pause lanes. They keep their plan ahead; their state is held. Lanes that are done or held already stay so."""
    lanes = tuple(lane for lane in run.lanes(entry.lanes) if run.timeline.tracks[lane].held_ms is None)
    return _waiting(run, entry.at_ms, lanes, cut=entry.breaks_off)


def stop(run: Run, entry: Stopped) -> Run:
    """Pause every lane, and stop those who are swimming."""
    return replace(_waiting(run, entry.at_ms, run.lanes(None), cut=True), stopped=True)


def end(run: Run, entry: Ended) -> Run:
    """End the session: swimmers stop at the home wall, and nobody leaves any more."""
    made = _waiting(run, entry.at_ms, run.lanes(None), cut=True)
    return replace(made, ended_ms=entry.at_ms, stopped=False)


def _waiting(run: Run, at_ms: int, lanes: tuple[int, ...], *, cut: bool) -> Run:
    tracks = list(run.timeline.tracks)
    for lane in lanes:
        track = tracks[lane]
        if at_ms >= track.end_ms:
            continue
        if track.held_ms is None:
            made = closed(track, at_ms, cut=cut)
            made.held_ms = at_ms
        else:
            made = stopped(track, track.index_at(track.held_ms) + 1, at_ms)
        tracks[lane] = made
    return replace(run, timeline=_with(run.timeline, tracks))


def _with(timeline: Timeline, tracks: list[Track]) -> Timeline:
    return Timeline(timeline.plan, timeline.squad, timeline.counts, tuple(tracks), timeline.gates)


# -- leaving again -------------------------------------------------------------------------------------


def sections_begun(run: Run, after: int, by_ms: int) -> list[int]:
    """The sections behind section `after` that lanes have started together by then."""
    gates = run.timeline.gates.items()
    return [section for section, start in gates if start is not None and after < section and start <= by_ms]


def resume(run: Run, entry: Resumed) -> Run:
    """Let paused lanes leave again."""
    waiting = [lane for lane in run.lanes(entry.lanes) if run.timeline.tracks[lane].held_ms is not None]
    if not waiting:
        return run
    targets = {lane: resumption(run, lane, entry.leave_ms) for lane in waiting}
    made = _retaken(run, targets, entry.at_ms, entry.leave_ms)
    for lane in waiting:
        made.timeline.tracks[lane].sent = -1  # it resumes where it was
    return made


def resumption(run: Run, lane: int, leave_ms: int) -> tuple[Position, int] | None:
    """Where and when a paused lane resumes, if told to leave at `leave_ms`; None if it has nothing left.

    It resumes after the repeat it left on last; if its section is over by now, with the section the others are in. If
    somebody was stopped before the end of the repeat, the lane leaves as told, but starts no section earlier than
    planned. If all finished it, the lane leaves no earlier than planned.
    """
    track = run.timeline.tracks[lane]
    assert track.held_ms is not None, "it is paused"
    index = track.index_at(track.held_ms) + 1
    at = position(track, index)
    if at is None:
        return None
    swimming = run.others(leave_ms, dict.fromkeys(run.held()))
    if whole := still_to_come(run, lane, index, leave_ms - 1 if swimming else track.held_ms):
        at, leave_ms = Position(whole.section, 0), max(leave_ms, whole.at_ms)
    elif (
        not at.ordinal
        or not stopped_short(run.timeline, lane, index - 1)
        or track.pass_at(index - 1).section != at.section
    ):
        leave_ms = max(leave_ms, track.sendoffs[index])
    if swimming and (passed := sections_begun(run, at.section, leave_ms)):
        at = Position(max(passed), 0)
    return at, leave_ms


def _retaken(run: Run, targets: Mapping[int, tuple[Position, int] | None], at_ms: int, leave_ms: int) -> Run:
    """The run with lanes leaving on their targets. The other paused lanes stay paused.

    If nobody else is swimming, the paused lanes are laid out as if they left at `leave_ms` as well, because later
    common starts are for all; a lane that waits longer than the others loses only that time.
    """
    old, others = run.timeline.tracks, run.others(at_ms, targets)
    waiting = others if all(old[lane].held_ms is not None for lane in others) else []
    tracks, entries = {}, {}
    for lane, target in {**{lane: resumption(run, lane, leave_ms) for lane in waiting}, **targets}.items():
        tracks[lane], entry = _left_for(run, lane, target, at_ms)
        if entry:
            entries[lane] = entry
    made = laid(run, tracks, entries, at_ms)
    for lane in waiting:
        tracks[lane].held_ms = old[lane].held_ms
        if entry := entries.get(lane):
            tracks[lane].starts.update(
                {s: at for s, at in old[lane].starts.items() if s < entry.section + bool(entry.ordinal)}
            )
    return replace(made, stopped=False)


def _left_for(run: Run, lane: int, target: tuple[Position, int] | None, at_ms: int) -> tuple[Track, TakeUp | None]:
    """What stays of a lane's track if it goes to `target`, and how it enters the plan there."""
    track = run.timeline.tracks[lane]
    now = now_of(track, at_ms)
    index = track.index_at(now)
    late = target is not None and not back_for(run, lane, at_ms, target[1])
    if track.held_ms is None:
        made = closed(track, at_ms, cut=late or under_way(track, index, at_ms))
    else:
        made = stopped(track, index + 1, at_ms) if late else track
    made = kept(made, index + 1)
    if target is None:
        return made, None
    at, leave_ms = target
    if not made.passes or made.passes[-1].section != at.section:
        return made, TakeUp(*at, leave_ms, exact=True)  # its time counts from there
    waited_ms = 0 if track.held_ms is None else leave_ms - track.held_ms
    return made, take_up(track, at, leave_ms, waited_ms=waited_ms)


def back_for(run: Run, lane: int, at_ms: int, leave_ms: int) -> bool:
    """Whether all who are swimming in a lane finish their repeat in time to leave on something else at `leave_ms`."""
    return back_ms(run.timeline, lane, at_ms, broken_off=False) + NOTICE_MS <= leave_ms


# -- going elsewhere -----------------------------------------------------------------------------------


def move(run: Run, entry: Moved) -> Run:
    """Move lanes to another repeat, line or section; lanes that have none stay as they are."""
    targets = {}
    for lane in run.lanes(entry.lanes):
        at = move_target(run, lane, entry.at_ms, entry.unit, entry.step)
        if at is not None:
            targets[lane] = (at, entry.leave_ms)
    if run.course.deviation.missed:  # from there they sit out nothing
        run = replace(run, course=run.course.but(deviation=run.course.deviation.without_missed(targets)))
    if entry.unit is not Unit.SECTION and run.others(entry.at_ms, targets):
        targets = {lane: (at, _not_before_the_others(run, lane, at, entry)) for lane, (at, _) in targets.items()}
    made = _retaken(run, targets, entry.at_ms, entry.leave_ms)
    for lane in targets:
        track = run.timeline.tracks[lane]
        made.timeline.tracks[lane].sent = track.index_at(now_of(track, entry.at_ms))
    return made


def _not_before_the_others(run: Run, lane: int, at: Position, entry: Moved) -> int:
    """When a moved lane leaves: if it reaches the end of its section alone, it starts the next one with the others."""
    track = run.timeline.tracks[lane]
    index = track.index_at(now_of(track, entry.at_ms))
    here = track.pass_at(index).section if index >= 0 else at.section
    start = run.timeline.gates.get(at.section)
    return max(entry.leave_ms, start) if at.section > here and start is not None else entry.leave_ms


def move_target(run: Run, lane: int, at_ms: int, unit: Unit, step: int) -> Position | None:
    """Where a move takes a lane; None if there is nothing there.

    The next repeat is the one the lane leaves on next, or the one after it if the lane was sent there or is already
    getting ready for it; the previous repeat is the one before the next. The same holds for lines and sections: the
    previous one is the current one, from its beginning, as long as any of it has begun.
    """
    track = run.timeline.tracks[lane]
    now = now_of(track, at_ms)
    index = track.index_at(now)
    upcoming, count = index + 1, len(track.sendoffs)
    if step < 0:
        return _previous(run, lane, index, unit)
    waits = index < 0 or index == track.sent and track.held_ms is None
    soon = upcoming < count and track.sendoffs[upcoming] - now <= READY_MS
    reference = upcoming if waits or soon else index
    if reference >= count:
        return None
    key = _keys(track, unit)
    there = reference
    while there < count and key(there) == key(reference):
        there += 1
    return position(track, there)


def _previous(run: Run, lane: int, index: int, unit: Unit) -> Position | None:
    track = run.timeline.tracks[lane]
    upcoming = position(track, index + 1)
    last = position(track, index)
    if (
        upcoming is not None
        and upcoming.ordinal
        and (last is None or last != Position(upcoming.section, upcoming.ordinal - 1))
    ):
        last = Position(upcoming.section, upcoming.ordinal - 1)  # it was sent elsewhere and has not left yet
    elif upcoming is not None and not upcoming.ordinal:
        while index >= 0 and track.pass_at(index).section >= upcoming.section:
            index -= 1
        last = position(track, index)
    if last is None or unit is Unit.REPEAT:
        return last
    if unit is Unit.SECTION:
        return Position(last.section, 0)
    return Position(last.section, _line_start(run, lane, last))


def _line_start(run: Run, lane: int, at: Position) -> int:
    """The ordinal of the first repeat of the line at `at`."""
    ordinal, round = 0, 1
    course = run.course
    while True:
        before = ordinal
        program = course.program(at.section, lane)
        for place in course.order(at.section, lane, round):
            if isinstance(program[place], int):
                continue
            count = course.pass_line(at.section, lane, round, place).count
            if at.ordinal < ordinal + count:
                return ordinal
            ordinal += count
        if ordinal == before:
            return 0
        round += 1


def _keys(track: Track, unit: Unit):
    """The function that gives the same key for all repeats of one such unit."""
    if unit is Unit.REPEAT:
        return lambda index: index
    if unit is Unit.SECTION:
        return lambda index: track.pass_at(index).section

    def line(index: int) -> tuple[int, int, int]:
        found = track.pass_at(index)
        return found.section, found.round, found.place

    return line


def set_section(run: Run, entry: SectionSet) -> Run:
    """Let lanes start a section at a set time, and until then swim what still ends in time for it.

    Swimmers on a repeat that does not end in time break it off at once.
    """
    tracks, entries = {}, {}
    for lane in run.lanes(entry.lanes):
        track = run.timeline.tracks[lane]
        now = now_of(track, entry.at_ms)
        index = track.index_at(now)
        by_ms = entry.leave_ms - run.timeline.plan.changeover_ms
        count = index + 1
        if track.held_ms is None:
            while (
                count < len(track.sendoffs)
                and track.pass_at(count).section < entry.section
                and last_touch(track, count) <= by_ms
            ):
                count += 1
        in_time = back_for(run, lane, entry.at_ms, entry.leave_ms)
        if in_time and index >= 0 and track.held_ms is None:  # including those who are still to leave on it
            in_time = last_touch(track, index, predicted=True) + NOTICE_MS <= entry.leave_ms
        made = kept(track if in_time else stopped(track, count, entry.at_ms), count)
        tracks[lane] = made
        entries[lane] = TakeUp(entry.section, 0, entry.leave_ms, exact=True)
    return replace(laid(run, tracks, entries, entry.at_ms), stopped=False)


# -- late, or not at all ----------------------------------------------------------------------------------


def due(track: Track, at_ms: int) -> int | None:
    """The send-off on which a lane leaves late, or which it misses.

    It is one that has just been, otherwise the next; None if there is none.

    A line swum straight through has only one send-off.
    """
    if track.held_ms is not None:
        return None
    index = track.index_at(at_ms)
    if index >= 0:
        found = track.pass_at(index)
        left_on = index if found.laneline.own is None else found.first
        if at_ms - track.sendoffs[left_on] < GRACE_MS and index not in track.closed:
            return left_on
        if found.laneline.own is not None:
            index = found.first + found.count - 1
    return index + 1 if index + 1 < len(track.sendoffs) else None


def leave_late(run: Run, entry: LeftLate) -> Run:
    """Let lanes leave later on the repeat that is due, and on all after it."""
    lanes = {
        lane: index
        for lane in run.lanes(entry.lanes)
        if (index := due(run.timeline.tracks[lane], entry.at_ms)) is not None
    }
    together = not run.others(entry.at_ms, lanes)
    tracks, entries = {}, {}
    for lane, index in lanes.items():
        track = run.timeline.tracks[lane]
        was = planned(track, index)
        assert was is not None, "the repeat is there"
        began = None if together and not was.ordinal else was.section_ms
        tracks[lane] = kept(track, index)
        entries[lane] = was._replace(at_ms=max(entry.leave_ms, was.at_ms), section_ms=began)
    return laid(run, tracks, entries, entry.at_ms)


def miss(run: Run, entry: Missed) -> Run:
    """Let lanes sit out the repeat that is due."""
    tracks, deviation = list(run.timeline.tracks), run.course.deviation
    for lane in run.lanes(entry.lanes):
        track = tracks[lane]
        index = due(track, entry.at_ms)
        if index is not None:
            found, repeat = track.pass_at(index), track.repeat_in_line(index)
            count = 1 if found.laneline.own is None else found.count
            tracks[lane] = without(track, index, count)
            deviation = deviation.with_missed(
                lane, found.section, found.round, found.place, range(repeat, repeat + count)
            )
    return replace(run, course=run.course.but(deviation=deviation), timeline=_with(run.timeline, tracks))
