"""Swimmers who change lanes while they swim: they swim home in the old lane, and leave with the other once they are
back. Times in seconds; the lanes' send-offs are in `tests/session/pages.py`.
"""

import random

import pytest

from pacer.review.swum.sessionreview import review_of
from pacer.session.journal.entries import Begun, Ended, Moved, Paused, SwimmerChanged, SwimmerLeft, Unit
from pacer.session.records.expectedtimes import by_times
from pacer.session.records.touches import at_wall, due, swim, times, touched
from pacer.session.running import presses
from pacer.session.running.instant import lates
from pacer.session.running.leavingagain import move_mark
from pacer.session.running.replay import apply, replay
from pacer.session.running.whereabouts import back_ms, crew, last_swims, places, swims_by_number
from pacer.show.view.instantview import pool_view
from pacer.show.view.swimmerplaces import AWAY, HOME
from tests.review.made import kept_of
from tests.session.pages import THREE_SECTIONS, TWO_LANES, check, left, run, session

S = 1_000
BEGUN = Begun(0, 0, 3_600_000)
LONG_SQUAD = """\
[[lane]]
number = 4
base = "1:20"
swimmers = 2
group = "A"
[[lane]]
number = 5
base = "1:30"
group = "B"
"""
FOUR_HUNDRED = "pool: 25 m\nMain set\n  A: 2 x 400 on 6:00\n  B: 12 x 50 on 1:00\n"


def two_lanes():
    """Lane 4 leaves on 400s at 0:00 and 6:00, lane 5 on 50s each minute."""
    return session(FOUR_HUNDRED, LONG_SQUAD)


def test_a_swimmer_who_moves_in_mid_repeat_leaves_with_the_other_lane_once_back():
    """The second of lane 4 leaves on 400 m at 0:05 and is back at 5:25: not with lane 5 at 1:00, but at 6:00."""
    before = run(two_lanes(), BEGUN)
    entry = presses.change_lane(before, 30 * S, 0, 1, 1)
    assert entry.joins_ms == (5 + 320 + 5) * S
    after = apply(before, entry)
    check(after.timeline)
    assert left(after.timeline, 0, 2) == [5] and left(after.timeline, 0, 1) == [0, 360]
    assert left(after.timeline, 1, 2) == [60 * minute + 5 for minute in range(6, 12)]
    assert left(after.timeline, 1, 1) == left(before.timeline, 1, 1)


def test_so_it_stays_whatever_else_is_pressed():
    before = run(two_lanes(), BEGUN)
    moved = apply(before, presses.change_lane(before, 30 * S, 0, 1, 1))
    shorter = apply(moved, presses.change_interval(moved, 70 * S, 55 * S, (1,)))
    assert left(shorter.timeline, 1, 2)[0] == 60 + 5 * 55 + 5
    paused = apply(shorter, Paused(80 * S, (1,), breaks_off=True))
    again = apply(paused, presses.resume(paused, 100 * S, (1,)))
    check(again.timeline)
    assert min(left(again.timeline, 1, 2)) * S >= entry_ms(moved)
    joined = apply(moved, presses.join(moved, 75 * S, 1))
    assert left(joined.timeline, 1, 3)[0] == left(joined.timeline, 1, 2)[0] + 5 == 130, (
        "somebody else who is at the wall leaves behind them"
    )


def entry_ms(moved):
    return moved.joining[1][0]


def test_moved_on_before_being_back_and_taken_out():
    three = session(FOUR_HUNDRED, LONG_SQUAD + '[[lane]]\nnumber = 6\nbase = "1:30"\ngroup = "B"\n')
    moved = apply(run(three, BEGUN), presses.change_lane(run(three, BEGUN), 30 * S, 0, 1, 1))
    entry = presses.change_lane(moved, 90 * S, 1, 1, 2)
    on = apply(moved, entry)
    assert entry.joins_ms == entry_ms(moved) and 1 not in on.joining
    assert left(on.timeline, 1, 2) == [] and left(on.timeline, 2, 2)[0] == 365
    out = apply(moved, SwimmerLeft(90 * S, 1, 1))
    assert left(out.timeline, 1, 2) == [] and not out.joining


def test_an_older_journal_is_replayed_as_it_was():
    before = run(two_lanes(), BEGUN)
    after = apply(before, SwimmerChanged(30 * S, 0, 1, 1, 35 * S))
    assert left(after.timeline, 1, 2)[0] == 65


def test_who_is_at_the_wall_leaves_with_the_next_send_off():
    before = run(session(), BEGUN)
    entry = presses.change_lane(before, 50 * S, 0, 0, 1)
    assert entry.joins_ms is None, "back at 0:40"
    assert left(apply(before, entry).timeline, 1, 2)[0] == 65


def test_a_lane_without_anybody_leaves_when_the_swimmer_is_back():
    squad = LONG_SQUAD + '[[lane]]\nnumber = 6\nbase = "1:30"\ngroup = "B"\n'
    before = run(session(FOUR_HUNDRED, squad), BEGUN, SwimmerLeft(10 * S, 2, 0))
    after = apply(before, presses.change_lane(before, 30 * S, 0, 1, 2))
    assert left(after.timeline, 2, 1)[:3] == [0, 330, 390]


def test_a_set_swum_straight_through_is_swum_to_its_end_first():
    straight = session("pool: 25 m\nMain set\n  A: 4 x 100\n  B: 12 x 50 on 1:00\n", LONG_SQUAD)
    before = run(straight, BEGUN)
    after = apply(before, presses.change_lane(before, 30 * S, 0, 1, 1))
    assert left(after.timeline, 0, 2) == [5, 85, 165, 245], "that is the lane's one send-off"
    assert left(after.timeline, 1, 2)[0] == 365, "back at 5:25"


def test_until_then_the_old_lane_has_the_swimmer():
    """Drawn, timed and waited for in the old lane; in the other from when they are back."""
    before = run(two_lanes(), BEGUN)
    after = apply(before, presses.change_lane(before, 30 * S, 0, 0, 1))
    assert [place.moving for place in places(after.timeline, 0, 100 * S)] == [True, True]
    old, other = pool_view(after, 100 * S).bands
    assert len(old.places) == 2 and min(old.places) >= 0 and other.places[1] == AWAY
    old, other = pool_view(after, 322 * S).bands
    assert len(old.places) == 1 and old.places[0] >= 0, "the other still swims"
    assert other.places[1] == HOME, "the leader is back, and waits in the other lane"
    old, other = pool_view(after, 340 * S).bands
    assert old.places == (HOME,) and other.places[1] == HOME
    assert due(after, (), 0, 319 * S).swimmer == 0 and due(after, (), 0, 326 * S).swimmer == 0
    assert len(last_swims(after.timeline, 0, 100 * S)) == 2
    assert back_ms(after.timeline, 0, 100 * S, broken_off=False) == 325 * S, "who is back then leads now"
    leave_ms = move_mark(after, 100 * S, Unit.REPEAT, 1, (0,))
    gone = apply(after, Moved(100 * S, Unit.REPEAT, 1, leave_ms, (0,)))
    check(gone.timeline)


def test_metres_count_in_the_lane_in_which_they_were_swum():
    before = run(two_lanes(), BEGUN)
    entry = presses.change_lane(before, 30 * S, 0, 1, 1)
    review = review_of(kept_of(FOUR_HUNDRED, LONG_SQUAD, [BEGUN, entry, Ended(3000 * S)]))
    mine = [(swim.lane, swim.distance, swim.left_ms // S) for swim in review.swims if swim.who == 1]
    assert mine == [(0, 400, 5), *((1, 50, 60 * minute + 5) for minute in range(6, 12))]
    assert review.distances.of_person(1) == 400 + 6 * 50


@pytest.mark.parametrize("seed", range(60))
def test_nobody_is_sent_off_twice_at_once(seed):
    """Their departures in both lanes never overlap, and the other swimmers' stay the same."""
    rng = random.Random(seed)
    before = run(session(THREE_SECTIONS, TWO_LANES), BEGUN)
    at_ms, place = rng.randrange(800) * S, rng.randrange(2)
    moved = presses.change_lane(before, at_ms, 0, place, 1)
    after = apply(before, moved)
    check(after.timeline)
    swim = [*swims_by_number(before.timeline, 0, at_ms, to_come=True).values()][place]
    last = 0 if swim is None else swim.home_ms
    sent = [event.at_ms for event in after.timeline.events(1) if event.swimmer == 2 and event.kind == "send-off"]
    assert all(at >= last for at in sent) and all(at > at_ms for at in sent)
    first = [[event for event in each.timeline.events(1) if event.swimmer == 1] for each in (before, after)]
    assert first[0] == first[1]


def test_a_newcomer_hides_nobody_who_swims_home_in_the_same_place():
    """The second of lane 5 is to come from lane 4 when its first is moved on: that one is drawn until home."""
    three = session(FOUR_HUNDRED, LONG_SQUAD + '[[lane]]\nnumber = 6\nbase = "1:30"\ngroup = "B"\n')
    before = run(three, BEGUN)
    moved = apply(before, presses.change_lane(before, 30 * S, 0, 1, 1))
    on = apply(moved, presses.change_lane(moved, 65 * S, 1, 0, 2))
    assert [sum(place != AWAY for place in band.places) for band in pool_view(on, 80 * S).bands] == [2, 1, 1]


def test_who_is_moved_before_leaving_on_the_repeat_waits_at_the_wall_of_the_old_lane():
    before = run(two_lanes(), BEGUN)
    after = apply(before, presses.change_lane(before, 2 * S, 0, 1, 1))
    old, other = pool_view(after, 3 * S).bands
    assert old.places[1] == HOME and other.places[1] == AWAY
    old, other = pool_view(after, 20 * S).bands
    assert old.places[1] > 0 and other.places[1] == AWAY


def test_without_a_booking_a_newcomer_costs_the_last_lane_no_repeat():
    """Lane 5 ends last, at 4:50; who joins it leaves 0:05 after the other, and is home at 4:55."""
    page = "pool: 25 m\nMain set\n  4 x 50 on 1:00 / 1:20\n"
    begun = run(session(page, TWO_LANES), BEGUN)
    assert begun.timeline.end_ms == begun.timeline.tracks[1].end_ms == 290 * S
    joined = apply(begun, presses.join(begun, 20 * S, 1))
    moved = apply(begun, presses.change_lane(begun, 20 * S, 0, 1, 1))
    for made in (joined, moved):
        check(made.timeline)
        assert left(made.timeline, 1, 1) == [0, 80, 160, 240]
    assert joined.timeline.end_ms == 295 * S
    booked = run(session(page.replace("Main", "booking: 5 min\nMain"), TWO_LANES), BEGUN)
    over = apply(booked, presses.join(booked, 20 * S, 1, base_ms=140 * S))  # 70 s for 50 m: home at 5:15
    assert left(over.timeline, 1, 1) == [0, 80, 160], "it has to be out by 5:00"


def test_a_swimmer_is_timed_and_slowed_wherever_their_place_is():
    """Lane 4's second swimmer takes 44 s instead of 40 on each 50; then the two swap, and it is the first who does."""
    squad = '[[lane]]\nnumber = 4\nbase = "1:20"\nswimmers = 2\n'
    before = run(session("pool: 25 m\nMain set\n  40 x 50 on 1:00\n", squad), BEGUN)
    swims = [swim(before.timeline.tracks[0], 0, n, place) for n in range(9) for place in range(2)]
    taken = [touched(one, one.left_ms + (44 if one.swimmer else 40) * S) for one in swims]
    journal = [BEGUN, *taken, SwimmerChanged(550 * S, 0, 0, 0, 560 * S)]
    swapped = replay(before.timeline, journal)
    seen = by_times(swapped, journal).timeline
    first, second = last_swims(seen, 0, 601 * S)[0], last_swims(seen, 0, 606 * S)[1]
    assert first.times[-1] > 42 * S and second.times[-1] == 40 * S


def test_a_time_puts_its_swimmer_at_the_wall_who_then_leads():
    """The second swimmer touches at 9:40 and is first in the order from 9:42 on: at the wall until 10:00."""
    squad = '[[lane]]\nnumber = 4\nbase = "1:20"\nswimmers = 2\n'
    before = run(session("pool: 25 m\nMain set\n  40 x 50 on 1:00\n", squad), BEGUN)
    taken = times([BEGUN, touched(swim(before.timeline.tracks[0], 0, 9, 1), 580 * S)])
    after = apply(before, SwimmerChanged(582 * S, 0, 0, 0, 590 * S))
    assert at_wall(after, taken, 0, 590 * S) == {1} == at_wall(after, taken, 0, 599_999)
    assert at_wall(after, taken, 0, 600 * S) == frozenset()


def test_the_only_swimmer_of_a_lane_stays_one():
    after = apply(run(two_lanes(), BEGUN), SwimmerChanged(30 * S, 1, 0, 1, 60 * S))
    assert len(after.timeline.squad.lanes[1].swimmers) == 1


def test_who_goes_first_from_a_tight_lane_takes_their_lateness_along():
    """8 x 50 on 0:35 take the second swimmer 45 s each: who stays in the lane is as late as before, not more."""
    three = "".join(f'[[lane.swimmer]]\nbase = "{base}"\n' for base in ("1:00", "1:30", "1:00"))
    squad = f'[[lane]]\nnumber = 4\nbase = "1:00"\n{three}[[lane]]\nnumber = 5\nbase = "1:00"\nswimmers = 1\n'
    before = run(session("pool: 25 m\nMain set\n  12 x 50 on 0:35\n", squad), BEGUN)
    after = apply(before, presses.change_lane(before, 150 * S, 0, 1, 1))
    for at_ms in range(150 * S, 400 * S, S):
        was = dict(zip(crew(before.timeline, 0, at_ms), places(before.timeline, 0, at_ms)))
        now = dict(zip(crew(after.timeline, 0, at_ms), places(after.timeline, 0, at_ms)))
        assert now[0] == was[0], "the leader is where they would have been"
        if 1 in now:  # on the way home
            assert now[1] == was[1]
    assert not any(late for number, late in lates(after.timeline.tracks[0]).items() if number != 1)
