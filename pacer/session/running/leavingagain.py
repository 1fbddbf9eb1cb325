"""When lanes leave again after a press: worked out before its entry is made, and kept in the entry.

Each send-off gives those who leave NOTICE_MS at the wall, once all are back.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from pacer.session.journal.entries import Lanes, LeftLate, Unit
from pacer.session.poolclock import next_top
from pacer.session.running.instant import NOTICE_MS
from pacer.session.running.lateandmissed import due
from pacer.session.running.moves import move_targets
from pacer.session.running.pauses import resumption
from pacer.session.running.runstate import Run
from pacer.session.running.whereabouts import back_ms, swims_by_number


def next_mark(run: Run, at_ms: int, soonest_ms: int | None = None) -> int:
    """The next mark of the clock with enough notice, from `soonest_ms` on if that is given."""
    with_notice = at_ms + NOTICE_MS
    return run.mark(with_notice if soonest_ms is None else max(with_notice, soonest_ms), run.timeline.plan.clock_ms)


def resume_mark(run: Run, at_ms: int, lanes: Lanes = None) -> int:
    """When lanes resumed at `at_ms` leave.

    They leave on the first mark of the clock with enough notice at the wall, or at their planned send-off if that is
    later. If all are at a section's start, they leave on the next top or bottom.
    """
    plan = run.timeline.plan
    paused = [lane for lane in run.lanes(lanes) if run.timeline.tracks[lane].paused_ms is not None]
    soonest = soonest_ms(run, at_ms, paused, broken_off=False)
    mark = run.mark(soonest, plan.clock_ms)
    targets = [target for lane in paused if (target := resumption(run, lane, mark))]
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
        targets = move_targets(run, at_ms, unit, step, moved, together=together)
        starts = bool(targets) and all(not at.ordinal for at in targets.values())  # all move to the next section
    step_ms = plan.starts_ms if starts else plan.clock_ms
    return _broken_off_mark(run, at_ms, moved, lambda soonest: run.mark(soonest, step_ms))


def section_mark(run: Run, at_ms: int, lanes: Lanes = None) -> int:
    """When lanes start a section that is started now: on the next mark with enough notice at the wall."""
    clock_ms = run.timeline.plan.clock_ms
    return _broken_off_mark(run, at_ms, run.lanes(lanes), lambda soonest: run.mark(soonest, clock_ms))


def section_top(run: Run, at_ms: int, lanes: Lanes = None) -> int:
    """The same, when the pool clock next passes the top."""
    return _broken_off_mark(run, at_ms, run.lanes(lanes), lambda soonest: next_top(soonest, run.phase_ms))


def late_mark(run: Run, at_ms: int, lanes: Lanes = None) -> int:
    """When late lanes leave: the next mark of the clock after the send-off that is due, with enough notice."""
    tracks = [run.timeline.tracks[lane] for lane in run.lanes(lanes)]
    planned = [track.sendoffs[index] for track in tracks if (index := due(track, at_ms)) is not None]
    return next_mark(run, at_ms, max(planned, default=at_ms) + 1)


def undo_mark(run: Run, at_ms: int, lanes: Iterable[int]) -> int:
    """When lanes leave for which the run's last change has happened, if it is undone at `at_ms`."""
    leave_ms = run.mark(soonest_ms(run, at_ms, lanes, broken_off=False), run.timeline.plan.clock_ms)
    if isinstance(run.by, LeftLate) and run.by.leave_ms > at_ms:
        return min(leave_ms, run.by.leave_ms)  # undoing a delay delays nobody further
    return leave_ms


def back_for_another_lane(run: Run, at_ms: int, lane: int, place: int) -> int | None:
    """When a swimmer has swum their repeat, or their set if it is swum straight through, and has had notice.

    None if they are at the wall and don't leave any more. By the plan's paces, and by the recorded times if they are
    slower.
    """
    swimmers, waits = len(run.timeline.squad.lanes[lane].swimmers), run.joining.get(lane, ())
    home_ms = at_ms
    if place >= swimmers - len(waits):  # not here yet: they come from a third lane
        home_ms = max(home_ms, waits[place - swimmers] - NOTICE_MS)
    for timeline in (run.timeline, run.by_times):
        if timeline is None:
            continue
        track, until_ms = timeline.tracks[lane], at_ms
        index = track.index_at(at_ms)
        if index >= 0 and track.paused_ms is None and (found := track.pass_at(index)).laneline.own is not None:
            until_ms = max(at_ms, track.sendoffs[found.first + found.count - 1])
        number = timeline.squad.lanes[lane].swimmers[place].number
        swim = swims_by_number(timeline, lane, until_ms, to_come=True)[number]
        home_ms = home_ms if swim is None else max(home_ms, swim.home_ms)
    return home_ms + NOTICE_MS if home_ms > at_ms else None


def following_sendoff(run: Run, at_ms: int, lane: int, leader: int) -> int | None:
    """The next send-off of `leader`'s lane for which all in `lane`, told to follow it at `at_ms`, are back, with enough
    notice.
    """
    track = run.timeline.tracks[leader]
    first = due(track, at_ms + NOTICE_MS)
    for index in range(len(track.sendoffs) if first is None else first, len(track.sendoffs)):
        found, leave_ms = track.pass_at(index), track.sendoffs[index]
        if (found.laneline.own is None or index == found.first) and can_leave(run, at_ms, (lane,), leave_ms):
            return leave_ms
    return None


def can_leave(run: Run, at_ms: int, lanes: Iterable[int], leave_ms: int) -> bool:
    """Whether lanes told to break off at `at_ms` are back, with enough notice, by `leave_ms`."""
    lanes = tuple(lanes)
    soonest = soonest_ms(run, at_ms, lanes, broken_off=True)
    return soonest <= leave_ms and _all_back_ms(run, at_ms, lanes, leave_ms) <= leave_ms


def _broken_off_mark(run: Run, at_ms: int, lanes: Iterable[int], mark: Callable[[int], int]) -> int:
    """When lanes told to break off at `at_ms` leave again: the first `mark` at which all are back.

    Nobody leaves before the session's start: until then only what is swum first changes.
    """
    lanes = tuple(lanes)
    leave_ms = mark(soonest_ms(run, at_ms, lanes, broken_off=True))
    while (back := _all_back_ms(run, at_ms, lanes, leave_ms)) > leave_ms:
        leave_ms = mark(back)
    return max(leave_ms, 0)


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
