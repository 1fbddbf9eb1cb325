"""Build the current session from timeline and journal: a pure function, entry after entry.

`replay(timeline, journal)` gives a `Run`; `instant.lane_states(run.timeline, at_ms)` gives its state at
any instant after its last entry.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from pacer.language import tr
from pacer.plan.times import MINUTE_MS
from pacer.session.journal.entries import (
    Begun,
    CarriedOn,
    Change,
    CountChanged,
    Ended,
    Entry,
    IntervalChanged,
    LaneJoined,
    Lanes,
    LeftLate,
    LineLeftOut,
    LinePutIn,
    Matched,
    Missed,
    Moved,
    Paused,
    Refitted,
    Resumed,
    SectionSet,
    Stopped,
    SwimmerChanged,
    SwimmerJoined,
    SwimmerLeft,
    TakenBack,
    Unit,
)
from pacer.session.running import addandskip, countchanges, lateandmissed, moves, pauses, swimmermoves
from pacer.session.running.instant import NOTICE_MS
from pacer.session.running.runstate import Run
from pacer.session.running.undo import taken_back
from pacer.session.running.whereabouts import back_ms
from pacer.timeline.course import Course
from pacer.timeline.findings import CannotRun, Finding, Severity
from pacer.timeline.timeline import Timeline

if TYPE_CHECKING:
    from pacer.session.journal.recordentries import Record

__all__ = [
    "LEAD_IN_MS",
    "NOTICE_MS",
    "REOPEN_MS",
    "Run",
    "apply",
    "broken_off_mark",
    "can_leave",
    "fresh",
    "late_mark",
    "move_mark",
    "reaching",
    "replay",
    "resume_mark",
    "soonest_ms",
]

LEAD_IN_MS = 10_000  #: from the press on Start to the session's zero
REOPEN_MS = 10 * MINUTE_MS  #: how long after its end a session can be resumed (our choice)

#: The function that applies each kind of change to a run.
_DONE_BY: dict[type, Callable[[Run, Any], Run]] = {
    Paused: pauses.pause,
    Stopped: pauses.stop,
    Resumed: pauses.resume,
    Moved: moves.move,
    SectionSet: moves.set_section,
    LeftLate: lateandmissed.leave_late,
    Missed: lateandmissed.miss,
    CountChanged: countchanges.change_count,
    IntervalChanged: countchanges.change_interval,
    Refitted: countchanges.refit,
    LinePutIn: addandskip.put_in,
    LineLeftOut: addandskip.leave_out,
    SwimmerJoined: swimmermoves.join,
    SwimmerLeft: swimmermoves.leave,
    SwimmerChanged: swimmermoves.change,
    LaneJoined: swimmermoves.join_lane,
    Ended: pauses.end,
}

#: The entries that set a run's clocks; Undo never reverses them.
_SETS: dict[type, Callable[[Run, Any], Run]] = {
    Begun: lambda run, entry: replace(run, begun=entry, phase_ms=entry.phase_ms or 0),
    CarriedOn: lambda run, entry: replace(
        run, begun=Begun(entry.at_ms, entry.boot_ms, entry.wall_ms, run.begun.zone if run.begun else "", entry.boot)
    ),
    Matched: lambda run, entry: replace(
        run, phase_ms=entry.phase_ms, marks_ms=entry.phase_ms if entry.marks else run.marks_ms
    ),
    TakenBack: lambda run, entry: replace(taken_back(reaching(run, entry.stay), entry), people=run.people),
}

_STEERS = _DONE_BY.keys() | _SETS.keys()


def fresh(timeline: Timeline) -> Run:
    """The run of a session that has not started."""
    course = timeline.course or Course(timeline.plan, timeline.squad, timeline.counts)
    return Run(course, timeline, people=(None,) * sum([len(lane.swimmers) for lane in timeline.squad.lanes]))


def replay(timeline: Timeline, journal: Iterable[Entry | Record]) -> Run:
    """The run after all of `journal`.

    Records and refused entries are skipped.
    """
    run = fresh(timeline)
    for entry in [entry for entry in journal if type(entry) in _STEERS]:
        with suppress(CannotRun):
            run = apply(run, entry)
    return run


def apply(run: Run, entry: Entry | Record) -> Run:
    """The run after one more entry; `run` itself stays as it was.

    Raises CannotRun if a change would exceed the limits of a session, or an added line cannot be swum.
    """
    kind = type(entry)
    if isinstance(entry, Stopped) and run.ended_ms is not None:
        return replace(run, stopped=True)  # the end stopped everybody already, and Undo still reverses the end
    if isinstance(entry, Change):
        made = pauses.gathered(run, _DONE_BY[kind](run, entry), entry)
        return replace(made, before=run, by=entry)
    if sets := _SETS.get(kind):
        made = sets(run, entry)
        return pauses.gathered(run, made, entry) if isinstance(entry, TakenBack) else made
    return run


def reaching(run: Run, stay: tuple[bool, ...]) -> Run:
    """The run as if an older change were its last one: later ones are made before that one, or are left out.

    `stay`: for each later change, the last first, whether it stays. Raises CannotRun if there is no older change, or a
    later one can't be made without it.
    """
    if not stay or run.before is None:
        return run
    older, later = run, []
    for stays in stay:
        later += [older.by] if stays and older.by is not None else []
        older = older.before or older
    if older.before is None:
        raise CannotRun([Finding(Severity.STOPS, None, (), tr("nothing to undo"))])
    without = replace(older.before, people=run.people)
    for change in reversed(later):
        without = apply(without, change)
    return replace(run, before=without, by=older.by)


# -- when lanes leave again, worked out before an entry is made ----------------------------------


def resume_mark(run: Run, at_ms: int, lanes: Lanes = None) -> int:
    """When lanes resumed at `at_ms` leave.

    They leave on the first mark of the clock with enough notice at the wall, or at their planned send-off if that is
    later. If all are at a section's start, they leave on the next top or bottom.
    """
    plan = run.timeline.plan
    paused = [lane for lane in run.lanes(lanes) if run.timeline.tracks[lane].paused_ms is not None]
    soonest = soonest_ms(run, at_ms, paused, broken_off=False)
    mark = run.mark(soonest, plan.clock_ms)
    targets = [target for lane in paused if (target := pauses.resumption(run, lane, mark))]
    if targets and not run.others(at_ms, dict.fromkeys(paused)) and all(not at.ordinal for at, _ in targets):
        mark = run.mark(soonest, plan.starts_ms)
    return max(mark, min([leave_ms for _, leave_ms in targets], default=mark))


def move_mark(run: Run, at_ms: int, unit: Unit, step: int = 1, lanes: Lanes = None, *, together: bool = False) -> int:
    """When lanes moved at `at_ms` leave.

    They leave on the first mark with enough notice at the wall; a section starts on the next top or bottom.
    """
    plan = run.timeline.plan
    moved = run.lanes(lanes)
    starts = unit is Unit.SECTION
    if step > 0 and not starts and not run.others(at_ms, dict.fromkeys(moved)):
        targets = moves.move_targets(run, at_ms, unit, step, moved, together=together)
        starts = bool(targets) and all(not at.ordinal for at in targets.values())  # all move to the next section
    step_ms = plan.starts_ms if starts else plan.clock_ms
    return broken_off_mark(run, at_ms, moved, lambda soonest: run.mark(soonest, step_ms))


def broken_off_mark(run: Run, at_ms: int, lanes: Iterable[int], mark: Callable[[int], int]) -> int:
    """When lanes told to break off at `at_ms` leave again: the first `mark` at which all are back."""
    lanes = tuple(lanes)
    leave_ms = mark(soonest_ms(run, at_ms, lanes, broken_off=True))
    while (back := _all_back_ms(run, at_ms, lanes, leave_ms)) > leave_ms:
        leave_ms = mark(back)
    return leave_ms


def can_leave(run: Run, at_ms: int, lanes: Iterable[int], leave_ms: int) -> bool:
    """Whether lanes told to break off at `at_ms` are back, with enough notice, by `leave_ms`."""
    lanes = tuple(lanes)
    soonest = soonest_ms(run, at_ms, lanes, broken_off=True)
    return soonest <= leave_ms and _all_back_ms(run, at_ms, lanes, leave_ms) <= leave_ms


def _all_back_ms(run: Run, at_ms: int, lanes: Iterable[int], leave_ms: int) -> int:
    """When lanes can leave that, by the plan's paces, finish their repeat before `leave_ms`.

    They are not told to break off, but by their recorded times they may be back later.
    """
    made, by_times = leave_ms, run.by_times
    if by_times is None:
        return made
    for lane in lanes:
        if back_ms(run.timeline, lane, at_ms, broken_off=False) + NOTICE_MS <= leave_ms:
            back = [back_ms(by_times, lane, at_ms, broken_off=False, to_come=to_come) for to_come in (True, False)]
            made = max(made, *(each + NOTICE_MS for each in back))
    return made


def soonest_ms(run: Run, at_ms: int, lanes: Iterable[int], *, broken_off: bool) -> int:
    """The earliest send-off that lanes can get at `at_ms`.

    Swimmers hear of it at the wall. `broken_off`: those who are swimming are told to break off; otherwise all finish
    the leader's last repeat. It uses the plan's paces, and the recorded times for swimmers who are slower.
    """
    timelines = [timeline for timeline in (run.timeline, run.by_times) if timeline is not None]
    back = [
        back_ms(timeline, lane, at_ms, broken_off=broken_off, to_come=not broken_off)
        for lane in lanes
        for timeline in timelines
    ]
    return max(back, default=at_ms) + NOTICE_MS


def late_mark(run: Run, at_ms: int, lanes: Lanes = None) -> int:
    """When late lanes leave: the next mark of the clock after the send-off that is due, with enough notice."""
    clock_ms = run.timeline.plan.clock_ms
    due = [
        (track, index)
        for lane in run.lanes(lanes)
        if (index := lateandmissed.due(track := run.timeline.tracks[lane], at_ms)) is not None
    ]
    planned = max([track.sendoffs[index] for track, index in due], default=at_ms)
    return run.mark(max(planned + 1, at_ms + NOTICE_MS), clock_ms)
