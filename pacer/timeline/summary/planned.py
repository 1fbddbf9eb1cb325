"""A session as it will be swum: flexible counts fitted to the booking, laid out, with all findings."""

from __future__ import annotations

from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook
from pacer.plan.model import Plan
from pacer.squad.squad import Squad
from pacer.timeline.checks.drillnames import findings_of_drills
from pacer.timeline.checks.planchecks import findings, worst_first
from pacer.timeline.checks.traffic import findings_of_traffic
from pacer.timeline.findings import Finding
from pacer.timeline.fit.fitcounts import Fit, fit
from pacer.timeline.hazards import hazard_lines
from pacer.timeline.timeline import Timeline, build_timeline


def planned(plan: Plan, squad: Squad) -> tuple[Timeline, Fit]:
    """The timeline that the fit chooses, and the fit; nothing is added to lines flagged as hazards.

    Raises `CannotRun` as `build_timeline` does.
    """
    fitted = fit(plan, squad, frozen=hazard_lines(plan))
    timeline = build_timeline(plan, squad, fitted.counts)
    timeline.missed = fitted.missed
    return timeline, fitted


def all_findings(timeline: Timeline, book: DrillBook = EMPTY_BOOK) -> tuple[Finding, ...]:
    """All findings about a session, including room in the lane and drill names; worst first."""
    drills = findings_of_drills(timeline.plan, book)
    return worst_first((*findings(timeline), *findings_of_traffic(timeline), *drills))
