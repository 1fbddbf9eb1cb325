"""What is told before a change is made: of which lanes, in which unit, what starts and ends when."""

import re
from dataclasses import replace

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.session.journal.entries import Begun, CountChanged, Unit
from pacer.session.running import presses
from pacer.session.running.outlook import outlook
from pacer.session.running.replay import apply, fresh
from pacer.show.wording.forecasttext import ways_of
from pacer.show.wording.pressedtext import moved_ways, resumed_ways
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.timeline import build_timeline
from tests.face.sessions import timeline
from tests.session.pages import session
from tests.session.refits import refit

EVENING_MS = 1_772_470_880_000  # 2 March 2026, 17:01:20 UTC
S = 1_000


@pytest.fixture
def run():
    return apply(fresh(timeline(3)), Begun(-10 * S, 0, EVENING_MS, "+00:00"))


def told(run, entry, at_ms):
    return ways_of(outlook(run, entry), at_ms)


def test_what_is_swum_less_is_said_in_metres_and_why(run):
    said = told(run, presses.change_interval(run, 20 * S, 240 * S, (1,)), 20 * S)
    assert said[0].startswith("lane 5: leaves ") and said[0].endswith(
        "m less, as there is no time before the next section"
    )
    assert "swims 1" in said[0] and said[1].endswith("m less")
    fewer = told(run, presses.change_count(run, 20 * S, -1, (1,)), 20 * S)
    assert "m less" in fewer[0] and "the others" not in fewer[0], "there it is what was asked for"
    assert fewer[0] == "lane 5: leaves :30 (in 3:10), swims 50 m less", (
        "its wait is longer by no more than its interval"
    )


def test_a_lane_that_comes_early_to_a_section_is_said_to_wait_for_it_by_every_press(run):
    """The main set begins at 4:00: 3 x 100, then 2 x 100 straight through, then the swim-down for all lanes."""
    start, track = run.timeline.gates[1], run.timeline.tracks[1]
    at_ms = start + 20 * S
    entry = presses.change_count(run, at_ms, -1, (1,))
    before = run.timeline.gates[2] - track.passes[-2].end_ms
    after = run.timeline.gates[2] - apply(run, entry).timeline.tracks[1].passes[-2].end_ms
    assert after - before == 120 * S, "no more than the interval of 2:00 that it is on"
    assert "longer" not in told(run, entry, at_ms)[0]
    two = CountChanged(at_ms, -2, at_ms + 5 * S, lanes=(1,))
    ways = told(run, two, at_ms)
    assert ways[0].startswith("lane 5 waits 4 min longer before Swim-down; ")
    assert any(way.startswith("200 m less; lane 5 waits 4 min longer") for way in ways), "metres first if it is short"
    on = presses.move(run, at_ms, Unit.LINE, 1, (1,))
    ways = moved_ways(run, outlook(run, on))
    assert ways[0].startswith("lane 5 waits ") and " min longer before Swim-down; lane 5 to 2 × 100 free, " in ways[0]
    assert any(not way.startswith("lane 5 waits") for way in ways), "where there is no room, without"


def test_a_round_fewer_for_one_lane_names_the_wait_that_it_then_has():
    plan = read_plan("pool: 25 m\nMain set, 3 rounds\n  4 x 100 on 2:00\n  100 easy on 3:00\nSwim-down\n  100 easy\n")
    squad = read_squad('[[lane]]\nbase = "1:20"\n[[lane]]\nbase = "1:30"\n')
    run = apply(fresh(build_timeline(plan, squad)), Begun(-10 * S, 0, EVENING_MS, "+00:00"))
    fewer = presses.change_count(run, 30 * S, -1, (0,), rounds=True)
    assert told(run, fewer, 30 * S)[0].startswith("lane 1 waits 11 min longer before Swim-down")
    assert "longer" not in told(run, presses.change_count(run, 30 * S, -1, rounds=True), 30 * S)[0], "nobody waits"


def test_a_press_that_moves_all_says_when_all_are_out(run):
    at_ms = run.timeline.gates[1] + 20 * S
    on = presses.move(run, at_ms, Unit.SECTION, 1)
    assert (
        "; stop at the wall, " in moved_ways(run, outlook(run, on))[0]
        and ", 10:00 earlier" in moved_ways(run, outlook(run, on))[0]
    )
    held = apply(run, presses.pause(run, at_ms))
    again = presses.resume(held, at_ms + 300 * S)
    assert "; finish 17:" in resumed_ways(held, outlook(held, again))[0]


def test_several_lanes_leave_and_swim(run):
    said = told(run, presses.change_count(run, 20 * S, -1), 20 * S)[0]
    assert "all lanes: leave " in said and ", swim " in said and "leaves" not in said


def test_what_starts_and_who_is_out_is_named(run):
    said = told(run, presses.put_line_in(run, 20 * S, "2 x 50 on 1:00"), 20 * S)
    assert "swim 100 m more; Main set starts 2:00 later; Swim-down starts 2:00 later; finish 17:" in said[0] and said[
        0
    ].endswith(", 2:00 later")


def test_a_line_put_in_is_said_with_its_own_send_off_and_where_it_comes(run):
    """2 x 50 on 1:10 are in hand at 0:20: the new set comes after the second of them, which leaves at 1:10."""
    entry = presses.put_line_in(run, 20 * S, "2 x 50 on 1:00")
    made = outlook(run, entry)
    after = made.run.timeline.tracks[0]
    new = next(found for found in after.passes if found.laneline.number == 2 and found.section == 0)
    leaves_ms = after.sendoffs[new.first]
    assert leaves_ms > made.lanes[0].leaves_ms == 70 * S
    said = ways_of(made, 20 * S)
    second = f":{leaves_ms // 1000 % 60:02d}"
    assert said[0].startswith(f"all lanes: the new set after this one, leave {second} (in "), said[0]
    assert all(f"leave {second}" in way or f"leaves {second}" in way or "leave" not in way for way in said), said
    late = presses.put_line_in(run, 75 * S, "2 x 50 on 1:00")
    assert ways_of(outlook(run, late), 75 * S)[0].startswith("all lanes: the new set next, before Main set, leave ")


def test_whether_a_waiting_lane_swims_a_new_set_in_its_wait_or_in_the_next_section_is_said():
    """Lane 5 is home at 1:40 and waits for the swim-down at 9:00."""
    text = "pool: 25 m\nMain set\n  8 / 2 x 50 on 1:00\nSwim-down\n  100\n"
    run = apply(fresh(session(text)), Begun(-10 * S, 0, EVENING_MS, "+00:00"))
    fits, long = (presses.put_line_in(run, 200 * S, f"{count} x 50 on 1:10", (1,)) for count in (4, 6))
    said, brief = told(run, fits, 200 * S), told(run, long, 200 * S)[0]
    assert said[0].startswith("lane 5: the new set next, before Swim-down, leaves :25, swims 200 m more"), said[0]
    assert brief.startswith("lane 5: the new set first in Swim-down, leaves :00 (in 5:40)"), brief


def test_a_set_that_is_not_next_for_all_is_said_with_the_set_before_it(run):
    """At 5:50 of the main set lane 4 swims the 2 x 100, the others still rest after their 3 x 100."""
    at_ms = run.timeline.gates[1] + 350 * S
    said = told(run, presses.put_line_in(run, at_ms, "2 x 50 on 1:00"), at_ms)[0]
    assert "lane 4: the new set after 2 × 100, " in said and "lane 5: the new set after 2 × 100, " in said, said


@pytest.mark.parametrize("at_ms", [20 * S, 300 * S])
def test_no_figure_stands_without_its_unit(run, at_ms):
    entries = [presses.change_count(run, at_ms, by, lanes) for by in (-1, 1) for lanes in (None, (0,))]
    for entry in filter(None, entries):
        for way in told(run, entry, at_ms):
            for word in ("less", "more"):
                assert f" {word}" not in way or f" m {word}" in way, way


def test_a_line_that_a_lane_cannot_make_is_told_first_in_every_way(run):
    for way in told(run, presses.put_line_in(run, 20 * S, "2 x 100 on 1:00"), 20 * S):
        assert re.match(r"too tight( for all lanes, by up to 41 s( \(Warm-up: 2 × 100\))?)?; ", way), way
    one = told(run, presses.change_interval(run, 20 * S, 50 * S, (2,)), 20 * S)
    assert one[0].startswith("too tight for lane 6, by 3 s (Warm-up: 2 × 50); "), one


def test_a_section_started_in_mid_swim_says_who_stops_how_much_is_lost_and_when_all_are_out(run):
    """Lanes 4 and 5 swim the 100s of the main set, lane 6 is just to leave on one; all are told to go to the last."""
    at_ms = run.timeline.gates[1] + 130 * S
    ways = told(run, presses.start_section(run, at_ms, 2), at_ms)
    assert ways[0].startswith("lanes 4, 5: stop at the wall, leave :25, swim 350 m less; lane 6: leaves :25, ")
    for way in ways[:-1]:
        assert " at wall" in way or " at the wall" in way and " m less" in way, way
    assert ways[-2:] == tuple(
        f"{when}2 lanes stop at wall, 350 to 400 m less, finish 17:10" for when in ("leave :25; ", "")
    )
    later = told(run, presses.put_line_in(run, at_ms, "4 x 50 on 1:10"), at_ms)
    assert any(way.startswith("new set: ") and "; 200 m more; finish 17:" in way for way in later), later


def skills(repeats="6 x 50 on 1:10 / 1:10 / 3:00"):
    """Three lanes of a skill set; the main set begins for all when the last is home."""
    squad = read_squad("".join(f'[[lane]]\nbase = "1:{base}"\n' for base in (20, 30, 40)))
    text = f"pool: 25 m\nSkill set\n  {repeats}\nMain set\n  2 x 100 on 2:30\n"
    return apply(fresh(build_timeline(read_plan(text), squad)), Begun(-10 * S, 0, EVENING_MS, "+00:00"))


def test_a_send_off_that_is_minutes_away_is_said_with_how_long_and_with_the_wait_in_few_words_too():
    """Lane 1 moves on at 1:20; the main set begins at 17:00."""
    run = skills()
    ways = moved_ways(run, outlook(run, presses.move(run, 80 * S, Unit.LINE, 1, (0,))))
    assert all("leaves :00 (in 15:40)" in way for way in ways if "leaves" in way), ways
    assert "lane 1 waits 5 min longer; leaves :00 (in 15:40); stop at wall, 200 m less" in ways, ways


def test_a_move_of_all_names_the_lanes_that_wait_longest():
    """Lane 1 goes to its second round, for which the others wait: a move of an older journal."""
    run = skills()
    run = apply(run, CountChanged(20 * S, 1, 25 * S, True, (0,)))
    move = replace(presses.move(run, 80 * S, Unit.LINE, 1), together=False)
    ways = moved_ways(run, outlook(run, move))
    long = [way for way in ways if "first leaves" in way]
    assert long and all("first leaves :00, lanes 2, 3 in 8:10" in way for way in long), ways
    assert all("lanes 2, 3 " in way for way in ways[:-1]), ways
    assert any("; lanes 2, 3 leave in 8:10; " in way for way in ways), ways


def test_a_section_started_now_says_when_lanes_leave_and_which_lane_stops():
    """At 0:48 lane 3 swims its second 25 of four; the others rest."""
    run = skills("4 x 50 / 50 / 100 on 1:10 / 1:10 / 2:30")
    ways = told(run, presses.start_section(run, 48 * S, 1), 48 * S)
    assert any(way.startswith("leave ") and "; lane 3 stops at wall, " in way for way in ways), ways
    assert all("leave" in way for way in ways[:-1]), ways


def test_an_undo_of_a_pause_of_all_says_when_lanes_leave():
    run = skills("6 x 50 on 1:10 / 1:20 / 1:30")
    run = apply(run, presses.pause(run, 75 * S))
    ways = told(run, presses.take_back(run, 135 * S), 135 * S)
    assert ways[-2:] == ("leave :20; 50 m less, finish 17:15", "50 m less, finish 17:15"), ways
    assert all("leave" in way for way in ways[:-1]), ways


def test_an_undo_of_a_pause_says_in_each_of_its_ways_who_still_stops_and_who_misses_the_repeat():
    """Two of four have left 29 s before the pause, more than a length; one more would have left until the Undo."""
    squad = read_squad('[[lane]]\nbase = "1:40"\nspacing = "0:15"\nswimmers = 4\n[[lane]]\nbase = "1:50"\n')
    plan = read_plan("pool: 25 m\nMain set\n  6 x 100 on 2:30\n")
    run = apply(fresh(build_timeline(plan, squad)), Begun(-10 * S, 0, EVENING_MS, "+00:00"))
    run = apply(run, presses.pause(run, 29 * S, (0,)))
    ways = told(run, presses.take_back(run, 43 * S), 43 * S)
    assert all("lane 1 still stops" in way for way in ways), ways
    assert all(re.search("2 (swimmers )?(haven't left and )?miss repeat 1", way) for way in ways), ways


def test_what_stays_as_it_is_goes_without_saying_where_lanes_fare_differently(run):
    entry = presses.change_count(run, 20 * S, -1, (1,))
    assert "leaves :" in told(run, entry, 20 * S)[0], "of one lane it is said all the same"
    after = apply(run, presses.put_line_in(run, 20 * S, "2 x 50 on 1:00"))
    undone = told(after, presses.take_back(after, 25 * S), 25 * S)
    assert "the new line" not in undone[0], "undo puts none in"


def test_a_time_to_finish_by_that_cannot_be_reached_says_which_is_the_earliest():
    from pacer.timeline.fit.fitcounts import fit

    plan, squad = (
        read_plan("pool: 25 m\nbooking: 30 min\nMain set, 1 to 6 rounds\n  4 x 50 on 1:00\n"),
        read_squad('[[lane]]\nbase = "1:20"\n'),
    )
    begun = apply(fresh(build_timeline(plan, squad, fit(plan, squad).counts)), Begun(-10 * S, 0, EVENING_MS, "+00:00"))
    asked = refit(begun, 20 * S, 120 * S)[0]
    said = told(begun, asked, 20 * S)
    end_ms = EVENING_MS + apply(begun, asked).timeline.end_ms
    assert end_ms == EVENING_MS + 220 * S, "one round of four, the last 50 in 0:40: until 17:05:00"
    assert all("earliest finish with this plan: 17:05" in way for way in (said[0], said[-1]))
    later = refit(begun, 20 * S, 221 * S)[0]
    assert "earliest" not in told(begun, later, 20 * S)[0]
    again = apply(begun, later)
    assert (
        told(again, refit(again, 30 * S, 120 * S)[0], 30 * S)[0]
        == "earliest finish with this plan: 17:05; nothing would change; "
        "to finish sooner, cut a repeat or skip a set"
    )
