"""Stroke rates in a session: the formulas with recorded taps, and rates that fall in the last hundred.

Published: Craig and Pendergast 1979 for v = S × d/S; the group means below as a study printed them (SciELO 2007), whose
speeds the product meets within 3.5 %, as means of products need not be products of means.
"""

from fractions import Fraction

import pytest

from pacer.review.swum.sessionreview import review_of
from pacer.session.journal.recordentries import LengthCounted, Rated
from tests.review.made import S, predicted, timed
from tests.session.pages import session

FOUR_HUNDREDS = "pool: 50 m\nMain set\n  3 x 400 free on 7:00\n"
ONE = '[[lane]]\nnumber = 2\nbase = "1:20"\n  [[lane.swimmer]]\n  name = "Kit"\n  base = "1:20"\n'


def taps(at_ms, rate, cycles=3):
    """Taps at the start of each cycle, the middle one at `at_ms`."""
    gap_cs = Fraction(6000) / rate
    marks = tuple(round(gap_cs * n) for n in range(cycles + 1))
    return Rated(at_ms + marks[-1] * 5, 0, marks, 1, 0)


def reviewed(*entries, time_ms=320 * S):
    return review_of(timed(session(FOUR_HUNDREDS, ONE), lambda swim: time_ms, *entries))


@pytest.mark.parametrize(
    ("speed", "rate", "length"), [(1.30, 33.07, 2.41), (1.17, 35.57, 2.04), (1.23, 31.38, 2.38), (1.07, 33.54, 1.97)]
)
def test_published_means_from_taps_and_times(speed, rate, length):
    """Taps at the published rate and a 400 at the published speed give the published stroke length."""
    (one,) = reviewed(taps(60 * S, Fraction(str(rate)), 10), time_ms=round(400 / speed) * S).strokes
    assert float(one.rate) == pytest.approx(rate, rel=1e-3)
    assert float(one.speed) == pytest.approx(speed, rel=3e-3)
    assert float(one.length) == pytest.approx(length, rel=0.035)
    assert float(one.index) == pytest.approx(float(one.speed * one.length))
    assert one.timed


def test_exact_cases():
    """20 m clean in 14.0 s at 40 a minute: 1.428571 m/s, 2.142857 m, 3.061224 m²/s (worked out by hand)."""
    (one,) = reviewed(taps(100 * S, Fraction(40)), time_ms=280 * S).strokes
    assert (one.rate, one.speed, one.length, one.index) == (40, Fraction(10, 7), Fraction(15, 7), Fraction(150, 49))


def test_a_counted_length_uses_its_own_time():
    """25 m in 20 s with 20 arm strokes: 30 cycles a minute, 2.5 m per cycle."""
    entry = LengthCounted(120 * S, 0, 20, 25, 2000, 2, 0)
    (one,) = reviewed(entry).strokes
    assert (one.rate, one.speed, one.length) == (30, Fraction(5, 4), Fraction(5, 2))


def test_the_place_of_a_rate():
    second = predicted(session(FOUR_HUNDREDS, ONE))[1]
    (one,) = reviewed(taps(second.left_ms + 200 * S, Fraction(36))).strokes
    assert (one.done, one.before, one.swim.repeat, one.who) == (250, 400, 2, 0)
    (dry,) = reviewed(taps(second.left_ms - 30 * S, Fraction(36))).strokes
    assert (dry.done, dry.speed, dry.who) == (None, None, None)


def test_a_rate_that_falls_in_the_last_hundred_is_reported():
    first = predicted(session(FOUR_HUNDREDS, ONE))[0].left_ms
    review = reviewed(*(taps(first + at * S, Fraction(rate)) for at, rate in ((60, 38), (140, 38), (300, 30))))
    (fall,) = review.falls
    assert (fall.repeat, fall.who, fall.taken) == (1, 0, 3)
    assert float(fall.early) == pytest.approx(38, rel=0.01) and float(fall.late) == pytest.approx(30, rel=0.01)
    assert fall.early_length is None is fall.late_length, "one time for the whole 400 says nothing of its last 100"


@pytest.mark.parametrize("rates", [((60, 38), (300, 37)), ((60, 38), (160, 30)), ((300, 30),)])
def test_no_fall(rates):
    first = predicted(session(FOUR_HUNDREDS, ONE))[0].left_ms
    assert reviewed(*(taps(first + at * S, Fraction(rate)) for at, rate in rates)).falls == ()


def test_over_a_set_of_short_repeats():
    """The last two of 8 x 50 are the last 100."""
    timeline = session("pool: 50 m\nMain set\n  8 x 50 free on 1:10\n", ONE)
    swims = predicted(timeline)
    entries = [taps(swims[n].left_ms + 20 * S, Fraction(rate)) for n, rate in ((0, 40), (3, 40), (6, 33), (7, 31))]
    (fall,) = review_of(timed(timeline, lambda swim: 40 * S, *entries)).falls
    assert fall.repeat is None and float(fall.late) == pytest.approx(32, rel=0.02)
    assert float(fall.early_length) == pytest.approx(60 * 50 / 40 / 40, rel=0.02), "each 50 has its own time"
    assert float(fall.late_length) == pytest.approx((60 * 50 / 40 / 33 + 60 * 50 / 40 / 31) / 2, rel=0.02)
