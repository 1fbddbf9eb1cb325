"""A helper's act as a journal entry. Pure: the run, the times and the instant are passed in.

A touch belongs where the helper's own clock says, however late it comes; STOP ALL counts when it comes, and only while
it can still be meant.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from pacer.language import tr
from pacer.plan.times import MINUTE_MS
from pacer.screens.fromscreens import Act
from pacer.session.journal.entries import Stopped
from pacer.session.journal.recordentries import Rated, Touched
from pacer.session.records.strokefigures import rated, rating
from pacer.session.records.touches import TakenTime, due, touched
from pacer.session.running.replay import Run

OLD_STOP_MS = 10_000  #: a STOP ALL that is older when it comes stops nothing: who pressed it was told to shout
AHEAD_MS = (
    1_000  #: an act may be ahead of the tablet by this much and its bound: no clock is both that wrong and that sure
)
OLDEST_TOUCH_MS = 30 * MINUTE_MS  #: a touch that is older was kept somewhere, and not by a phone beside the lane


def entry_of(
    act: Act, source: str, run: Run, times: Sequence[TakenTime], now_ms: int
) -> Touched | Rated | Stopped | str:
    """The entry that an act makes at session time `now_ms`; a text says why it makes none."""
    if run.begun is None or run.ended_ms is not None:
        return tr("No session is running.")
    if act.at_ms > now_ms + act.bound_ms + AHEAD_MS:
        return tr("This screen's clock is ahead. Wait a moment and press again.")
    if act.kind == "stop all":
        if now_ms - act.at_ms > OLD_STOP_MS + act.bound_ms:
            return tr("Not stopped: the tablet got it too late. Shout STOP.")
        return tr("All lanes are stopped already.") if run.stopped else Stopped(now_ms, source, act.n, again=True)
    if act.lane is None or act.lane >= len(run.timeline.tracks):
        return tr("There is no such lane.")
    if now_ms - act.at_ms > OLDEST_TOUCH_MS:
        return tr("Too late: not saved.")
    if act.kind == "touch":
        found = due(run, times, act.lane, act.at_ms)
        if found is None:
            return tr("Nobody is due at the wall.")
        return replace(touched(found, act.at_ms), source=source, act=act.n, bound_ms=act.bound_ms)
    assert act.marks_ms is not None, "a rate has marks"
    entry = rated(act.lane, act.marks_ms, cycles=act.cycles)
    if rating(entry) is None:
        return tr("No stroke rate from those taps. Tap again.")
    return replace(entry, source=source, act=act.n, bound_ms=act.bound_ms)
