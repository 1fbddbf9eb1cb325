"""The fit against `scipy.optimize.milp` (HiGHS) on an independent model: equal greatest distance and earliest end.

These are only a few; tests/bench/bench_fit.py runs 300, and the largest size with times.
"""

import random

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.fit.fitcounts import fit
from pacer.timeline.timeline import build_timeline
from tests.reference.fit_model import Solved, random_session


def check(session, solved):
    """Compare both; return whether anything fits."""
    assert solved.proven
    plan, squad = read_plan(session.page()), read_squad(session.squad())
    found = fit(plan, squad, end_ms=session.limit * 1000)
    if solved.distance is None:
        assert found.over_ms > 0
        return False
    assert (found.distance, found.end_ms, found.over_ms) == (solved.distance, solved.end * 1000, 0)
    assert build_timeline(plan, squad, found.counts).end_ms == found.end_ms
    return True


@pytest.mark.parametrize("block", range(4))
def test_against_milp(block):
    fits = 0
    for seed in range(block * 5, block * 5 + 5):
        rng = random.Random(seed)
        session = random_session(rng, rng.randint(1, 4), rng.randint(1, 4), 3)
        fits += check(session, Solved(session))
    assert fits


@pytest.mark.parametrize("seed", range(4))
def test_both_formulations(seed):
    session = random_session(random.Random(seed), 3, 3, 3, plain=True)
    one, other = Solved(session), Solved(session, by_slots=True)
    assert (one.distance, one.end) == (other.distance, other.end)
    check(session, other)


def test_nothing_fits():
    session = random_session(random.Random(1), 3, 3, 3, plain=True)
    short = type(session)(session.bases, session.swimmers, session.parts, session.changeover, session.starts, 60)
    assert not check(short, Solved(short))
