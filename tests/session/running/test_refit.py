"""The end that a refit predicts is the real one, also for lanes that have skipped a whole section."""

from itertools import product

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.session.journal.entries import Begun, Stopped
from pacer.session.running import presses
from pacer.session.running.countchanges import rest_of
from pacer.session.running.finish import finish_ms
from pacer.session.running.replay import apply, fresh
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.fit.fitcounts import fit
from pacer.timeline.timeline import build_timeline
from tests.session.refits import refit

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


#: (section, seconds, lanes) that skipped a line, the time of the refit, the time to finish by. A search found these:
#: the predicted end was 30 s wrong.
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
def test_the_predicted_end_is_the_real_end(left_out, now, out):
    plan, squad = read_plan(PLAN), read_squad(SQUAD)
    run = apply(fresh(build_timeline(plan, squad, fit(plan, squad).counts)), Begun(-10 * S, 0, 0))
    for section, seconds, lanes in left_out:
        run = apply(run, presses.leave_line_out(run, seconds * S, section, 1, lanes))
    entry, chosen = refit(run, now * S, out * S)
    assert chosen.end_ms == apply(run, entry).timeline.end_ms <= out * S


TWO_LANES = '[[lane]]\nbase = "1:20"\nswimmers = 2\n[[lane]]\nbase = "1:40"\nswimmers = 3\n'


#: (section, seconds, lanes) that skipped a line, the time of the refit, the time to finish by. A search found these: a
#: lane that had skipped a whole section did not come along to the next start if the others dropped that section too.
@pytest.mark.parametrize(
    ("left_out", "now", "out"),
    [
        ([(1, 82, (1,))], 105, 470),
        ([(2, 51, (0,)), (2, 126, (0, 1)), (1, 268, (0,))], 324, 797),
        ([(1, 114, (1,))], 129, 744),
    ],
)
def test_the_best_counts_are_chosen(left_out, now, out):
    """Compare with every combination of counts of the sections still ahead, laid out one by one."""
    shorter = PLAN.replace("4 / 3 / 2", "4 / 2").replace("1:00 / 1:15 / 1:30", "1:00 / 1:30").replace(" / 2:10", "")
    plan = read_plan(shorter)
    squad = read_squad(TWO_LANES)
    run = apply(fresh(build_timeline(plan, squad, fit(plan, squad).counts)), Begun(-10 * S, 0, 0))
    for section, seconds, lanes in left_out:
        run = apply(run, presses.leave_line_out(run, seconds * S, section, 1, lanes))
    entry, chosen = refit(run, now * S, out * S)
    behind, entries = rest_of(run, now * S, entry.leave_ms)

    def laid(counts):
        tracks = tuple(behind[lane].copy() for lane in (0, 1))
        run.course.but(counts=counts).lay(tracks, dict(entries), dict(run.timeline.gates))
        swum = [sum(_shape(track, index).distance for index in range(len(track.sendoffs))) for track in tracks]
        return 2 * swum[0] + 3 * swum[1], -max(track.end_ms for track in tracks)

    ranges = [
        span if entries[lane].section < section or not entries[lane].ordinal else [chosen.counts[section, None][lane]]
        for section, span in ((1, (0, 1)), (2, (0, 1, 2, 3)), (3, (1, 2)))
        for lane in (0, 1)
    ]
    ways = [laid({(k, None): each[2 * k - 2 : 2 * k] for k in (1, 2, 3)}) for each in product(*ranges)]
    assert laid(chosen.counts) == max(way for way in ways if -way[1] <= out * S)


def _shape(track, index):
    return track.pass_at(index).laneline.shapes[track.repeat_in_line(index)]


@pytest.mark.parametrize("paused", [30, 200, 420, 700])
@pytest.mark.parametrize("stop_all", [False, True])
def test_a_session_that_is_paused_as_a_whole_is_fitted_as_if_it_were_resumed_now(paused, stop_all):
    """The fit, the header and a resume have the same finish, and what was put off by the pause is cut."""
    plan, squad = read_plan(PLAN), read_squad(SQUAD)
    run = apply(fresh(build_timeline(plan, squad, fit(plan, squad).counts)), Begun(-10 * S, 0, 0))
    planned_ms, at_ms = run.timeline.end_ms, (paused + 150) * S
    run = apply(run, Stopped(paused * S) if stop_all else presses.pause(run, paused * S))
    assert run.timeline.end_ms == planned_ms < finish_ms(run, at_ms), "it is late because of the pause alone"
    entry, chosen = refit(run, at_ms, planned_ms)
    made = apply(run, entry)
    assert chosen.end_ms == finish_ms(made, at_ms) <= planned_ms
    assert apply(made, presses.resume(made, at_ms)).timeline.end_ms == chosen.end_ms
