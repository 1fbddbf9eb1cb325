"""Lanes move elsewhere in the plan: whether they can, and where to."""

from __future__ import annotations

from dataclasses import replace

from pacer.session.journal.entries import Lanes, Moved, SectionSet, Unit
from pacer.session.running.instant import NOTICE_MS, READY_MS
from pacer.session.running.pauses import back_for, retaken
from pacer.session.running.runstate import Position, Run, laid, now_of, position
from pacer.session.running.swumtrack import kept, last_touch, stopped
from pacer.timeline.course import TakeUp
from pacer.timeline.track import Track


def can_move(run: Run, at_ms: int, unit: Unit, step: int, lanes: Lanes = None) -> bool:
    """Whether there is anything to which lanes can move."""
    return any(move_target(run, lane, at_ms, unit, step) is not None for lane in run.lanes(lanes))


def move(run: Run, entry: Moved) -> Run:
    """Move lanes to another repeat, line or section; lanes that have none stay as they are."""
    where = move_targets(run, entry.at_ms, entry.unit, entry.step, entry.lanes, together=entry.together)
    targets = {lane: (at, entry.leave_ms) for lane, at in where.items()}
    if run.course.deviation.missed:  # from there they sit out nothing
        run = replace(run, course=run.course.but(deviation=run.course.deviation.without_missed(targets)))
    if entry.unit is not Unit.SECTION and run.others(entry.at_ms, targets):
        targets = {lane: (at, _not_before_the_others(run, lane, at, entry)) for lane, (at, _) in targets.items()}
    made = retaken(run, targets, entry.at_ms, entry.leave_ms)
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


def move_targets(
    run: Run, at_ms: int, unit: Unit, step: int, lanes: Lanes = None, *, together: bool = False
) -> dict[int, Position]:
    """Where a move takes each of the lanes; lanes for which nothing is there are left out.

    `together`: the next section that one of them comes to is where all of them go that are in an earlier one.
    """
    found = {lane: at for lane in run.lanes(lanes) if (at := move_target(run, lane, at_ms, unit, step)) is not None}
    if not together:
        return found
    here = {lane: _section(run.timeline.tracks[lane], at_ms) for lane in found}
    begun = [at.section for lane, at in found.items() if not at.ordinal and at.section > here[lane]]
    first = min(begun, default=-1)
    return {lane: Position(first, 0) if here[lane] < first else at for lane, at in found.items()}


def _section(track: Track, at_ms: int) -> int:
    """The section in which a lane left last; -1 before that."""
    index = track.index_at(now_of(track, at_ms))
    return track.pass_at(index).section if index >= 0 else -1


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
    waits = index < 0 or index == track.sent and track.paused_ms is None
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
        if track.paused_ms is None:
            while (
                count < len(track.sendoffs)
                and track.pass_at(count).section < entry.section
                and last_touch(track, count) <= by_ms
            ):
                count += 1
        in_time = back_for(run, lane, entry.at_ms, entry.leave_ms, to_come=True)
        if in_time and index >= 0 and track.paused_ms is None:  # including those who are still to leave on it
            in_time = last_touch(track, index, predicted=True) + NOTICE_MS <= entry.leave_ms
        made = kept(track if in_time else stopped(track, count, entry.at_ms), count)
        tracks[lane] = made
        entries[lane] = TakeUp(entry.section, 0, entry.leave_ms, exact=True)
    return replace(laid(run, tracks, entries, entry.at_ms), stopped=False)
