"""When lanes leave, in words: as a clock reading, and how long that is where it is long. No Kivy."""

from __future__ import annotations

from collections.abc import Mapping

from pacer.language import tr, tr_n
from pacer.plan.times import MINUTE_MS
from pacer.session.running.runstate import Run
from pacer.show.wording.timereadings import clock_reading, count_down, seconds_to_go
from pacer.show.wording.waitingtext import named


def when(run: Run, leave_ms: int, at_ms: int) -> str:
    """A send-off as a clock reading; if it is more than a minute away, also the time until then."""
    reading = clock_reading(leave_ms, run.phase_ms)
    if leave_ms - at_ms <= MINUTE_MS or run.begun is None:
        return reading
    return tr("{reading} (in {seconds_to_go})", reading=reading, seconds_to_go=_to_go(leave_ms, at_ms))


def first_leaves(run: Run, clocks: Mapping[int, list[int]], at_ms: int) -> tuple[str, ...]:
    """When the first of several lanes leaves; `clocks`: the lanes (indexes) by when they leave next, in ms.

    If the last leave more than a minute after that, also which these are and how long that is; at the shortest only
    that: `first leaves :10, lanes 2, 4 in 11:19`, `lanes 2, 4 leave in 11:19`.
    """
    first_ms, last_ms = min(clocks), max(clocks)
    first = when(run, first_ms, at_ms)
    if last_ms - max(first_ms, at_ms) <= MINUTE_MS:
        return (tr("first leaves {first}", first=first),)
    last = clocks[last_ms]
    said = {"lanes": named(run, last), "time": _to_go(last_ms, at_ms)}
    return (
        tr("first leaves {first}, {lanes} in {time}", first=first, **said),
        tr_n("{lanes} leaves in {time}", "{lanes} leave in {time}", len(last), **said),
    )


def _to_go(leave_ms: int, at_ms: int) -> str:
    return count_down(seconds_to_go(leave_ms - at_ms))
