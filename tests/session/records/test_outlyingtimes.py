"""The rule for times that look wrong: against SciPy, and one rule for the running session and the review."""

import random
from math import exp

import numpy as np
import pytest
from scipy import stats

from pacer.review.learning.learned import learn
from pacer.review.swum.sessionreview import review_of
from pacer.session.records.expectedtimes import Off, pace_of
from pacer.session.records.outlyingtimes import FAR_OUT, FEW_TIMES, limit, middle
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
