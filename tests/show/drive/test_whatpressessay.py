"""What a press says before it is done: who waits, what falls out, whose metres it costs, when the lanes leave."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from pacer.session.journal.entries import (
    Begun,
    CountChanged,
    Ended,
    LaneJoined,
    Moved,
    Paused,
    Refitted,
    SectionSet,
    Stopped,
    TakenBack,
    Unit,
)
from pacer.session.journal.jsonlines import entry_from_line, line_from_entry
from pacer.session.records.touches import due, over
from pacer.session.running import presses
from pacer.session.running.brokenrepeats import in_all
from pacer.session.running.outlook import outlook
from pacer.session.running.replay import apply, fresh, replay
from pacer.show.view.instantview import pool_view
from pacer.show.wording.forecasttext import ways_of
from pacer.show.wording.pressedtext import ended_ways, held_ways, moved_ways, reopened_ways, resumed_ways
from pacer.timeline.findings import CannotRun
from tests.session.pages import sends, session

S = 1_000
TWO = '[[lane]]\nnumber = 2\nbase = "1:20"\nswimmers = 3\n[[lane]]\nnumber = 3\nbase = "2:00"\nswimmers = 2\n'
ONE = '[[lane]]\nnumber = 2\nbase = "1:20"\nswimmers = 4\n'


def begun(plan: str, squad: str = TWO):
    return apply(fresh(session(plan, squad)), Begun(-10 * S, 0, 0, "+00:00"))


def said(run, entry):
    return ways_of(outlook(run, entry), entry.at_ms)


def test_the_top_line_names_the_section_in_which_somebody_swims():
    """Lanes 2 and 4 are home long before lane 3, and wait for the main set; nobody is in that yet."""
    squad = TWO + '[[lane]]\nnumber = 4\nbase = "1:20"\n'
    run = begun("pool: 25 m\nWarm-up\n  400 choice\nMain set\n  4 x 50 on 1:30\n", squad)
    start_ms = run.timeline.gates[1]
    assert start_ms is not None
    view = pool_view(run, 400 * S)
    assert [band.text.word for band in view.bands] == ["LISTEN", "SWIM", "LISTEN"] and view.section == "Warm-up"
    assert pool_view(run, start_ms - 30 * S).section == "Main set", "all wait for it"


def test_a_pause_of_all_says_if_the_session_ends_past_the_booking_because_of_it():
    """Lane 3's second swimmer leaves at 2:55 last and touches at 3:59; paused at 1:24, the lane leaves 5 s later."""
    plan, squad = "pool: 25 m\nbooking: {booking} min\nMain set\n  3 x 50 on 1:25\n", TWO.replace("2:00", "2:08")
    for booking, past in ((4, True), (20, False)):
        run = begun(plan.format(booking=booking), squad)
        assert run.timeline.end_ms == 239 * S
        told = outlook(run, presses.pause(run, 84 * S))
        ways = held_ways(run, told)
        assert all(("past the booking" in way) == past for way in ways), ways
        assert not past or ways[-1] == "finish 00:05, past the booking"
        stop = outlook(run, presses.pause(run, 92 * S))  # in the first length of the second 50
        booking_ms = booking * 60 * S
        ways = held_ways(run, replace(stop, end_was_ms=booking_ms, end_ms=booking_ms + 5 * S))
        assert all("stop" in way and "past the booking" in way for way in ways), ways
        one = outlook(run, presses.pause(run, 84 * S, (0,)))
        assert not any("booking" in way for way in held_ways(run, one))


def test_a_lane_paused_before_the_start_has_nothing_to_finish():
    run = begun("pool: 25 m\nMain set\n  4 x 50 on 1:30\n")
    paused = apply(run, Paused(-5 * S, (0,), breaks_off=True))
    label = pool_view(paused, 5 * S).bands[0].text.leave_label
    assert pool_view(paused, -3 * S).bands[0].text.leave_label == label


def test_a_repeat_by_the_clock_is_not_timed():
    run = begun("pool: 25 m\nMain set\n  2 x 0:30 kick vertical, rest 0:30\n  2 x 50 on 1:30\n", ONE)
    assert due(run, (), 0, 29 * S) is None and list(over(run, 0, 0, 100 * S)) == []
    later = run.timeline.tracks[0].sendoffs[2] + 50 * S
    assert due(run, (), 0, later) is not None


def test_a_resume_after_the_end_says_what_the_end_cut_short_for_good():
    """At 30 s the leader has swum more than 25 m of the first 200, and stops at 50."""
    run = begun("pool: 25 m\nMain set\n  200 choice\n  4 x 50 on 1:30\n", ONE)
    ended = apply(run, Ended(30 * S))
    entry = presses.reopen(ended, 70 * S)
    ways = reopened_ways(ended, ended, entry, lambda entry, run: outlook(run, entry))
    assert "lane 2: 150 m less" in ways[0], ways[0]


def test_an_end_that_is_taken_back_before_anybody_stopped_lets_all_swim_on():
    run = begun("pool: 25 m\nMain set\n  4 x 100 on 2:00\n", ONE)
    ended = apply(run, Ended(46 * S))  # the four are home at 0:40, 0:45, 0:50 and 0:55
    entry = presses.reopen(ended, 48 * S)
    assert reopened_ways(ended, ended, entry, lambda entry, run: outlook(run, entry)) == (
        "resumes the session; lane 2 swims on",
        "resumes; lane 2 swims on",
        "lane 2 swims on",
    )
    again = apply(ended, entry)
    assert again.timeline is run.timeline and again.ended_ms is None
    assert entry_from_line(line_from_entry(entry)) == entry


def test_a_lane_that_has_come_to_its_end_since_does_not_swim_on():
    """Ended on the last length; all four are home at 0:55."""
    run = begun("pool: 25 m\nMain set\n  100 on 2:00\n", ONE)
    ended = apply(run, Ended(run.timeline.end_ms - 5 * S))
    for later_ms, says in ((-2 * S, "resumes the session; lane 2 swims on"), (2 * S, "resumes the session")):
        entry = presses.reopen(ended, run.timeline.end_ms + later_ms)
        ways = reopened_ways(ended, ended, entry, lambda entry, run: outlook(run, entry))
        assert ways[0] == says, ways


def test_an_end_that_is_taken_back_later_says_who_still_stops_and_what_is_lost():
    """Ended at 1:02; at 1:06 the second of lane 4 has not left at 1:05. Nobody of lane 5 notices."""
    run = replay(session(), [Begun(-10 * S, 0, 0, "+00:00")])
    ended = apply(run, Ended(62 * S))
    entry = presses.reopen(ended, 66 * S)
    ways = reopened_ways(ended, ended, entry, lambda entry, run: outlook(run, entry))
    misses = "lane 4: 1 swimmer hasn't left and misses repeat 2"
    assert ways[0].endswith(f"lane 4 still stops at the wall; {misses}; lane 5 swims on"), ways
    assert f"{ways[2]}; ".startswith(
        f"resumes the session: lane 4 still stops at the wall; lane 5 swims on; {misses}; "
    ), ways
    after = apply(ended, entry)
    assert after.timeline.tracks[1] is run.timeline.tracks[1] and after.timeline.tracks[0].sendoffs[2] == 120 * S
    assert entry_from_line(line_from_entry(entry)) == entry
    older = apply(ended, TakenBack(66 * S, entry.leave_ms))
    assert older.timeline.tracks[1] is not run.timeline.tracks[1], "in older journals all that it stopped leave again"


def test_an_end_on_the_last_repeat_that_is_taken_back_late_says_how_to_swim_it_again():
    """The last 100 leaves at 12:00; at 12:30 the leaders have swum more than 25 m, and stop at 50."""
    run = replay(session(), [Begun(-10 * S, 0, 0, "+00:00")])
    ended = apply(run, Ended(750 * S))
    entry = presses.reopen(ended, 785 * S)
    ways = reopened_ways(ended, ended, entry, lambda entry, run: outlook(run, entry))
    assert "50 m less; all lanes: nothing left to swim; Previous repeat swims it again" in ways[1], ways
    back = presses.move(apply(ended, entry), 795 * S, Unit.REPEAT, -1)
    assert back is not None and sends(apply(apply(ended, entry), back).timeline, 0)[-1] == back.leave_ms // S


def test_a_resume_on_the_last_repeat_says_how_to_swim_it_again():
    run = replay(session(), [Begun(-10 * S, 0, 0, "+00:00")])
    paused = apply(run, Paused(735 * S, breaks_off=True))
    entry = presses.resume(paused, 770 * S)
    assert entry is not None
    assert resumed_ways(paused, outlook(paused, entry))[0] == (
        "all lanes: nothing left to swim; Previous repeat swims it again"
    )


AT_MOST = "pool: 25 m\nWarm-up, at most 6 min\n  4 x 100 on 2:00 / 3:00\nMain set\n  2 x 100 on 3:00\n"


@pytest.mark.parametrize("waited", [10, 48, 300])
@pytest.mark.parametrize("at", range(30, 400, 45))
def test_what_a_pause_and_a_resume_say_of_metres_adds_up(at, waited):
    """The pause says what is lost for good, so the resume of all has nothing to add; after STOP ALL it says that."""
    run = begun(AT_MOST)
    for press in (Paused(at * S, breaks_off=True), Stopped(at * S)):
        held = apply(run, press)
        entry = presses.resume(held, (at + waited) * S)
        assert entry is not None
        told = outlook(run, press), outlook(held, entry)
        made = told[1].run.timeline
        changed = [in_all(made, lane) - in_all(run.timeline, lane) for lane in (0, 1)]
        pause, resume = (
            [{each.lane: each.distance for each in one.lanes}.get(lane, 0) for lane in (0, 1)] for one in told
        )
        said = resumed_ways(held, told[1])[0]
        if isinstance(press, Paused):
            assert pause == changed and not any(resume) and not re.search(" m (more|less)", said), said
        else:
            assert resume == changed and bool(re.search(" m (more|less)", said)) == any(changed), said


def test_a_resume_after_stop_all_says_first_what_is_lost_and_who_then_gets_cold():
    """Lane 2 stops after 50 of its second 100, and leaves on its last at 3:05 instead of 4:00. So it waits from 4:35 on
    for 9:30: longer by less than its interval of 2 min, but then more than 3 min.
    """
    run = begun("pool: 25 m\nWarm-up\n  3 x 100 on 2:00 / 3:00\nMain set\n  4 x 50 on 2:00\n")
    stopped = apply(run, Stopped(130 * S))
    entry = presses.resume(stopped, 178 * S)
    assert entry is not None
    ways = resumed_ways(stopped, outlook(stopped, entry))
    assert ways[0] == (
        "lane 2 skips the rest of repeat 2; lane 2 waits 1 min longer before Main set; all lanes leave :05 on 3 × 100; "
        "lane 2: 50 m less; Previous repeat swims it again"
    )
    assert all(way.startswith("lane 2 skips the rest of repeat 2; ") for way in ways[:4])


def test_a_move_says_rather_when_the_lanes_leave_than_where_to():
    plan = "pool: 25 m\nMain set\n  2 x 100 on base+0:20\n  3 x 50 kick on 1:30\nSwim-down\n  100 easy\n"
    squad = "".join(f'[[lane]]\nbase = "{base}"\nswimmers = 3\n' for base in ("1:15", "1:22", "1:32", "1:42"))
    run = begun(plan, squad)
    entry = presses.move(run, 20 * S, Unit.REPEAT, 1)
    assert entry is not None
    told = "leave :10; stop at wall, 50 m less, finish 00:12"
    assert next(way for way in moved_ways(run, outlook(run, entry)) if len(way) <= len(told)) == told


def test_a_pause_and_the_end_say_how_much_less_the_swimmers_behind_the_leader_swim():
    """At 47 s the leader is past 50 m of the 100 and stops at 100; the last of four, 15 s behind, stops at 50."""
    run = begun("pool: 25 m\nMain set\n  4 x 100 on 2:00\n", ONE)
    told = outlook(run, Paused(47 * S, None, breaks_off=True))
    assert told.behind == ((0, 50),)
    assert held_ways(run, told)[0].endswith("; in lane 2, some swim up to 50 m less than the leader")
    end = outlook(run, Ended(47 * S))
    assert "in lane 2, some swim up to 50 m less than the leader" in ended_ways(end.run, end)[0]


def test_a_pause_says_who_swims_back_if_the_swimmers_of_a_lane_would_stop_at_both_walls():
    """They began the 50 at the far wall: who is past the middle swims on to the far wall, the others stop at home."""
    run = begun("pool: 25 m\nMain set\n  25 choice, rest 0:10\n  50 choice\n", ONE)
    leaves_ms = run.timeline.tracks[0].sendoffs[1]
    told = outlook(run, Paused(leaves_ms + 27 * S, None, breaks_off=True))
    assert told.back == (0,) and "lane 2: swimmers at the far end swim back easy" in held_ways(run, told)[0]
    stop = outlook(run, Stopped(leaves_ms + 27 * S))
    assert "lane 2: swimmers stop at both ends" in held_ways(run, stop)[0], "nobody swims on in an emergency"


def test_a_press_says_that_who_has_not_left_at_the_far_wall_swims_back():
    """The second 25 begins there; at 52 s two of four have left, and the others are behind."""
    run = begun("pool: 25 m\nMain set\n  8 x 25 on 0:45\n", ONE)
    entry = presses.move(run, 52 * S, Unit.REPEAT, 1)
    told = outlook(run, entry)
    assert told.missing == ((0, 2),) and told.back == (0,)
    assert "lane 2: swimmers at the far end swim back easy" in moved_ways(run, told)[0]
    assert outlook(run, presses.move(run, 62 * S, Unit.REPEAT, 1)).back == (), "all have left"


def test_a_resume_and_an_undo_say_who_misses_the_repeat_too():
    """At 47 s three of four have left on the first 100; the last would leave at 48 s."""
    plan, squad = "pool: 25 m\nMain set\n  4 x 100 on 2:00\n", ONE.replace("swimmers", 'spacing = "0:16"\nswimmers')
    run = begun(plan, squad)
    miss = "lane 2: 1 swimmer hasn't left and misses repeat 1"
    paused = apply(run, Paused(47 * S, None, breaks_off=True))
    resume = presses.resume(paused, 60 * S)
    assert miss in resumed_ways(paused, outlook(paused, resume))[0]
    back = presses.move(run, 167 * S, Unit.REPEAT, -1)
    assert outlook(run, back).missing == (), "the lane swims it again"
    moved = apply(run, back)
    undo = presses.take_back(moved, 172 * S)
    assert miss.replace("repeat 1", "repeat 2") in said(moved, undo)[0], "the one at 120 s"
    assert outlook(moved, presses.take_back(moved, 167 * S + 500)).missing == (), "in time for the last to leave"


def test_a_move_to_the_end_of_a_slower_lane_says_that_the_swimmer_catches_the_one_ahead():
    """A 400 at 1:20 takes 5:20, at 2:00 8:00: who leaves 0:05 behind is there long before the end."""
    run = begun("pool: 25 m\nMain set\n  3 x 400 on 10:00\n")
    ways = said(run, presses.change_lane(run, 30 * S, 0, 0, 1))
    assert "lane 3: swimmer 3 catches the one ahead" in ways[0], ways
    assert all("swimmer 3 catches" in way for way in ways), ways
    assert any(way.startswith("lane 3: swimmer 3 catches up; ") for way in ways), ways
    ahead = said(run, presses.change_lane(run, 30 * S, 0, 0, 1, 0))
    assert not any("catches" in way for way in ahead), "in the order of pace nobody is caught"
    slower = said(run, presses.change_lane(run, 30 * S, 1, 0, 0))
    assert not any("catches" in way for way in slower)


def test_a_set_that_is_added_says_what_falls_out_for_it():
    """As many metres as before: the last 100 of the section gives way."""
    run = begun("pool: 25 m\nMain set, run on, at most 9 min\n  3 x 100 on 2:00\n  100 back easy\n", ONE)
    entry = presses.put_line_in(run, 130 * S, "2 x 50 on 1:00", (0,))
    assert entry is not None
    ways = said(run, entry)
    assert "lane 2: no time for 100 back easy" in ways[0], ways[0]
    assert all("no time for" in way or "not all sets fit" in way for way in ways[:-1])


def test_the_set_before_says_what_falls_out_for_it():
    run = begun("pool: 25 m\nMain set, at most 9 min\n  2 x 100 on 2:00\n  2 x 100 back easy, on 2:10\n", ONE)
    entry = presses.move(run, 300 * S, Unit.LINE, -1)
    assert isinstance(entry, Moved)
    assert "lane 2: no time for" in moved_ways(run, outlook(run, entry))[0]


def test_a_lane_waits_longer_by_what_it_stands_longer():
    """It would have stood before the main set anyway: sitting its last repeat out adds the time of that repeat."""
    run = begun("pool: 25 m\nWarm-up\n  4 x 50 on 1:00 / 3:00\nMain set\n  2 x 100 on 2:30\n")
    start_ms, last_ms = run.timeline.gates[1], run.timeline.tracks[0].sendoffs[3]
    assert start_ms is not None
    told = outlook(run, presses.miss(run, last_ms - 2 * S, (0,)))
    assert told.lanes[0].longer_ms == 0, "less than an interval, though it leaves 8 minutes later"
    assert start_ms - last_ms > 480 * S


def test_a_section_started_for_all_says_when_they_leave_in_a_few_words_too():
    run = begun("pool: 25 m\nWarm-up\n  400 choice\nMain set\n  4 x 50 on 1:30\n")
    entry = presses.start_section(run, 100 * S, 1)
    assert isinstance(entry, SectionSet)
    assert [way for way in said(run, entry) if "leave" in way][-1].startswith("leave :")


def test_few_words_keep_the_wait_and_the_far_wall():
    run = begun("pool: 25 m\nWarm-up, 3 rounds\n  2 x 100 on 3:00\nMain set\n  4 x 50 on 1:30\n")
    ways = said(run, CountChanged(100 * S, -1, 110 * S, True, (0,)))
    assert "min longer" in ways[0] and all("min" in way for way in ways[:-1]), ways


def test_sitting_one_out_leaves_alone_a_lane_that_waits_for_its_next_section():
    run = begun("pool: 25 m\nWarm-up\n  2 x 50 on 1:00 / 3:00\nMain set\n  4 x 50 on 1:30\n")
    entry = presses.miss(run, 130 * S)
    assert entry is not None and entry.lanes == (1,)
    both = presses.miss(run, 250 * S)
    assert both is not None and both.lanes is None, "both wait"


def test_finish_by_is_refused_where_it_only_costs():
    run = begun("pool: 25 m\nbooking: 60 min\nMain set, 1 to 4 rounds\n  2 x 100 on 2:00 / 3:00\n")
    most = presses.fitted(run, presses.rest_to_fit(run, 30 * S), 3_000 * S)
    run = apply(run, presses.finish_by(run, 30 * S, 3_000 * S, 35 * S, most))
    end_ms, rest = run.timeline.end_ms, presses.rest_to_fit(run, 60 * S)
    fewest = presses.fitted(run, rest, 420 * S)
    assert isinstance(presses.finish_by(run, 60 * S, 420 * S, 65 * S, fewest), Refitted), "it ends sooner"
    with pytest.raises(CannotRun, match="already finishes by then"):
        presses.finish_by(run, 60 * S, end_ms + 60 * S, 65 * S, fewest)
    one = replace(fewest, counts=dict.fromkeys(fewest.counts, (1, 4)))
    with pytest.raises(CannotRun, match="would not finish sooner"):
        presses.finish_by(run, 60 * S, 420 * S, 65 * S, one)


def test_a_lane_that_joins_another_says_from_where_on_it_leaves_by_itself():
    run = begun("pool: 25 m\nSkill set, run on\n  8 x 50 on 1:15 / 1:30\nMain set\n  4 x 100 on 2:30\n")
    entry = presses.join_lane(run, 100 * S, 0, 1)
    assert isinstance(entry, LaneJoined)
    mine, its = (
        [found.start_ms for found in track.passes if found.section == 1] for track in apply(run, entry).timeline.tracks
    )
    assert ("lane 2 starts in its own time from Main set on" in said(run, entry)[0]) == (mine[0] != its[0])
    assert mine[0] != its[0], "else this tests nothing"
