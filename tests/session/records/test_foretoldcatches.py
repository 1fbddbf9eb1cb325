"""Catches that the recorded times predict."""

import random

import pytest

from pacer.session.journal.entries import Begun
from pacer.session.records.expectedtimes import expected, paces
from pacer.session.records.foretoldcatches import foretold
from pacer.session.running.replay import apply, fresh
from pacer.timeline.checks.traffic import InOrder
from tests.session.pages import session
from tests.session.records.test_expectedtimes import swum, taken

S = 1000
PLAN = "pool: 25 m\nMain set\n  8 x 100 on 2:00\n  4 x 50 on 1:10\n"
SQUAD = '[[lane]]\nbase = "1:20"\nswimmers = 3\n[[lane]]\nbase = "1:25"\nswimmers = 2\n'


@pytest.fixture(scope="module")
def run():
    return apply(fresh(session(PLAN, SQUAD)), Begun(-10 * S, 0, 0))


def by_times(run, leader, count=12):
    real = swum(run, 0, random.Random(5), 1.0, 0.0)
    real = [(each, took * (leader if each.swimmer == 0 else 1)) for each, took in real]
    return expected(run, paces(run, taken(real[:count])))


def test_a_swimmer_slower_than_those_behind_is_caught(run):
    # By hand: the leader takes 88 s, the second leaves 5 s later and takes 80; at d metres they are 5 - 0.08 d seconds
    # apart, 2 s at 37.5 m.
    seen = by_times(run, 1.10)
    (found,) = foretold(run, seen, 500 * S)
    assert (found.lane, found.section, found.line, found.catch.swimmer) == (0, 0, 1, 2)
    assert float(found.catch.distance) == pytest.approx(37.5, abs=2.5), "four times, drawn a little towards the plan"
    assert isinstance(found.help, InOrder) and found.help.order[-1] == 1


def test_only_sets_still_ahead_count(run):
    seen = by_times(run, 1.10)
    assert [found.line for found in foretold(run, seen, 890 * S)] == [2]
    assert foretold(run, seen, 1_300 * S) == ()


def test_by_the_plan_nobody_is_caught(run):
    assert foretold(run, by_times(run, 1.0), 500 * S) == ()


def test_a_catch_that_the_plan_predicts_is_not_reported_again():
    lane = '[[lane]]\n[[lane.swimmer]]\nbase = "1:40"\n[[lane.swimmer]]\nbase = "1:20"\n'
    close = apply(fresh(session(PLAN, SQUAD + lane)), Begun(-10 * S, 0, 0))
    real = swum(close, 2, random.Random(5), 1.05, 0.0)[:8]
    assert foretold(close, expected(close, paces(close, taken(real))), 500 * S) == ()
