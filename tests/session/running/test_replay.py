"""Pausing, leaving again and moving, worked out by hand. All seconds are from the session's zero.

Lane 4 (index 0, two swimmers) and lane 5 (index 1) leave the warm-up at 0 60 120 180, the main set at
300 420 540, the swim-down at 720. Lane 4 touches for the last time at 805, lane 5 at 820.
"""

import random

import pytest

from pacer.session.journal.entries import (
    Begun,
    Ended,
    IntervalChanged,
    Moved,
    Paused,
    Resumed,
    Stopped,
    TakenBack,
    Unit,
)
from pacer.session.journal.jsonlines import entry_from_line
from pacer.session.running import presses
from pacer.session.running.brokenrepeats import in_all, swum
from pacer.session.running.instant import State, lane_state
from pacer.session.running.leavingagain import late_mark, move_mark, resume_mark
from pacer.session.running.moves import can_move
from pacer.session.running.replay import apply, fresh, replay
from pacer.session.running.whereabouts import places, stops
from pacer.timeline.findings import CannotRun
from tests.session.deck import PLAN, SQUAD, evening
from tests.session.pages import check, left, run, sends, session

S = 1000


@pytest.fixture(scope="module")
def timeline():
    return session()


def states(run, at):
    return [str(lane_state(track, at * S).state) for track in run.timeline.tracks]


def test_the_session_as_written(timeline):
    for lane in (0, 1):
        assert sends(timeline, lane) == [0, 60, 120, 180, 300, 420, 540, 720]
    assert timeline.tracks[0].end_ms == 805 * S and timeline.end_ms == 820 * S
    assert timeline.gates == {0: 0, 1: 300 * S, 2: 720 * S}


# -- pause and resume ---------------------------------------------------------------------------------


def test_a_paused_lane_loses_its_own_repeats_and_nobody_waits(timeline):
    # Paused in its second 50, from 70 to 200: back at 205, it has 205 and 265 to do. The second would end at
    # 265 + 40 + 5 = 310, after 300 - 60 = 240; the first at 250, after it as well: both are lost.
    made = run(timeline, Paused(70 * S, (0,)), Resumed(200 * S, 205 * S, (0,)))
    assert sends(made.timeline, 0) == [0, 60, 300, 420, 540, 720]
    assert sends(made.timeline, 1) == sends(timeline, 1)
    # Paused only from 70 to 125: the repeat at 130 ends in time (130 + 45 = 175), and so does 190 (235); only the one
    # that would have been at 250 is lost.
    made = run(timeline, Paused(70 * S, (0,)), Resumed(125 * S, 130 * S, (0,)))
    assert sends(made.timeline, 0) == [0, 60, 130, 190, 300, 420, 540, 720]
    assert made.timeline.gates == timeline.gates


def test_the_repeats_that_do_not_fit_before_the_common_start_are_lost(timeline):
    # Paused in the first 50 until 140: 145 ends at 190, 205 would end at 250 > 240.
    made = run(timeline, Paused(20 * S, (0,)), Resumed(140 * S, 145 * S, (0,)))
    assert sends(made.timeline, 0, 0) == [0, 145]
    assert made.timeline.distance(0) == timeline.distance(0) - 100


def test_a_pause_that_ends_before_the_next_send_off_costs_nothing(timeline):
    made = run(timeline, Paused(70 * S, (0,)), Resumed(90 * S, 95 * S, (0,)))
    assert sends(made.timeline, 0) == sends(timeline, 0)
    assert resume_mark(run(timeline, Paused(70 * S, (0,))), 90 * S, (0,)) == 120 * S
    assert resume_mark(run(timeline, Paused(70 * S, (0,))), 116 * S, (0,)) == 125 * S


def test_swimmers_still_to_leave_stay_when_the_lane_is_paused(timeline):
    # The second swimmer of lane 4 leaves 5 s after the first: held at 62, only the first swims.
    made = run(timeline, Paused(62 * S, (0,)), Resumed(125 * S, 130 * S, (0,)))
    assert left(made.timeline, 0, 1) == [0, 60, 130, 190, 300, 420, 540, 720]
    assert left(made.timeline, 0, 2) == [5, 135, 195, 305, 425, 545, 725]
    touches = [e.at_ms // S for e in made.timeline.events(0) if e.kind == "touch" and e.swimmer == 2]
    assert touches[:2] == [45, 175]


def test_nobody_leaves_while_the_lane_is_paused(timeline):
    made = run(timeline, Paused(62 * S, (0,)))
    assert left(made.timeline, 0, 1) == [0, 60] and left(made.timeline, 0, 2) == [5]
    assert states(made, 61) == ["go", "go"] and states(made, 500)[0] == "paused"
    # At 75 the first swimmer is on the way, the second at the wall; at 500 both stand there.
    assert [place.moving for place in places(made.timeline, 0, 75 * S)] == [True, False]
    assert [place.moving for place in places(made.timeline, 0, 500 * S)] == [False, False]


def test_all_held_and_resumed_together_lose_time_and_no_repeat(timeline):
    # Both at 65 in their second 50, back at 200: 200 and 260 instead of 120 and 180. Lane 5 ends at 310:
    # main set at 390 instead of 300; everything behind it 90 later.
    made = run(timeline, Paused(65 * S), Resumed(195 * S, 200 * S))
    for lane in (0, 1):
        assert sends(made.timeline, lane) == [0, 60, 200, 260, 390, 510, 630, 810]
    assert made.timeline.end_ms == 910 * S
    assert made.timeline.gates == {0: 0, 1: 390 * S, 2: 810 * S}


def test_lanes_resumed_one_after_the_other_after_a_hold_of_all(timeline):
    # The first back at 200 sets the common starts for both (390); lane 5, back at 230, has 230 and 290,
    # the latter to 340 > 330: it loses one repeat and nobody waits for it.
    made = run(timeline, Paused(65 * S), Resumed(195 * S, 200 * S, (0,)), Resumed(225 * S, 230 * S, (1,)))
    assert sends(made.timeline, 0) == [0, 60, 200, 260, 390, 510, 630, 810]
    assert sends(made.timeline, 1) == [0, 60, 230, 390, 510, 630, 810]
    assert made.timeline.gates[1] == 390 * S


def test_while_all_others_are_paused_one_lane_continues_alone(timeline):
    made = run(timeline, Paused(65 * S, (1,)))
    assert made.paused() == (1,)
    assert sends(made.timeline, 0) == sends(timeline, 0)


def test_a_lane_held_past_a_common_start_joins_the_section_the_others_are_in(timeline):
    # Lane 4 held from 70 to 400: the main set began at 300. It swims of it, from its beginning, what ends by
    # 720 - 60 = 660: 405 and 525 (to 610); 645 does not.
    made = run(timeline, Paused(70 * S, (0,)), Resumed(400 * S, 405 * S, (0,)))
    assert sends(made.timeline, 0) == [0, 60, 405, 525, 720]
    assert made.timeline.tracks[0].pass_at(2).section == 1


def test_in_the_last_section_the_others_end_does_not_move():
    timeline = session("pool: 25 m\nMain set\n  6 x 100 on 2:00\n")
    # Ends: lane 4 at 600 + 85, lane 5 at 700. Lane 4 held from 130 to 300 has 4 to do: 305 425 545 (to 630), not 665
    # (to 750).
    made = run(timeline, Paused(130 * S, (0,)), Resumed(296 * S, 305 * S, (0,)))
    assert sends(made.timeline, 0) == [0, 120, 305, 425, 545]
    assert made.timeline.end_ms == 700 * S


def test_with_time_left_in_the_booking_the_last_section_may_use_it():
    timeline = session("pool: 25 m\nbooking: 13 min\nMain set\n  6 x 100 on 2:00\n")
    made = run(timeline, Paused(130 * S, (0,)), Resumed(296 * S, 305 * S, (0,)))
    assert sends(made.timeline, 0) == [0, 120, 305, 425, 545, 665]


def test_held_between_sections_and_resumed_before_the_start_nothing_changes(timeline):
    made = run(timeline, Paused(250 * S), Resumed(270 * S, 275 * S))
    assert [sends(made.timeline, lane) for lane in (0, 1)] == [sends(timeline, lane) for lane in (0, 1)]


def test_held_between_sections_past_the_start_all_start_on_the_next_top_or_bottom(timeline):
    waiting = run(timeline, Paused(250 * S))
    assert resume_mark(waiting, 331 * S) == 360 * S
    made = run(timeline, Paused(250 * S), Resumed(331 * S, 360 * S))
    assert sends(made.timeline, 1) == [0, 60, 120, 180, 360, 480, 600, 780]


def test_a_lane_that_has_finished_its_section_waits_for_the_others():
    # Warm-up by lane: lane 4 swims one 50, lane 5 four. Paused at 100, back at 140: lane 5 has 140 and 200, to
    # 250; the main set starts at 330 for both, not at 140 for lane 4.
    timeline = session("pool: 25 m\nWarm-up\n  1 / 4 x 50 on 1:00\nMain set\n  2 x 100 on 2:00\n")
    made = run(timeline, Paused(100 * S), Resumed(135 * S, 140 * S))
    assert sends(made.timeline, 1) == [0, 60, 140, 200, 330, 450]
    assert sends(made.timeline, 0) == [0, 330, 450]


def test_held_before_the_zero(timeline):
    made = run(timeline, Begun(-10 * S, 0, 0), Paused(-5 * S))
    assert states(made, -4) == ["paused", "paused"]
    made = run(timeline, Begun(-10 * S, 0, 0), Paused(-5 * S), Resumed(7 * S, 30 * S))
    assert sends(made.timeline, 0)[:3] == [30, 90, 150]


def test_paused_time_does_not_count_against_a_timed_section():
    timeline = session("pool: 25 m\nWarm-up, at most 5 min\n  10 x 50 on 1:00\n", '[[lane]]\nbase = "1:40"\n')
    assert sends(timeline, 0) == [0, 60, 120, 180, 240]
    # Paused in the third repeat from 130 to 200, back at 205, 75 s after the pause: limit 375 instead of 300.
    made = run(timeline, Paused(130 * S), Resumed(200 * S, 205 * S))
    assert sends(made.timeline, 0) == [0, 60, 120, 205, 265, 325]
    # And a second time, from 210 to 300: back at 300, 90 later: limit 465.
    made = run(timeline, Paused(130 * S), Resumed(200 * S, 205 * S), Paused(210 * S), Resumed(295 * S, 300 * S))
    assert sends(made.timeline, 0) == [0, 60, 120, 205, 300, 360]


# -- stop all ------------------------------------------------------------------------------------------


def test_stop_all_breaks_off_and_all_leave_together(timeline):
    # 10 s into the main set's first 100: lane 4 is home with 50 m at 340 and 345, lane 5 at 350.
    stopped = run(timeline, Stopped(310 * S))
    assert stopped.stopped and stopped.paused() == (0, 1) and states(stopped, 310) == ["paused", "paused"]
    assert resume_mark(stopped, 320 * S) == 355 * S
    made = run(timeline, Stopped(310 * S), Resumed(320 * S, 355 * S))
    assert not made.stopped
    for lane in (0, 1):
        assert sends(made.timeline, lane, 1) == [300, 355, 475]
    # A repeat that was broken off has no touch.
    assert [e.at_ms // S for e in made.timeline.events(1) if e.kind == "touch"][3:5] == [230, 455]


def test_a_swimmer_stopped_in_the_last_lengths_has_swum_the_repeat(timeline):
    # 10 s into a 50 everybody comes to its end before the home wall, at 110: nothing of the plan moves.
    for press in (Stopped(70 * S), Paused(70 * S, None, True)):
        assert resume_mark(run(timeline, press), 72 * S) == 120 * S
        made = run(timeline, press, Resumed(72 * S, 120 * S))
        assert [sends(made.timeline, lane) for lane in (0, 1)] == [sends(timeline, lane) for lane in (0, 1)]
        assert [swum(made.timeline, lane) for lane in (0, 1)] == [600, 600]
        assert swum(run(timeline, press).timeline, 0) == 100


def test_a_paused_lane_breaks_off_at_the_home_wall(timeline):
    # Lane 4 left on the main set's 100 at 300 and 305. Paused at 310, it is home after 50 m at 340 and 345; resumed at
    # 320, it leaves at 350; lane 5 swims on.
    paused = run(timeline, presses.pause(fresh(timeline), 310 * S, (0,)))
    assert [place.moving for place in places(paused.timeline, 0, 339 * S)] == [True, True]
    assert [place.moving for place in places(paused.timeline, 0, 346 * S)] == [False, False]
    assert stops(paused.timeline, 0) == ((310 * S, 345 * S),) and not stops(paused.timeline, 1)
    assert swum(paused.timeline, 0) == 4 * 50 + 50
    assert [swum(paused.timeline, 0, at * S) for at in (315, 325, 339, 340)] == [200, 225, 225, 250]
    assert resume_mark(paused, 320 * S, (0,)) == 350 * S
    made = run(timeline, Paused(310 * S, (0,), True), Resumed(320 * S, 350 * S, (0,)))
    assert sends(made.timeline, 0) == [0, 60, 120, 180, 300, 350, 470, 720]
    assert sends(made.timeline, 1) == sends(timeline, 1)


def test_a_pause_in_an_older_journal_is_replayed_as_it_was(timeline):
    was = run(timeline, entry_from_line('{"v": 1, "kind": "held", "at_ms": 310000, "lanes": [0]}'))
    assert not was.timeline.tracks[0].cuts and swum(was.timeline, 0) == 4 * 50 + 100


def test_a_resume_that_is_undone_pauses_as_before(timeline):
    # Resumed at 350, undone at 360: swimmers who left are told to stop at the wall again.
    paused = Paused(310 * S, (0,), True), Resumed(320 * S, 350 * S, (0,))
    made = run(timeline, *paused, TakenBack(360 * S, 395 * S))
    assert made.paused() == (0,) and made.timeline.tracks[0].cuts == {4: 310 * S, 5: 360 * S}
    old = Paused(310 * S, (0,)), Resumed(320 * S, 420 * S, (0,))
    made = run(timeline, *old, TakenBack(430 * S, 475 * S))
    assert made.paused() == (0,) and not made.timeline.tracks[0].cuts


def test_stop_all_also_stops_swimmers_of_a_paused_lane(timeline):
    # An older journal's pause, at 306 of the 100 that both left on; stopped at 310 they are home at 340 and 345.
    made = run(timeline, Paused(306 * S, (0,)), Stopped(310 * S), Resumed(320 * S, 355 * S))
    assert sends(made.timeline, 0, 1) == [300, 355, 475]
    touches = [e.at_ms // S for e in made.timeline.events(0) if e.kind == "touch" and e.swimmer == 1]
    assert touches[4:] == [435, 555, 740], "none of what was broken off"


def test_one_lane_after_the_other_after_stop_all(timeline):
    made = run(timeline, Stopped(310 * S), Resumed(320 * S, 355 * S, (1,)), Resumed(365 * S, 370 * S, (0,)))
    assert made.paused() == ()
    assert sends(made.timeline, 1, 1) == [300, 355, 475]
    # Lane 5 ends at 575, so the swim-down starts at 660; lane 4: 370 (to 455) and 490 (to 575), both by 600.
    assert sends(made.timeline, 0)[4:] == [300, 370, 490, 660]


# -- moving ----------------------------------------------------------------------------------------------


@pytest.fixture
def all_back(monkeypatch):
    """Pretend that everybody is at the wall when the coach presses.

    The tests below work out by hand where lanes go; `test_marks` covers when swimmers are back.
    """
    monkeypatch.setattr("pacer.session.running.leavingagain.back_ms", lambda timeline, lane, at_ms, **how: at_ms)


def moved(timeline, at, unit, step, lanes=None, *before, leave=None):
    at_ms = at * S
    here = run(timeline, *before)
    assert can_move(here, at_ms, unit, step, lanes)
    return run(
        timeline,
        *before,
        Moved(at_ms, unit, step, move_mark(here, at_ms, unit, step, lanes) if leave is None else leave * S, lanes),
    )


@pytest.mark.parametrize(
    ("at", "unit", "step", "expected"),
    [
        (70, Unit.REPEAT, 1, [0, 60, 75, 135, 270]),  # the third now
        (115, Unit.REPEAT, 1, [0, 60, 120, 240]),  # ready for the third: the fourth; 120 + 50 + 60 = 230
        (70, Unit.REPEAT, -1, [0, 60, 75, 135, 195, 330]),  # the second again
        (-3, Unit.REPEAT, 1, [5, 65, 125, 240]),  # nothing begun: without the first; 125 + 50 + 60 = 235
        (130, Unit.LINE, 1, [0, 60, 120, 150, 270]),  # all at the end of the section: on the next top or bottom
        (130, Unit.SECTION, 1, [0, 60, 120, 150, 270]),
        (430, Unit.SECTION, -1, [0, 60, 120, 180, 300, 420, 450, 570, 690, 870]),  # the main set again
        (430, Unit.LINE, -1, [0, 60, 120, 180, 300, 420, 435, 555, 675, 840]),
    ],
)
def test_all_lanes_moved(timeline, all_back, at, unit, step, expected):
    made = moved(timeline, at, unit, step)
    for lane in (0, 1):
        assert sends(made.timeline, lane)[: len(expected)] == expected


def test_previous_section_until_this_one_has_begun(timeline):
    # At 250 nothing of the main set has begun: the warm-up again.
    made = moved(timeline, 250, Unit.SECTION, -1)
    assert sends(made.timeline, 0)[4:9] == [270, 330, 390, 450, 570]
    # Pressed again before anybody has left: there is none before the warm-up.
    assert not can_move(made, 255 * S, Unit.SECTION, -1)


def test_moves_pressed_again_before_anybody_has_left_add_up(timeline, all_back):
    first = Moved(310 * S, Unit.SECTION, 1, 330 * S)
    assert not can_move(run(timeline, first), 312 * S, Unit.SECTION, 1)
    first = Moved(10 * S, Unit.SECTION, 1, 30 * S)
    made = moved(timeline, 12, Unit.SECTION, 1, None, first)
    assert [made.timeline.tracks[0].pass_at(i).section for i in range(2)] == [0, 2]
    first = Moved(430 * S, Unit.REPEAT, -1, 435 * S)
    made = moved(timeline, 431, Unit.REPEAT, -1, None, first)
    assert sends(made.timeline, 0)[4:] == [300, 420, 440, 560, 680, 840]
    made = moved(timeline, 431, Unit.REPEAT, 1, None, first)
    assert sends(made.timeline, 0)[4:] == [300, 420, 440, 600]


def test_the_line_before_is_reached_by_pressing_twice(all_back):
    timeline = session("pool: 25 m\nMain set\n  2 x 50 on 1:00\n  2 x 100 on 2:00\n", '[[lane]]\nbase = "1:40"\n')
    assert sends(timeline, 0) == [0, 60, 120, 240]
    made = moved(timeline, 250, Unit.LINE, -1)
    assert sends(made.timeline, 0) == [0, 60, 120, 240, 255, 375]
    made = moved(timeline, 251, Unit.LINE, -1, None, Moved(250 * S, Unit.LINE, -1, 255 * S))
    assert sends(made.timeline, 0) == [0, 60, 120, 240, 260, 320, 380, 500]


def test_a_lane_that_was_resumed_goes_back_to_its_lines_first_repeat(timeline, all_back):
    journal = Paused(430 * S), Resumed(550 * S, 555 * S)
    made = moved(timeline, 560, Unit.LINE, -1, None, *journal)
    assert sends(made.timeline, 0)[4:] == [300, 420, 555, 565, 685, 805, 990]


def test_one_lane_moved_leaves_the_others_alone(timeline, all_back):
    made = moved(timeline, 70, Unit.REPEAT, 1, (0,))
    assert sends(made.timeline, 0) == [0, 60, 75, 135, 300, 420, 540, 720]
    assert sends(made.timeline, 1) == sends(timeline, 1)
    # Back by one: it has three to do from 75: 75 135 195 (to 240), all in time.
    made = moved(timeline, 70, Unit.REPEAT, -1, (0,))
    assert sends(made.timeline, 0) == [0, 60, 75, 135, 195, 300, 420, 540, 720]


def test_a_lane_at_its_last_repeat_starts_the_next_section_with_the_others(timeline, all_back):
    made = moved(timeline, 190, Unit.REPEAT, 1, (0,))
    assert sends(made.timeline, 0) == sends(timeline, 0)
    # But if it is told to move to the next section, it goes, and finishes early.
    made = moved(timeline, 190, Unit.SECTION, 1, (0,))
    assert sends(made.timeline, 0) == [0, 60, 120, 180, 210, 330, 450, 720]


def test_a_lane_sent_back_a_section_swims_it_until_the_next_common_start(timeline):
    # In the main set at 310: the warm-up from 330 on, 330 390 450 510 (to 555), + 60 up to 615: one 100 of the
    # main set ends at 700 > 660. Then the swim-down with the others.
    made = moved(timeline, 310, Unit.SECTION, -1, (0,), Moved(310 * S, Unit.SECTION, -1, 330 * S, (0,)))
    assert [made.timeline.tracks[0].pass_at(i).section for i in range(4, 7)] == [1, 0, 0]
    assert sends(made.timeline, 0)[-1] == 720


def test_moving_a_paused_lane_resumes_it(timeline):
    made = moved(timeline, 100, Unit.REPEAT, -1, (0,), Paused(70 * S, (0,)))
    assert made.paused() == ()
    assert sends(made.timeline, 0) == [0, 60, 110, 170, 300, 420, 540, 720]  # three to do, 230 would end at 275


def test_nothing_to_move_to(timeline):
    here = fresh(timeline)
    assert not can_move(here, 730 * S, Unit.SECTION, 1) and not can_move(here, 730 * S, Unit.REPEAT, 1)
    assert not can_move(here, -5 * S, Unit.REPEAT, -1) and not can_move(here, -5 * S, Unit.SECTION, -1)
    assert can_move(here, 730 * S, Unit.REPEAT, -1)


def test_a_line_swum_straight_through():
    timeline = session("pool: 25 m\nMain set\n  4 x 50\n  2 x 100 on 2:00\n", '[[lane]]\nbase = "1:20"\nswimmers = 2\n')
    assert sends(timeline, 0) == [0, 40, 80, 120, 160, 280]
    # Paused in the second 50: both swim to the wall, then nobody leaves; back on the third at 105.
    made = run(timeline, Paused(50 * S), Resumed(96 * S, 105 * S))
    assert sends(made.timeline, 0) == [0, 40, 105, 145, 185, 305]
    assert left(made.timeline, 0, 2) == [5, 45, 110, 150, 190, 310]
    # Paused at 42, the second swimmer has not turned: it loses the second 50.
    made = run(timeline, Paused(42 * S), Resumed(96 * S, 105 * S))
    assert left(made.timeline, 0, 2) == [5, 110, 150, 190, 310]


# -- undo ------------------------------------------------------------------------------------------------


def test_undo_restores_the_run(timeline):
    first = run(timeline, Begun(-10 * S, 5, 6), Paused(70 * S, (0,)))
    second = replay(timeline, (Begun(-10 * S, 5, 6), Paused(70 * S, (0,)), Stopped(80 * S), TakenBack(85 * S)))
    assert second.timeline.tracks[0].sendoffs == first.timeline.tracks[0].sendoffs
    assert second.paused() == first.paused() == (0,) and not second.stopped
    third = replay(
        timeline, (Begun(-10 * S, 5, 6), Paused(70 * S, (0,)), Stopped(80 * S), TakenBack(85 * S), TakenBack(86 * S))
    )
    assert third.paused() == () and third.begun == Begun(-10 * S, 5, 6) and third.before is None
    assert replay(timeline, (Begun(-10 * S, 5, 6), TakenBack(1 * S))).begun is not None
    ended = replay(timeline, (Ended(9 * S), TakenBack(10 * S)))
    assert ended.ended_ms is None


def test_marks(timeline):
    here = fresh(timeline)
    # Everybody has touched on the second 50 at 110 (lane 5) and 105 (lane 4's second).
    assert move_mark(here, 110 * S, Unit.REPEAT) == 115 * S and move_mark(here, 110_001, Unit.REPEAT) == 120 * S
    assert move_mark(here, 110 * S, Unit.SECTION) == 120 * S
    assert late_mark(here, 100 * S, (0,)) == 125 * S  # due at 120: the mark after it
    assert late_mark(here, 119 * S, (0,)) == 125 * S
    assert late_mark(here, 122 * S, (0,)) == 130 * S  # has been at 120, with notice
    assert states(here, 0) == [State.GO, State.GO]


def test_nobody_is_sent_off_before_they_are_back_at_the_wall(timeline):
    # At 70 all are 10 s into the second 50, its first length: they swim on to the home wall, lane 4 to 100 (the second
    # to 105), lane 5 to 110; and once the last is home they get 5 s there.
    here = fresh(timeline)
    assert (
        move_mark(here, 70 * S, Unit.REPEAT, 1, (0,)) == 110 * S
        and move_mark(here, 70 * S, Unit.REPEAT, 1, (1,)) == 115 * S
    )
    assert move_mark(here, 70 * S, Unit.REPEAT) == 115 * S and move_mark(here, 70 * S, Unit.REPEAT, -1) == 115 * S
    # The 100 of the main set, 80 s in lane 4: pressed at 310, in the first length, its leader is home with 50 m at 340,
    # the second at 345; pressed at 345, with all of it at 380, while the second turns back at 50.
    assert move_mark(here, 310 * S, Unit.REPEAT, 1, (0,)) == 350 * S
    assert move_mark(here, 345 * S, Unit.REPEAT, 1, (0,)) == 385 * S
    # Stopped at 310 and resumed at 320: the same.
    stopped = run(timeline, Stopped(310 * S))
    assert resume_mark(stopped, 320 * S, (0,)) == 350 * S
    assert resume_mark(stopped, 400 * S, (0,)) == 405 * S
    # Paused without breaking off, swimmers finish their repeat: in the main set's first 100 at 310, lane 4 keeps its
    # next send-off, at 420.
    assert resume_mark(run(timeline, Paused(310 * S, (0,))), 320 * S, (0,)) == 420 * S


def test_a_journal_with_holes_is_replayed_as_far_as_it_goes():
    """Lost entries leave others without meaning: those change nothing, and nothing breaks."""
    timeline = session(PLAN, SQUAD)
    for seed in range(40):
        rng = random.Random(seed)
        entries = [entry for entry, _ in evening(rng, fresh(timeline), 40, steering=0.8)]
        check(replay(timeline, [entry for entry in entries if rng.random() < 0.6]).timeline)
        rng.shuffle(entries)
        check(replay(session(), entries).timeline)


def test_a_refused_entry_changes_nothing():
    long = session("pool: 25 m\nMain set\n  1000 x 50 on 1:20\n", '[[lane]]\nbase = "1:40"\n')
    refused = IntervalChanged(100 * S, 200 * S, 105 * S)
    with pytest.raises(CannotRun):
        apply(fresh(long), refused)
    assert replay(long, (refused, Paused(110 * S))).paused() == (0,)


# -- positions of swimmers who break off --------------------------------------------------------------


@pytest.mark.parametrize("broken_off", [Moved(320 * S, Unit.REPEAT, 1, 390 * S, (0,)), Stopped(320 * S)])
def test_swimmers_who_break_off_swim_on_to_the_home_wall(timeline, broken_off):
    # Lane 4 swims the main set's 100 in 80 s, lengths of 25 m in 20 s. At 320 the leader is at the far wall, and home
    # with the 50 at 340; the second left 5 s later.
    made = run(timeline, broken_off)
    assert [place.moving for place in places(made.timeline, 0, 321 * S)] == [True, True]
    assert places(made.timeline, 0, 330 * S) == [(500, False, True), (750, False, True)]
    assert places(made.timeline, 0, 342 * S) == [(0, True, False), (150, False, True)]
    assert [place.moving for place in places(made.timeline, 0, 346 * S)] == [False, False]


def test_a_swimmer_who_has_touched_stays_at_the_wall_when_others_break_off(timeline):
    made = run(timeline, Moved(382 * S, Unit.REPEAT, 1, 390 * S, (0,)))
    assert places(made.timeline, 0, 383 * S) == [(0, True, False), (100, False, True)]


def test_the_tracks_of_a_run_are_final_and_keep_what_is_worked_out_of_them(monkeypatch):
    """A plan may have thousands of repeats: a preview asks hundreds of times who leaves late, and at which wall."""
    from pacer.session.running import whereabouts

    asked = []
    worked_out = whereabouts.worked_out_sides
    monkeypatch.setattr(whereabouts, "worked_out_sides", lambda *given: asked.append(given[0]) or worked_out(*given))
    made = run(session(), Paused(100 * S, None, breaks_off=True))
    asked.clear()
    for at_ms in range(100 * S, 130 * S, S):
        for lane in range(2):
            whereabouts.last_swims(made.timeline, lane, at_ms)
    assert len(asked) <= 2 and all(track.final for track in made.timeline.tracks)


# -- what was hardly begun is swum again ------------------------------------------------------------------


def stopped_at(timeline, seconds, *, by=presses.pause, lanes=None):
    """The run with everything stopped in the first 300, and the one resumed 20 s later."""
    going = apply(fresh(timeline), Begun(-10 * S, 0, 0))
    paused = apply(going, by(going, seconds * S, lanes))
    return paused, apply(paused, presses.resume(paused, (seconds + 20) * S, lanes))


def stop(_run, at_ms, _lanes):
    return Stopped(at_ms, again=True)


LONG = """\
pool: 25 m
Warm-up
  300 on 6:00
  2 x 50 on 1:00
Main set
  3 x 100 on 2:00
"""


@pytest.mark.parametrize("by", [presses.pause, stop])
def test_a_repeat_stopped_before_a_length_of_it_was_swum_is_swum_again(by):
    """Lane 5 (1:40) has swum a length after 25 s, lane 4 after 20 s: while one of them has not, both go again."""
    timeline = session(LONG)
    _, again = stopped_at(timeline, 24, by=by)
    for lane in (0, 1):
        assert sends(again.timeline, lane) == [0, 60, 420, 480, 600, 720, 840], "the 300 again, on a minute's top"
        assert in_all(again.timeline, lane) == timeline.distance(lane) + 50, "50 m to the wall, and the 300"
    _, on = stopped_at(timeline, 25, by=by)
    for lane in (0, 1):
        assert sends(on.timeline, lane)[:2] == [0, 55] and on.timeline.tracks[lane].pass_at(1).laneline.number == 2


def test_a_lane_that_swims_its_repeat_again_loses_later_ones_and_nobody_waits():
    timeline = session(LONG)
    paused, again = stopped_at(timeline, 5, lanes=(0,))
    assert in_all(paused.timeline, 0) == timeline.distance(0) + 50, "as if there were time for all"
    # Back at the wall at 40 s, off at 45 s: the 50 at 405 s ends by 540 - 60 s, and the one at 465 s does not.
    assert sends(again.timeline, 0) == [0, 45, 405, 540, 660, 780]
    assert sends(again.timeline, 1) == sends(timeline, 1)


def test_next_repeat_skips_what_would_be_swum_again_and_previous_repeat_does_not():
    paused, _ = stopped_at(session(LONG), 5)
    on, back = (apply(paused, presses.move(paused, 60 * S, Unit.REPEAT, step)) for step in (1, -1))
    assert on.timeline.tracks[0].pass_at(1).laneline.number == 2
    assert back.timeline.tracks[0].pass_at(1).laneline.number == 1


def test_a_skipped_set_is_not_swum_again():
    timeline = session(LONG.replace("300 on 6:00", "2 x 300 on 6:00"))
    paused, _ = stopped_at(timeline, 5)
    skipped = apply(paused, presses.leave_line_out(paused, 20 * S, 0, 1))
    resumed = apply(skipped, presses.resume(skipped, 40 * S))
    assert resumed.timeline.tracks[0].pass_at(1).laneline.number == 2


@pytest.mark.parametrize("wrong", [presses.pause, lambda run, at_ms, _: presses.move(run, at_ms, Unit.REPEAT, 1)])
def test_an_undo_that_comes_too_late_to_swim_on_swims_it_again(wrong):
    """The second of lane 4 would have left at 5 s: told to stop at 4 s, it can't leave on that any more."""
    timeline = session(LONG)
    going = apply(fresh(timeline), Begun(-10 * S, 0, 0))
    slip = apply(going, wrong(going, 4 * S, None))
    undone = apply(slip, presses.take_back(slip, 9 * S))
    assert [found.laneline.number for found in undone.timeline.tracks[0].passes][:3] == [1, 1, 2]
    older = apply(slip, TakenBack(9 * S, presses.take_back(slip, 9 * S).leave_ms))
    assert [found.laneline.number for found in older.timeline.tracks[0].passes][:2] == [1, 2], "as in older journals"


def test_in_older_journals_a_repeat_that_was_hardly_begun_was_left():
    timeline = session(LONG)
    for entry in (Paused(5 * S, breaks_off=True), Stopped(5 * S)):
        made = run(timeline, entry, Resumed(25 * S, 45 * S))
        assert made.timeline.tracks[0].pass_at(1).laneline.number == 2
    line = '{"v": 1, "kind": "held", "at_ms": 5000, "breaks_off": true}'
    assert entry_from_line(line) == Paused(5 * S, breaks_off=True)


def test_a_session_resumed_after_its_end_swims_again_what_was_hardly_begun():
    timeline = session(LONG)
    ended = run(timeline, Ended(5 * S))
    reopened = apply(ended, presses.reopen(ended, 30 * S))
    assert reopened.timeline.tracks[0].pass_at(1).laneline.number == 1
