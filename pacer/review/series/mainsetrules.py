"""The main set on the next page: rounds, send-offs and stroke rates, changed by what the review found.

- Rounds: one more for lanes that swam them all and were not slower than written; for a lane that did not finish them,
  as many as it swam in full. What a lane never began, or had no time for before the session ended, says nothing about
  what it can do: it stays as planned, and the page says why. If the fit chooses the rounds, the most goes up by one if
  a lane swam the most.
- Send-offs: changed for a lane that was clearly faster or slower than written on a set, by as much as its slowest
  swimmer was on average, so that the rest is what the set's first page in the series gave. What earlier pages moved
  counts (`earliermoves`): a lane that stays as slow is moved once. In steps of the plan's clock, never further than was
  swum, and never so far that the lane's base leaves less than five seconds. With `base+` the time on top of the base is
  changed, by what is left after the base that the squad has now, and longer only for the lanes that were slower. Any
  other entry moves for all lanes that use it, as far as all of them allow. `1:40 then 1:35` moves as a whole.
- Target times (`hold`): the same, in whole seconds, against the target. The send-offs of such a set stay.
- Rates: up by two if the rates taken reached the end of the range, down by two if they stayed below its start or fell
  in the last 100, unless they were above it anyway.

These rules are our own.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pacer.plan.model import Plan
from pacer.plan.planlines import numbered_lines
from pacer.review.series.mainandskillsets import main_section
from pacer.review.series.pagestep import PageStep
from pacer.review.series.ratesteps import rate_step
from pacer.review.series.roundsteps import how_it_went, kept_notes, round_steps
from pacer.review.series.sendoffsteps import send_off_step
from pacer.review.swum.sessionreview import Review
from pacer.squad.squad import Squad


def main_notes(plan: Plan, review: Review) -> Iterator[str]:
    """What stays as planned in the main set though it was not finished, and why."""
    at = main_section(plan)
    yield from kept_notes(plan, at, how_it_went(review, at, frozenset()), review.squad)


def main_steps(
    plan: Plan, review: Review, squad: Squad, out: frozenset[int], earlier: Sequence[Review] = ()
) -> Iterator[PageStep]:
    """All steps of the main set, for `squad`. `out` holds the entries of times that were left out as outliers.

    `earlier`: the series' sessions before, oldest first.
    """
    at = main_section(plan)
    went = how_it_went(review, at, out)
    yield from round_steps(plan, at, went, review.squad)
    for section, number, _, line in numbered_lines(plan):
        if section == at:
            tables = [table for table in review.sets if (table.section, table.line) == (at, number)]
            yield from send_off_step(plan, at, number, line, tables, review, squad, out, earlier)
            yield from rate_step(at, number, line, review)
