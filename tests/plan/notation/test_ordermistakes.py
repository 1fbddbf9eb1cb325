"""The catalogue of mistakes: each is found in its place and reported in a coach's words."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.plan.problem import MAX_SHOWN, Unreadable

CATALOGUE = tomllib.loads((Path(__file__).parents[1] / "mistakes.toml").read_text(encoding="utf-8"))
ABOVE = "pool: 25 m\nMain set\n"
SAMPLES = [(kind, ABOVE + text, *rest) for kind, text, *rest in CATALOGUE["lines"]] + CATALOGUE["pages"]


def problems_of(page: str):
    with pytest.raises(Unreadable) as caught:
        read_plan(page)
    return caught.value.problems


@pytest.mark.parametrize(("page", "where", "message", "hint"), [pytest.param(*row[1:], id=row[0]) for row in SAMPLES])
def test_a_mistake_is_told_where_it_is_and_what_would_be_right(page, where, message, hint):
    problem = problems_of(page)[0]
    assert (f"{problem.line}:{problem.column}-{problem.end_column}", problem.message, problem.hint) == (
        where,
        message,
        hint,
    )


@pytest.mark.parametrize(
    "page", [row[1] for row in SAMPLES if row[1].strip()], ids=[row[0] for row in SAMPLES if row[1].strip()]
)
def test_a_problem_shows_its_line_and_speaks_no_jargon(page):
    for problem in problems_of(page):
        assert problem.source == page.split("\n")[problem.line - 1].replace("\x1b", "\ufffd")
        assert 1 <= problem.column < problem.end_column <= len(problem.source) + 3
        said = problem.message + problem.hint
        assert not re.search(
            r"\b_?[A-Z]{2,}\b|[Tt]oken|[Pp]arse|[Ss]yntax|None|Tree|\{|\}", said.replace("IM", "").replace("UTF", "")
        ), said


def test_the_catalogue_is_large_and_names_each_kind_once():
    kinds = [kind for kind, *_ in SAMPLES]
    assert len(kinds) >= 150
    assert len(set(kinds)) == len(kinds)


def test_all_bad_lines_are_told_in_one_go():
    lines = [
        row[1]
        for row in CATALOGUE["lines"]
        if row[1].startswith("  ") and "\n" not in row[1] and "rounds" not in row[1]
    ]
    lines = lines[: MAX_SHOWN - 2]
    page = ABOVE + "".join(f"{line}\n  4 x 50 free on 1:00\n" for line in lines)
    assert sorted({problem.line for problem in problems_of(page)}) == [3 + 2 * place for place in range(len(lines))]


def test_header_section_and_lines_are_all_looked_at():
    page = (
        "polo: 25 m\nbooking: 1:00\n\nMain set, 3 rouns\n  4 x 100 brest\n  8 x 50 rest 1:75, with finns\n\nSwim-down"
    )
    assert [(p.line, p.column) for p in problems_of(page)] == [
        (1, 1),
        (2, 10),
        (4, 13),
        (5, 11),
        (6, 15),
        (6, 26),
        (8, 1),
    ]


def test_one_line_can_have_several_problems():
    assert [p.message for p in problems_of(ABOVE + "  0 x 50 free fly, on 0:00")] == [
        "a count must be more than 0",
        "free or fly? A part has only one stroke",
        "a time must be more than 0",
    ]


def test_a_lane_of_bad_lines_is_cut_short_and_counted():
    problems = problems_of(ABOVE + "  4 x 100 brest\n" * 1500)
    assert len(problems) == MAX_SHOWN + 1
    assert problems[-1].message == f"{1500 - MAX_SHOWN:,} more problems from here on"
    assert problems[-1].line == 3 + MAX_SHOWN
    assert problems_of(ABOVE + "  4 x 100 brest\n" * (MAX_SHOWN + 1))[-1].message == "one more problem here"


def test_mistakes_below_rounds_that_cannot_be_read_are_found_and_not_doubled():
    page = ABOVE + "  0 rounds\n    4 x 100\n    4 x 100 brest\n  4 x 50"
    assert [(p.line, p.column) for p in problems_of(page)] == [(3, 3), (5, 13)]


def test_the_caret_stands_below_what_it_means_after_a_tab():
    with pytest.raises(Unreadable) as caught:
        read_plan(ABOVE + "\t8 x 50\tfree on 1:75")
    rows = caught.value.text("thursday.txt").split("\n")
    assert (
        rows[1].replace("\t", "    ").index("1:75") == rows[2].replace("\t", "    ").index("^^^^")
        or rows[2].count("\t") == 1
    )
    assert rows[0] == "thursday.txt:3:17: seconds go from 00 to 59, not 75"


def test_a_repeat_limit_that_is_met_exactly_is_no_mistake():
    assert read_plan("pool: 25 m\nMain set, 100 rounds\n  100 x 25")
    assert read_plan("pool: 25 m\nA\n  9000 / 1000 x 25\n  1000 / 9000 x 25"), "no lane has more than 10,000"
    assert read_plan("pool: 25 m\nA\n  A: 9000 x 25\n  B: 9000 x 25"), "no group has more than 10,000"
    assert problems_of("pool: 25 m\nA\n  9000 / 1001 x 25\n  1000 / 9000 x 25")[0].message.startswith(
        "up to here a lane has 10,001 repeats"
    )


def test_a_section_that_lasts_its_time_counts_one_round():
    assert read_plan("pool: 25 m\nMain set, for 20 h\n  10000 x 25")


def test_repeats_after_gear_without_a_count_are_a_mistake():
    assert problems_of(f"{ABOVE}  w/ x 25  1 hard 1 easy on 30800")
