"""What the next page does with the main set: rounds, send-offs and rates, moved on by what the review found.

- Rounds: one more for lanes that swam them all and were not slower than written; as many as were swum whole for a lane
  that did not get them done. Where the fit chooses, the most goes up by one if a lane swam the most.
- Send-offs: of a lane that was surely faster or slower than written on a set, by as much as its slowest swimmer was on
  average, so that the rest stays what it was; in steps of the plan's clock, never further than was swum, and never to
  where the lane's base leaves less than five seconds.
- Rates: up by two where the rates taken reached the end of the range, down by two where they stayed below its start or
  fell in the last 100.

These rules are ours.
"""

from __future__ import annotations

from collections.abc import Iterator

from pacer.plan.model import Plan
from pacer.review.series.pagesteps import PageStep, main_section
from pacer.review.series.roundsteps import how_it_went, round_steps
from pacer.review.series.sendoffsteps import rate_step, send_off_step
from pacer.review.swum.review import Review
from pacer.timeline.linenumbers import numbered_lines


def main_steps(plan: Plan, review: Review, out: frozenset[int]) -> Iterator[PageStep]:
    """All steps of the main set. `out` are the entries of times that were left out as outliers."""
    at = main_section(plan)
    went = how_it_went(review, at, out)
    yield from round_steps(plan, at, went, review.squad)
    for section, number, _, line in numbered_lines(plan):
        if section == at:
            tables = [table for table in review.sets if (table.section, table.line) == (at, number)]
            yield from send_off_step(plan, at, number, line, tables, review, out)
            yield from rate_step(at, number, line, review)
