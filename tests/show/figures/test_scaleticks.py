"""Ticks, beside those of a general-purpose plotting library."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from matplotlib.ticker import MaxNLocator, MultipleLocator

from pacer.show.figures.scaleticks import (
    TIME_STEPS_MS,
    minute_ticks,
    multiples,
    nice_reach,
    nice_step,
    nice_ticks,
    time_step_ms,
    time_ticks,
)

spans = st.tuples(st.integers(-10_000, 10_000), st.integers(1, 20_000)).map(
    lambda at: (at[0] / 10, (at[0] + at[1]) / 10)
)


def clear(low, high, most):
    """Whether the step is clear: where one fits exactly, theirs goes by the rounding of floats."""
    return float(nice_step(high - low, most)) * most - (high - low) > 1e-9


@given(spans, st.integers(3, 9))
def test_ticks_are_those_of_matplotlib(span, most):
    low, high = span
    assume(clear(low, high, most))
    locator = MaxNLocator(nbins=most, steps=[1, 2, 5, 10], min_n_ticks=1)
    theirs = [value for value in locator.tick_values(low, high) if low - 1e-9 <= value <= high + 1e-9]
    assert [tick.at for tick in nice_ticks(low, high, most)] == pytest.approx(theirs, abs=1e-9)


@given(spans, st.integers(3, 9))
def test_reach_is_that_of_matplotlib(span, most):
    assume(clear(*span, most))
    locator = MaxNLocator(nbins=most, steps=[1, 2, 5, 10], min_n_ticks=1)
    theirs = locator.tick_values(*span)
    low, high = nice_reach(*span, most)
    step = float(nice_step(span[1] - span[0], most))
    # Matplotlib adds a tick beyond the data where they end on one, within its own rounding.
    assert low <= span[0] and high >= span[1]
    assert abs(low - theirs[0]) < step + 1e-9 and abs(high - theirs[-1]) < step + 1e-9


@given(st.integers(0, 5_000_000), st.integers(1, 5_000_000), st.integers(2, 9))
def test_multiples_are_those_of_matplotlib(low, span, most):
    step = time_step_ms(span, most)
    theirs = [value for value in MultipleLocator(step).tick_values(low, low + span) if low <= value <= low + span]
    assert [float(value) for value in multiples(low, low + span, step)] == theirs


@given(st.integers(1_000, 24 * 3_600_000))
def test_a_session_has_few_and_round_ticks(high_ms):
    ticks = minute_ticks(high_ms)
    assert 1 <= len(ticks) <= 8
    steps = {there.at - here.at for here, there in pairwise(ticks)}
    assert not steps or steps.pop() in TIME_STEPS_MS and not steps


def test_texts():
    assert [tick.text for tick in nice_ticks(-0.15, 0.1, 3)] == ["-0.1", "0", "0.1"]
    assert [tick.text for tick in nice_ticks(0, 12_000, 3)] == ["0", "5,000", "10,000"]
    assert [tick.text for tick in time_ticks(76_000, 92_000, 4)] == ["1:20", "1:25", "1:30"]
    assert [tick.text for tick in time_ticks(35_000, 35_900, 5)] == ["0:35", "0:35.2", "0:35.4", "0:35.6", "0:35.8"]
    assert [tick.text for tick in minute_ticks(45_000)] == ["0", "0:10", "0:20", "0:30", "0:40"]
