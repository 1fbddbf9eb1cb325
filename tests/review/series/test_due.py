"""What is due: the gaps against plain arithmetic."""

from datetime import date, timedelta
from fractions import Fraction
from math import floor

from hypothesis import given
from hypothesis import strategies as st

from pacer.review.series.due import MOST_DAYS, Due, Gaps, due_of

DAYS = st.dates(date(2020, 1, 1), date(2030, 1, 1))


@given(st.integers(1, 60), st.integers(100, 300), st.integers(1, 12))
def test_each_gap_is_the_one_before_times_the_growth(first, growth, visits):
    exact = first * Fraction(growth, 100) ** (visits - 1)
    assert Gaps(first, growth).days(visits) == min(MOST_DAYS, floor(exact + Fraction(1, 2)))


@given(st.lists(DAYS, max_size=9), st.integers(1, 60), st.integers(100, 300))
def test_due_after_the_last_visit(days, first, growth):
    due = due_of(days, Gaps(first, growth))
    if not days:
        assert due == Due(0) and due.late_days(date(2026, 3, 5)) is None
        return
    times = len({day.toordinal() for day in days})
    assert due.visits == times and due.last == max(days)
    assert due.due == max(days) + timedelta(Gaps(first, growth).days(times))
    assert due.late_days(due.due) == 0 and due.late_days(max(days)) < 0


def test_even_gaps_stay_even_for_a_thousand_visits():
    assert Gaps(7, 100).days(1000) == 7
