"""The fixes that a coach is offered for an error: its own, or the line with the words that nobody knows as its note."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.plan.problem import Problem
from pacer.plan.text.fixes import MAX_FIXES, QUOTED, REMARK, Fix, fixes_for
from pacer.plan.text.livepage import LivePage
from pacer.plan.text.solving import noted_line


def fixes_offered(problem: Problem, lines: Sequence[str], live: LivePage) -> tuple[Fix, ...]:
    """The fixes to offer for a problem on the page `lines`, the likeliest first."""
    found = fixes_for(problem, lines, lambda page: live.would(page).problems)
    at = problem.line - 1
    if at >= len(lines) or found and found[0].says not in (QUOTED, REMARK):
        return found
    source = lines[at]
    made = noted_line(lines, at, live) or noted_line(lines, at, live, lenient=True)
    if not made or made in {fix.row(source) for fix in found}:
        return found
    if live.would([*lines[:at], made, *lines[at + 1 :]]).unread >= live.would(lines).unread:
        return found
    return (Fix(made.strip(), at, 0, len(source), made), *found)[:MAX_FIXES]
