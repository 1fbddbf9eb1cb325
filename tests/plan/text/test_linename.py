"""Lines named as a coach knows them: some by hand, and every line of the demo plans."""

from pathlib import Path

import pytest

from pacer.plan.filetext import lines_of
from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.linename import MOST_LINE_LETTERS, line_said

DEMOS = sorted((Path(__file__).parents[3] / "assets" / "plans").glob("*.txt"))
PAGE = """\
title: Rolls
pool: 25 m
booking: 60 min

300 choice
Skill set, 2 rounds  # talk first
  6 x 50 as 25 scull "hips at the surface" / 25 back easy, rest 0:20
  "The head never moves"
  A, B: 4 x 50 kick, on 1:30   # with a board
  rest 1:00
  4 x 25 free "no breath", on 1:00
"""


@pytest.mark.parametrize(
    ("number", "said"),
    [
        (3, "booking: 60 min"),
        (5, "300 choice"),
        (6, "Skill set, 2 rounds"),
        (7, "Skill set: 6 x 50 as 25 scull / 25 …"),
        (8, 'Skill set: "The head never moves"'),
        (9, "Skill set: A, B: 4 x 50 kick, on 1:30"),
        (10, "Skill set: rest 1:00"),
        (11, "Skill set: 4 x 25 free, on 1:00"),
        (4, "The plan"),
        (99, "Skill set"),
    ],
)
def test_a_line_named_by_hand(number, said):
    assert line_said(PAGE.split("\n"), number) == said


def test_a_word_that_is_too_long_by_itself_is_cut():
    assert line_said(["x" * 99], 1) == "x" * MOST_LINE_LETTERS + " …"


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_every_line_of_the_demo_plans_is_in_the_section_that_reading_puts_it_in(path):
    text = path.read_text(encoding="utf-8")
    lines = lines_of(text)
    for section in read_plan(text).sections:
        for item in section.items:
            said = line_said(lines, item.span.line)
            assert said.startswith(f"{section.name}: ") and len(said) <= len(section.name) + 4 + MOST_LINE_LETTERS
            assert not any(char.isdigit() for char in section.name) and f"{item.span.line}:" not in said
