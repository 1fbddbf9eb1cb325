"""Finish by a time, as the leaf does it in steps: the rest of the session, its fit, the entry."""

from __future__ import annotations

from pacer.session.journal.entries import Refitted
from pacer.session.running.presses import finish_by, fitted, rest_to_fit
from pacer.session.running.runstate import Run
from pacer.timeline.fit.fitcounts import Fit


def refit(run: Run, at_ms: int, out_ms: int) -> tuple[Refitted, Fit]:
    """Everybody out by `out_ms` of session time. Raises CannotRun if that is not possible."""
    rest = rest_to_fit(run, at_ms)
    chosen = fitted(run, rest, out_ms)
    return finish_by(run, at_ms, out_ms, rest.leave_ms, chosen), chosen
