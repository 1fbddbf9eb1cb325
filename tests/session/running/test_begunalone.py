"""A lane that was told to begin a section by itself, and then a press for all lanes before it leaves."""

import pytest

from pacer.session.journal.entries import Begun, Paused
from pacer.session.running import presses
from pacer.session.running.replay import apply, fresh
from tests.session.pages import check, sends, session

S = 1_000
PLAN = """\
pool: 25 m
Warm-up
  6 x 50 on 1:00 / 1:30
Main set
  4 x 100 on 2:00
Swim-down
  100
"""
LANES = '[[lane]]\nnumber = 4\nbase = "1:20"\n[[lane]]\nnumber = 5\nbase = "1:30"\n'


@pytest.fixture
def alone():
    """Lane 4 begins the main set at 0:50, lane 5 with its warm-up to 9:00; the common start is at 9:30."""
    run = apply(fresh(session(PLAN, LANES)), Begun(-10 * S, 0, 0))
    assert run.timeline.gates[1] == 570 * S
    made = apply(run, presses.start_section(run, 20 * S, 1, (0,)))
    leaves = sends(made.timeline, 0, 1)[0]
    assert leaves <= 60 and made.timeline.gates[1] == 570 * S
    return made, leaves


PRESSES = {
    "a repeat fewer": lambda run: presses.change_count(run, 30 * S, -1),
    "an interval": lambda run: presses.change_interval(run, 30 * S, 100 * S),
    "a set": lambda run: presses.put_line_in(run, 30 * S, "2 x 50 on 1:15"),
    "one sat out": lambda run: presses.miss(run, 30 * S, (0, 1)),
}


@pytest.mark.parametrize("press", PRESSES.values(), ids=PRESSES)
def test_a_press_for_all_lanes_leaves_it_its_start_and_the_others_their_common_one(alone, press):
    run, leaves = alone
    made = check(apply(run, press(run)).timeline)
    assert sends(made, 0, 1)[0] in (leaves, leaves + 120), "the latter if it sits one out"
    assert made.gates[1] is not None and made.gates[1] >= sends(made, 1, 0)[-1] * S
    assert sends(made, 1, 1)[0] * S == made.gates[1]


def test_so_does_a_pause_of_all_that_is_resumed(alone):
    run, _ = alone
    paused = apply(run, Paused(30 * S, breaks_off=True))
    entry = presses.resume(paused, 100 * S)
    made = check(apply(paused, entry).timeline)
    assert sends(made, 0, 1)[0] == entry.leave_ms // S < 150 and made.gates[1] > sends(made, 1, 0)[-1] * S
