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
)
from pacer.session.running import addandskip, countchanges, lateandmissed, moves, pauses, swimmermoves
from pacer.session.running.runstate import Run
from pacer.session.running.undo import taken_back
from pacer.timeline.course import Course
from pacer.timeline.findings import CannotRun, Finding, Severity
from pacer.timeline.timeline import Timeline

if TYPE_CHECKING:
    from pacer.session.journal.recordentries import Record

__all__ = ["LEAD_IN_MS", "REOPEN_MS", "Run", "apply", "fresh", "reaching", "replay"]

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
    made = _applied(run, entry)
    for track in made.timeline.tracks:
        track.final = True
    return made


def _applied(run: Run, entry: Entry | Record) -> Run:
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
