"""What was really swum: it agrees with the log's sum and with the plan, and knows who swam when places change."""

import random

import pytest

from pacer.review.sessionlog import lane_swum
from pacer.review.swum.distances import by_section, shares
from pacer.review.swum.plandone import plan_done
from pacer.review.swum.sessionreview import review_of
from pacer.review.swum.swims import swims_of
from pacer.review.swum.whoswam import replayed
from pacer.review.wasswum import counts_as_swum
from pacer.session.journal.entries import (
    Begun,
    Ended,
    LinePutIn,
    Missed,
    Moved,
    Paused,
    Resumed,
    Stopped,
    SwimmerChanged,
    SwimmerJoined,
    SwimmerLeft,
    TakenBack,
    Unit,
)
from pacer.session.journal.recordentries import Noted, Touched
from pacer.session.records.expectedtimes import by_times
from pacer.session.running.replay import fresh
from pacer.session.storage.savedsession import Listed
from pacer.show.view.instantview import pool_view
from tests.review.made import ZERO_WALL_MS, S, kept, kept_of, predicted, touch
from tests.session.deck import PLAN, SQUAD, evening
from tests.session.pages import session

TIMELINE = session(PLAN, SQUAD)
BEGUN = Begun(-10 * S, 0, ZERO_WALL_MS, "+00:00")
THREE = """\
pool: 25 m
Warm-up, easy
  4 x 50 as 25 kick / 25 back, on 1:15
Main set, 2 rounds
  3 x 100 free on 2:00
"""
TWO_LANES = """\
[[lane]]
number = 3
base = "1:20"
  [[lane.swimmer]]
  name = "Kit"
  base = "1:18"
  [[lane.swimmer]]
  name = "Rowan"
  base = "1:20"
[[lane]]
base = "1:40"
"""


@pytest.mark.parametrize("seed", range(40))
def test_any_evening_adds_up(seed):
    """Leaders' distances are the log's, plan and done balance, and every view has the same sum."""
    rng = random.Random(seed)
    journal = [BEGUN, *(entry for entry, _ in evening(rng, fresh(TIMELINE), 40))]
    if seed % 3:
        journal.append(Ended(max(entry.at_ms for entry in journal) + rng.choice((1, 40, 900)) * S))
    made = kept(TIMELINE, journal)
    review = review_of(made)
    by_touch = {(swim.lane, swim.at) for swim in review.swims if swim.time_ms is not None}
    for done in review.plan:
        if not any(lane == done.lane for lane, _ in by_touch):  # a time proves a repeat that was not predicted
            assert done.done == lane_swum(made, TIMELINE, review.replay.run, done.lane)[0]
        assert done.done == done.planned - done.skipped - done.cut - done.unreached + done.added
        assert min(done) >= 0 and done.done == review.distances.of_lane(done.lane)
    cube = review.distances.by_person
    total = sum(swim.distance for swim in review.swims)
    for field in ("activity", "stroke", "effort"):
        assert sum(share.distance for share in shares(cube, field)) == total
    assert sum(share.distance for share in by_section(cube, review.sections)) == total
    assert sum(review.distances.of_person(person.number) for person in review.people) == total
    for spent in review.spent:
        mine = [swim for swim in review.swims if swim.who == spent.who]
        way = max(swim.left_ms + swim.swum_ms for swim in mine) - min(swim.left_ms for swim in mine)
        assert spent.swum_ms + spent.rested_ms + spent.stood_ms == way


@pytest.mark.parametrize("seed", range(20))
def test_everybody_is_in_the_water_only_once(seed):
    """Whatever lane changes there are, nobody leaves twice at one instant, and nobody swims before they join."""
    journal = [BEGUN, *(entry for entry, _ in evening(random.Random(seed), fresh(TIMELINE), 60, steering=1.0))]
    replay = replayed(kept(TIMELINE, journal))
    seen = set()
    for swim in swims_of(replay, ())[0]:
        assert (swim.who, swim.left_ms) not in seen
        seen.add((swim.who, swim.left_ms))
    joined = [entry for entry in journal if isinstance(entry, SwimmerJoined)]
    assert [person.number for person in replay.people] == list(range(len(replay.run.people)))
    late = {number: entry for number, entry in enumerate(replay.run.people) if entry is not None}
    assert len(replay.people) - len(late) == sum(len(lane.swimmers) for lane in TIMELINE.squad.lanes)
    assert set(late.values()) <= set(joined)  # who joins again after that was undone is nobody new
    for who, entry in late.items():
        assert all(left_ms > entry.at_ms for one, left_ms in seen if one == who)


def test_distances_are_complete_without_times():
    review = review_of(kept_of(THREE, TWO_LANES, [BEGUN, Ended(3000 * S)]))
    assert [(done.planned, done.done) for done in review.plan] == [(800, 800), (800, 800)]
    assert shares(review.distances.by_lane, "activity", 0) == (("swim", 700), ("kick", 100))
    assert shares(review.distances.by_lane, "stroke", 0) == (("free", 600), ("", 100), ("back", 100))
    assert shares(review.distances.by_lane, "effort", 0) == (("threshold", 600), ("easy", 200))
    assert by_section(review.distances.by_person, review.sections) == (("Warm-up", 600), ("Main set", 1800))
    assert review.sets == () and review.taken == 0 and [one.who for one in review.spent] == [0, 1, 2]
    assert [person.name for person in review.people] == ["Kit", "Rowan", ""]


def test_time_swum_rested_and_waited_by_hand():
    """Lane 2, 1:40 a hundred: 25 kick and 25 back easy take (1.45 + 1.10) × 25 × 1.15 s, 73.3 s of each 75."""
    review = review_of(kept_of(THREE, TWO_LANES, [BEGUN, Ended(3000 * S)]))
    fifty = 73_313  # halves up
    spent = review.spent[2]
    assert spent.swum_ms == 4 * fifty + 6 * 100 * S
    start = review.replay.run.timeline.gates[1]
    assert spent.stood_ms == start - (225 * S + fifty)
    assert spent.rested_ms == 3 * (75 * S - fifty) + 5 * 20 * S


def test_paused_cut_skipped_and_added():
    journal = [
        BEGUN,
        Paused(100 * S, (0,)),  # in the second fifty, 25 s in
        Resumed(190 * S, 200 * S, (0,)),
        Missed(210 * S, (1,)),
        LinePutIn(500 * S, "2 x 25 fly on 0:40", 600 * S, (1,)),
        Ended(3000 * S),
    ]
    first, second = review_of(kept_of(THREE, TWO_LANES, journal)).plan
    assert (first.pauses, first.paused_ms) == (1, 100 * S)
    assert first.done + first.cut + first.skipped + first.unreached == 800
    # the added set leaves no time for the last 100 before the others are done: lane 2 loses it, nobody waits
    assert (second.skipped, second.added, second.unreached, second.done) == (50, 50, 100, 700)


def test_a_session_that_was_ended_early_did_not_reach_the_rest():
    """At 2:40, lane 3 is on the first length of its third 50: it swims on to the home wall, the end of the 50."""
    review = review_of(kept_of(THREE, TWO_LANES, [BEGUN, Ended(160 * S)]))
    done = review.plan[0]
    assert (done.done, done.cut, done.unreached, done.skipped) == (150, 0, 650, 0)
    review = review_of(kept_of(THREE, TWO_LANES, [BEGUN, Ended(review.replay.run.timeline.gates[1] + 20 * S)]))
    assert [(done.done, done.cut, done.unreached) for done in review.plan] == [(250, 50, 500)] * 2


@pytest.mark.parametrize("seed", range(12))
def test_screen_log_and_review_count_the_same_metres(seed):
    """An evening that is ended midway, with leaders' times that show them slower or faster than predicted."""
    rng = random.Random(seed)
    pace, journal = rng.choice((0.85, 1.0, 1.2)), [BEGUN]
    for entry, _ in evening(rng, fresh(TIMELINE), rng.choice((3, 8)), steering=1.0):
        journal.append(entry)
    end_ms = journal[-1].at_ms + rng.choice((1, 12, 30, 70)) * S
    for swim in swims_of(replayed(kept(TIMELINE, journal)), ())[0]:
        touch_ms = swim.left_ms + round(swim.predicted_ms * pace)
        if swim.whole and touch_ms < end_ms and not swim.place:
            journal.append(touch(swim, touch_ms - swim.left_ms))
    journal = [*sorted(journal, key=lambda entry: entry.at_ms), Ended(end_ms)]
    saved = kept(TIMELINE, journal)
    review = review_of(saved)
    seen = by_times(review.replay.run, journal)
    for lane, band in enumerate(pool_view(seen, end_ms + 3600 * S).bands):
        said, _, of = band.text.distance.removesuffix(" m").replace(",", "").partition("/")
        said = int(said or 0)
        done, _, left = lane_swum(saved, TIMELINE, review.replay.run, lane)
        assert (done, left) == (said, int(of or said))
        assert review.distances.of_lane(lane) == said


def test_a_pause_that_was_undone_at_once_was_none():
    journal = [BEGUN, Paused(100 * S, (0,)), TakenBack(104 * S, 110 * S), Stopped(500 * S), Resumed(520 * S, 540 * S)]
    first, second = review_of(kept_of(THREE, TWO_LANES, [*journal, Ended(3000 * S)])).plan
    assert (first.pauses, first.paused_ms) == (second.pauses, second.paused_ms) == (1, 40 * S)


def test_a_session_that_was_ended_and_resumed_was_paused_meanwhile():
    journal = [BEGUN, Ended(100 * S), TakenBack(160 * S, 170 * S), Ended(3000 * S)]
    paused = [BEGUN, Paused(100 * S, breaks_off=True), Resumed(160 * S, 170 * S), Ended(3000 * S)]
    ended, held = (review_of(kept_of(THREE, TWO_LANES, each)) for each in (journal, paused))
    assert [(one.pauses, one.paused_ms) for one in ended.plan] == [(one.pauses, one.paused_ms) for one in held.plan]
    assert ended.plan[0].paused_ms == 70 * S
    assert [swim[:12] for swim in ended.swims] == [swim[:12] for swim in held.swims]


def test_a_pause_lasts_until_the_lane_left_even_if_it_was_sent_back_first():
    """Lane 1 was to leave at 2:30 and waits past it."""
    journal = [BEGUN, Paused(100 * S, (0,), breaks_off=True), Resumed(160 * S, 190 * S, (0,))]
    (late, *_), (soon, *_) = (
        review_of(kept_of(THREE, TWO_LANES, [*journal, *more, Ended(900 * S)])).plan
        for more in ((), (Moved(161 * S, Unit.REPEAT, -1, 175 * S, (0,)),))
    )
    assert late.pauses == soon.pauses == 1
    assert (soon.paused_ms, late.paused_ms) == (75 * S, 90 * S)


def test_a_pause_after_which_the_lane_leaves_as_planned_ends_with_resume():
    """Lane 1 swam its first repeat to its end and leaves at 2:30, as without the pause: the rest is no pause."""
    journal = [BEGUN, Paused(100 * S, (0,), breaks_off=True), Resumed(105 * S, 110 * S, (0,)), Ended(900 * S)]
    review = review_of(kept_of(THREE, TWO_LANES, journal))
    assert 150 * S in review.replay.run.timeline.tracks[0].sendoffs
    assert (review.plan[0].pauses, review.plan[0].paused_ms) == (1, 5 * S)


def test_a_pause_that_was_undone_at_once_was_none_even_if_the_lane_stopped_for_it():
    """Undo doesn't tell a lane to swim on that was told to stop; it leaves as planned."""
    run = [BEGUN, Paused(80 * S, (0,), breaks_off=True), TakenBack(81 * S, 95 * S), Ended(900 * S)]
    review = review_of(kept_of(THREE, TWO_LANES, run))
    assert review.replay.run.timeline.tracks[0].cuts, "it stopped"
    assert (review.plan[0].pauses, review.plan[0].paused_ms) == (0, 0)


def test_a_lane_that_is_paused_again_before_it_left_was_paused_once():
    """It was to leave at 2:30."""
    held, resumed = [BEGUN, Paused(100 * S, (0,))], Resumed(155 * S, 170 * S, (0,))
    again = [Stopped(160 * S), Resumed(180 * S, 200 * S)]
    undone = [TakenBack(160 * S, 170 * S), Resumed(180 * S, 200 * S, (0,))]
    for more in (again, undone):
        done = review_of(kept_of(THREE, TWO_LANES, [*held, resumed, *more, Ended(3000 * S)])).plan[0]
        assert (done.pauses, done.paused_ms) == (1, 100 * S)


def test_pauses_that_were_undone_late_count_until_the_lane_left():
    """Lane 3 was to leave at 2:30 and waited past it."""
    journal = [BEGUN, Paused(100 * S, (0,)), TakenBack(160 * S, 170 * S), Ended(3000 * S)]
    done = review_of(kept_of(THREE, TWO_LANES, journal)).plan[0]
    assert (done.pauses, done.paused_ms) == (1, 70 * S)


def test_a_pause_between_sections_ends_with_resume_not_with_the_next_section():
    """Lane 3 has done its warm-up and waits for the main set: the wait is nobody's pause."""
    start = review_of(kept_of(THREE, TWO_LANES, [BEGUN, Ended(3000 * S)])).replay.run.timeline.gates[1]
    journal = [BEGUN, Paused(start - 40 * S, (0,)), Resumed(start - 30 * S, start, (0,)), Ended(3000 * S)]
    done = review_of(kept_of(THREE, TWO_LANES, journal)).plan[0]
    assert (done.pauses, done.paused_ms) == (1, 10 * S)


def test_who_joins_last_has_the_last_place():
    journal = [BEGUN, SwimmerJoined(80 * S, 0, 150 * S, None, None, ""), Ended(3000 * S)]
    review = review_of(kept_of(THREE, TWO_LANES, journal))
    assert [person.place for person in review.people if person.lane == 0] == [0, 1, 2]


def test_a_time_that_is_far_off_is_not_time_in_the_water():
    """One touch of four is as long as four repeats: swum and waited as without it."""
    plain = review_of(kept_of(THREE, TWO_LANES, [BEGUN, Ended(3000 * S)]))
    swims = [each for each in plain.swims if each.lane == 1][:4]
    on_time = [touch(swim, swim.predicted_ms) for swim in swims[:3]]
    spent = []
    for taken in (on_time, [*on_time, touch(swims[3], 4 * swims[3].predicted_ms)]):
        journal = sorted([BEGUN, *taken, Ended(3000 * S)], key=lambda entry: entry.at_ms)
        spent.append(review_of(kept_of(THREE, TWO_LANES, journal)).spent)
    assert spent[0] == spent[1]


def test_who_swam_when_places_change():
    """Rowan leaves first after the change; a time of place 1 is then Rowan's. Who has left the water swims no more."""
    journal = [
        BEGUN,
        SwimmerChanged(80 * S, 0, 0, 0, 85 * S, 1),
        Touched(190 * S, 0, 0, 0, 1, 1, 3, 150 * S, 4000),
        SwimmerLeft(200 * S, 0, 1),
        Noted(230 * S, "long", 0, 0),
        Ended(3000 * S),
    ]
    review = review_of(kept_of(THREE, TWO_LANES, journal))
    (timed,) = [swim for swim in review.swims if swim.time_ms is not None]
    assert review.people[timed.who].name == "Rowan" and timed.place == 0 and timed.repeat == 3
    kit = [swim for swim in review.swims if swim.who == 0]
    assert [(swim.repeat, swim.place) for swim in kit] == [(1, 0), (2, 0), (3, 1)]
    assert [(review.people[one.who].name, one.section, one.line) for one in review.notes] == [("Rowan", 0, 1)]


@pytest.mark.parametrize(
    ("begun", "ended", "seen", "counts"),
    [
        (None, None, None, False),
        (0, 8 * S, 8 * S, False),
        (0, 119_999, 119_999, False),
        (0, 120_000, 120_000, True),
        (0, None, 3600 * S, True),  # never ended: by the last save
        (0, None, 20 * S, False),
    ],
)
def test_a_session_given_up_after_seconds_does_not_count(begun, ended, seen, counts):
    assert counts_as_swum(Listed(1, "", "25 m", begun, "", ended, seen, 3)) is counts


def test_plan_done_balances_for_a_fresh_session():
    replay = replayed(kept(TIMELINE))
    for done in plan_done(replay, swims_of(replay, ())[0]):
        assert (done.skipped, done.cut, done.unreached, done.added) == (0, 0, 0, 0)


@pytest.mark.parametrize("share", [0.7, 0.9, 1.0, 1.2])
def test_a_session_last_saved_in_the_moment_of_a_touch_has_the_whole_repeat_in_log_and_review(share):
    """It never ended. A leader who is faster than expected is at the wall before that is expected of them."""
    timeline = session("pool: 25 m\nMain set\n  4 x 100 free on 2:30\n", '[[lane]]\nbase = "1:20"\nswimmers = 2\n')
    swims = [swim for swim in predicted(timeline) if not swim.place]
    for count in (1, 2, 3):
        journal = [touch(swim, round(share * swim.predicted_ms)) for swim in swims[:count]]
        made = kept(timeline, [Begun(-10 * S, 0, ZERO_WALL_MS), *journal])
        review = review_of(made)
        (done,) = review.plan
        assert done.done == lane_swum(made, timeline, review.replay.run, 0)[0] == 100 * count
