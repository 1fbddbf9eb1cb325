"""Work that nobody waits for any more stops soon, and leaves no trace."""

import time

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.cancellation import GivenUp, step, while_wanted
from pacer.timeline.summary.totals import totals

SECTION = (
    "Part {n}, 1 to 2 rounds\n  2 x 50 as 25 scull / 25 back easy, rest 0:10\n"
    "  4 x 25 drill six-kick switch, rest 0:{n:02d}\n  2 x 50 back fast, on 1:10 / 1:20\n\n"
)
PLAN = read_plan("pool: 25 m\nbooking: 20:00:00\n\n" + "".join(SECTION.format(n=n) for n in range(10, 22)))
SQUAD = read_squad('[[lane]]\nbase = "1:20"\n[[lane]]\nbase = "1:40"\n')


def test_a_step_outside_a_block_does_nothing():
    step()


def test_totals_stop_at_any_step_and_are_the_same_afterwards():
    steps = []
    with while_wanted(lambda: steps.append(time.perf_counter()) or True):
        whole = totals(PLAN, SQUAD)
    assert len(steps) > 100
    for last in range(1, len(steps), len(steps) // 7):
        left = [last]

        def wanted(left=left):
            left[0] -= 1
            return left[0] > 0

        with pytest.raises(GivenUp), while_wanted(wanted):
            totals(PLAN, SQUAD)
        step()
    assert totals(PLAN, SQUAD) == whole
