"""`pacer check`: what is wrong with a plan, as text or as one JSON object."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import Any

from pacer.cli.inputoutput import (
    FINE,
    SEVERITY_SAID,
    STOPPED,
    UNREADABLE,
    book_here,
    bytes_of,
    finding_text,
    plan_and_squad,
    print_json,
    read_named,
    said_name,
    say_assumed,
    squad_of,
    timeline_for,
)
from pacer.language import tr
from pacer.plan.filetext import lines_of, text_from_bytes
from pacer.plan.freewords.fixesoffered import fixes_offered
from pacer.plan.notation.planreader import read_plan
from pacer.plan.planlabels import labels_of
from pacer.plan.problem import Problem, Unreadable
from pacer.plan.text.fixes import Fix
from pacer.plan.text.livepage import LivePage
from pacer.plan.words.ownwords import NO_WORDS, OwnWords
from pacer.squad.defaultsquad import default_squad
from pacer.squad.drillfactors import with_other_names
from pacer.squad.squad import Squad
from pacer.timeline.checks.remedies import fixes_of
from pacer.timeline.findings import CannotRun, Finding
from pacer.timeline.summary.planned import all_findings


def check(options: argparse.Namespace) -> int:
    """Say what will not work, worst first."""
    if options.json:
        return _check_as_json(options)
    plan, squad = plan_and_squad(options)
    found = all_findings(timeline_for(plan, squad), book_here(quiet=True))
    say_assumed(squad)
    for finding in found:
        print(finding_text(finding, options.plan))
    if not found:
        print(tr("{plan}: no problems found", plan=options.plan))
    return FINE


def _check_as_json(options: argparse.Namespace) -> int:
    """One object in every case: `errors` keep the plan from being read or run, `warnings` do not.

    A fix's `text` replaces the whole line with its line break; it may be several lines.
    """
    squad = squad_of(options.squad) if options.squad else None
    gear = squad.words if squad else NO_WORDS
    data = read_named(lambda: bytes_of(options.plan), said_name(options.plan))
    try:
        text = text_from_bytes(data)
        plan = read_plan(text, gear)
    except Unreadable as error:
        lines = lines_of(data.decode("utf-8", "replace").removeprefix("\ufeff"))
        _say(errors=_problems(error.problems, lines, gear))
        return UNREADABLE
    lines = lines_of(text.removeprefix("\ufeff"))
    squad = squad or default_squad(labels_of(plan))
    say_assumed(squad)
    try:
        book = book_here()
        found = all_findings(timeline_for(plan, with_other_names(squad, book)), book)
    except CannotRun as error:
        _say(errors=_findings(error.findings, lines, squad))
        return STOPPED
    _say(
        warnings=_findings(found, lines, squad),
        findings=[{"severity": SEVERITY_SAID[each.severity], **_said(each)} for each in found],
    )
    return FINE


def _say(*, errors: Sequence[dict] = (), warnings: Sequence[dict] = (), findings: Sequence[dict] = ()) -> None:
    print_json({"format": "pacer-check/1", "errors": errors, "warnings": warnings, "findings": findings})


def _problems(problems: Sequence[Problem], lines: list[str], gear: OwnWords | tuple[str, ...]) -> list[dict[str, Any]]:
    """What keeps a page from being read, with the fixes for each."""
    live = LivePage(gear)
    live.read(lines)
    return [
        {
            "line": problem.line,
            "column": problem.column,
            "end_column": problem.end_column,
            "message": problem.message,
            "hint": problem.hint,
            "fixes": _fixes(fixes_offered(problem, lines, live), lines),
        }
        for problem in problems
    ]


def _findings(found: Sequence[Finding], lines: list[str], squad: Squad) -> list[dict[str, Any]]:
    """What will not work, where it is on the page, with what would help."""
    live = LivePage(squad.words)
    reading = live.read(lines)
    made = []
    for finding in found:
        source = lines[finding.line - 1].rstrip() if finding.line and finding.line <= len(lines) else ""
        made.append(
            {
                "severity": SEVERITY_SAID[finding.severity],
                **_said(finding),
                "column": len(source) - len(source.lstrip()) + 1,
                "end_column": len(source) + 1,
                "fixes": _fixes(fixes_of(finding, lines, reading, squad, live), lines),
            }
        )
    return made


def _said(finding: Finding) -> dict[str, Any]:
    return {
        "line": finding.line,
        "lanes": list(finding.lanes),
        "message": finding.message,
        "hint": finding.hint,
    }


def _fixes(fixes: Sequence[Fix], lines: list[str]) -> list[dict[str, Any]]:
    """Each fix, with the first line it replaces (mostly the error's own), how many it replaces, and the new text."""
    made = []
    for fix in fixes:
        changed = [fix.line, *(each.line for each in fix.also)]
        first, last = min(changed), max(changed)
        page = fix.applied(lines)
        text = "".join(f"{row}\n" for row in page[first : last + 1 + len(page) - len(lines)])
        made.append({"label": fix.says, "text": text, "line": first + 1, "lines": last - first + 1})
    return made
