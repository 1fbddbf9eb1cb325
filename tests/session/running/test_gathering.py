"""A lane whose swimmers would stop at both walls gathers at the home wall."""

from __future__ import annotations

import pytest

from pacer.session.journal.entries import Begun, Ended, Paused, Stopped, TakenBack, Unit
from pacer.session.running import presses
from pacer.session.running.leavingagain import soonest_ms
from pacer.session.running.outlook import outlook
from pacer.session.running.replay import apply, fresh
from pacer.session.running.whereabouts import Place, last_swims, places
from pacer.show.view.instantview import pool_view
from pacer.show.view.laneforecast import forecast_ways, lane_forecasts
from pacer.show.view.swimmerplaces import FAR, HOME
from pacer.show.wording.pressedtext import ended_ways
from tests.session.pages import session

S = 1_000
#: 25 m in 20 s, five seconds apart; swum easy, 1.15 times as long: 23 s. The second 25 begins at the far wall at 0:45;
#: at 0:52 two have left on it, who are home at 1:05 and 1:10, and two wait at the far wall.
SQUAD = '[[lane]]\nnumber = 2\nbase = "1:20"\nswimmers = 4\n'
AT_MS, BACK_MS = 52 * S, 75 * S
AT_HOME = Place(0, True, False)


def begun(plan: str = "pool: 25 m\nMain set\n  8 x 25 on 0:45\n"):
    return apply(fresh(session(plan, SQUAD)), Begun(-10 * S, 0, 0, "+00:00"))


def drawn(run, at_ms):
    return [round(place, 2) for place in pool_view(run, at_ms).bands[0].places]


@pytest.fixture(params=["next", "pause", "end"])
def broken_off(request):
    run = begun()
    entry = {
        "next": presses.move(run, AT_MS, Unit.REPEAT, 1),
        "pause": Paused(AT_MS, None, breaks_off=True),
        "end": Ended(AT_MS),
    }[request.param]
    return apply(run, entry)


def test_who_is_at_the_far_wall_swims_back(broken_off):
    assert [swim.home_ms for swim in last_swims(broken_off.timeline, 0, AT_MS)] == [65 * S, 70 * S, BACK_MS, BACK_MS]
    half = places(broken_off.timeline, 0, AT_MS + 11_500)
    assert half[2:] == [Place(500, False, True)] * 2
    assert places(broken_off.timeline, 0, BACK_MS) == [AT_HOME] * 4


def test_they_are_drawn_swimming_back_and_told_to_until_they_are_home(broken_off):
    told = ("swimmers at the far end swim back easy", "far end: swim back easy")
    assert drawn(broken_off, AT_MS + 11_500)[2:] == [1.5, 1.5]
    assert drawn(broken_off, BACK_MS) == [HOME] * 4
    texts = [pool_view(broken_off, at_ms).bands[0].text for at_ms in (AT_MS, BACK_MS - 1, BACK_MS)]
    assert [text.tight for text in texts] == [told, told, ()]
    assert [text.word for text in texts[:2]] == ["STOP", "STOP"]


def test_the_lane_leaves_once_they_are_back_and_from_the_home_wall():
    run = begun()
    entry = presses.move(run, AT_MS, Unit.REPEAT, 1)
    assert soonest_ms(run, AT_MS, (0,), broken_off=True) == BACK_MS + 5 * S
    assert entry.leave_ms == BACK_MS + 5 * S
    moved = apply(run, entry)
    assert drawn(moved, entry.leave_ms + 25 * S) == [FAR, FAR, 0.75, 0.5]


def test_after_a_pause_too():
    run = apply(begun(), Paused(AT_MS, None, breaks_off=True))
    assert soonest_ms(run, AT_MS + 3 * S, (0,), broken_off=False) == BACK_MS + 5 * S
    assert presses.resume(run, AT_MS + 30 * S).leave_ms == 90 * S, "as planned: who had left swims the 25 to its end"


def test_in_an_emergency_nobody_swims_back_before_the_lane_is_resumed():
    run = apply(begun(), Stopped(AT_MS))
    assert drawn(run, AT_MS + 60 * S) == [HOME, HOME, FAR, FAR]
    assert pool_view(run, AT_MS + S).bands[0].text.tight == ()
    entry = presses.resume(run, AT_MS + 60 * S)
    assert entry.leave_ms >= AT_MS + 60 * S + 23 * S + 5 * S
    resumed = apply(run, entry)
    assert drawn(resumed, AT_MS + 71_500)[2:] == [1.5, 1.5]
    assert drawn(resumed, AT_MS + 84 * S) == [HOME] * 4


def test_after_an_end_that_follows_an_emergency_nobody_is_told_to_swim():
    stopped = apply(begun(), Stopped(AT_MS))
    told = outlook(stopped, Ended(AT_MS + 60 * S))
    assert pool_view(told.run, AT_MS + 61 * S).bands[0].text.tight == ()
    ways = ended_ways(told.run, told)
    assert all("lane 2 is at the far end" in way for way in ways[:3]), "the coach knows where they are"
    assert drawn(told.run, AT_MS + 61 * S) == [HOME, HOME, FAR, FAR]


def test_a_lane_that_is_done_at_the_far_wall_is_said_and_drawn_to_be_there_at_the_end():
    run = begun("pool: 25 m\nMain set\n  3 x 25 on 0:45\n")
    told = outlook(run, Ended(150 * S))
    ways = ended_ways(told.run, told)
    assert ways[0] == "ends the session: everything is swum, 75 m; lane 2 is at the far end"
    assert drawn(run, 149 * S) == drawn(told.run, 151 * S) == [FAR] * 4


def test_a_lane_that_is_all_at_the_far_wall_stays_there():
    """At 1:46 all have left on the third 25, which ends at the far wall: the lane leaves from there."""
    run = begun()
    entry = presses.move(run, 106 * S, Unit.REPEAT, 1)
    moved = apply(run, entry)
    assert drawn(moved, entry.leave_ms - 1) == [FAR] * 4
    assert pool_view(moved, 107 * S).bands[0].text.tight == ()


def test_an_undone_pause_lets_the_lane_go_on_only_once_all_are_back():
    run = apply(begun(), Paused(AT_MS, None, breaks_off=True))
    entry = presses.take_back(run, AT_MS + 3 * S)
    undone = apply(run, entry)
    assert isinstance(entry, TakenBack)
    (leaves_ms,) = {min(ms for ms in track.sendoffs if ms > AT_MS) for track in undone.timeline.tracks}
    assert leaves_ms >= BACK_MS + 5 * S
    assert drawn(undone, leaves_ms - 1) == [HOME] * 4


def test_who_never_left_waits_at_home_for_the_others():
    """At 0:07 two have left on the first 25: they are at the far wall at 0:20 and 0:25, and home at 0:43 and 0:48."""
    run = apply(begun(), Paused(7 * S, None, breaks_off=True))
    assert drawn(run, 19 * S)[2:] == [HOME, HOME]
    assert [swim and swim.home_ms for swim in last_swims(run.timeline, 0, 7 * S)] == [43 * S, 48 * S, None, None]


def test_who_comes_in_waits_where_the_lane_leaves_from():
    run = begun()  # all are at the far wall from 0:36 on, and leave from there at 0:45
    joined = apply(run, presses.join(run, 38 * S, 0))
    assert places(joined.timeline, 0, 40 * S) == [Place(1000, False, False)] * 5
    assert drawn(joined, 40 * S) == [FAR] * 5
    assert drawn(joined, 69 * S)[4] == pytest.approx(1.2), "4 s from the far wall, after the four others"
    again = apply(joined, presses.join(joined, 82 * S, 0))  # the third 25 leaves from the home wall at 1:30
    assert drawn(again, 83 * S)[5] == HOME


def test_who_comes_into_a_paused_lane_waits_with_the_others_at_the_far_wall():
    paused = apply(begun(), Paused(38 * S, None, breaks_off=True))
    joined = apply(paused, presses.join(paused, 42 * S, 0))
    assert places(joined.timeline, 0, 43 * S) == [Place(1000, False, False)] * 5
    assert drawn(joined, 43 * S) == [FAR] * 5
    resumed = apply(joined, presses.resume(joined, 50 * S))
    assert drawn(resumed, 51 * S) == [FAR] * 5


def test_a_lane_that_is_all_at_the_far_wall_when_the_session_ends_is_told_to_come_home():
    """All are at the far wall from 0:36 on; by 0:40 they are told that it is over, and are home 23 s later."""
    run = begun()
    told = outlook(run, Ended(40 * S))
    assert told.back == (0,)
    assert "lane 2: swimmers at the far end swim back easy" in ended_ways(told.run, told)[1]
    assert forecast_ways(told.run, lane_forecasts(told)[0], 40 * S)[0].startswith("far end: swim back easy")
    assert drawn(told.run, 51_500) == [1.5] * 4 and drawn(told.run, 63 * S) == [HOME] * 4
    texts = [pool_view(told.run, at_ms).bands[0].text for at_ms in (40 * S, 63 * S - 1, 63 * S)]
    back = ("swimmers at the far end swim back easy", "far end: swim back easy")
    assert [text.tight for text in texts] == [back, back, ()]
    assert {(text.word, text.swum) for text in texts} == {("DONE", ("25/200 m", "25 m"))}, "nothing comes next"
    assert outlook(run, Paused(40 * S, None, breaks_off=True)).back == (), "they leave from there again"


def test_a_session_that_is_resumed_after_that_goes_on_from_the_home_wall():
    ended = apply(begun(), Ended(40 * S))
    entry = presses.reopen(ended, 45 * S)
    assert entry.leave_ms is not None and entry.leave_ms >= 63 * S
    assert set(drawn(apply(ended, entry), entry.leave_ms - S)) == {HOME}
