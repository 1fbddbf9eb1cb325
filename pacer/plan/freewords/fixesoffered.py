"""The fixes that a coach is offered for an error: its own, or the line with the words that nobody knows as its note."""

from __future__ import annotations

import re
from collections.abc import Sequence

from pacer.language import tr_n
from pacer.plan.freewords.lanewords import lanes_apart_on
from pacer.plan.freewords.notedline import as_above, in_other_words, noted_line
from pacer.plan.freewords.roundwords import between_rounds_on, rounds_apart_on
from pacer.plan.freewords.severalsets import bracket_said
from pacer.plan.notation.blocks import NOT_INDENTED
from pacer.plan.parts.lineinparts import instead
from pacer.plan.problem import Problem
from pacer.plan.regex import regex
from pacer.plan.text.fixes import MAX_FIXES, QUOTED, REMARK, Fix, fixes_for
from pacer.plan.text.livepage import LivePage, begins_section

_ROUNDS = regex(r"\d+\s*(?:rounds?|rds?|x)\W*", re.IGNORECASE)


def fixes_offered(problem: Problem, lines: Sequence[str], live: LivePage) -> tuple[Fix, ...]:
    """The fixes to offer for a problem on the page `lines`, the likeliest first."""
    found = _fixes(problem, lines, live)
    at = problem.line - 1
    if at >= len(lines) or problem.message == NOT_INDENTED:
        return found
    source = lines[at]
    made = instead(lines, at, live, found[0].row(source) if found else "")
    if not made:
        return found
    rows = made.split("\n")
    after = live.would([*lines[:at], *rows, *lines[at + 1 :]]).problems
    if any(problem.line <= each.line < problem.line + len(rows) for each in after):
        return found
    return (Fix("; ".join(map(str.strip, rows)), at, 0, len(source), made), *found)[:MAX_FIXES]


def _fixes(problem: Problem, lines: Sequence[str], live: LivePage) -> tuple[Fix, ...]:
    """The fixes to offer before the line is read part by part."""
    found = fixes_for(problem, lines, lambda page: live.would(page).problems)
    at = problem.line - 1
    if problem.message == NOT_INDENTED and (inside := _indented(lines, at)):
        return (inside, *found)[:MAX_FIXES]
    if at < len(lines) and (same := as_above(lines, at, live) or between_rounds_on(lines, at)):
        return (Fix(same.strip(), at, 0, len(lines[at]), same), *found)[:MAX_FIXES]
    if at >= len(lines):
        return found
    source = lines[at]
    other = in_other_words(source)
    by_round = rounds_apart_on(lines, at, live)
    if found and not _keeps_words(found[0]) and not other and not by_round:
        return found
    if apart := by_round or lanes_apart_on(lines, at, live):
        text = "\n".join(apart)
        return (Fix("; ".join(map(str.strip, apart)), at, 0, len(source), text), *found)[:MAX_FIXES]
    if found and found[0].says not in (QUOTED, REMARK) and not other and not bracket_said(source):
        return found
    made = noted_line(lines, at, live) or noted_line(lines, at, live, lenient=True)
    if not made or made in {fix.row(source) for fix in found}:
        return found
    after = live.would([*lines[:at], made, *lines[at + 1 :]])
    if any(each.line == problem.line for each in after.problems) or after.unread > live.would(lines).unread:
        return found
    return (Fix(made.strip(), at, 0, len(source), made), *found)[:MAX_FIXES]


def _keeps_words(fix: Fix) -> bool:
    """Whether a fix only keeps words of the line: in quotes, or as a comment."""
    return fix.says in (QUOTED, REMARK) or fix.text.lstrip().startswith(('"', "#"))


def _indented(lines: Sequence[str], at: int) -> Fix | None:
    """Indent the lines right below rounds, up to a gap or a section's name; None if there are none."""
    own = len(lines[at]) - len(lines[at].lstrip())
    end = at + 1
    while end < len(lines) and lines[end].strip() and not begins_section(lines[end]):
        if len(lines[end]) - len(lines[end].lstrip()) != own or _ROUNDS.fullmatch(lines[end].strip()):
            break
        end += 1
    inside = [Fix("", line, own, own, "  ") for line in range(at + 1, end)]
    sets = sum(1 for line in lines[at + 1 : end] if not line.lstrip().startswith(('"', "#")))
    says = tr_n("put the set below in these rounds", "put the {n} sets below in these rounds", sets)
    return Fix(says, inside[0].line, own, own, "  ", also=tuple(inside[1:])) if inside else None
