"""Lanes that sit out repeats of a section still ahead, or all of it.

They start it, or the next one, with the others.

By hand; seconds from the session's zero. Both lanes leave the warm-up at 0 60 120 180, the main set at 300 420 540, the
swim-down at 720.
"""

import pytest

from pacer.session.journal.entries import (
    IntervalChanged,
    LeftLate,
    LineLeftOut,
    LinePutIn,
    Missed,
    Moved,
    Paused,
    Refitted,
    Resumed,
    Stopped,
    Unit,
)
from pacer.session.running.leavingagain import late_mark, resume_mark
from pacer.session.running.replay import fresh
from tests.session.pages import run, sends, session

S = 1000
MAIN = 1


@pytest.fixture(scope="module")
def timeline():
    return session()


#: All have left the warm-up; lane 5 sits out the first 100 of the main set.
SITS_OUT = Missed(190 * S, (1,))


def test_it_leaves_an_interval_after_the_start_wherever_that_moves(timeline):
    assert sends(run(timeline, SITS_OUT).timeline, 1, MAIN) == [420, 540]
    held = [SITS_OUT, Paused(200 * S)]
    assert resume_mark(run(timeline, *held), 400 * S) == 420 * S, "on the top: both lanes are at the section's start"
    made = run(timeline, *held, Resumed(400 * S, 420 * S)).timeline
    assert sends(made, 0, MAIN) == [420, 540, 660]
    assert sends(made, 1, MAIN) == [540, 660]
    assert sends(made, 0, 2) == sends(made, 1, 2) == [840]  # lane 5 touches at 660 + 100, then 1:00, then the next top


def test_it_never_starts_the_section_before_the_others(timeline):
    # Stopped in mid-repeat at 200: those stopped leave as told, but nobody begins the main set before its time.
    made = run(timeline, SITS_OUT, Stopped(200 * S), Resumed(205 * S, 210 * S)).timeline
    assert sends(made, 0, MAIN) == [300, 420, 540] and sends(made, 1, MAIN) == [420, 540]
    # Stopped in the warm-up with one repeat to go, past the time for it: that comes at 190 and ends at 235, so the main
    # set starts at 300; lane 5 sits out its last 50 and its first 100.
    made = run(
        timeline, Missed(125 * S, (1,)), Missed(126 * S, (1,)), Stopped(130 * S), Resumed(181 * S, 190 * S)
    ).timeline
    assert sends(made, 0) == [0, 60, 120, 190, 300, 420, 540, 720]
    assert sends(made, 1) == [0, 60, 120, 420, 540, 720]


def test_a_lane_held_alone_is_there_when_its_turn_comes(timeline):
    made = run(timeline, SITS_OUT, Paused(200 * S, (1,)), Resumed(390 * S, 395 * S, (1,))).timeline
    assert sends(made, 1, MAIN) == [420, 540]
    assert sends(made, 0) == sends(timeline, 0)
    held = run(timeline, SITS_OUT, Paused(200 * S, (1,)))
    assert resume_mark(held, 250 * S, (1,)) == 300 * S, "with the others"
    made = run(
        timeline,
        SITS_OUT,
        Paused(200 * S, (1,)),
        Resumed(250 * S, 300 * S, (1,)),
        LinePutIn(260 * S, "50 on 1:00", 265 * S, (1,)),
    ).timeline
    assert sends(made, 1, MAIN) == [300, 480], "a third would not be over in time"


def test_going_back_to_it_swims_it(timeline):
    made = run(timeline, SITS_OUT, Moved(430 * S, Unit.REPEAT, -1, 440 * S, (1,))).timeline
    assert sends(made, 1, MAIN) == [420, 440, 560], "the 100 in hand once more"
    made = run(timeline, SITS_OUT, Moved(430 * S, Unit.SECTION, -1, 440 * S)).timeline
    assert sends(made, 0, MAIN)[1:] == [420, 440, 560, 680]
    assert sends(made, 1, MAIN) == [420, 440, 560, 680], "nothing is sat out any more"


def test_a_late_lane_that_sits_out_stays_late(timeline):
    late = run(timeline, SITS_OUT)
    leave_ms = late_mark(late, 200 * S, (1,))
    assert leave_ms == 425 * S
    made = run(timeline, SITS_OUT, LeftLate(200 * S, leave_ms, (1,)), LineLeftOut(210 * S, 2, 1)).timeline
    assert sends(made, 1, MAIN) == [425, 545]


def test_another_interval_counts_from_the_start(timeline):
    made = run(timeline, SITS_OUT, IntervalChanged(200 * S, 130 * S, 205 * S, (1,))).timeline
    assert sends(made, 1, MAIN) == [430, 560]


def test_an_added_line_comes_before_it_and_is_swum(timeline):
    # 50 on 1:00 at the main set's start: everything behind it is a minute later.
    made = run(timeline, SITS_OUT, LinePutIn(240 * S, "50 on 1:00", 245 * S)).timeline
    assert sends(made, 0) == [0, 60, 120, 180, 300, 360, 480, 600, 780]
    assert sends(made, 1) == [0, 60, 120, 180, 300, 480, 600, 780]


def test_left_out_it_is_gone_whole(timeline):
    made = run(timeline, SITS_OUT, LineLeftOut(200 * S, MAIN, 1, (1,))).timeline
    assert sends(made, 1) == [0, 60, 120, 180, 720]
    made = run(timeline, SITS_OUT, LineLeftOut(200 * S, MAIN, 1)).timeline
    assert sends(made, 0) == sends(made, 1) == [0, 60, 120, 180, 300], "a section that nobody swims takes no time"


def test_a_refit_lays_it_out_the_same(timeline):
    made = run(timeline, SITS_OUT, Refitted(200 * S, 900 * S, 205 * S, ())).timeline
    assert sends(made, 0) == sends(timeline, 0)
    assert sends(made, 1, MAIN) == [420, 540]


def test_a_line_swum_straight_through_is_sat_out_as_a_whole():
    timeline = session("pool: 25 m\nWarm-up\n  50 on 1:00\nMain set\n  4 x 50\n  2 x 50 on 1:00\n")
    assert sends(timeline, 0) == [0, 120, 160, 200, 240, 280, 340]
    made = run(timeline, Missed(30 * S, (0,)), Paused(40 * S), Resumed(140 * S, 150 * S)).timeline
    assert sends(made, 0) == [0, 150 + 160, 150 + 220]
    assert sends(made, 1)[1] == 150


# -- lanes with nothing to swim in between -----------------------------------------------------------


def test_a_lane_that_waits_for_a_later_section_comes_to_it_with_the_others(timeline):
    out = (
        LineLeftOut(70 * S, MAIN, 1, (1,)),
        LineLeftOut(71 * S, MAIN, 1, (0,)),
        Missed(75 * S, (1,)),
        Missed(76 * S, (1,)),
    )
    made = run(timeline, *out)
    assert sends(made.timeline, 0) == [0, 60, 120, 180, 720] and sends(made.timeline, 1) == [0, 60, 720]
    # Stopped in the second 50, which all come to the end of: lane 4 has two left as planned, and touches at 225; nobody
    # swims the main set; so the swim-down starts at 300.
    made = run(timeline, *out, Stopped(80 * S), Resumed(90 * S, 115 * S)).timeline
    assert sends(made, 0) == [0, 60, 120, 180, 300]
    assert sends(made, 1) == [0, 60, 300]


def test_its_last_touch_counts_for_the_sections_it_skips():
    # Lane 5 kicks to 400, has no part in the main set, and both leave for the swim-down together.
    timeline = session("pool: 25 m\nWarm-up\n  2 x 50 on 1:00 / 3:00\nMain set\n  2 x 100 on 2:00\nSwim-down\n  100\n")
    assert timeline.gates == {0: 0, 1: 300 * S, 2: 600 * S}
    made = run(timeline, LineLeftOut(190 * S, MAIN, 1, (1,)), Paused(200 * S), Resumed(210 * S, 220 * S)).timeline
    # Lane 4 waits at the wall for the main set until lane 5, which left at 180, has touched (230) and a minute has
    # passed. It touches again at 420 + 85, and both leave at 570.
    assert sends(made, 0) == [0, 60, 300, 420, 570] and sends(made, 1) == [0, 180, 570]


def test_a_lane_that_is_not_paused_cannot_be_resumed(timeline):
    before = run(timeline, Stopped(130 * S), Resumed(140 * S, 150 * S, (0,)))
    after = run(timeline, Stopped(130 * S), Resumed(140 * S, 150 * S, (0,)), Resumed(141 * S, 200 * S, (0,)))
    assert [sends(after.timeline, lane) for lane in (0, 1)] == [sends(before.timeline, lane) for lane in (0, 1)]
    assert after.paused() == (1,)


def test_the_fit_knows_which_repeats_are_sat_out():
    from pacer.session.running.countchanges import rest_of
    from pacer.timeline.fit.fitcounts import fit_rest

    timeline = session(
        "pool: 25 m\nbooking: 30 min\nWarm-up\n  50 on 1:00\nMain set, 1 to 9 rounds\n  2 x 100 on 2:00\n"
    )
    made = run(timeline, Missed(30 * S, (1,)))
    tracks, entries = rest_of(made, 40 * S, 45 * S)
    told = fit_rest(made.course, entries, [tracks[lane] for lane in (0, 1)], end_ms=1000 * S)
    after = run(
        timeline,
        Missed(30 * S, (1,)),
        Refitted(40 * S, 1000 * S, 45 * S, tuple((s, n, lanes) for (s, n), lanes in told.counts.items())),
    )
    assert told.end_ms == after.timeline.end_ms
    assert list(told.distances) == [after.timeline.distance(lane) - 50 for lane in (0, 1)], "of what is ahead"
    assert fresh(timeline).timeline.distance(1) - after.timeline.distance(1) < 0
