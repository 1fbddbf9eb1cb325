"""The rule for times that look wrong: against SciPy, and one rule for the running session and the review."""

import random
from math import exp

import numpy as np
import pytest
from scipy import stats

from pacer.review.learning.learned import learn
from pacer.review.swum.sessionreview import review_of
from pacer.review.swum.timespent import as_counted
from pacer.session.records.expectedtimes import Off, doubted, pace_of
from pacer.session.records.outlyingtimes import FAR_OUT, FEW_TIMES, far_off, limit, middle
from pacer.session.records.touches import times
from pacer.session.running.replay import replay
from pacer.show.wording.touchtext import time_ways
from tests.review.made import timed
from tests.session.pages import session

ONE = session("pool: 25 m\nMain set\n  9 x 100 free on 4:00\n", '[[lane]]\nbase = "1:20"\n')


@pytest.mark.parametrize("seed", range(30))
def test_the_limit_is_three_and_a_half_robust_deviations(seed):
    """Compare with SciPy's median absolute deviation, scaled to the normal distribution, around what is predicted."""
    rng = random.Random(seed)
    distances = [rng.gauss(0, 0.02) for _ in range(rng.randint(FEW_TIMES, 40))]
    robust = stats.median_abs_deviation(distances, center=lambda values, axis: np.float64(0), scale="normal")
    assert limit(distances, 0.01) == pytest.approx(min(FAR_OUT, 3.5 * max(0.01, robust)), rel=1e-4)
    assert middle(distances) == pytest.approx(np.median(distances))


@pytest.mark.parametrize("off", [0.02, 0.05, -0.06, 0.35, 0.7, -0.7])
def test_the_session_and_the_review_leave_out_the_same_time(off):
    """Eight times near 3 % slower and one that is `off`: it moves the live pace only if it is learned from."""
    near = [0.03 + 0.004 * (n % 3) for n in range(8)]
    (lane,) = learn(review_of(timed(ONE, lambda swim: round(swim.predicted_ms * exp([*near, off][swim.repeat - 1])))))
    left_out = [ratio.swim.repeat for ratio in lane.left_out]
    moved = pace_of([Off("swim", None, log) for log in [*near, off]]) != pace_of(
        [Off("swim", None, log) for log in near]
    )
    assert left_out == ([] if abs(off - 0.034) < 0.035 else [9])
    assert not (moved and left_out)


def one_time(share):
    """A session with one time, `share` of its prediction, as the review and the running session have it."""
    kept = timed(ONE, lambda swim: round(swim.predicted_ms * share) if swim.repeat == 1 else None)
    journal = [line.entry for line in kept.lines]
    return review_of(kept), replay(ONE, journal), times(journal)


@pytest.mark.parametrize(
    ("share", "why"),
    [(199.8 / 296.7, "a stray tap: 1:06 per 100 in a lane that swims 1:39"), (2.0, "a missed touch")],
)
def test_a_first_time_far_from_its_prediction_is_doubted_at_once_and_left_out(share, why):
    review, run, taken = one_time(share)
    (lane,) = learn(review)
    assert [ratio.swim.repeat for ratio in lane.left_out] == [1], why
    assert [swim.time_ms for swim in as_counted(review.swims) if swim.repeat == 1] == [None]
    assert doubted(run, taken[0].touched, taken)
    assert "left out" in time_ways(run, taken[0].touched, taken)[0]


@pytest.mark.parametrize("share", [0.831, 1.0, 1.25])
def test_what_a_swimmer_may_do_is_not_doubted(share):
    """World records over 1500 m are 16.9 % slower than over 100 m (Jokl and Jokl 1976, Br J Sports Med): so much faster
    than a base held for 30 minutes a short swim can be.
    """
    review, run, taken = one_time(share)
    assert [ratio for lane in learn(review) for ratio in lane.left_out] == []
    assert not doubted(run, taken[0].touched, taken) and "left out" not in time_ways(run, taken[0].touched, taken)[0]


def test_a_lane_that_is_far_off_is_believed_once_a_second_time_agrees():
    assert far_off([-0.38]) == {0} and far_off([-0.38, -0.36]) == frozenset()
    assert far_off([-0.38, 0.0]) == {0}, "the other time says who is right"
