"""Make the journal entry for a press: each function returns the entry, None if there is nothing to do.

All decisions are made here and kept in the entry: when lanes leave, which counts were chosen.
`outlook.outlook(run, entry)` then previews what the entry would do.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from contextlib import suppress
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from pacer.language import tr
from pacer.plan.times import MINUTE_MS
from pacer.session.journal.entries import (
    Change,
    CountChanged,
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
from pacer.session.running.addandskip import ahead, lines_of, places_for
from pacer.session.running.countchanges import line_in_hand, rest_of
from pacer.session.running.finish import going
from pacer.session.running.instant import READY_MS
from pacer.session.running.lateandmissed import due
from pacer.session.running.leavingagain import (
    back_for_another_lane,
    can_leave,
    following_sendoff,
    late_mark,
    move_mark,
    next_mark,
    resume_mark,
    section_mark,
    section_top,
    undo_mark,
)
from pacer.session.running.moves import can_move
from pacer.session.running.pauses import paused_by_end
from pacer.session.running.replay import apply, reaching
from pacer.session.running.runstate import Run
from pacer.session.running.undo import is_over, to_reopen, touched_lanes
from pacer.timeline.course import TakeUp
from pacer.timeline.findings import CannotRun, Finding, Severity
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import Track

if TYPE_CHECKING:
    from pacer.session.journal.recordentries import Record, Withdrawn
    from pacer.timeline.fit.fitcounts import Fit

REACH = 20  #: how many changes Undo looks back (our choice)


def matched(at_ms: int) -> Matched:
    """The entry for a tap at `at_ms`, when the hand of the pool clock passed the top.

    >>> matched(43_000).phase_ms
    17000
    """
    return Matched(at_ms, -at_ms % MINUTE_MS, marks=True)


def pause(run: Run, at_ms: int, lanes: Lanes = None) -> Paused | None:
    """Pause lanes from now on."""
    tracks = run.timeline.tracks
    able = any(tracks[lane].paused_ms is None and at_ms < tracks[lane].end_ms for lane in run.lanes(lanes))
    return Paused(at_ms, lanes, breaks_off=True, again=True) if able else None


def resume(run: Run, at_ms: int, lanes: Lanes = None) -> Resumed | None:
    """Let paused lanes leave again."""
    waiting = set(run.paused()) & set(run.lanes(lanes))
    return Resumed(at_ms, resume_mark(run, at_ms, lanes), lanes) if waiting else None


def move(run: Run, at_ms: int, unit: Unit, step: int, lanes: Lanes = None) -> Moved | None:
    """Move lanes to the next or previous repeat, line or section."""
    if not can_move(run, at_ms, unit, step, lanes):
        return None
    together = unit is Unit.LINE and step > 0
    leave_ms = move_mark(run, at_ms, unit, step, lanes, together=together)
    return Moved(at_ms, unit, step, leave_ms, lanes, together)


def late(run: Run, at_ms: int, lanes: Lanes = None) -> LeftLate | None:
    """Let lanes leave late, on the mark after the send-off that is due: those who are due first, and all who are due
    within READY_MS of them. Lanes that leave later are not late.
    """
    tracks, due_ms = run.timeline.tracks, {}
    for lane in run.lanes(lanes):
        index = due(tracks[lane], at_ms)
        if index is not None:
            due_ms[lane] = tracks[lane].sendoffs[index]
    if not due_ms:
        return None
    late = tuple(lane for lane, ms in due_ms.items() if ms <= min(due_ms.values()) + READY_MS)
    late_lanes = lanes if len(late) == len(due_ms) else late
    return LeftLate(at_ms, late_mark(run, at_ms, late_lanes), late_lanes)


def miss(run: Run, at_ms: int, lanes: Lanes = None) -> Missed | None:
    """Let lanes sit out the repeat that is due; those that wait for their next section, only if all do."""
    tracks = run.timeline.tracks
    able = [lane for lane in run.lanes(lanes) if due(tracks[lane], at_ms) is not None]
    here = [lane for lane in able if not _waits_for_section(tracks[lane], at_ms)] or able
    if not here:
        return None
    return Missed(at_ms, lanes if len(here) == len(able) else tuple(here))


def _waits_for_section(track: Track, at_ms: int) -> bool:
    """Whether the repeat that is due begins another section than the lane left in last."""
    index = due(track, at_ms) or 0
    return index > 0 and track.pass_at(index - 1).section != track.pass_at(index).section


def change_count(run: Run, at_ms: int, by: int, lanes: Lanes = None, *, rounds: bool = False) -> CountChanged | None:
    """Add `by` repeats (negative: fewer) of the current line, or rounds of the current section."""
    ahead = by < 0 and not rounds
    tracks = [run.timeline.tracks[lane] for lane in run.lanes(lanes)]
    able = any(line_in_hand(track, at_ms, ahead=ahead, just_swum=rounds) for track in tracks)
    if not able:
        return None
    return CountChanged(at_ms, by, next_mark(run, at_ms), rounds, lanes, in_time=True, one_section=True)


def change_interval(run: Run, at_ms: int, interval_ms: int, lanes: Lanes = None) -> IntervalChanged | None:
    """Change the interval from now on."""
    able = any(line_in_hand(run.timeline.tracks[lane], at_ms, ahead=True) for lane in run.lanes(lanes))
    return IntervalChanged(at_ms, interval_ms, next_mark(run, at_ms), lanes) if able else None


def put_line_in(run: Run, at_ms: int, text: str, lanes: Lanes = None) -> LinePutIn | None:
    """Add a line, or several, to be swum next, once: `10 x 100 on 1:40`.

    Raises Unreadable if `text` is not a line; then nothing changes.
    """
    items = lines_of(text, run.timeline.plan.pool, run.timeline.squad.words)
    entry = LinePutIn(at_ms, text, next_mark(run, at_ms), lanes, one_place=True, in_wait=True, in_time=True)
    return entry if places_for(run, entry, items) else None


def leave_line_out(run: Run, at_ms: int, section: int, line: int, lanes: Lanes = None) -> LineLeftOut | None:
    """Skip a line from now on, by its section's index and its number there: the current one or a later one."""
    able = any(ahead(run.timeline.tracks[lane], at_ms, section, line) for lane in run.lanes(lanes))
    return LineLeftOut(at_ms, section, line, lanes) if able else None


def start_section(run: Run, at_ms: int, section: int, lanes: Lanes = None) -> SectionSet:
    """Start a section now: on the next mark with enough notice at the wall."""
    return SectionSet(at_ms, section, section_mark(run, at_ms, lanes), lanes)


def start_section_at_top(run: Run, at_ms: int, section: int, lanes: Lanes = None) -> SectionSet:
    """Start a section when the pool clock next passes the top with everybody back at the wall."""
    return SectionSet(at_ms, section, section_top(run, at_ms, lanes), lanes)


def start_section_at(run: Run, at_ms: int, section: int, wall_ms: int, lanes: Lanes = None) -> SectionSet | None:
    """Start a section at a time of day, in milliseconds since 1970; None if that is past, too near or before the start
    of the session.
    """
    leave_ms = session_ms(run, wall_ms)
    able = leave_ms >= 0 and can_leave(run, at_ms, run.lanes(lanes), leave_ms)
    return SectionSet(at_ms, section, leave_ms, lanes) if able else None


def session_ms(run: Run, wall_ms: int) -> int:
    """The session time of a time of day, by the wall time when the session was started or resumed."""
    assert run.begun is not None
    return wall_ms - run.begun.wall_ms


def join(
    run: Run, at_ms: int, lane: int, *, place: int | None = None, base_ms: int | None = None, name: str = "",
    back: int | None = None, absent: int | None = None,
) -> SwimmerJoined:  # fmt: skip
    """Let a swimmer join a lane: somebody new, one who got out and comes `back`, or who was `absent`."""
    return SwimmerJoined(at_ms, lane, next_mark(run, at_ms), place, base_ms, name, back, absent)


def leave(run: Run, at_ms: int, lane: int, place: int) -> SwimmerLeft | None:
    """Let a swimmer leave the water for good."""
    return SwimmerLeft(at_ms, lane, place) if place < len(run.timeline.squad.lanes[lane].swimmers) else None


def change_lane(
    run: Run, at_ms: int, lane: int, place: int, to_lane: int, to_place: int | None = None
) -> SwimmerChanged | None:
    """Move a swimmer to another lane, or to another place in the lane."""
    if place >= len(run.timeline.squad.lanes[lane].swimmers):
        return None
    joins_ms = None if to_lane == lane else back_for_another_lane(run, at_ms, lane, place)
    return SwimmerChanged(at_ms, lane, place, to_lane, next_mark(run, at_ms, joins_ms), to_place, joins_ms)


def join_lane(run: Run, at_ms: int, lane: int, leader: int) -> LaneJoined | None:
    """Let a lane follow another, from that lane's next send-off that it can make."""
    if lane == leader or run.timeline.tracks[leader].paused_ms is not None:
        return None
    leave_ms = following_sendoff(run, at_ms, lane, leader)
    return None if leave_ms is None else LaneJoined(at_ms, lane, leader, leave_ms, breaks_off=True)


class Rest(NamedTuple):
    """The rest of a session for a refit: when paused lanes could leave, what each lane has swum, and where and when it
    continues. As long as this stays the same, so does the fit.
    """

    leave_ms: int
    tracks: Mapping[int, Track]
    entries: Mapping[int, TakeUp]


def rest_to_fit(run: Run, at_ms: int) -> Rest:
    """The rest of the session at `at_ms`; if all are paused, as if they were resumed then."""
    leave_ms = next_mark(run, at_ms)
    return Rest(leave_ms, *rest_of(going(run, at_ms), at_ms, leave_ms))


def fitted(run: Run, rest: Rest, out_ms: int) -> Fit:
    """Choose the flexible counts of the rest so that everybody is out by `out_ms` of session time.

    It may take up to 0.3 s. Raises CannotRun as `fit_rest` does.
    """
    from pacer.timeline.fit.fitcounts import fit_rest  # imported here: a session that follows its plan needs no fit

    tracks = [track.copy() for _, track in sorted(rest.tracks.items())]
    later = run.marks_ms  # the fit's marks are multiples of its times
    for track in tracks:
        track.end_ms += later
    entries = {
        lane: at._replace(at_ms=at.at_ms + later, section_ms=None if at.section_ms is None else at.section_ms + later)
        for lane, at in rest.entries.items()
    }
    found = fit_rest(run.course, entries, tracks, end_ms=out_ms + later)
    return replace(found, end_ms=found.end_ms - later, limit_ms=out_ms)


def finish_by(run: Run, at_ms: int, out_ms: int, leave_ms: int, chosen: Fit) -> Refitted:
    """Use the chosen counts from `at_ms` on.

    Raises CannotRun if the session would end later with them, or if less were swum and it would end no sooner for it.
    """
    counts = tuple((section, line, tuple(lanes)) for (section, line), lanes in chosen.counts.items())
    entry = Refitted(at_ms, out_ms, leave_ms, counts)
    was, made = (going(each, at_ms).timeline for each in (run, apply(run, entry)))
    less = _metres(made) < _metres(was)
    if made.end_ms > max(out_ms, was.end_ms) or less and out_ms < was.end_ms <= made.end_ms:
        raise CannotRun([Finding(Severity.STOPS, None, (), tr("with fewer rounds it would not finish sooner"))])
    if less and was.end_ms <= out_ms:
        raise CannotRun([Finding(Severity.STOPS, None, (), tr("it already finishes by then"))])
    return entry


def _metres(timeline: Timeline) -> int:
    """What all swimmers swim together."""
    return sum(timeline.distance(lane) * len(each.swimmers) for lane, each in enumerate(timeline.squad.lanes))


class _Later(NamedTuple):
    """A change that Undo looks past: for which lanes (indexes), and whether it can no longer be undone."""

    change: Change
    lanes: frozenset[int]
    gone: bool


def undo(run: Run, at_ms: int) -> TakenBack | None:
    """Undo the last change whose undoing changes anything, among the last `REACH` ones; if there is none, the last one.

    Later ones for other lanes, and those that can no longer be undone, stay; others are undone with it.
    """
    from pacer.session.running.outlook import about  # not needed for the first picture

    change: Run | None = run
    later: list[_Later] = []  # the last first
    while change is not None and change.by is not None and len(later) < REACH:
        by, lanes, gone = change.by, frozenset(about(change.by, run)), True
        tries = (tuple([each.gone or not lanes & each.lanes for each in later]), (True,) * len(later))
        for stay in () if _is_resumed(by, lanes, later) else dict.fromkeys(tries):
            if isinstance(by, _WHO) and any(map(_changes_who, later, stay)):
                continue  # the later one's places would be other swimmers'
            with suppress(CannotRun):
                entry = take_back(run, at_ms, stay)
                if entry is not None and undoes_anything(run, at_ms, entry):
                    return entry
                gone = gone and (entry is None or isinstance(by, LinePutIn))
        later.append(_Later(by, lanes, gone))
        change = change.before
    return take_back(run, at_ms)


_WHO = SwimmerJoined | SwimmerLeft | SwimmerChanged


def _changes_who(later: _Later, stays: bool) -> bool:
    return stays and isinstance(later.change, _WHO)


def _is_resumed(change: Change, lanes: frozenset[int], later: Iterable[_Later]) -> bool:
    """Whether a change is a pause whose lanes were resumed, and have left again."""
    return isinstance(change, Paused | Stopped) and any(
        isinstance(each.change, Resumed) and lanes & each.lanes for each in later
    )


def take_back(run: Run, at_ms: int, stay: tuple[bool, ...] = ()) -> TakenBack | None:
    """Undo the last change, or an older one: see `TakenBack.stay`.

    Lanes for which it has happened leave again on the next mark of the clock with enough notice at the wall.
    """
    run = reaching(run, stay)
    if run.before is None or is_over(run, at_ms):
        return None
    return TakenBack(at_ms, undo_mark(run, at_ms, touched_lanes(run, at_ms)), stay=stay, again=True)


def undoes_anything(run: Run, at_ms: int, entry: TakenBack) -> bool:
    """Whether the session goes on otherwise after `entry`. Raises CannotRun if it can't be made."""
    from pacer.session.running.differences import Beside  # not needed for the first picture

    return Beside.of(run, apply(run, entry), at_ms).any()


def reopen(run: Run, at_ms: int) -> TakenBack:
    """Resume an ended session like a paused one; what was stopped after its end stays stopped.

    Lanes in which nobody has stopped yet, or would have left since, swim on.
    """
    if run.stopped:
        return TakenBack(at_ms, stopped=True, again=True)
    happened, lanes = touched_lanes(run, at_ms), paused_by_end(run)
    if not happened:
        return TakenBack(at_ms)
    entry = TakenBack(at_ms, swims_on=not set(lanes) <= set(happened), again=True)
    paused, stopped = to_reopen(run, entry)
    return replace(entry, leave_ms=resume_mark(paused, at_ms, stopped))


def withdraw(journal: Iterable[object], entry: Record, at_ms: int) -> Withdrawn | None:
    """Undo the record `entry`, such as a correction; None if the journal does not have it."""
    from pacer.session.journal.recordentries import Withdrawn, standing  # not needed for the first picture

    number = max([number for number, one in standing(journal) if one == entry], default=None)
    return None if number is None else Withdrawn(at_ms, number)
