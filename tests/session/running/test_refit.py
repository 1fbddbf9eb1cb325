"""What a refit says of the end is what then comes, also for lanes that have left a whole section out."""

import pytest

from pacer.plan.notation.reader import read_plan
from pacer.session.journal.entries import Begun
from pacer.session.running import presses
from pacer.session.running.run import apply, fresh
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.fit.counts import fit
from pacer.timeline.layout import build_timeline

S = 1000
PLAN = """\
pool: 25 m
booking: 30 min
Warm-up
  4 / 3 / 2 x 50 on 1:00 / 1:15 / 1:30
Skill set, if time
  2 x 50 on 1:20
Main set, 0 to 3 rounds
  2 x 100 on 2:00 / 2:10 / 2:30
Swim-down, 1 to 2 rounds
  50 on 1:30
"""
SQUAD = '[[lane]]\nbase = "1:20"\nswimmers = 2\n[[lane]]\nbase = "1:30"\n[[lane]]\nbase = "1:40"\nswimmers = 3\n'


#: (section, seconds, lanes) that left a line out, when it was asked, when all have to be out. A search found them: the
#: end told was 30 s off.
@pytest.mark.parametrize(
    ("left_out", "now", "out"),
    [
        ([(1, 128, (1, 2))], 142, 1434),
        ([(2, 128, (1, 2))], 142, 1434),
        ([(1, 57, (2,)), (1, 116, (0, 1, 2))], 129, 1255),
        ([(1, 57, (2,)), (2, 116, (0, 1, 2))], 129, 1255),
        ([(2, 57, (2,)), (1, 116, (0, 1, 2))], 129, 1255),
        ([(1, 163, (0, 1, 2))], 700, 1500),
    ],
)
def test_the_end_told_is_the_end_that_comes(left_out, now, out):
    plan, squad = read_plan(PLAN), read_squad(SQUAD)
    run = apply(fresh(build_timeline(plan, squad, fit(plan, squad).counts)), Begun(-10 * S, 0, 0))
    for section, seconds, lanes in left_out:
        run = apply(run, presses.leave_line_out(run, seconds * S, section, 1, lanes))
    entry, chosen = presses.refit(run, now * S, out * S)
    assert chosen.end_ms == apply(run, entry).timeline.end_ms <= out * S
