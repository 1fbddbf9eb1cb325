"""What a plan still needs before it can run: one sentence, and the changes that fix it. No Kivy."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.language import tr
from pacer.plan.library.newplan import is_sample
from pacer.plan.model import POOLS
from pacer.plan.problem import Problem
from pacer.plan.text.fixes import EMPTY as EMPTY_SECTION
from pacer.plan.text.fixes import Fix
from pacer.plan.text.livepage import PageReading

EXAMPLE = "4 x 50 free, rest 0:15"  #: every lane can make it
POOL_ASKED = tr("how long is the pool")  #: the beginning of what is said of a plan without one
EMPTY = tr("This plan is empty. Start with the pool:"), tr("Start with the pool:")
NO_POOL = tr("To run this plan, say how long the pool is:"), tr("How long is the pool?")
SAMPLE = (tr("A sample: type over it, or tap a line."),)
NO_SETS = (
    tr("To run this plan, write its first set, such as:"),
    tr("Write a set, such as:"),
    tr("First set:"),
)


def is_missing(problem: Problem) -> bool:
    """Whether a problem is that something is missing: `missing_part` says it."""
    return problem.message.startswith(POOL_ASKED) or problem.message.endswith(EMPTY_SECTION)


def missing_part(
    reading: PageReading, lines: Sequence[str], chosen: bool = False
) -> tuple[tuple[str, ...], tuple[Fix, ...]]:
    """What is missing, the first thing first, said in ways of which the longest comes first, and its fixes.

    Nothing of either if nothing is missing. `chosen`: text is selected; if that is the sample of a new plan, it says
    so.

    >>> from pacer.plan.text.livepage import LivePage
    >>> page = ["Warm-up", "  300 choice"]
    >>> said, fixes = missing_part(LivePage().read(page), page)
    >>> said, fixes[0].applied(page)[0]
    (('To run this plan, say how long the pool is:', 'How long is the pool?'), 'pool: 25 m')
    """
    if chosen and is_sample("\n".join(lines)):
        return SAMPLE, ()
    if not any(line.strip() for line in lines):
        return EMPTY, tuple(
            Fix(f"pool: {pool}", 0, 0, len(lines[0]), f"pool: {pool}\n\nMain set\n  ") for pool in POOLS
        )
    if any(problem.message.startswith(POOL_ASKED) for problem in reading.problems):
        return NO_POOL, tuple(Fix(pool, 0, 0, 0, f"pool: {pool}\n") for pool in POOLS)
    bare = [problem for problem in reading.problems if problem.message.endswith(EMPTY_SECTION)]
    wrong = {problem.line for problem in reading.problems if problem not in bare}
    bare = [problem for problem in bare if problem.line not in wrong]  # its name is mended first
    if not bare:
        return (), ()
    if reading.plan is None:
        return NO_SETS, (_first_set(bare[0], lines),)
    problem = bare[0]
    name = lines[problem.line - 1].partition(",")[0].strip()
    ways = (
        tr("“{name}” has no sets yet. Write one, or delete the line:", name=name),
        tr("“{name}” has no sets yet:", name=name),
        tr("No sets yet:"),
    )
    return ways, (_first_set(problem, lines), _without(problem, name, lines))


def _first_set(problem: Problem, lines: Sequence[str]) -> Fix:
    """A set below a section's name: on the empty line already there, or on a new one."""
    below = problem.line
    if below < len(lines) and not lines[below].strip():
        return Fix(EXAMPLE, below, 0, len(lines[below]), f"  {EXAMPLE}")
    end = len(lines[below - 1])
    return Fix(EXAMPLE, below - 1, end, end, f"\n  {EXAMPLE}")


def _without(problem: Problem, name: str, lines: Sequence[str]) -> Fix:
    return Fix(tr("Delete {name}", name=name), problem.line - 1, 0, len(lines[problem.line - 1]), "")
