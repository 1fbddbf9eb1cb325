"""A session as it will be swum: its flexible counts fitted to the booking, then laid out."""

from __future__ import annotations

from pacer.plan.model import Plan
from pacer.squad.model import Squad
from pacer.timeline.build import build_timeline
from pacer.timeline.fit import Fit, fit
from pacer.timeline.hazards import hazard_lines
from pacer.timeline.model import Timeline


def planned(plan: Plan, squad: Squad) -> tuple[Timeline, Fit]:
    """The timeline that the fit chooses, and the fit; nothing is added to lines flagged as hazards.

    Raises `CannotRun` as `build_timeline` does.
    """
    fitted = fit(plan, squad, frozen=hazard_lines(plan))
    return build_timeline(plan, squad, fitted.counts), fitted
