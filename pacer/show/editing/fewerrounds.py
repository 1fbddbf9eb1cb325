"""For a plan that ends after its booking: offers `1 to 3 rounds` for `3 rounds`. No Kivy."""

from __future__ import annotations

import re
from collections.abc import Sequence

from pacer.language import tr
from pacer.plan.model import ByLane, Plan
from pacer.plan.text.fixes import Fix
from pacer.plan.times import whole_up

_ROUNDS = re.compile(r"(?<![\w/])(\d+)(?=\s+rounds?\b)", re.IGNORECASE)


def fewer_rounds(plan: Plan | None, lines: Sequence[str], over_ms: int) -> tuple[Fix, ...]:
    """A fix for each section of the page `lines` whose rounds are fixed; none unless it overruns by `over_ms`.

    >>> from pacer.plan.notation.planreader import read_plan
    >>> page = "pool: 25 m\\nbooking: 10 min\\nMain set, 3 rounds\\n  4 x 100 free on 2:00".split("\\n")
    >>> [(fix.says, fix.applied(page)[2]) for fix in fewer_rounds(read_plan("\\n".join(page)), page, 1)]
    [('Main set, 1 to 3 rounds', 'Main set, 1 to 3 rounds')]
    """
    if plan is None or over_ms <= 0:
        return ()
    made = []
    for section in plan.sections:
        if section.span is None or not isinstance(section.rounds, ByLane) or section.span.line > len(lines):
            continue
        written = lines[section.span.line - 1]
        match = _ROUNDS.search(written.partition("#")[0])
        if match is None or int(match[1]) < 2 or re.search(r"\bto\s*$", written[: match.start()]):
            continue
        says = f"{section.name}, 1 to {match[1]} rounds" if section.name else f"1 to {match[1]} rounds"
        made.append(Fix(says, section.span.line - 1, match.start(), match.end(), f"1 to {match[1]}"))
    return tuple(made)


def overrun_said(over_ms: int, ways: int) -> str:
    """A sentence saying that the plan ends too late, before the changes that would help: so many `ways`."""
    if ways > 1:
        return tr("{over} over the booking. These would fit, the smallest change first:", over=whole_up(over_ms))
    return tr("{over} over the booking. This would fit:", over=whole_up(over_ms))
