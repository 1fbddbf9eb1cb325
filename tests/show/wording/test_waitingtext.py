"""Who waits, still stops, or hasn't left, in words."""

from dataclasses import replace

import pytest

from pacer.session.journal.entries import Begun, CountChanged, Ended, Paused, Resumed, Stopped, TakenBack, Unit
from pacer.session.running import presses
from pacer.session.running.brokenrepeats import swum_of
from pacer.session.running.outlook import outlook
from pacer.session.running.replay import apply, fresh, replay
from pacer.show.wording.forecasttext import finish, ways_of
from pacer.show.wording.pressedtext import ended_ways, held_ways, moved_ways, resumed_ways
from pacer.show.wording.settext import lanes_words
from pacer.show.wording.waitingtext import in_short, not_left, waits
from tests.session.pages import TWO_LANES, session

S = 1000
FOUR = '[[lane]]\nnumber = 4\nbase = "1:40"\nswimmers = 4\n'  # 0:05 apart


@pytest.fixture
def run():
    timeline = session("pool: 25 m\nMain set\n  4 x 50 on 1:10\nSwim-down\n  100\n", FOUR)
    return replay(timeline, [Begun(0, 0, 0, "+00:00")])


@pytest.mark.parametrize(("at_s", "n"), [(2, 3), (12, 1), (15, 0)])
def test_a_pause_says_who_has_not_left_and_misses_the_repeat(run, at_s, n):
    told = outlook(run, Paused(at_s * S, None, breaks_off=True))
    words = {
        3: ["lane 4: 3 swimmers haven't left and miss repeat 1"],
        1: ["lane 4: 1 swimmer hasn't left and misses repeat 1"],
        0: [],
    }[n]
    assert not_left(told) == words
    less = "in lane 4, some swim up to 50 m less than the leader"
    assert held_ways(run, told)[0].replace(f"; {less}", "") == "; ".join(
        ["lane 4 stops at the wall and pauses", *words]
    )
    assert (less in held_ways(run, told)[0]) == (told.behind != ())


def test_a_pause_of_one_lane_says_in_few_words_who_misses_what_and_what_is_lost(run):
    """The second and third line of a sheet have no room for more."""
    ways = held_ways(run, outlook(run, Paused(2 * S, None, breaks_off=True)))
    short = "lane 4 stops at the wall and pauses, up to 50 m less; 3 miss repeat 1"
    assert short in ways and ways.index(short) < ways.index("lane 4 stops at the wall and pauses")


def test_the_repeat_missed_is_told_from_the_one_that_everybody_leaves_on_next(run):
    """1:12 is 2 s after the send-off of repeat 2; resumed, they leave on repeat 3."""
    paused = apply(run, Paused(72 * S, None, breaks_off=True))
    told = outlook(paused, Resumed(90 * S, 100 * S))
    assert not_left(told) == ["lane 4: 3 swimmers haven't left and miss repeat 2"]
    assert all("this repeat" not in way for way in resumed_ways(paused, told))


def test_who_has_not_left_misses_nothing_where_the_repeat_is_swum_again(run):
    entry = presses.start_section(run, 12 * S, 0)
    assert not_left(outlook(run, entry)) == []
    assert not_left(outlook(run, presses.start_section(run, 12 * S, 1))) != []


def test_a_resume_says_how_long_it_is_to_a_send_off_more_than_a_minute_away(run):
    """All swim the second 50 to its end, so the lane leaves as planned, at 2:20."""
    paused = apply(run, Paused(71 * S, None, breaks_off=True))
    said = resumed_ways(paused, outlook(paused, Resumed(72 * S, 77 * S)))
    miss = "lane 4: 3 swimmers haven't left and miss repeat 2"
    assert said[:2] == (f"lane 4 leaves :20 (in 1:08) on 4 × 50; {miss}", "lane 4 leaves :20 (in 1:08) on 4 × 50")
    assert "leaves :20 (in 1:08)" in said and all("leaves :20 (in 1:08)" in way for way in said), said


def test_two_cuts_say_how_much_longer_than_planned_the_lane_waits():
    """Each round that is cut adds 1:45, which is no more than the interval; together they are 3:30."""
    lanes = '[[lane]]\nnumber = 4\nbase = "1:20"\n[[lane]]\nnumber = 5\nbase = "1:30"\n'
    plan = "pool: 25 m\nWarm-up, 6 rounds\n  100 free, on 1:45\nMain set\n  4 x 50 on 1:30\n"
    was = apply(fresh(session(plan, lanes)), Begun(-10 * S, 0, 0, "+00:00"))
    first = CountChanged(110 * S, -1, 115 * S, True, (0,))
    assert waits(outlook(was, first)) == []
    second = CountChanged(120 * S, -1, 125 * S, True, (0,))
    told = outlook(apply(was, first), second)
    assert waits(told) == ["lane 4 waits 4 min longer than planned before Main set"]


def test_a_move_says_how_much_later_the_lane_leaves_than_without_it(run):
    """It would leave at 1:10; pressed at 1:07 there is too little notice for that."""
    entry = presses.move(run, 67 * S, Unit.REPEAT, 1)
    assert entry is not None and entry.leave_ms == 75 * S
    said = moved_ways(run, outlook(run, entry))
    assert said[0].startswith("lane 4 to repeat 3 of 4: 50 free, leaves :15, 0:05 later; ")
    sooner = presses.move(run, 30 * S, Unit.REPEAT, 1)
    assert sooner is not None and sooner.leave_ms == 70 * S
    assert not any("later" in way for way in moved_ways(run, outlook(run, sooner)))


def test_a_set_that_lanes_swim_different_counts_of_says_all_counts():
    six = "".join(f'[[lane]]\nnumber = {number}\nbase = "1:40"\n' for number in (1, 2, 3))
    timeline = session("pool: 25 m\nMain set\n  6 / 5 / 3 x 50 back, rest 0:20\n  200 / 150 / 100 free\n", six)
    first, second = ([track.passes[n].laneline for track in timeline.tracks] for n in (0, 1))
    assert lanes_words(first)[0] == "6 / 5 / 3 × 50 back"
    assert lanes_words(second)[0] == "200 / 150 / 100 free"
    assert lanes_words(first[:1])[0] == "6 × 50 back"


def test_a_round_that_is_added_and_does_not_fit_says_how_much_of_it_there_is_time_for():
    """Lane 5 takes 16:00 for its two rounds, lane 4 has swum them in 12:00: a third one has four minutes."""
    page = "pool: 25 m\nMain set, 2 rounds\n  4 x 50 on 1:00 / 1:30\n  100 on 2:00\nSwim-down\n  100\n"
    started = replay(session(page, TWO_LANES), [Begun(0, 0, 0, "+00:00")])
    told = outlook(started, presses.change_count(started, 400 * S, 1, (0,), rounds=True))
    assert ways_of(told, 400 * S)[0].startswith("lane 4: time for 4 of 5 repeats; lane 4: ")
    both = outlook(started, presses.change_count(started, 400 * S, 1, rounds=True))
    assert "time for" not in ways_of(both, 400 * S)[0]


def test_a_repeat_that_was_cut_before_is_not_missing_in_the_round_that_is_added():
    page = "pool: 25 m\nMain set\n  4 x 50 on 1:00 / 1:45\n  100 on 2:00\nSwim-down\n  100\n"
    started = replay(session(page, TWO_LANES), [Begun(0, 0, 0, "+00:00")])
    fewer = apply(started, presses.change_count(started, 70 * S, -1, (0,)))
    told = outlook(fewer, presses.change_count(fewer, 80 * S, 1, (0,), rounds=True))
    assert "lane 4: time for 4 of 5 repeats" in ways_of(told, 80 * S)[0]


def test_the_repeats_of_a_round_that_is_added_are_counted_without_what_is_lost_for_them():
    """Lane 4 goes on by itself and loses the kick: the new round is whole all the same."""
    page = (
        "pool: 25 m\nMain set, 2 rounds, run on\n  4 x 50 on 1:00 / 1:30\n  100 on 2:00\n"
        "Kick, run on\n  100 kick\nSwim-down\n  100\n"
    )
    started = replay(session(page, TWO_LANES), [Begun(0, 0, 0, "+00:00")])
    told = outlook(started, presses.change_count(started, 400 * S, 1, (0,), rounds=True))
    new = [found for found in told.run.timeline.tracks[0].passes if found.round == 3]
    assert sum(found.count for found in new) == 5
    assert ways_of(told, 400 * S)[0].startswith("lane 4: no time for 100 kick; ")


def test_a_lane_without_time_for_a_round_that_others_get_is_named():
    """Lane 5 swims 2 minutes longer in its two rounds than lane 4, for which there is time for some of a third one."""
    page = "pool: 25 m\nMain set, 2 rounds\n  4 x 50 on 1:00 / 1:30 / 1:45\n  100 on 2:00\nSwim-down\n  100\n"
    lanes = TWO_LANES + '[[lane]]\nnumber = 6\nbase = "1:50"\n'
    started = replay(session(page, lanes), [Begun(0, 0, 0, "+00:00")])
    told = outlook(started, presses.change_count(started, 400 * S, 1, (0, 2), rounds=True))
    swum = [sum(found.count for found in track.passes if found.round == 3) for track in told.run.timeline.tracks]
    assert swum[0] and not swum[2]
    assert "lane 6: no time for another round" in ways_of(told, 400 * S)[0]


def test_of_several_sets_that_are_added_all_repeats_count():
    page = "pool: 25 m\nWarm-up\n  4 x 50 on 1:00 / 2:00\nMain set\n  100\n"
    started = replay(session(page, TWO_LANES), [Begun(0, 0, 0, "+00:00")])
    entry = presses.put_line_in(started, 200 * S, "2 rounds\n  2 x 50 on 1:00\n", (0,))
    told = outlook(started, entry)
    swum = sum(found.count for found in told.run.timeline.tracks[0].passes if found.laneline.number == 2)
    assert 2 < swum < 4
    assert f"lane 4: time for {swum} of 4 repeats" in ways_of(told, 200 * S)[0]


def test_one_more_25_says_that_the_lane_then_starts_from_the_far_wall():
    started = replay(
        session("pool: 25 m\nMain set\n  4 x 25 on 0:40\n  4 x 50 on 1:10\n", FOUR), [Begun(0, 0, 0, "+00:00")]
    )
    told = outlook(started, presses.change_count(started, 50 * S, 1))
    assert "lane 4 then starts from the far wall" in ways_of(told, 50 * S)[0]
    again = apply(started, presses.change_count(started, 50 * S, 1))
    assert "lane 4 then from the far wall" in in_short(told, False)
    assert "far wall" not in ways_of(outlook(again, presses.change_count(again, 51 * S, 1)), 51 * S)[0]


def test_undo_of_a_pause_says_only_how_the_finish_moves_on_the_screen(run):
    """The pause has put the finish off, as the screen says already."""
    paused = apply(run, Paused(12 * S, None, breaks_off=True))
    told = outlook(paused, presses.take_back(paused, 200 * S))
    assert told.end_ms - told.end_was_ms > 50 * S
    assert not any(part.endswith("later") for part in finish(told))


def test_an_undone_resume_says_no_start_of_a_section(run):
    """All are paused then, and nobody knows how long."""
    paused = apply(run, Paused(12 * S, None, breaks_off=True))
    going = apply(paused, presses.resume(paused, 100 * S))
    told = outlook(going, presses.take_back(going, 120 * S))
    assert told.run.timeline.gates[1] != going.timeline.gates[1]
    assert told.run.paused() and told.starts == ()
    assert " starts " not in ways_of(told, 120 * S)[0]


def test_a_section_that_has_begun_does_not_start_earlier(run):
    """What is undone moved its start, and it is swum already."""
    later = apply(run, presses.put_line_in(run, 20 * S, "2 x 50 on 1:00"))
    begins = later.timeline.gates[1]
    undone = outlook(later, TakenBack(begins + 5 * S))
    assert run.timeline.gates[1] != begins and 1 not in [section for section, *_ in undone.starts]


def test_a_lane_that_joins_another_in_mid_set_leaves_with_it():
    """Lane 4's first 100 is over, lane 3 joins from its second: nothing is said of leaving by itself."""
    page = "pool: 25 m\nMain set\n  4 x 100 on 2:00 / 2:30\n  100 pull on 2:30\nSwim-down\n  100\n"
    started = replay(session(page, TWO_LANES), [Begun(0, 0, 0, "+00:00")])
    entry = presses.join_lane(started, 130 * S, 0, 1)
    told = outlook(started, entry)
    mine, its = (track.sendoffs for track in told.run.timeline.tracks)
    assert [at for at in mine if at >= entry.leave_ms] == [at for at in its if at >= entry.leave_ms]
    assert "by itself" not in ways_of(told, 130 * S)[0]


def test_an_undo_says_who_still_stops_even_if_it_changes_nothing_else(run):
    moved = apply(run, presses.move(run, 12 * S, Unit.REPEAT, 1))
    told = outlook(moved, TakenBack(20 * S, 30 * S))
    assert ways_of(told, 20 * S)[0].startswith("lane 4 still stops at the wall; ")
    same = replace(told, lanes=(), starts=(), end_ms=told.end_was_ms)
    still = "lane 4 still stops at the wall; 1 swimmer still misses repeat 1"
    assert ways_of(same, 20 * S)[0] == f"nothing would change; {still}"


def test_an_undo_says_nothing_of_other_lanes_that_stop():
    """Lane 4 stops for its own pause; the undone change was one of lane 5."""
    started = replay(session("pool: 25 m\nMain set\n  4 x 100 on 2:30\n", TWO_LANES), [Begun(0, 0, 0, "+00:00")])
    paused = apply(started, Paused(70 * S, (0,), breaks_off=True))
    fewer = apply(paused, presses.change_count(paused, 71 * S, -1, (1,)))
    told = outlook(fewer, presses.take_back(fewer, 72 * S))
    assert told.still_stop == () and "still" not in ways_of(told, 72 * S)[0]


def test_a_finish_that_moves_past_the_booking_says_so():
    page = "pool: 25 m\nbooking: 10 min\nMain set\n  4 x 100 on 2:00\n"
    started = replay(session(page, TWO_LANES), [Begun(0, 0, 0, "+00:00")])
    more, far = (outlook(started, presses.change_count(started, 30 * S, by)) for by in (1, 3))
    assert "booking" not in ways_of(more, 30 * S)[0]
    assert ways_of(far, 30 * S)[0].endswith(" later, past the booking")


@pytest.mark.parametrize("at_s", [2, 12])
def test_the_end_counts_what_swimmers_behind_the_leader_lose(run, at_s):
    """On the first 50 of 4 x 50 and 100: the ends of the range are the swimmers' own metres."""
    told = outlook(run, Ended(at_s * S))
    far = [
        swum_of(told.run.timeline, 0, 0, None, swimmer) if swimmer * 5 <= at_s else 0 for swimmer in range(4)
    ]  # 0:05 apart
    assert len(set(far)) == 2, "somebody behind the leader loses more"
    least, most = min(far), max(far)
    said = f"ends the session: {least} to {most} m swum, {300 - most} to {300 - least} m cut; lane 4 stops at the wall"
    assert said in ended_ways(told.run, told)


def test_a_joined_lane_that_does_not_follow_a_change_is_named():
    timeline = session("pool: 25 m\nMain set\n  8 x 50 on 1:10\nSwim-down\n  100\n", TWO_LANES)
    run = replay(timeline, [Begun(0, 0, 0, "+00:00")])
    joined = apply(run, presses.join_lane(run, 20 * S, 1, 0))
    at_ms = joined.timeline.tracks[0].sendoffs[2] + 10 * S
    change = presses.change_interval(joined, at_ms, 65 * S, (0,))
    said = "all lanes no longer leave together"
    told = outlook(joined, change)
    assert said in ways_of(told, at_ms)[0]
    assert said not in ways_of(outlook(joined, presses.change_interval(joined, at_ms, 65 * S, None)), at_ms)[0]
    parted = told.run
    again = presses.change_interval(parted, at_ms + S, 60 * S, (0,))
    assert said not in ways_of(outlook(parted, again), at_ms + S)[0], "they don't any more"
    alone = presses.change_interval(run, 20 * S, 65 * S, (0,))
    assert said not in ways_of(outlook(run, alone), 20 * S)[0], "they never joined"


@pytest.fixture
def joined():
    timeline = session("pool: 25 m\nMain set\n  8 x 50 on 1:10\nSwim-down\n  100\n", TWO_LANES)
    run = replay(timeline, [Begun(0, 0, 0, "+00:00")])
    return apply(run, presses.join_lane(run, 20 * S, 1, 0))


def test_a_press_that_leaves_the_next_send_off_alone_does_not_part_joined_lanes(joined):
    at_ms = joined.timeline.tracks[0].sendoffs[2] + 10 * S
    fewer = outlook(joined, presses.change_count(joined, at_ms, -1, (0,)))
    assert fewer.changes and "no longer" not in ways_of(fewer, at_ms)[0], "they leave together on all that both swim"


def test_an_undo_is_judged_by_the_run_before_it_and_not_by_an_older_one(joined):
    """Lane 4 has parted from lane 5; then a change is made for both, and undone."""
    at_ms = joined.timeline.tracks[0].sendoffs[2] + 10 * S
    parted = apply(joined, presses.change_interval(joined, at_ms, 65 * S, (0,)))
    other = apply(parted, presses.change_count(parted, at_ms + S, 1))
    told = outlook(other, presses.take_back(other, at_ms + 2 * S))
    assert told.changes and "no longer" not in ways_of(told, at_ms + 2 * S)[0]


def test_a_pause_and_a_move_of_one_joined_lane_say_that_they_part(joined):
    at_ms = joined.timeline.tracks[0].sendoffs[2] + 10 * S
    said = "all lanes no longer leave together"
    assert said in held_ways(joined, outlook(joined, presses.pause(joined, at_ms, (0,))))[0]
    assert said not in held_ways(joined, outlook(joined, presses.pause(joined, at_ms)))[0]
    paused = apply(joined, presses.pause(joined, at_ms, (0,)))
    again = presses.resume(paused, at_ms + 80 * S, (0,))
    assert said not in resumed_ways(paused, outlook(paused, again))[0], "they don't any more"
    assert said in moved_ways(joined, outlook(joined, presses.move(joined, at_ms, Unit.LINE, 1, (0,))))[0]


def test_an_undo_of_a_resume_after_stop_all_says_that_all_is_stopped_again(run):
    stopped = apply(run, Stopped(71 * S))
    going = apply(stopped, presses.resume(stopped, 90 * S))
    ways = ways_of(outlook(going, presses.take_back(going, 92 * S)), 92 * S)
    assert ways[0].startswith("ALL STOPPED again; ") and all("ALL STOPPED" in way for way in ways)
    paused = apply(run, Paused(71 * S, None, breaks_off=True))
    going = apply(paused, presses.resume(paused, 90 * S))
    assert "ALL STOPPED" not in ways_of(outlook(going, presses.take_back(going, 92 * S)), 92 * S)[0]


def test_an_undo_says_that_the_swimmer_who_was_added_is_in_the_water(run):
    """Lane 4's fifth leaves 0:20 behind the leader, at 1:30, and swims 50 s."""
    added = apply(run, presses.join(run, 20 * S, 0))
    said = "lane 4: swimmer 5 is still in the water"
    for at_s, out in ((85, False), (95, True), (139, True), (141, False)):
        told = outlook(added, presses.take_back(added, at_s * S))
        assert (said in ways_of(told, at_s * S)[0]) == out, at_s
    first = apply(run, presses.join(run, 20 * S, 0, place=0))
    told = outlook(first, presses.take_back(first, 25 * S))
    assert "still in the water" not in ways_of(told, 25 * S)[0], "the one who was first is, not the newcomer"


def test_an_undo_that_pauses_lanes_says_so_in_few_words_too(run):
    paused = apply(run, Paused(71 * S, None, breaks_off=True))
    going = apply(paused, presses.resume(paused, 150 * S))
    ways = ways_of(outlook(going, presses.take_back(going, 152 * S)), 152 * S)
    assert all("pause" in way for way in ways), ways


def test_lanes_that_are_paused_already_stay_so(run):
    """Somebody joins one."""
    paused = apply(run, Paused(30 * S, None, breaks_off=True))
    entry = presses.join(paused, 34 * S, 0)
    ways = ways_of(outlook(paused, entry), 34 * S)
    assert any("lane 4: stays paused" in way or "all lanes: stay paused" in way for way in ways), ways
    assert not any("lane 4: pauses" in way for way in ways), ways


def test_a_paused_lane_that_has_no_time_left_in_its_section_says_so_by_resume_and_by_previous_repeat():
    """Main set leaves at 5:00 for all; at 3:50 there is no time for a 50 of lane 5 before 4:00."""
    was = apply(fresh(session(squad=TWO_LANES)), Begun(-10 * S, 0, 0, "+00:00"))
    paused = apply(was, presses.pause(was, 110 * S, (1,)))
    why = "lane 5: no time for the rest of Warm-up"
    resumed = outlook(paused, presses.resume(paused, 230 * S, (1,)))
    assert resumed_ways(paused, resumed)[0].startswith(f"{why}; "), resumed_ways(paused, resumed)
    back = outlook(paused, presses.move(paused, 230 * S, Unit.REPEAT, -1, (1,)))
    assert why in moved_ways(paused, back)[0], moved_ways(paused, back)
    in_time = outlook(paused, presses.resume(paused, 140 * S, (1,)))
    assert why not in resumed_ways(paused, in_time)[0], "there is time for one"
