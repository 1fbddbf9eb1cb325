"""Taps, corrections, watches, notes and heads."""

from itertools import pairwise

import pytest

from pacer.plan.model import RateRange
from pacer.session.journal.entries import (
    Begun,
    Ended,
    Moved,
    Paused,
    Stopped,
    SwimmerJoined,
    SwimmerLeft,
    TakenBack,
    Unit,
)
from pacer.session.journal.recordentries import (
    Amount,
    Corrected,
    Feel,
    HeadsCounted,
    LaneSummed,
    LengthCounted,
    Noted,
    Press,
    Rated,
    Touched,
    Watched,
    Withdrawn,
)
from pacer.session.records.headsandfeedback import Heads, heads, summaries
from pacer.session.records.strokefigures import counted, rated, rating, target_rate, ticks
from pacer.session.records.touches import at_wall, called, due, over, swim_of, time_figures, times, touched
from pacer.session.records.watches import Watch, filed, pressed, watches
from pacer.session.running.presses import withdraw
from pacer.session.running.replay import replay
from tests.session.pages import session

S = 1000


@pytest.fixture(scope="module")
def run():
    return replay(session(), (Begun(-10 * S, 0, 0),))


def taps(run, lane, *at_ms):
    """One tap after another; who each was, and the journal."""
    journal = []
    for at in at_ms:
        found = due(run, times(journal), lane, at)
        if found is not None:
            journal.append(touched(found, at))
    return journal


# -- times: lane 4 leaves 0 60 120 180, the second swimmer 5 s later, predicted 40 s -----------------


def test_the_leader_is_tapped_first_then_the_next(run):
    first, second = taps(run, 0, 39_127, 46_554)
    assert (first.swimmer, first.left_ms, first.time_cs) == (0, 0, 3912)
    assert (second.swimmer, second.left_ms, second.time_cs) == (1, 5_000, 4155)
    assert (first.section, first.round, first.line, first.repeat, first.called) == (0, 1, 1, 1, False)


def test_nobody_arrives_before_two_thirds_of_it(run):
    assert due(run, (), 0, 26_666) is None and due(run, (), 0, 26_667).swimmer == 0
    assert due(run, (), 0, -5_000) is None


def test_a_forgotten_tap_spoils_no_later_one(run):
    # Nobody taps the second swimmer's first 50; on the second 50 both get a tap.
    journal = taps(run, 0, 39_000, 100_500, 106_000)
    assert [(one.swimmer, one.repeat, one.time_cs) for one in journal] == [(0, 1, 3900), (0, 2, 4050), (1, 2, 4100)]


def alone(plan, base, swimmers=1):
    """One lane of so many swimmers, all with that base, 5 s apart."""
    return replay(
        session(f"pool: 25 m\n{plan}\n", f'[[lane]]\nbase = "{base}"\nswimmers = {swimmers}\n'), (Begun(0, 0, 0),)
    )


def test_a_touch_just_after_a_send_off_is_the_swimmers_nearer_to_prediction():
    """50 on 1:00, predicted 50 s, four swimmers: touches at 50, 55, 60, 65 s, send-offs at 60, 65, 70, 75 s."""
    run = alone("4 x 50 free on 1:00", "1:40", 4)
    assert due(run, (), 0, 59_000)[1:3] == (0, 0), "before the send-off it is the leader's, who is late"
    assert due(run, (), 0, 63_500)[1:3] == (1, 0), "the leader was sent off again, the second has not been"
    timed = taps(run, 0, 50_000, 55_000)
    assert due(run, times(timed), 0, 72_500)[1:3] == (2, 0), "the two ahead were timed: the third is late, and in turn"
    timed.append(touched(due(run, times(timed), 0, 72_500), 72_500))
    assert due(run, times(timed), 0, 73_000)[1:3] == (3, 0)


def test_nobody_is_so_late_that_it_would_be_another_swim():
    """400 on 6:10, predicted 6:00: a tap a minute and a half after the next send-off is nobody's."""
    run = alone("2 x 400 free on 6:10", "1:30")
    assert due(run, (), 0, 385_000)[1:3] == (0, 0)
    assert due(run, (), 0, 460_000) is None


def test_a_swimmer_well_into_the_next_swim_is_not_expected(run):
    # The second swimmer, who had no tap, left again at 65. A tap at 70 may still be theirs; at 87, 22 s later, it is
    # the leader's, who left at 60.
    journal = taps(run, 0, 39_000)
    assert due(run, times(journal), 0, 70_000)[1:3] == (1, 0)
    assert due(run, times(journal), 0, 79_000) is None
    assert due(run, times(journal), 0, 87_000)[1:3] == (0, 1)


def test_a_third_tap_means_nobody(run):
    assert len(taps(run, 0, 39_000, 44_000, 45_000)) == 2


def test_a_late_touch_ends_the_swim_before(run):
    # The leader's second 50 began at 60 by the plan; at 65 only the first can be over.
    assert taps(run, 0, 65_000)[0].repeat == 1


def test_a_swim_broken_off_has_no_time():
    # Stopped in the first length of the 100, which left at 300: home after 50 m at 340.
    stopped = replay(session(), (Stopped(310 * S),))
    assert due(stopped, (), 0, 380_000) is None, "not the last 50 before it, which left two minutes earlier"
    assert due(replay(session(), (Stopped(230 * S),)), (), 0, 400_000) is None, "nobody takes four minutes for a 50"


def test_a_swimmer_who_broke_off_in_the_last_lengths_still_touches():
    for press in (Stopped(70 * S), Paused(70 * S, None, True)):
        stopped = replay(session(), (press,))
        assert due(stopped, (), 0, 100_000)[:2] == (0, 0) and due(stopped, (), 0, 100_000).repeat == 2
    # The leader of lane 4, who left at 300, turns on the third length at 341: all of it; the second, 5 s behind: 50 m.
    stopped = replay(session(), (Stopped(343 * S),))
    assert [next(over(stopped, 0, swimmer, 385_000))[3:7] for swimmer in (0, 1)] == [(1, 1, 1, 1), (0, 1, 1, 4)]


def test_a_swimmer_who_did_not_leave_does_not_touch():
    held = replay(session(), (Paused(62 * S, (0,)),))
    first = due(held, (), 0, 101_000)
    assert (first.swimmer, first.repeat) == (1, 1)  # the leader left on the second, the other's first is still open
    journal = [touched(first, 101_000)]
    assert due(held, times(journal), 0, 102_000)[1:3] == (0, 1)


def test_a_called_time_and_its_correction(run):
    found = due(run, (), 1, 55_000)
    journal = [called(found, 55_000, 5100), Noted(56_000, "good"), Corrected(57_000, 1, 4990)]
    (taken,) = times(journal)
    assert taken.number == 1 and taken.touched.time_cs == 4990 and taken.touched.called
    assert times([*journal, Corrected(58_000, 1)]) == ()
    assert times([*journal, Corrected(58_000, 2, 1)]) == (taken,), "only a time is corrected"


def test_what_a_time_says(run):
    (entry,) = taps(run, 1, 48_600)
    said = time_figures(run, entry)
    assert said == (48_600, -1_400, None, 11_400)
    (entry,) = taps(run, 0, 785_000)
    assert time_figures(run, entry).rest_ms is None


def test_against_hold():
    held = replay(session("pool: 25 m\nMain set\n  4 x 100 hold 1:22, on 1:40\n", '[[lane]]\nbase = "1:18"\n'), ())
    (entry,) = taps(held, 0, 83_550)
    assert time_figures(held, entry) == (83_550, 1_550, 1_550, 16_450)


def test_a_time_of_an_undone_swim_stays_in_the_log_without_comparison(run):
    moved = replay(session(), (Moved(70 * S, Unit.REPEAT, -1, 75 * S, (0,)),))
    (entry,) = taps(moved, 0, 116_000)
    assert time_figures(moved, entry).time_ms == 41_000
    assert swim_of(run, entry) is None and time_figures(run, entry) is None


def test_a_touch_puts_the_swimmer_at_the_wall(run):
    journal = taps(run, 0, 35_000)
    taken = times(journal)
    assert at_wall(run, taken, 0, 34_999) == frozenset() and at_wall(run, taken, 0, 35_000) == {0}
    assert at_wall(run, taken, 0, 59_999) == {0} and at_wall(run, taken, 0, 60_000) == frozenset()
    assert at_wall(run, taken, 1, 35_000) == frozenset()
    late = times([called(due(run, (), 0, 50_000), 50_000, 3600)])
    assert at_wall(run, late, 0, 36_000) == {0}


def test_with_one_swimmer_fewer_the_places_move_up():
    left = replay(session(), (SwimmerLeft(70 * S, 0, 0),))
    assert [one.swimmer for one in taps(left, 0, 165_000, 166_000)] == [0]


# -- stroke rates -----------------------------------------------------------------------------------


def test_taps_give_a_rate_with_its_spread():
    entry = rated(0, (10_000, 11_480, 13_010, 14_500), swimmer=1)
    assert entry == Rated(14_500, 0, (0, 148, 301, 450), 1, 1)
    found = rating(entry)
    assert (found.rate, found.cycles) == (40, 3)
    assert [round(float(value), 2) for value in (found.least, found.most)] == [39.22, 40.54]
    assert (
        rating(Rated(1, 0, (0,))) is None
        and rating(Rated(1, 0, (0, 0))) is None
        and rating(Rated(1, 0, (5, 3, 9))) is None
    )


def test_a_length_with_a_missing_number_has_no_result():
    assert counted(LengthCounted(1, 0, 0, 25, 2000)) is None and counted(LengthCounted(1, 0, 20, 25, 0)) is None


def test_ticks_follow_the_target():
    even = ticks(RateRange(40, 40), 100, lambda ms: ms // 800, 6_000)
    assert even == (0, 1500, 3000, 4500)
    rising = ticks(RateRange(30, 60), 100, lambda ms: ms * 100 // 60_000, 60_000)
    gaps = [b - a for a, b in pairwise(rising)]
    assert gaps[0] == 2000 and gaps[-1] in (1000, 1010, 1012, 1015, 1020) and all(a >= b for a, b in pairwise(gaps))
    assert 44 <= len(rising) <= 46  # 45 a minute on average
    assert target_rate(RateRange(32, 40), 0, 0) == 32


# -- stopwatches ---------------------------------------------------------------------------------------


def test_watches_run_independently_of_each_other_and_the_session(run):
    journal = [
        Watched(1_000, 1, Press.START),
        Watched(2_000, 2, Press.START),
        Watched(31_457, 1, Press.SPLIT),
        Watched(63_009, 1, Press.STOP),
        Watched(70_000, 1, Press.SPLIT),
        Watched(70_000, 3, Press.CLEAR),
    ]
    first, second = watches(journal)
    assert (first.times_cs(), first.laps_cs(), first.running) == ((3045, 6200), (3045, 3155), False)
    assert first.reading_cs(90_000) == 6200 and second.running and second.reading_cs(90_000) == 8800
    assert replay(session(), journal).timeline.tracks[0].sendoffs == run.timeline.tracks[0].sendoffs
    assert filed(first, 91_000, 2, 0).splits_cs == (3045, 6200)
    assert filed(Watch(4), 1, 0) is None and filed(second, 1, 0) is None


def test_a_watch_started_again_continues_and_a_cleared_one_starts_from_zero():
    made = Watch(1)
    for at, press in ((0, Press.START), (10_000, Press.STOP), (15_000, Press.START)):
        made = pressed(made, Watched(at, 1, press))
    assert made.reading_cs(20_000) == 1500
    assert pressed(made, Watched(21_000, 1, Press.CLEAR)) == made, "a running watch is not cleared"
    stopped = pressed(made, Watched(21_000, 1, Press.STOP))
    assert pressed(stopped, Watched(22_000, 1, Press.CLEAR)) == Watch(1)


# -- notes, heads, how it went -----------------------------------------------------------------------------


def test_head_counts_that_differ_are_a_warning():
    journal = [HeadsCounted(-9_000, 11, True), HeadsCounted(-5_000, 12, True), HeadsCounted(3_000_000, 11, False)]
    assert heads(journal) == Heads(12, 11)
    assert heads(journal).warning == "12 went in, 11 came out: 1 missing. Check the water first."
    assert heads([*journal, HeadsCounted(3_010_000, 12, False)]).warning == ""
    assert heads(journal[:2]) == Heads(12, None) and not heads(journal[:2]).warning
    assert "Count again" in Heads(11, 12).warning


def test_who_came_and_went_after_the_count_is_missed_too():
    begun = [HeadsCounted(0, 18, True), SwimmerJoined(10, 0, 20), SwimmerJoined(20, 1, 30), SwimmerLeft(30, 2, 0)]
    assert heads([*begun, HeadsCounted(40, 19, False)]).warning == ""
    assert (
        heads([*begun, HeadsCounted(40, 17, False)]).warning
        == "18 went in, 2 joined later, 1 got out before, 17 came out: 2 missing. Check the water first."
    )
    undone = [*begun, TakenBack(35, 40), HeadsCounted(40, 20, False)]
    assert heads(undone).warning == "", "nobody got out"
    again = [*begun, Ended(31), TakenBack(35, 40), TakenBack(36, 41), HeadsCounted(40, 19, False)]
    assert heads(again).warning == "", "an end that was resumed, and the resume undone"
    assert heads([*begun, HeadsCounted(40, 19, True), HeadsCounted(50, 19, False)]).warning == "", "counted again"
    older = [*begun, TakenBack(35, 40, stay=(True,)), HeadsCounted(40, 18, False)]
    assert heads(older).warning == "", "of two who joined, the second is undone; who got out stays so"
    counted = [*begun[1:], HeadsCounted(32, 19, True), TakenBack(35, 40, stay=(True,)), SwimmerLeft(36, 0, 0)]
    assert heads([*counted, HeadsCounted(40, 18, False)]).warning == "", "one got out since the count"


def test_the_last_feedback_on_a_lane_counts():
    journal = [
        LaneSummed(1, 0, Amount.LESS, Feel.SO_SO),
        LaneSummed(2, 1, Amount.MORE, Feel.WELL),
        LaneSummed(3, 0, Amount.AS_WRITTEN, Feel.WELL, True),
    ]
    assert summaries(journal) == {0: journal[2], 1: journal[1]}


# -- undone ---------------------------------------------------------------------------------------------


def test_a_withdrawn_record_counts_as_never_made():
    """By the journal alone: after an entry is undone, everything is as it was before the entry."""

    def found(journal):
        return times(journal), heads(journal), summaries(journal), watches(journal)

    journal = [Begun(-10 * S, 0, 0), Touched(40 * S, 0, 0, 0, 1, 1, 1, 0, 4000)]
    for entry in (
        Corrected(41 * S, 2, 3900),
        Corrected(42 * S, 2),
        HeadsCounted(43 * S, 9, True),
        Noted(44 * S, "long"),
        Watched(45 * S, 1, Press.START),
        LaneSummed(46 * S, 0, Amount.LESS, Feel.WELL),
        Paused(47 * S),
    ):
        before = found(journal)
        journal.append(entry)
        if isinstance(entry, Paused):
            assert (
                found([*journal, Withdrawn(48 * S, len(journal))]) == before
                and replay(session(), [*journal, Withdrawn(48 * S, len(journal))]).paused()
            )
            break
        assert isinstance(entry, Noted) or found(journal) != before
        journal.append(withdraw(journal, entry, 48 * S))
        assert found(journal) == before
        assert withdraw(journal, entry, 49 * S) is None, "once"


def test_an_undone_correction_leaves_the_one_before_it():
    journal = [
        Touched(40 * S, 0, 0, 0, 1, 1, 1, 0, 4000),
        Corrected(41 * S, 1, 3900),
        Corrected(42 * S, 1, 3800),
        Withdrawn(43 * S, 2),
    ]
    assert [one.touched.time_cs for one in times(journal)] == [3800]
    assert [one.touched.time_cs for one in times([*journal, Withdrawn(44 * S, 3)])] == [4000]


def test_a_record_cannot_be_withdrawn_before_it_was_made():
    assert [one.touched.time_cs for one in times([Withdrawn(0, 2), Touched(40 * S, 0, 0, 0, 1, 1, 1, 0, 4000)])] == [
        4000
    ]
