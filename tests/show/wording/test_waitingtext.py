"""Who waits, still stops, or hasn't left, in words."""

from dataclasses import replace

import pytest

from pacer.session.journal.entries import Begun, Held, Resumed, TakenBack, Unit
from pacer.session.running import presses
from pacer.session.running.outlook import outlook
from pacer.session.running.replay import apply, replay
from pacer.show.wording.forecasttext import ways_of
from pacer.show.wording.pressedtext import held_ways, resumed_ways
from pacer.show.wording.waitingtext import not_left
from tests.session.pages import session

S = 1000
FOUR = '[[lane]]\nnumber = 4\nbase = "1:40"\nswimmers = 4\n'  # 0:05 apart


@pytest.fixture
def run():
    timeline = session("pool: 25 m\nMain set\n  4 x 50 on 1:10\nSwim-down\n  100\n", FOUR)
    return replay(timeline, [Begun(0, 0, 0, "+00:00")])


@pytest.mark.parametrize(("at_s", "n"), [(2, 3), (12, 1), (15, 0)])
def test_a_pause_says_who_has_not_left_and_misses_the_repeat(run, at_s, n):
    told = outlook(run, Held(at_s * S, None, breaks_off=True))
    words = {
        3: ["lane 4: 3 swimmers haven't left and miss this repeat"],
        1: ["lane 4: 1 swimmer hasn't left and misses this repeat"],
        0: [],
    }[n]
    assert not_left(told) == words
    assert held_ways(run, told)[0] == "; ".join(["lane 4 stops at the wall and pauses", *words])


def test_who_has_not_left_misses_nothing_where_the_repeat_is_swum_again(run):
    entry = presses.start_section(run, 12 * S, 0)
    assert not_left(outlook(run, entry)) == []
    assert not_left(outlook(run, presses.start_section(run, 12 * S, 1))) != []


def test_a_resume_says_how_long_it_is_to_a_send_off_more_than_a_minute_away(run):
    """All swim the second 50 to its end, so the lane leaves as planned, at 2:20."""
    paused = apply(run, Held(71 * S, None, breaks_off=True))
    said = resumed_ways(paused, outlook(paused, Resumed(72 * S, 77 * S)))
    assert said[0] == "lane 4 leaves :20 (in 1:08) on 4 × 50"
    assert {"leaves :20 (in 1:08)", "leaves :20"} <= set(said)


def test_an_undo_says_who_still_stops_even_if_it_changes_nothing_else(run):
    moved = apply(run, presses.move(run, 12 * S, Unit.REPEAT, 1))
    told = outlook(moved, TakenBack(20 * S, 30 * S))
    assert ways_of(told, 20 * S)[0].startswith("lane 4 still stops at the wall; ")
    same = replace(told, lanes=(), starts=(), end_ms=told.end_was_ms)
    assert ways_of(same, 20 * S)[0] == "nothing would change; lane 4 still stops at the wall"
