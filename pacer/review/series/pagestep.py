"""One step from the last page to the next: a sentence, and how it changes the plan.

Any step can be left out, because they change different lines or add lines of their own. Which ones are offered is
decided in `nextpage`, what they change in `mainsetrules` and `skillsteps`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from enum import IntEnum
from typing import NamedTuple

from pacer.language import listed, tr, tr_n
from pacer.plan.model import Plan, Section, SetLine
from pacer.plan.planlines import with_lines
from pacer.squad.squad import Squad


class Kind(IntEnum):
    """The order of steps: changes find lines by their numbers on the last page, so steps that add lines come later."""

    CHANGE = 0
    ADD = 1
    HEADER = 2


class PageStep(NamedTuple):
    """`text` says what it does and why. `adds`: it makes the session longer; such steps are dropped first.

    `goes_with` is the name of a step that gives its reason: without that one it goes too, unless it is asked for.
    """

    name: str
    text: str
    kind: Kind
    change: Callable[[Plan], Plan]
    adds: bool = False
    goes_with: str = ""


def applied(plan: Plan, steps: Iterable[PageStep]) -> Plan:
    """The plan after these steps."""
    for step in sorted(steps, key=lambda step: step.kind):
        plan = step.change(plan)
    return plan


def with_section(plan: Plan, index: int, section: Section) -> Plan:
    """The plan with another section at an index."""
    return replace(plan, sections=(*plan.sections[:index], section, *plan.sections[index + 1 :]))


def with_line(plan: Plan, at: int, number: int, change: Callable[[SetLine], SetLine]) -> Plan:
    """The plan with one line of a section changed; `number` counts the section's lines from 1."""
    return with_lines(plan, lambda section, line, old: change(old) if (section, line) == (at, number) else old)


def lanes_named(lanes: Sequence[int], squad: Squad) -> str:
    """Lanes (by index) by their numbers on the wall."""
    numbers = [str(squad.lanes[lane].number) for lane in lanes]
    if len(lanes) == len(squad.lanes) > 1:
        return tr("all lanes")
    return tr_n("lane {numbers}", "lanes {numbers}", len(numbers), numbers=listed(numbers))
