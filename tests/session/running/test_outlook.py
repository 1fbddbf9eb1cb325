"""The preview of a press, and that the press then does exactly that."""

import random
import time

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.session.journal.entries import (
    Begun,
    CountChanged,
    IntervalChanged,
    LinePutIn,
    Moved,
    Paused,
    Refitted,
    Resumed,
    SectionSet,
    Stopped,
    Unit,
)
from pacer.session.running import presses
from pacer.session.running.finish import finish_ms
from pacer.session.running.outlook import outlook
from pacer.session.running.replay import apply, fresh, replay
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.fit.fitcounts import fit
from pacer.timeline.timeline import build_timeline
from tests.session.deck import PLAN, SQUAD, evening
from tests.session.outlooktext import outlook_text
from tests.session.pages import ONE_LANE, TWO_LANES, check, sends, session
from tests.session.refits import refit

S = 1000


@pytest.fixture(scope="module")
def run():
    return replay(session(), (Begun(-10 * S, 5_000_000, 1_772_470_800_000),))


def after(run, *entries):
    for entry in entries:
        run = apply(run, entry)
    return run


def test_moving_one_lane_says_when_it_leaves_and_that_no_other_moves(run):
    told = outlook(run, presses.move(run, 70 * S, Unit.REPEAT, 1, (0,)))
    (lane,) = told.lanes
    assert (lane.lane, lane.leaves_ms) == (0, 110 * S)  # at 70 the leader is 12.5 m out: home at 100, the second at 105
    assert lane.distance == 0, "who is told to stop in a 50 comes to its end all the same"
    assert told.starts == () and told.end_ms == told.end_was_ms == 820 * S
    assert outlook_text(told) == "lane 4: leaves at 1:50"
    # In the 100 from 300 on, 10 s out: home with 50 m at 340 and 345, away again at 350.
    told = outlook(run, presses.move(run, 310 * S, Unit.REPEAT, 1, (0,)))
    assert (told.lanes[0].distance, told.lanes[0].leaves_ms) == (-50, 350 * S)


def test_moving_all_lanes_says_how_sections_and_end_move(run):
    told = outlook(run, presses.move(run, 130 * S, Unit.SECTION, 1))
    assert (
        told.starts == ((1, 300 * S, 180 * S), (2, 720 * S, 600 * S)) and told.end_ms == 700 * S
    )  # lane 5 is home at 170
    assert outlook_text(told) == (
        "lanes 4, 5: leave at 3:00, swim 50 m less; Main set starts at 3:00 instead of 5:00; "
        "Swim-down starts at 10:00 instead of 12:00; lasts 11:40 instead of 13:40"
    )


def test_hold_and_resume(run):
    told = outlook(run, presses.pause(run, 70 * S, (1,)))
    assert outlook_text(told) == "lane 5: waits"
    held = after(run, Paused(70 * S, (1,)))
    told = outlook(held, presses.resume(held, 135 * S, (1,)))
    assert outlook_text(told) == "lane 5: leaves at 2:20, swims 50 m less"
    assert presses.resume(run, 70 * S) is None and presses.pause(after(run, Paused(70 * S)), 80 * S) is None


def test_an_entry_without_effect_says_so(run):
    assert outlook_text(outlook(run, CountChanged(430 * S, -2, 435 * S))) == "Nothing would change."
    assert presses.move(run, 730 * S, Unit.SECTION, 1) is None
    assert presses.late(run, 900 * S) is None and presses.miss(run, 900 * S) is None
    assert presses.change_count(run, 900 * S, 1) is None and presses.change_interval(run, 900 * S, 60 * S) is None
    assert presses.take_back(run, 0) is None
    assert presses.join_lane(run, 70 * S, 1, 1) is None and presses.join_lane(run, 800 * S, 1, 0) is None


def test_one_more_that_does_not_fit_says_so(run):
    told = outlook(run, presses.change_count(run, 70 * S, 1, (0,)))
    assert told.refused == "there is no time for it before the next section" and not told.changes
    told = outlook(run, presses.change_count(run, 70 * S, 1))
    assert [lane.distance for lane in told.lanes] == [50, 50] and told.end_ms == 880 * S
    last = outlook(run, presses.change_count(run, 730 * S, 1, (0,)))
    assert last.refused == "there is no time for it before the other lanes finish", "no section follows"
    assert outlook(run, presses.change_count(run, 730 * S, 1)).changes


def test_sections_now_at_the_top_and_at_a_time_of_day(run):
    assert presses.start_section(run, 251 * S, 1) == SectionSet(251 * S, 1, 260 * S)
    assert presses.start_section(run, 130 * S, 1) == SectionSet(130 * S, 1, 175 * S), (
        "at 130 lane 5 is in its third 50, home at 170"
    )
    assert presses.start_section_at_top(run, 251 * S, 1).leave_ms == 300 * S
    assert presses.start_section_at(run, 251 * S, 1, 1_772_470_800_000 + 333_333).leave_ms == 333_333
    assert presses.start_section_at(run, 251 * S, 1, 1_772_470_800_000 + 255_000) is None


def test_a_lane_joins_at_the_leaders_next_send_off_with_notice(run):
    assert presses.join_lane(run, 70 * S, 1, 0).leave_ms == 120 * S
    assert presses.join_lane(run, 116 * S, 1, 0).leave_ms == 180 * S, "with less than five seconds' notice"
    assert presses.join_lane(after(run, Paused(70 * S, (0,))), 80 * S, 1, 0) is None


def test_a_change_too_far_is_refused():
    run = fresh(session("pool: 25 m\nMain set\n  1000 x 50 on 1:20\n", '[[lane]]\nbase = "1:40"\n'))
    told = outlook(run, IntervalChanged(100 * S, 200 * S, 105 * S))
    assert "24 hours" in told.refused and outlook_text(told).startswith("Not possible: ") and not told.changes
    assert told.run is run


def test_the_preview_is_what_happens():
    run = fresh(session(PLAN, SQUAD))
    rng = random.Random(3)
    for entry, then in evening(rng, run, 60, steering=1.0):
        told = outlook(run, entry)
        assert [t.sendoffs for t in told.run.timeline.tracks] == [t.sendoffs for t in then.timeline.tracks]
        assert told.end_ms == finish_ms(then, entry.at_ms)
        for lane in told.lanes:
            track = then.timeline.tracks[lane.lane]
            assert lane.leaves_ms is None or lane.leaves_ms in track.sendoffs
        run = then


# -- out by seven ------------------------------------------------------------------------------------

FLEXIBLE = """\
pool: 25 m
booking: 15 min
Main set, 1 to 4 rounds
  2 x 50 on 1:00
Swim-down
  1 to 4 x 50 on 1:00
"""


def fitted():
    plan, squad = read_plan(FLEXIBLE), read_squad(TWO_LANES)
    return fresh(build_timeline(plan, squad, fit(plan, squad).counts))


def test_a_refit_from_the_current_section_on():
    run = fitted()
    assert [len(sends(run.timeline, lane)) for lane in (0, 1)] == [12, 12] and run.timeline.end_ms == 770 * S
    entry, report = refit(run, 130 * S, 600 * S)
    assert isinstance(entry, Refitted) and entry.out_ms == 600 * S and report.over_ms == 0
    made = after(run, entry)
    check(made.timeline)
    assert made.timeline.end_ms <= 600 * S and made.timeline.end_ms == report.end_ms
    # The second round has begun: at least two stay, and past send-offs stay as they were.
    assert all(
        sends(made.timeline, lane)[:3] == [0, 60, 120] and len(sends(made.timeline, lane, 0)) >= 4 for lane in (0, 1)
    )
    told = outlook(run, entry)
    assert told.end_ms == made.timeline.end_ms and all(lane.distance < 0 for lane in told.lanes)


def test_a_refit_if_even_the_smallest_is_too_long():
    run = fitted()
    entry, report = refit(run, 130 * S, 200 * S)
    made = after(run, entry)
    assert report.over_ms > 0 and made.timeline.end_ms == report.end_ms == 200 * S + report.over_ms


def test_refitted_while_all_wait():
    run = after(fitted(), Stopped(130 * S))
    entry, report = refit(run, 400 * S, 720 * S)
    made = after(run, entry, Resumed(400 * S, entry.leave_ms))
    assert made.timeline.end_ms <= 720 * S and made.timeline.end_ms == report.end_ms


def test_a_single_lane_may_use_the_rest_of_the_booking():
    run = fitted()
    assert run.latest_ms() == 900 * S
    entry, _ = refit(run, 130 * S, 600 * S)
    assert after(run, entry).latest_ms() == 600 * S


def test_a_move_entry_holds_all_decisions(run):
    assert presses.move(run, 70 * S, Unit.SECTION, 1) == Moved(70 * S, Unit.SECTION, 1, 120 * S)
    assert presses.late(run, 100 * S, (0,)).leave_ms == 125 * S
    assert presses.change_interval(run, 71 * S, 70 * S).leave_ms == 80 * S
    assert presses.join(run, 71 * S, 1, base_ms=90_000).leave_ms == 80 * S
    assert presses.leave(run, 71 * S, 1, 1) is None and presses.leave(run, 71 * S, 1, 0).place == 0
    assert presses.change_lane(run, 71 * S, 1, 3, 0) is None and presses.change_lane(run, 71 * S, 0, 1, 1).to_lane == 1


def test_the_preview_warns_of_an_added_line_that_is_too_tight(run):
    """Lane 5 swims 100 in 1:40: 2 x 100 on 1:30 is too tight for it, on 1:45 is not. Its own tight set is no news."""
    told = outlook(run, LinePutIn(70 * S, "2 x 100 on 1:30", 75 * S))
    assert told.tight == ((1, 15 * S),) and outlook_text(told).startswith("too tight for lane 5; lanes 4, 5: leave at")
    assert outlook(run, LinePutIn(70 * S, "2 x 100 on 1:15", 75 * S)).tight == ((0, 10 * S), (1, 30 * S))
    assert outlook(run, LinePutIn(70 * S, "2 x 100 on 1:45", 75 * S)).tight == ()
    assert outlook(run, LinePutIn(70 * S, "2 x 100 on 1:30", 75 * S, (0,))).tight == ()
    assert outlook(run, presses.change_interval(run, 310 * S, 95 * S, (0, 1))).tight == ((1, 10 * S),)
    assert outlook(run, presses.change_interval(run, 310 * S, 104 * S, (0, 1))).tight == ((1, 1 * S),), (
        "4 s cannot be told from none"
    )
    assert outlook(run, presses.change_interval(run, 310 * S, 105 * S, (0, 1))).tight == ()


def test_a_preview_names_every_lane_that_waits_longer_and_by_how_much(run):
    later = outlook(run, SectionSet(190 * S, 1, 900 * S))  # both lanes would leave at 5:00, after an interval of 1:00
    assert [lane.longer_ms for lane in later.lanes] == [580 * S, 590 * S], "less the rest that they had anyway"
    assert outlook_text(later).startswith("lanes 4, 5 wait 10 min longer; ")
    assert "longer" not in outlook_text(outlook(run, SectionSet(190 * S, 1, 360 * S))), (
        "60 s later is the interval itself"
    )


def test_a_set_added_after_a_section_was_started_comes_first_in_it():
    """Warm-up, then Start section Main set at :00, and a set added while the lanes count down to it.

    Nobody swims it in the warm-up, and nobody waits.
    """
    from pathlib import Path

    from pacer.timeline.summary.planned import planned

    assets = Path(__file__).parents[3] / "assets"
    timeline, _ = planned(
        read_plan((assets / "plans/long-axis-rotation-3.txt").read_text(encoding="utf-8")),
        read_squad((assets / "squads/thursday.toml").read_text(encoding="utf-8")),
    )
    for at in (530, 560, 580, 600):
        started = apply(fresh(timeline), presses.start_section_at_top(fresh(timeline), at * S, 2))
        start = started.by.leave_ms
        for later in (5, 20):
            entry = presses.put_line_in(started, (at + later) * S, "2 x 50 on 1:10")
            told = outlook(started, entry)
            after_it = told.run.timeline
            upcoming = [track.index_at((at + later) * S) + 1 for track in after_it.tracks]
            assert {track.sendoffs[index] for track, index in zip(after_it.tracks, upcoming)} == {start}
            assert {
                (track.pass_at(index).section, track.pass_at(index).laneline.number)
                for track, index in zip(after_it.tracks, upcoming)
            } == {(2, 3)}
            assert not any(lane.longer_ms for lane in told.lanes)


def test_a_swimmer_who_is_too_slow_for_a_lane_makes_its_set_too_tight():
    """Lane 4 swims 3 x 100 on 2:00 at 1:20 a 100; a swimmer who needs 2:10 a 100 joins it in the main set."""
    run = replay(session(squad=TWO_LANES.replace('"1:40"', '"2:10"')), (Begun(-10 * S, 0, 0),))
    told = outlook(run, presses.change_lane(run, 310 * S, 1, 0, 0))
    assert told.tight == ((0, 15 * S),), "2:10 and the least rest of 5 s on 2:00"
    assert outlook(run, presses.change_lane(run, 310 * S, 0, 1, 1)).tight == (), "that lane was as tight before"


def test_a_move_in_a_session_of_thousands_of_repeats_is_told_at_once():
    """The wait that a move brings is compared with those before every repeat until then."""
    long = replay(session("pool: 25 m\nMain set, 2 rounds\n  1000 x 25 on 0:30\n", ONE_LANE), [Begun(0, 0, 0)])
    began = time.process_time()
    told = outlook(long, Moved(100 * S, Unit.REPEAT, -1, 20_000 * S, (0,)))
    assert told.lanes[0].longer_ms > 0
    assert time.process_time() - began < 0.5  # 0.02 s; 1.5 s before
