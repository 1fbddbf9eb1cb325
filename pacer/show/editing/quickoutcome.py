"""The result of a quick set in words: how far and how long, which lanes can't make it, what else matters. No Kivy."""

from __future__ import annotations

from pacer.language import tr
from pacer.plan.times import whole_up
from pacer.show.wording.totalstext import span
from pacer.squad.lanenumbers import lane_numbers
from pacer.timeline.findings import Severity
from pacer.timeline.summary.totals import Totals

UNREAD = tr("not understood yet")


def tight_lanes(totals: Totals | None) -> list[int]:
    """Lanes that cannot make the interval."""
    found = () if totals is None else totals.findings
    return sorted(
        {
            lane
            for each in found
            if each.severity <= Severity.WRONG and any(r.kind == "on" for r in each.remedies)
            for lane in each.lanes
        }
    )


def outcome(totals: Totals | None, lanes: int, asked: bool) -> tuple[str, str]:
    """How far and how long it is for that many lanes, and the text's colour; `asked`: the coach was asked whether to
    start although it is too tight.
    """
    if totals is None:
        return UNREAD, "dim"
    comes = tr("{span} in {end}", span=span(totals), end=whole_up(totals.end_ms))
    if totals.stops:
        return totals.findings[0].message, "warn"
    if tight := tight_lanes(totals):
        whom = lane_numbers(tight, lanes) or tr("this lane")
        return tr("Too tight for {whom}. Start anyway?", whom=whom) if asked else tr(
            "{comes}; too tight for {whom}", comes=comes, whom=whom
        ), "warn"
    worst = next((each for each in totals.findings if each.severity <= Severity.CARE), None)
    if worst is None:
        return comes, "ink"
    whom = lane_numbers(worst.lanes, lanes)
    said = f"{whom}: {worst.message}" if whom else worst.message
    return said, "warn" if worst.severity <= Severity.WRONG else "ink"


def would_start(totals: Totals | None, lanes: int, anyway: bool) -> tuple[str, ...]:
    """Why it can't start, or what is asked first, the longest way first; () if it starts at once."""
    if totals is None:
        return (UNREAD,)
    if totals.stops:
        return (*totals.findings[0].ways, tr("can't run"))
    tight = tight_lanes(totals)
    if tight and not anyway:
        return tr(
            "too tight for {lanes}: pacer will ask before it starts",
            lanes=lane_numbers(tight, lanes) or tr("this lane"),
        ), tr("asks first")
    if any(each.severity is Severity.HAZARD for each in totals.findings):
        return tr("Confirm the flagged set first"), tr("confirm first")
    return ()
