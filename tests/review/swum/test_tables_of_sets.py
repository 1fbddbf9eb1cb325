"""The tables of timed sets: their statistics against NumPy and SciPy, and their content."""

import random

import numpy as np
import pytest
from scipy import stats

from pacer.review.swum.meanandspread import drift_ms, mean_ms, spread_ms
from pacer.review.swum.sessionreview import review_of
from tests.review.made import timed
from tests.session.pages import session

PLAN = """\
pool: 25 m
Main set, 2 rounds
  4 x 100 free, descend 1-4, on 2:00
  3 x 50 back hold 0:55, on 1:30
"""
SQUAD = '[[lane]]\nnumber = 3\nbase = "1:20"\nswimmers = 3\n[[lane]]\nnumber = 4\nbase = "1:31"\nswimmers = 2\n'


@pytest.mark.parametrize("seed", range(50))
def test_mean_spread_and_drift_against_numpy_and_scipy(seed):
    rng = random.Random(seed)
    values = [rng.randint(-9_000, 9_000) + rng.choice((0, 60_000)) for _ in range(rng.randint(3, 40))]
    places = sorted(rng.sample(range(60), len(values)))
    assert mean_ms(values) == pytest.approx(np.mean(values), abs=0.5001)
    assert spread_ms(values) == pytest.approx(np.std(values, ddof=1), abs=0.5001)
    assert drift_ms(places, values) == pytest.approx(stats.linregress(places, values).slope, abs=0.5001)


def test_too_few_times_give_no_statistics():
    assert (mean_ms([]), spread_ms([5]), drift_ms([1, 2], [3, 4]), drift_ms([2, 2, 2], [1, 2, 3])) == (None,) * 4


def test_every_table_against_numpy():
    rng = random.Random(7)
    timeline = session(PLAN, SQUAD)
    review = review_of(
        timed(timeline, lambda swim: round(swim.predicted_ms * rng.gauss(1.02, 0.03)) if rng.random() < 0.8 else None)
    )
    assert [(table.lane, table.line, table.target, len(table.columns)) for table in review.sets] == [
        (0, 1, False, 8),
        (0, 2, True, 6),
        (1, 1, False, 8),
        (1, 2, True, 6),
    ]
    assert sum(len(row.cells) for table in review.sets for row in table.rows) == review.taken
    for table in review.sets:
        for row in table.rows:
            over = np.array([cell.time_ms - cell.predicted_ms for cell in row.cells])
            assert row.over_ms == pytest.approx(over.mean(), abs=0.5001)
            if len(over) > 1:
                assert row.spread_ms == pytest.approx(over.std(ddof=1), abs=0.5001)
            if len(over) > 2:
                slope = stats.linregress([cell.column for cell in row.cells], over).slope
                assert row.drift_ms == pytest.approx(slope, abs=0.5001)


def test_columns_are_rounds_and_repeats_and_a_target_is_the_prediction():
    review = review_of(timed(session(PLAN, SQUAD), lambda swim: 56_000 if swim.line == 2 else None))
    table = review.sets[0]
    assert [(column.round, column.repeat) for column in table.columns] == [(r, n) for r in (1, 2) for n in (1, 2, 3)]
    assert table.text == "3 x 50 back, hold 0:55, on 1:30" and table.distance == 3 * 6 * 50
    assert {cell.over_ms for row in table.rows for cell in row.cells} == {1_000}
    assert [row.place for row in table.rows] == [0, 1, 2]
