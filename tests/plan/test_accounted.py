"""No part of a line that is read is dropped: checked on the corpus and on randomly changed lines."""

from __future__ import annotations

import random

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.plan.problem import Unreadable
from pacer.plan.text.standardform import write_plan
from tests.plan.accounting import missing, mutated
from tests.plan.whiteboard import ABOVE, lines

LINES = tuple(lines())
WRITTEN = tuple(line.written for line in LINES)
SEEDS = 2_000  #: `tests/bench/bench_lines.py` takes 50,000


def dropped(text: str, place: str = "set") -> list[str]:
    """The parts of a line that reading dropped; none for a line that cannot be read."""
    page = ABOVE[place] + "".join(f"{'  ' if place == 'set' else ''}{row}\n" for row in text.split("\n"))
    try:
        plan = read_plan(page)
    except Unreadable:
        return []
    tidy = write_plan(plan)
    assert read_plan(tidy) == plan
    return missing(page, tidy)


@pytest.mark.parametrize(
    ("written", "canonical", "gone"),
    [
        ("8 x 50 free without fins", "8 x 50 free", ["without", "fins"]),
        ("8 x 50 back drill on 1:10", "8 x 50 drill, on 1:10", ["back"]),
        ("8 x 50 free on 1:10 / 1:20", "8 x 50 free, on 1:10", ["80"]),
        ("8 x 50 rest 15", "8 x 50 free, on 0:15", ["rest"]),
        ("Pull: 4 x 200", "4 x 200 free", ["pull"]),
        ("4 lengths easy", "100 free easy", []),
        ("10 x 100 fc every 1.5 min, RI 20", "10 x 100 free, on 1:30, rest 0:20", []),
        ("4 x 50 kick 4", "4 x 50 kick", ["4"]),  # the second one is nowhere
        ("4 x 100 free, 50 easy, 50 easy", "4 x 100 free\n50 free easy", ["50"]),
        ("4 x 1 length easy", "4 x 25 free easy", []),
        ("4 x 25 easy, 1 dive", "4 x 25 free easy", ["1", "dive"]),
        ("4 x 50 please", "4 x 50 free", ["please"]),
        ("4 x 50 straight", "4 x 50 free", ["straight"]),
        ("400 straight into 4 x 50", "400 free\n4 x 50 free", []),
        ("4 x 50 optional", "4 x 50 free", ["optional"]),
        ("4 x 50 both arms", "4 x 50 pull", ["both"]),
        ("4 x 50 half pace", "4 x 50 free", ["pace"]),
        ("4 x 50 at race pace", "4 x 50 free fast", []),
        ("4 x 50 out and back", "4 x 50 back", ["out"]),
        ("4 x 50 all out", "4 x 50 free sprint", []),
        ("4 x 50 first", "4 x 50 free", ["first"]),
        ("8 x 50 first 4 kick, last 4 swim", "8 x 50 repeats 1-4 kick / 5-8 free", []),
        ("100 easy up", "100 free easy", ["up"]),
        ("100 warm up", "100 free easy", []),
        ("8 x 50 on 145", "8 x 50 free, on 1:45", []),
        ("145 easy", "105 free easy", ["145"]),
        ("5 free 4 lengths", "125 free\n100 free", ["5"]),
        ("4 x 50 Tom", "4 x 50 free", ["tom"]),
        ("4 x 50 take it out", "4 x 50 free", ["take", "it", "out"]),
        ("2 x 100 then rounds", "2 x 100 free", ["rounds"]),
    ],
)
def test_what_is_dropped_is_seen(written, canonical, gone):
    assert missing(written, canonical) == gone


@pytest.mark.parametrize("line", LINES, ids=[line.name for line in LINES])
def test_all_of_a_line_that_is_read_is_in_its_canonical_form(line):
    assert dropped(line.written, line.place) == []


def test_all_of_a_changed_line_that_is_read_is_in_its_canonical_form():
    assert {
        text: gone for seed in range(SEEDS) if (gone := dropped(text := mutated(random.Random(seed), WRITTEN)))
    } == {}
