"""A drill is learned under its main name, whatever pages call it."""

from __future__ import annotations

from pacer.review.learning.learned import learn
from pacer.review.swum.sessionreview import review_of
from tests.plan.library.test_drillbook import BOOK
from tests.review.made import timed
from tests.session.pages import session

PLAN = "pool: 25 m\nSkills\n  6 x 50 drill catch-up on 1:40\n  6 x 50 drill catchup on 1:40\n  6 x 50 free on 1:20\n"


def test_two_names_are_one_factor():
    timeline = session(PLAN, '[[lane]]\nbase = "1:20"\nswimmers = 2\n')
    review = review_of(timed(timeline, lambda swim: swim.predicted_ms // 10 * 10))
    (apart,), (one,) = learn(review), learn(review, BOOK)
    assert {name for name in apart.factors if name.startswith("drill ")} == {"drill catch-up", "drill catchup"}
    assert {name for name in one.factors if name.startswith("drill ")} == {"drill catch-up"}
