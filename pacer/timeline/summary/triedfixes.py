"""Fixes tried before they are offered: what the plan is like with each of them.

One that only trades a finding for another as grave is not offered; if all do that, they are, and say what would follow.
One after which the session no longer ends in time is offered together with what brings it back.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import NamedTuple

from pacer.language import listed, tr
from pacer.plan.model import Plan
from pacer.plan.text.fixes import Fix
from pacer.plan.text.livepage import LivePage
from pacer.squad.squad import Squad
from pacer.timeline.cancellation import step
from pacer.timeline.checks.remedies import fix_together, fixes_of, fixes_to_fit
from pacer.timeline.checks.shortening import ways_to_fit
from pacer.timeline.findings import CannotRun, Finding, Severity
from pacer.timeline.summary.planned import all_findings, planned
from pacer.timeline.timeline import Timeline

_NUMBERS = re.compile(r"\d[\d:,.]*")


class Offers(NamedTuple):
    """The fixes to offer for each of some findings, in their order, and one for all of them together, if any."""

    fixes: tuple[tuple[Fix, ...], ...]
    together: Fix | None = None


class _Tried(NamedTuple):
    """A page with a fix: its session, and what is newly found there, worst first."""

    lines: list[str]
    timeline: Timeline
    new: tuple[Finding, ...]


def offers_for(found: Sequence[Finding], lines: Sequence[str], squad: Squad) -> Offers:
    """The fixes to offer for findings about one line of the page `lines`, each of them tried if the plan can run."""
    live = LivePage(squad.words)
    reading = live.read(list(lines))
    fixes = tuple([fixes_of(each, lines, reading, squad, live) for each in found])
    whole = fix_together(found, lines, reading, squad, live)
    if reading.plan is None:
        return Offers(fixes, whole)
    try:
        before = _kinds(_findings(reading.plan, squad)[1])
    except CannotRun:
        return Offers(fixes, whole)
    sound = partial(_sound, lines=list(lines), squad=squad, live=live, before=before)
    together = () if whole is None else sound((whole,), min(each.severity for each in found))
    return Offers(
        tuple([sound(some, each.severity) for some, each in zip(fixes, found)]), together[0] if together else None
    )


def _sound(
    fixes: Sequence[Fix], severity: Severity, lines: list[str], squad: Squad, live: LivePage, before: Counter
) -> tuple[Fix, ...]:
    """The fixes that bring nothing as grave as `severity`; if there are none, all of them with what they bring."""
    kept, faulted = [], []
    for fix in fixes:
        step()
        tried = _tried(fix, lines, squad, live, before, severity)
        if tried is None:
            continue
        whole = fix if not tried.new else _back_in_time(fix, tried, lines, squad, live, before, severity)
        if whole is not None:
            kept.append(whole)
        else:
            faulted.append(replace(fix, says=tr("{fix}; then: {what}", fix=fix.says, what=tried.new[0].message)))
    return tuple(kept or faulted)


def _tried(
    fix: Fix, lines: list[str], squad: Squad, live: LivePage, before: Counter, severity: Severity
) -> _Tried | None:
    """The page with the fix; None if it can't run."""
    page = fix.applied(lines)
    plan = live.would(page).plan
    if plan is None:
        return None
    try:
        timeline, found = _findings(plan, squad)
    except CannotRun:
        return None
    more = _kinds(found) - before
    return _Tried(page, timeline, tuple(each for each in found if each.severity <= severity and _kind(each) in more))


def _back_in_time(
    fix: Fix, tried: _Tried, lines: list[str], squad: Squad, live: LivePage, before: Counter, severity: Severity
) -> Fix | None:
    """The fix together with what brings the session back within its booking; None if nothing does without harm."""
    for way in ways_to_fit(tried.timeline):
        for more in fixes_to_fit([way], tried.lines, live.would(tried.lines), squad, live):
            both = _joined(fix, more, lines, tried.lines)
            again = None if both is None else _tried(both, lines, squad, live, before, severity)
            if again is not None and not again.new:
                return both
    return None


def _joined(fix: Fix, more: Fix, lines: list[str], between: list[str]) -> Fix | None:
    """Both changes as one; None if one of them adds lines."""
    page = more.applied(between)
    if len(page) != len(lines):
        return None
    changed = [
        Fix("", at, 0, len(was), now) for at, (was, now) in enumerate(zip(lines, page, strict=True)) if was != now
    ]
    if not changed:
        return None
    first = next((each for each in changed if each.line == fix.line), changed[0])
    also = tuple(each for each in changed if each is not first)
    return replace(first, says=listed([fix.says, more.says]), also=also)


def _findings(plan: Plan, squad: Squad) -> tuple[Timeline, tuple[Finding, ...]]:
    timeline, _ = planned(plan, squad)
    return timeline, all_findings(timeline)


def _kind(finding: Finding) -> tuple[Severity, str]:
    """What is found, whatever its numbers and wherever it is."""
    return finding.severity, _NUMBERS.sub("#", finding.message)


def _kinds(found: Sequence[Finding]) -> Counter:
    return Counter(map(_kind, found))
