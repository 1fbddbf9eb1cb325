"""When everybody is out: of a session that keeps going, is paused, or has ended."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache

from pacer.plan.times import SECOND_MS
from pacer.session.journal.entries import Resumed
from pacer.session.running.instant import NOTICE_MS
from pacer.session.running.leavingagain import resume_mark
from pacer.session.running.replay import apply
from pacer.session.running.runstate import Run
from pacer.session.running.whereabouts import last_swims
from pacer.timeline.timeline import Timeline


def finish_ms(run: Run, at_ms: int) -> int:
    """When everybody is out, as the screen says at `at_ms`; of a session that is paused as a whole: if it is resumed
    then. Of one that was ended: when the last swimmer is home, not when it was ended.
    """
    return going(run, at_ms).timeline.end_ms if run.ended_ms is None else _home_ms(run.timeline, run.ended_ms)


@lru_cache(8)
def _home_ms(timeline: Timeline, ended_ms: int) -> int:
    """The last touch of a session that was ended; `ended_ms` if nobody had left."""
    homes = []
    for lane, track in enumerate(timeline.tracks):
        if track.paused_ms is None:
            homes.append(track.end_ms)
        else:
            homes += [swim.home_ms for swim in last_swims(timeline, lane, ended_ms) if swim is not None]
    return max(homes, default=ended_ms)


def going(run: Run, at_ms: int) -> Run:
    """The run; if all who have still to swim are paused, as it is once they are resumed at `at_ms`."""
    tracks = run.timeline.tracks
    if run.ended_ms is not None or not any(track.paused_ms is not None for track in tracks):
        return run
    if any(track.paused_ms is None and at_ms < track.end_ms for track in tracks):
        return run
    since_ms = min(track.paused_ms for track in tracks if track.paused_ms is not None)
    at_ms = max(since_ms, at_ms - (at_ms - since_ms) % SECOND_MS)
    planned, paced = run.paced_from or (run, None)
    return _resumed(planned, paced, _mark(planned, run.by_times if paced is None else run.timeline, at_ms))


@lru_cache(8)
def _mark(run: Run, by_times: Timeline | None, at_ms: int) -> int:
    return resume_mark(replace(run, by_times=by_times), at_ms)


@lru_cache(8)
def _resumed(run: Run, paced: Callable[[Run], Run] | None, leave_ms: int) -> Run:
    made = apply(run, Resumed(leave_ms - NOTICE_MS, leave_ms))
    return made if paced is None else paced(made)
