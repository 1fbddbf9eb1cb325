"""The finish by the recorded times, and what brings it back."""

import random
from dataclasses import replace

import pytest

from pacer.session.journal.entries import Begun, CountChanged, IntervalChanged, Paused
from pacer.session.records.expectedtimes import expected, paces
from pacer.session.records.overrun import over_ms, pressed, remedies
from pacer.session.running import presses
from pacer.session.running.finish import finish_ms
from pacer.session.running.replay import apply, fresh
from tests.session.pages import session
from tests.session.records.test_expectedtimes import swum, taken

S = 1000
#: By hand: 8 × 100 on 1:40, 80 s each: the last leaves at 700, touches at 780 (785 the second): 13:05, booked to 13:10.
#: 10 % slower it is 88 s, out at 793 s, 3 s over.
PLAN = "pool: 25 m\nbooking: 0:13:10\nMain set, {rounds}\n  {n} x 100 on 1:40\n"
LANE = '[[lane]]\nbase = "1:20"\nswimmers = 2\n'


def begun(plan, squad=LANE):
    return apply(fresh(session(plan, squad)), Begun(-10 * S, 0, 0))


@pytest.fixture(scope="module")
def eight():
    return begun(PLAN.format(rounds="2 rounds", n=4))


def found(run, slower, count=6, lane=0):
    return paces(run, taken(swum(run, lane, random.Random(1), slower, 0.0)[:count]))


def test_by_the_plan_it_fits_and_by_the_times_it_does_not(eight):
    assert eight.timeline.end_ms == 785 * S
    assert over_ms(eight, expected(eight, found(eight, 1.0)), 210 * S) == 0
    assert over_ms(eight, expected(eight, found(eight, 1.10)), 210 * S) == pytest.approx(3 * S, abs=600)


def test_less_rest_comes_first_and_one_repeat_fewer_second(eight):
    told = remedies(eight, found(eight, 1.10), 210 * S)
    assert [type(remedy.press) for remedy in told] == [IntervalChanged, CountChanged]
    rest, fewer = told
    assert rest.press.interval_ms == 95 * S and rest.over_ms == rest.less == 0, "the least that ends in time"
    assert fewer.press.by == -1 and fewer.over_ms == 0 and fewer.less == 200, "one repeat of two swimmers"
    after = apply(eight, rest.press)
    assert expected(after, found(eight, 1.10)).timeline.end_ms <= 790 * S


def test_a_pause_of_all_puts_off_the_finish_by_the_times_as_a_resume_now_would():
    """Booked a minute later: it is over by the times once all have paused for a minute, by the plan after two."""
    run = begun(PLAN.format(rounds="2 rounds", n=4).replace("0:13:10", "0:14:10"))
    times = found(run, 1.10)
    paused = apply(run, Paused(170 * S, breaks_off=True))
    seen, over = expected(paused, times), set()
    for at_ms in range(180 * S, 400 * S, 20 * S):
        resumed = apply(paused, presses.resume(replace(paused, by_times=seen.timeline), at_ms))
        by_plan, by_the_times = (max(0, each.timeline.end_ms - 850 * S) for each in (resumed, expected(resumed, times)))
        assert over_ms(paused, seen, at_ms) == (0 if by_plan else by_the_times)
        assert finish_ms(seen, at_ms) == expected(resumed, times).timeline.end_ms
        assert bool(remedies(paused, times, at_ms)) == bool(by_the_times and not by_plan)
        over.add((by_plan > 0, by_the_times > 0))
    assert over == {(False, False), (False, True), (True, True)}


def test_less_rest_leaves_five_seconds_by_the_times():
    # 88 s each on 1:35: 7 s of rest, and nothing shorter on the clock leaves five.
    tight = begun("pool: 25 m\nbooking: 0:12:34\nMain set\n  8 x 100 on 1:35\n")
    assert tight.timeline.end_ms == 750 * S
    told = remedies(tight, found(tight, 1.10), 210 * S)
    assert [type(remedy.press) for remedy in told] == [CountChanged]


def test_no_report_if_the_plan_itself_overruns_or_nothing_is_booked():
    over = begun(PLAN.format(rounds="2 rounds", n=5))
    assert (
        over_ms(over, expected(over, found(over, 1.10)), 10 * S) == 0
        and remedies(over, found(over, 1.10), 10 * S) == ()
    )
    free = begun("pool: 25 m\nMain set\n  8 x 100 on 1:40\n")
    assert remedies(free, found(free, 1.10), 10 * S) == ()


def test_the_press_is_worked_out_again_when_it_is_made(eight):
    told = remedies(eight, found(eight, 1.10), 210 * S)
    again = [pressed(eight, 250 * S, remedy.press) for remedy in told]
    assert [press.at_ms for press in again] == [250 * S] * 2 and again[0].interval_ms == 95 * S
    assert pressed(eight, 1_000 * S, told[1].press) is None


def test_only_the_late_lane_is_shortened():
    two = begun(PLAN.format(rounds="2 rounds", n=4), LANE + '[[lane]]\nbase = "1:10"\n')
    told = remedies(two, found(two, 1.10), 210 * S)
    assert {remedy.press.lanes for remedy in told} == {(0,)}
