"""Late, missed, more, fewer, other intervals, swimmers and lanes, worked by hand (see test_replay for the session)."""

import pytest

from pacer.session.journal.entries import (
    CountChanged,
    IntervalChanged,
    LaneJoined,
    LeftLate,
    Missed,
    Moved,
    Paused,
    Refitted,
    Resumed,
    SectionSet,
    Stopped,
    SwimmerChanged,
    SwimmerJoined,
    SwimmerLeft,
    Unit,
)
from pacer.session.running import presses
from pacer.session.running.finish import finish_ms
from pacer.session.running.outlook import outlook
from pacer.session.running.replay import apply, fresh
from pacer.timeline.timeline import build_timeline
from tests.session.pages import ONE_LANE, THREE_SECTIONS, TWO_LANES, left, run, sends, session

S = 1000
AS_WRITTEN = [0, 60, 120, 180, 300, 420, 540, 720]


@pytest.fixture(scope="module")
def timeline():
    return session()


def both(made):
    return [sends(made.timeline, lane) for lane in range(2)]


# -- late and missed ------------------------------------------------------------------------------


def test_a_late_lane_is_late_by_as_much_on_all_later_repeats(timeline):
    # Due at 120, leaves at 125 and 185 (to 230 <= 240): in time for the main set.
    made = run(timeline, LeftLate(100 * S, 125 * S, (0,)))
    assert both(made) == [[0, 60, 125, 185, 300, 420, 540, 720], AS_WRITTEN]
    # Lane 5 would end at 185 + 50 = 235.
    made = run(timeline, LeftLate(100 * S, 125 * S, (1,)))
    assert both(made) == [AS_WRITTEN, [0, 60, 125, 185, 300, 420, 540, 720]]


def test_late_three_times_costs_a_repeat(timeline):
    made = run(timeline, *(LeftLate((100 + i) * S, (125 + 5 * i) * S, (1,)) for i in range(3)))
    assert sends(made.timeline, 1) == [0, 60, 135, 300, 420, 540, 720]  # 195 + 50 > 240


def test_late_just_after_the_send_off_means_that_one(timeline):
    made = run(timeline, LeftLate(123 * S, 130 * S, (0,)))
    assert sends(made.timeline, 0) == [0, 60, 130, 190, 300, 420, 540, 720]
    assert left(made.timeline, 0, 2)[:3] == [5, 65, 135]


def test_late_for_all_means_the_lanes_that_are_due_now():
    """Lane 4 left at 1:00, lane 5 leaves at 1:05; lane 6 leaves at 1:20: it is not late."""
    lanes = "".join(f'[[lane]]\nnumber = {number}\nbase = "1:20"\n' for number in (4, 5, 6))
    run = fresh(session("pool: 25 m\nMain set\n  6 x 50 on 1:00 / 1:05 / 1:20\n", lanes))
    late = presses.late(run, 61 * S)
    assert (late.lanes, late.leave_ms) == ((0, 1), 70 * S)
    assert presses.late(run, 61 * S, (2,)).leave_ms == 85 * S
    assert presses.late(run, -5 * S).lanes is None, "all leave together"


def test_one_fewer_that_time_cuts_off_anyway_changes_nothing():
    """Of 4 x 50 on 1:30 two fit into three minutes: without the fourth it is the same."""
    run = fresh(session("pool: 25 m\nWarm-up, at most 3 min\n  4 x 50 on 1:30\nMain set\n  100\n"))
    told = outlook(run, presses.change_count(run, 10 * S, -1))
    assert not told.changes


def test_if_all_are_late_everything_after_moves(timeline):
    made = run(timeline, LeftLate(100 * S, 125 * S))
    assert both(made) == [[0, 60, 125, 185, 300, 420, 540, 720]] * 2  # 235 + 60 = 295
    made = run(timeline, LeftLate(290 * S, 305 * S))
    assert both(made) == [[0, 60, 120, 180, 305, 425, 545, 720]] * 2  # 645 + 60 = 705
    assert made.timeline.gates[1] == 305 * S


def test_missing_one_repeat_moves_nothing_else(timeline):
    made = run(timeline, Missed(100 * S, (0,)))
    assert both(made) == [[0, 60, 180, 300, 420, 540, 720], AS_WRITTEN]
    assert [made.timeline.tracks[0].repeat_in_line(i) for i in range(3)] == [0, 1, 3]
    made = run(timeline, Missed(122 * S, (0,)), Missed(130 * S, (0,)))
    assert sends(made.timeline, 0) == [0, 60, 300, 420, 540, 720]
    assert made.timeline.end_ms == 820 * S
    made = run(timeline, Missed(600 * S), Missed(601 * S))
    assert both(made) == [AS_WRITTEN[:-1]] * 2 and made.timeline.end_ms == 640 * S


def test_a_paused_lane_cannot_be_late_or_miss(timeline):
    for entry in (Missed(100 * S, (0,)), LeftLate(100 * S, 125 * S, (0,))):
        assert sends(run(timeline, Paused(70 * S, (0,)), entry).timeline, 0) == AS_WRITTEN


def test_a_line_swum_straight_through_is_missed_as_a_whole():
    timeline = session("pool: 25 m\nMain set\n  50 on 1:00\n  4 x 50\n  2 x 100 on 2:00\n", ONE_LANE)
    assert sends(timeline, 0) == [0, 60, 110, 160, 210, 260, 380]
    made = run(timeline, Missed(20 * S))
    assert sends(made.timeline, 0) == [0, 260, 380]
    # While it is swum, the next line is due.
    assert sends(run(timeline, Missed(120 * S)).timeline, 0) == [0, 60, 110, 160, 210, 380]
    assert sends(run(timeline, LeftLate(120 * S, 265 * S)).timeline, 0) == [0, 60, 110, 160, 210, 265, 385]


# -- more and fewer ---------------------------------------------------------------------------------


def test_one_fewer_and_one_more_of_the_current_line(timeline):
    made = run(timeline, CountChanged(310 * S, -1, 315 * S, lanes=(0,)))
    assert both(made) == [[0, 60, 120, 180, 300, 420, 720], AS_WRITTEN]
    assert made.timeline.tracks[0].pass_at(5).laneline.count == 2
    made = run(timeline, CountChanged(70 * S, 1, 75 * S, lanes=(0,)))
    assert both(made) == [AS_WRITTEN, AS_WRITTEN]  # 240 + 45 > 240: it does not fit
    made = run(timeline, CountChanged(70 * S, 1, 75 * S))
    assert both(made) == [[0, 60, 120, 180, 240, 360, 480, 600, 780]] * 2  # all: 290 + 60 = 350, up to 360


def test_one_more_while_the_last_one_is_swum(timeline):
    made = run(timeline, CountChanged(550 * S, 1, 555 * S))
    assert both(made) == [[0, 60, 120, 180, 300, 420, 540, 660, 840]] * 2  # 760 + 60 = 820


def test_one_more_at_the_end_of_everything(timeline):
    made = run(timeline, CountChanged(730 * S, 1, 735 * S))
    # Neither `on` nor `rest`: on from the touch, lane 4's at 80, its own second swimmer's too.
    assert both(made) == [[*AS_WRITTEN, 800], [*AS_WRITTEN, 820]]


def test_between_sections_the_next_line_is_meant(timeline):
    made = run(timeline, CountChanged(250 * S, -1, 255 * S))
    assert both(made) == [[0, 60, 120, 180, 300, 420, 600]] * 2
    made = run(timeline, CountChanged(250 * S, 1, 255 * S))
    assert both(made) == [[0, 60, 120, 180, 300, 420, 540, 660, 840]] * 2


def test_between_two_lines_more_and_fewer_mean_the_next_one_which_the_screen_shows():
    """The 100 is over at 1:40, the lane rests until it leaves on the 25s at 2:30."""
    timeline = session("pool: 25 m\nWarm-up\n  100 on 2:30\n  4 x 25 on 0:40\n", ONE_LANE)
    for at_s, repeats in ((120, 6), (60, 6)):  # at 1:00 it still swims the 100
        made = run(timeline, presses.change_count(fresh(timeline), at_s * S, 1))
        distances = [
            made.timeline.tracks[0].pass_at(index).laneline.line for index in range(len(sends(made.timeline, 0)))
        ]
        assert len(distances) == repeats
        assert (distances[1] is distances[0]) == (at_s == 60), at_s
    fewer = run(timeline, presses.change_count(fresh(timeline), 120 * S, -1))
    assert sends(fewer.timeline, 0) == [0, 150, 190, 230]


def test_a_line_of_one_is_left_out(timeline):
    made = run(timeline, CountChanged(700 * S, -1, 705 * S, lanes=(0,)))
    assert both(made) == [AS_WRITTEN[:-1], AS_WRITTEN]


def test_fewer_than_are_left_changes_nothing(timeline):
    assert both(run(timeline, CountChanged(430 * S, -2, 435 * S))) == [AS_WRITTEN] * 2


def test_a_count_changes_only_in_this_round():
    timeline = session("pool: 25 m\nMain set, 2 rounds\n  3 x 50 on 1:00\n  100 on 2:00\n", ONE_LANE)
    assert sends(timeline, 0) == [0, 60, 120, 180, 300, 360, 420, 480]
    assert sends(run(timeline, CountChanged(10 * S, -1, 15 * S)).timeline, 0) == [0, 60, 120, 240, 300, 360, 420]
    assert sends(run(timeline, CountChanged(310 * S, 1, 315 * S)).timeline, 0) == [
        0,
        60,
        120,
        180,
        300,
        360,
        420,
        480,
        540,
    ]


def test_rounds_more_and_fewer():
    timeline = session("pool: 25 m\nMain set, 2 rounds\n  3 x 50 on 1:00\nSwim-down\n  100 on 2:00\n", ONE_LANE)
    assert sends(timeline, 0) == [0, 60, 120, 180, 240, 300, 420]
    assert sends(run(timeline, CountChanged(10 * S, -1, 15 * S, True)).timeline, 0) == [0, 60, 120, 240]
    assert sends(run(timeline, CountChanged(190 * S, -1, 195 * S, True)).timeline, 0) == sends(
        timeline, 0
    )  # the round has begun
    more = run(timeline, CountChanged(310 * S, 1, 315 * S, True))
    assert sends(more.timeline, 0) == [0, 60, 120, 180, 240, 300, 360, 420, 480, 600]


#: Lane 5 touches at 3:00 + 0:50, so the main set starts at 5:00; lane 4 has time for one more, at 3:00.
SHORT_AND_LONG = """\
pool: 25 m
booking: 10 min
Warm-up
  3 x 50 on 1:00 / 1:30
Main set
  2 x 100 on 2:00
"""


@pytest.mark.parametrize("rounds", [True, False])
def test_what_was_added_and_had_no_time_is_not_swum_after_a_pause_of_all(rounds):
    replayed = fresh(session(SHORT_AND_LONG))
    assert both(replayed) == [[0, 60, 120, 300, 420], [0, 90, 180, 300, 420]]
    replayed = apply(replayed, presses.change_count(replayed, 10 * S, 1 if rounds else 2, (0,), rounds=rounds))
    assert sends(replayed.timeline, 0) == [0, 60, 120, 180, 300, 420]
    finish = replayed.timeline.end_ms
    for press in (Paused(20 * S), Paused(20 * S, None, True), Stopped(20 * S)):
        told = outlook(replayed, press)
        assert finish_ms(replayed, 20 * S) == finish
        made = apply(told.run, Resumed(55 * S, 60 * S))
        assert sends(made.timeline, 0) == [0, 60, 120, 180, 300, 420], press
        assert finish_ms(told.run, 20 * S) == finish == made.timeline.end_ms


def test_a_round_that_was_added_in_an_older_journal_is_swum_whole_after_a_pause_of_all():
    timeline = session(SHORT_AND_LONG)
    older = CountChanged(10 * S, 1, 15 * S, True, (0,))
    made = run(timeline, older, Paused(20 * S), Resumed(55 * S, 60 * S))
    assert sends(made.timeline, 0) == [0, 60, 120, 180, 240, 300, 420, 540]


def test_a_lane_that_has_more_time_later_gets_what_is_added_then():
    """The other lanes' main set is two minutes later once each has two more 50s to swim."""
    timeline = session(SHORT_AND_LONG)
    made = apply(fresh(timeline), presses.change_count(fresh(timeline), 10 * S, 1, (0,), rounds=True))
    made = apply(made, presses.change_count(made, 20 * S, -1, (0,), rounds=True))
    assert both(made) == both(fresh(timeline)) and not made.course.deviation.last
    all_more = apply(made, presses.change_count(made, 30 * S, 1, rounds=True))
    assert sends(all_more.timeline, 0, 0) == [0, 60, 120, 180, 240, 300]


def test_more_repeats_of_a_ladder_and_of_stepped_intervals():
    timeline = session("pool: 25 m\nMain set\n  6 x 50 on 1:00 then 0:55 then 0:50\n  50 - 100 on 2:00\n", ONE_LANE)
    assert sends(timeline, 0) == [0, 60, 120, 175, 230, 280, 330, 450]
    fewer = run(timeline, CountChanged(10 * S, -1, 15 * S))
    assert sends(fewer.timeline, 0) == [0, 60, 120, 175, 230, 280, 400]  # the first five as they were
    more = run(timeline, CountChanged(10 * S, 1, 15 * S))
    assert sends(more.timeline, 0) == [0, 60, 120, 175, 230, 280, 330, 380, 500]
    ladder = run(timeline, CountChanged(340 * S, 1, 345 * S))
    assert sends(ladder.timeline, 0) == [0, 60, 120, 175, 230, 280, 330, 450, 570]
    assert ladder.timeline.distance(0) == timeline.distance(0) + 100


def test_more_and_fewer_of_a_line_swum_straight_through():
    timeline = session("pool: 25 m\nMain set\n  3 x 50\n  100 on 2:00\n", '[[lane]]\nbase = "1:20"\nswimmers = 2\n')
    assert sends(timeline, 0) == [0, 40, 80, 120]
    made = run(timeline, CountChanged(45 * S, 1, 50 * S))
    assert sends(made.timeline, 0) == [0, 40, 80, 120, 160] and left(made.timeline, 0, 2) == [5, 45, 85, 125, 165]
    assert sends(run(timeline, CountChanged(45 * S, -1, 50 * S)).timeline, 0) == [0, 40, 80]


def test_count_of_a_held_lane():
    timeline = session("pool: 25 m\nMain set\n  5 x 50 on 1:00\n", ONE_LANE)
    made = run(timeline, Paused(70 * S), CountChanged(80 * S, -1, 85 * S))
    assert made.paused() == (0,)
    made = run(timeline, Paused(70 * S), CountChanged(80 * S, -1, 85 * S), Resumed(195 * S, 200 * S))
    assert sends(made.timeline, 0) == [0, 60, 200, 260]


# -- intervals ------------------------------------------------------------------------------------------


def test_another_interval_from_now_on(timeline):
    made = run(timeline, IntervalChanged(310 * S, 110 * S, 315 * S))
    assert both(made) == [[0, 60, 120, 180, 300, 410, 520, 690]] * 2  # 620 + 60 = 680
    made = run(timeline, IntervalChanged(310 * S, 130 * S, 315 * S, (0,)))
    # 300 430, and 560 ends at 645 <= 660: in time.
    assert both(made) == [[0, 60, 120, 180, 300, 430, 560, 720], AS_WRITTEN]


def test_an_interval_that_is_over_already_leaves_at_the_next_mark(timeline):
    made = run(timeline, IntervalChanged(412 * S, 105 * S, 420 * S, (0,)))
    assert sends(made.timeline, 0) == [0, 60, 120, 180, 300, 420, 525, 720]


def test_an_interval_lasts_through_later_rounds():
    timeline = session("pool: 25 m\nMain set, 2 rounds\n  3 x 50 on 1:00\n", ONE_LANE)
    made = run(timeline, IntervalChanged(70 * S, 70 * S, 75 * S))
    assert sends(made.timeline, 0) == [0, 60, 130, 200, 270, 340]


def test_lines_with_rest_or_straight_through_can_get_an_interval():
    timeline = session("pool: 25 m\nMain set\n  3 x 50 rest 0:20\n  3 x 50\n", ONE_LANE)
    assert sends(timeline, 0) == [0, 70, 140, 210, 260, 310]
    assert sends(run(timeline, IntervalChanged(80 * S, 60 * S, 85 * S)).timeline, 0) == [0, 70, 130, 190, 240, 290]
    assert sends(run(timeline, IntervalChanged(220 * S, 60 * S, 225 * S)).timeline, 0) == [0, 70, 140, 210, 270, 330]


#: 50s in 0:50 on 1:25.
EASY = session("pool: 25 m\nMain set\n  6 x 50 on 1:25\n", ONE_LANE)


def on(made, at_s):
    """The interval of the repeat that is swum, in seconds, and whether the lane is called too tight on it."""
    track = made.timeline.tracks[0]
    found = track.pass_at(track.index_at(at_s * S))
    return found.laneline.intervals[0] // S, found.laneline.too_tight


def test_an_interval_holds_from_the_repeat_that_is_swum():
    """Too tight, or no longer: that is so at once, and a second change follows the first."""
    tight = run(EASY, IntervalChanged(100 * S, 52 * S, 105 * S))
    assert sends(tight.timeline, 0)[:4] == [0, 85, 137, 189]
    assert on(tight, 20) == (85, False) and on(tight, 100) == (52, True)
    eased = run(EASY, IntervalChanged(100 * S, 52 * S, 105 * S), IntervalChanged(150 * S, 60 * S, 155 * S))
    assert sends(eased.timeline, 0)[:5] == [0, 85, 137, 197, 257]
    assert on(eased, 100) == (52, True) and on(eased, 150) == (60, False)


def test_an_interval_leaves_a_repeat_that_its_set_no_longer_has_as_it_is():
    """The last repeat is swum, then the set starts over with one repeat fewer."""
    steps = (Moved(430 * S, Unit.LINE, -1, 480 * S), CountChanged(440 * S, -1, 445 * S))
    before = run(EASY, *steps)
    assert sends(before.timeline, 0) == [0, 85, 170, 255, 340, 425, 480, 565, 650, 735, 820]
    made = run(EASY, *steps, IntervalChanged(455 * S, 60 * S, 460 * S))
    assert sends(made.timeline, 0) == [0, 85, 170, 255, 340, 425, 480, 540, 600, 660, 720]
    assert on(made, 455) == (85, False) and on(made, 490) == (60, False)


def test_after_an_undone_interval_the_next_one_counts_from_the_repeat_that_is_swum():
    tight = apply(fresh(EASY), IntervalChanged(100 * S, 52 * S, 105 * S))
    undone = apply(tight, presses.take_back(tight, 150 * S))
    assert sends(undone.timeline, 0)[:5] == [0, 85, 137, 222, 307]
    assert on(undone, 100) == (52, True) and on(undone, 150) == (85, False), "no longer too tight"
    again = apply(undone, presses.change_interval(undone, 160 * S, 95 * S))
    assert sends(again.timeline, 0)[:5] == [0, 85, 137, 232, 327]


def test_an_interval_keeps_what_a_press_did_to_the_next_send_off():
    """A longer interval is no reason to leave before that: late, after a repeat sat out, moved, or resumed."""
    longer = IntervalChanged(100 * S, 95 * S, 105 * S)
    assert sends(run(EASY, LeftLate(96 * S, 190 * S), longer).timeline, 0)[:4] == [0, 85, 200, 295]
    assert sends(run(EASY, Missed(96 * S), longer).timeline, 0)[:4] == [0, 85, 275, 370], "2 x 1:35"
    assert sends(run(EASY, Moved(96 * S, Unit.REPEAT, 1, 150 * S), longer).timeline, 0)[:4] == [0, 85, 150, 245]
    paused = Paused(90 * S, breaks_off=True), Resumed(95 * S, 175 * S)
    assert sends(run(EASY, *paused, longer).timeline, 0)[:4] == [0, 85, 175, 270]
    short = Paused(90 * S, breaks_off=True), Resumed(95 * S, 150 * S)
    assert sends(run(EASY, *short).timeline, 0)[:4] == [0, 85, 170, 255], "nobody stopped short: as planned"
    assert sends(run(EASY, *short, longer).timeline, 0)[:4] == [0, 85, 180, 275]


# -- sections ---------------------------------------------------------------------------------------------


def test_until_a_later_section_lanes_swim_what_ends_in_time(timeline):
    made = run(timeline, SectionSet(200 * S, 1, 420 * S))
    assert both(made) == [[0, 60, 120, 180, 420, 540, 660, 840]] * 2
    # The swim-down at 600, told at 310: 300 ends in time for 540, 420 would end at 505/520 as well, 540 not.
    made = run(timeline, SectionSet(310 * S, 2, 600 * S))
    assert both(made) == [[0, 60, 120, 180, 300, 420, 600]] * 2


def test_a_section_started_now_breaks_off_swims(timeline):
    made = run(timeline, SectionSet(130 * S, 1, 150 * S))
    assert both(made) == [[0, 60, 120, 150, 270, 390, 570]] * 2
    # Lane 5 would have touched at 170.
    assert made.timeline.tracks[1].cuts == {2: 130 * S}, "told at once"
    made = run(timeline, Stopped(130 * S), SectionSet(140 * S, 1, 150 * S))
    assert not made.stopped and made.paused() == () and both(made) == [[0, 60, 120, 150, 270, 390, 570]] * 2


def test_a_section_for_one_lane(timeline):
    made = run(timeline, SectionSet(130 * S, 1, 180 * S, (0,)))
    # 120 was left on already; from 180 the whole main set, 420 to 505, is in time for the swim-down.
    assert both(made) == [[0, 60, 120, 180, 300, 420, 720], AS_WRITTEN]


# -- swimmers ---------------------------------------------------------------------------------------------


def test_a_slower_swimmer_lengthens_the_intervals_with_rest():
    timeline = session("pool: 25 m\nMain set\n  4 x 50 rest 0:20\n", ONE_LANE)
    assert sends(timeline, 0) == [0, 70, 140, 210]
    made = run(timeline, SwimmerJoined(80 * S, 0, 85 * S, base_ms=120_000))
    # From the third on: 60 + 20 = 80.
    assert sends(made.timeline, 0) == [0, 70, 140, 220] and left(made.timeline, 0, 2) == [145, 225]
    assert made.timeline.end_ms == 285 * S
    assert len(made.timeline.squad.lanes[0].swimmers) == 2
    made = run(timeline, SwimmerJoined(80 * S, 0, 85 * S, 0, 120_000), SwimmerLeft(150 * S, 0, 0))
    assert sends(made.timeline, 0) == [0, 70, 140, 220] and left(made.timeline, 0, 2) == [145]


def test_a_swimmer_changes_lane(timeline):
    made = run(timeline, SwimmerChanged(70 * S, 0, 1, 1, 75 * S))
    assert [len(lane.swimmers) for lane in made.timeline.squad.lanes] == [1, 2]
    assert left(made.timeline, 0, 2) == [5, 65] and left(made.timeline, 1, 2) == [125, 185, 305, 425, 545, 725]
    within = run(timeline, SwimmerChanged(70 * S, 0, 0, 0, 75 * S))
    assert [len(lane.swimmers) for lane in within.timeline.squad.lanes] == [2, 1]


def test_an_empty_lane_swims_no_more_until_somebody_joins(timeline):
    empty = run(timeline, SwimmerLeft(70 * S, 1, 0))
    assert both(empty) == [AS_WRITTEN, [0, 60]] and empty.timeline.tracks[1].end_ms == 110 * S
    made = run(timeline, SwimmerLeft(70 * S, 1, 0), SwimmerJoined(115 * S, 1, 120 * S))
    assert both(made) == [AS_WRITTEN, AS_WRITTEN]
    made = run(timeline, SwimmerLeft(70 * S, 1, 0), SwimmerJoined(400 * S, 1, 405 * S))
    assert both(made) == [AS_WRITTEN, [0, 60, 405, 525, 720]]  # into the main set: 525 ends at 625 <= 660
    made = run(timeline, SwimmerLeft(70 * S, 1, 0), SwimmerLeft(80 * S, 0, 0), SwimmerLeft(81 * S, 0, 0))
    assert both(made) == [[0, 60], [0, 60]]


# -- lanes together ------------------------------------------------------------------------------------------


def test_a_lane_joins_another_lanes_timeline():
    plan = "pool: 25 m\nMain set\n  6 / 3 x 50 on 1:00 / 1:30\nSwim-down\n  100 / 50 on 3:00\n"
    timeline = session(plan)
    assert both(run(timeline)) == [[0, 60, 120, 180, 240, 300, 420], [0, 90, 180, 420]]
    made = run(timeline, LaneJoined(100 * S, 1, 0, 120 * S))
    # From 120 on with lane 4; 90 to 140 is broken off. 300 + 50 = 350 <= 420 - 60: the last one fits as well.
    assert both(made)[1] == [0, 90, 120, 180, 240, 300, 420]
    assert made.timeline.tracks[1].cuts == {1: 120 * S}
    assert made.timeline.distance(1) == 50 * 6 + 100
    # It does what the other does by its own leave afterwards, too.
    held = run(timeline, LaneJoined(100 * S, 1, 0, 120 * S), Missed(125 * S, (1,)))
    assert both(held)[1] == [0, 90, 120, 240, 300, 420]


def test_a_lane_that_joins_stops_at_once_if_it_would_not_be_back():
    plan = "pool: 25 m\nMain set\n  6 / 3 x 50 on 1:00 / 1:30\nSwim-down\n  100 / 50 on 3:00\n"
    timeline = session(plan)
    made = run(timeline, LaneJoined(100 * S, 1, 0, 120 * S, breaks_off=True))
    assert made.timeline.tracks[1].cuts == {1: 100 * S}
    assert both(made)[1] == [0, 90, 120, 180, 240, 300, 420]
    late = run(timeline, LaneJoined(100 * S, 1, 0, 180 * S, breaks_off=True))
    assert not late.timeline.tracks[1].cuts, "it finishes in time for that send-off"


def test_a_lane_that_joins_keeps_its_own_pace():
    timeline = session("pool: 25 m\nMain set\n  4 x 50 rest 0:20\n")
    assert both(run(timeline)) == [[0, 60, 120, 180], [0, 70, 140, 210]]
    made = run(timeline, LaneJoined(20 * S, 1, 0, 60 * S))
    assert both(made) == [[0, 60, 120, 180], [0, 60, 120, 180]]
    assert made.timeline.tracks[1].end_ms == 230 * S


def test_joining_at_a_send_off_that_does_not_exist_changes_nothing(timeline):
    assert both(run(timeline, LaneJoined(100 * S, 1, 0, 121 * S))) == [AS_WRITTEN] * 2


# -- refit ------------------------------------------------------------------------------------------------------


def test_a_refit_uses_the_counts_in_the_entry():
    plan = "pool: 25 m\nMain set, 1 to 3 rounds\n  2 x 50 on 1:00\nSwim-down\n  1 to 4 x 50 on 1:00\n"
    from pacer.plan.notation.planreader import read_plan
    from pacer.squad.files.squadreader import read_squad

    timeline = build_timeline(read_plan(plan), read_squad(TWO_LANES), {(0, None): (3, 2), (1, 1): (2, 2)})
    assert both(run(timeline)) == [[0, 60, 120, 180, 240, 300, 420, 480], [0, 60, 120, 180, 420, 480]]
    made = run(timeline, Refitted(70 * S, 400 * S, 75 * S, ((0, None, (2, 1)), (1, 1, (1, 3)))))
    # Lane 4 ends at 180 + 45 = 225, + 60 = 285, up to 300.
    assert both(made) == [[0, 60, 120, 180, 300], [0, 60, 300, 360, 420]]
    assert made.out_ms == 400 * S


def test_changes_leave_the_page_as_written(timeline):
    """The page itself stays as it was written."""
    before = session(THREE_SECTIONS)
    run(
        before,
        CountChanged(310 * S, -1, 315 * S),
        IntervalChanged(320 * S, 130 * S, 325 * S),
        SwimmerLeft(330 * S, 0, 1),
    )
    assert both(run(before)) == [AS_WRITTEN] * 2


# -- written rests ----------------------------------------------------------------------------------------------


def test_a_repeat_added_in_a_written_rest_comes_at_the_end_of_the_next_set():
    """The last 100 is left on at 2:45; with the rest, the 50s come at 2 x 2:45 + 1:00 = 6:30, whatever is pressed."""
    plan = "pool: 25 m\nMain set\n  2 x 100 on 2:45\n  rest 1:00\n  2 x 50 on 1:45\n"
    timeline = session(plan, '[[lane]]\nbase = "1:14"\n')
    assert sends(timeline, 0) == [0, 165, 390, 495]
    for at_s in (290, 340):
        made = run(timeline, presses.change_count(fresh(timeline), at_s * S, 1))
        assert sends(made.timeline, 0) == [0, 165, 390, 495, 600], at_s
    swimming = run(timeline, presses.change_count(fresh(timeline), 200 * S, 1))
    assert sends(swimming.timeline, 0) == [0, 165, 330, 330 + 165 + 60, 660], "one 100 more, and then the rest"


def test_a_round_added_keeps_the_rest_at_the_end_of_the_last_one():
    """The rounds begin 2 x 2:45 + 1:00 = 6:30 apart, also the one that is added after the last 100 was left on."""
    plan = "pool: 25 m\nMain set, 2 rounds\n  2 x 100 on 2:45\n  rest 1:00\n"
    timeline = session(plan, '[[lane]]\nbase = "1:14"\n')
    for at_s in (200, 580):
        made = run(timeline, presses.change_count(fresh(timeline), at_s * S, 1, rounds=True))
        assert sends(made.timeline, 0) == [0, 165, 390, 555, 780, 945], at_s


# -- the last section -------------------------------------------------------------------------------------------


def test_a_delay_does_not_cost_the_swim_down():
    """Lane 1 ends last, lane 2 still swims: ten seconds more cost a 50 of the main set, or go past the end."""
    plan = "pool: 25 m\nMain set, run on\n  6 / 4 x 50 on 1:00\nSwim-down\n  200\n"
    timeline = session(plan, '[[lane]]\nbase = "1:40"\n[[lane]]\nbase = "1:40"\n')
    down = sends(timeline, 0, section=1)
    assert len(down) == 1 and timeline.end_ms == timeline.tracks[0].end_ms
    late = run(timeline, LeftLate(100 * S, 130 * S, (0,)))
    assert len(sends(late.timeline, 0, section=1)) == 1
    assert sends(late.timeline, 0, section=0) == [0, 60, 130, 190, 250], "one 50 gives way"
    last = run(timeline, LeftLate((down[0] - 20) * S, (down[0] + 10) * S, (0,)))
    assert sends(last.timeline, 0, section=1) == [down[0] + 10], "nothing can give way: it ends later"
