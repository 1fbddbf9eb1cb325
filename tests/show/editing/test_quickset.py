"""A line from keys: always one that can be read, with intervals that the squad can make."""

from __future__ import annotations

from itertools import product
from pathlib import Path

import pytest

from pacer.plan.notation.headerline import pool_of
from pacer.show.editing.quickset import (
    COUNTS,
    DISTANCES,
    OWN,
    WORKS,
    LineChoice,
    distances,
    leaves,
    plan_of,
    stepped,
)
from pacer.squad.defaultsquad import default_squad
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.findings import Severity
from pacer.timeline.summary.totals import totals

ROOT = Path(__file__).parents[3]
SQUAD = read_squad((ROOT / "assets" / "squads" / "thursday.toml").read_text(encoding="utf-8"))
POOL = pool_of("25 m")


def test_every_choice_can_be_read():
    for count, distance, work in product(COUNTS[::3], DISTANCES, WORKS):
        choice = LineChoice(count, distance, work)
        for leave, label in leaves(choice, POOL, SQUAD):
            assert label
            plan_of(LineChoice(count, distance, work, leave).text, POOL, SQUAD)


def test_distances_are_whole_lengths_of_the_pool():
    assert distances(pool_of("50 m")) == (50, 100, 150, 200, 300, 400)
    assert distances(pool_of("33 1/3 m")) == (100, 200, 300, 400)
    assert distances(pool_of("18 m")) == DISTANCES  # none is: whatever is chosen is said to be no whole length
    assert LineChoice(distance=25).in_pool(pool_of("50 m")).distance == 50


def test_intervals_suit_one_lane_more_each():
    offered = [leave for leave, label in leaves(LineChoice(), POOL, SQUAD) if leave.startswith("on ") and label != OWN]
    assert offered == ["on 1:25", "on 1:30", "on 1:40", "on 1:50", "on 2:00"]
    tight = []
    for leave in offered:
        found = totals(plan_of(LineChoice(leave=leave).text, POOL, SQUAD), SQUAD).findings
        tight.append(sum(len(each.lanes) for each in found if each.severity <= Severity.WRONG))
    assert tight == sorted(tight, reverse=True) and tight[-1] == 0 and len(set(tight)) == len(tight)


def test_each_lanes_own_can_be_made_by_all():
    own = next(leave for leave, label in leaves(LineChoice(), POOL, SQUAD) if label == OWN)
    found = totals(plan_of(LineChoice(leave=own).text, POOL, SQUAD), SQUAD)
    assert not [each for each in found.findings if each.severity <= Severity.WRONG]


def test_a_single_lane_has_no_own_pace():
    assert OWN not in [label for _, label in leaves(LineChoice(), POOL, default_squad())]


@pytest.mark.parametrize(
    ("leave", "step", "after"),
    [
        ("on 1:40", 5_000, "on 1:45"),
        ("on 1:00", -5_000, "on 0:55"),
        ("rest 0:05", -5_000, "rest 0:05"),
        ("rest 0:58", 5_000, "rest 1:03"),
        ("", 5_000, ""),
        ("on 1:40 / 1:50", 5_000, "on 1:40 / 1:50"),
        ("on 59:58", 5_000, "on 1:00:03"),
    ],
)
def test_steps(leave, step, after):
    assert stepped(leave, step) == after


def test_steps_past_the_hour_come_back():
    assert stepped("on 1:00:03", -5_000) == "on 59:58"
