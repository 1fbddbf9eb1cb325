"""Reading a page while it is typed gives the same as reading it from scratch, and reads only changed lines."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from pacer.plan.model import SetLine
from pacer.plan.notation import pagereader as plan_reading
from pacer.plan.notation.headerline import pool_of
from pacer.plan.notation.planreader import read_line, read_plan
from pacer.plan.problem import MAX_SHOWN, Unreadable
from pacer.plan.text.livepage import BLANK, COMMENT, CUE, HEADER, LINE, SECTION, LivePage

DEMOS = sorted((Path(__file__).parents[3] / "assets" / "plans").glob("*.txt"))
PAGES = [demo.read_text(encoding="utf-8") for demo in DEMOS]
#: Pieces that somebody may type into a page, sense and nonsense.
BITS = [
    "4 x ",
    "100",
    "free",
    " on 1:40",
    ", rest 0:15",
    "\n",
    "\n  ",
    '"roll"',
    "drill six-kick switch",
    "/",
    ":",
    "#",
    "x",
    "3 rounds",
    "pool: 25 m",
    "Main set",
    "(",
    ")",
    "1.30",
    "base+0:10",
    " with fins",
    "A, B: ",
    "\t",
    '"',
    "title: ",
    "rest 1:00",
    "@",
    "☺",
]


def from_scratch(text: str):
    try:
        return read_plan(text), ()
    except Unreadable as error:
        return None, tuple(error.problems)


def spans(plan):
    """Every span of a plan, because comparing plans ignores them."""
    found = []

    def walk(items):
        for item in items:
            found.append(item.span)
            if isinstance(item, SetLine):
                found.extend(segment.span for part in item.pattern.parts for segment in part.segments)
            elif hasattr(item, "items"):
                walk(item.items)

    for section in plan.sections:
        found.append(section.span)
        walk(section.items)
    return found


def check_against_reading_from_scratch(live, text):
    reading = live.read(text.split("\n"))
    plan, problems = from_scratch(text)
    if len(problems) <= MAX_SHOWN and "more problem" not in "".join(p.message for p in problems):
        assert reading.problems == tuple(sorted(problems)), text
    assert reading.whole == (plan is not None)
    if plan is not None:
        assert reading.plan == plan
        assert spans(reading.plan) == spans(plan)
        assert reading.plan.comments == plan.comments
    assert len(reading.kinds) == len(reading.starts) == text.count("\n") + 1


@pytest.mark.parametrize("seed", range(25))
def test_reading_while_typing_equals_reading_from_scratch(seed):
    rng = random.Random(seed)
    text, live = rng.choice(PAGES), LivePage()
    check_against_reading_from_scratch(live, text)
    for _ in range(25):
        at = rng.randrange(len(text) + 1)
        if rng.random() < 0.35:
            text = text[:at] + text[at + rng.randrange(1, 12) :]
        else:
            text = text[:at] + rng.choice(BITS) + text[at:]
        check_against_reading_from_scratch(live, text)


@pytest.fixture
def read(monkeypatch):
    """The rows that are cut into words and parsed, by their code."""
    cut, parsed = [], []
    tokens_of, tree_of = plan_reading.tokens_of, plan_reading.tree_of
    monkeypatch.setattr(
        plan_reading, "tokens_of", lambda code, *rest, **more: cut.append(code) or tokens_of(code, *rest, **more)
    )
    monkeypatch.setattr(plan_reading, "tree_of", lambda tokens, *rest: parsed.append(tokens) or tree_of(tokens, *rest))
    return cut, parsed


@pytest.mark.parametrize("page", PAGES, ids=[demo.stem for demo in DEMOS])
def test_unchanged_lines_are_not_read_again(page, read):
    cut, parsed = read
    live, lines = LivePage(), page.split("\n")
    live.read(lines)
    for number, line in enumerate(lines):
        cut.clear(), parsed.clear()
        changed = [*lines[:number], line + " ", *lines[number + 1 :]]
        live.read(changed)
        assert cut == [] and parsed == [], "blanks at a line's end change nothing"
        changed = [*lines[:number], "", *lines[number:]]
        live.read(changed)
        assert cut == [] and parsed == [], "lines that moved are as they were"
        live.read(lines)
        assert cut == [] and parsed == []
    last = max(number for number, line in enumerate(lines) if line.startswith("  ") and "rest" in line)
    changed = [*lines[:last], lines[last] + ", apart 0:10", *lines[last + 1 :]]
    live.read(changed)
    assert cut == [changed[last]] and len(parsed) == 1


def test_the_same_line_under_other_rounds_is_read_for_itself():
    deep = "  " * 9
    lines = ["pool: 25 m", "Main set"] + ["  " * depth + "2 rounds" for depth in range(1, 9)] + [f"{deep}2 x (2 x 50)"]
    live = LivePage()
    assert "8 deep" in live.read(lines).problems[0].message
    assert (
        live.read([*lines[:6], f"{deep}2 x (2 x 50)", *lines[6:]]).problems
        == LivePage().read([*lines[:6], f"{deep}2 x (2 x 50)", *lines[6:]]).problems
    )


def test_the_readable_part_is_a_plan():
    reading = LivePage().read(
        [
            "pool: 25 m",
            "Warm-up",
            "  200 choice",
            "Main set",
            "  4 x brest",
            "Rounds",
            "  2 rounds",
            "    oops",
            "  100",
        ]
    )
    assert [section.name for section in reading.plan.sections] == ["Warm-up", "Rounds"]
    assert len(reading.plan.sections[1].items) == 1
    assert not reading.whole and reading.unread == 2


@pytest.mark.parametrize("lines", [["Warm-up", "  200"], [""], ["pool: 25 m"], ["pool: 25 m", "Main set"]])
def test_there_is_no_plan_if_nothing_can_be_swum(lines):
    reading = LivePage().read(lines)
    assert reading.plan is None and reading.problems and not reading.whole


def test_the_kind_of_each_line():
    text = (
        '# remark\ntitle: Roll\npool: 25 m\n\nMain set, easy\n  "long"\n  A: 4 x 50\n  # note\n  oops\n'
        "rest 1:00\nweather: fine"
    )
    reading = LivePage().read(text.split("\n"))
    assert reading.kinds == (COMMENT, HEADER, HEADER, BLANK, SECTION, CUE, LINE, COMMENT, LINE, LINE, SECTION)
    assert reading.starts[6] == 5


def test_a_line_without_a_page():
    pool = pool_of("25 m")
    reading = LivePage(("tempo ball",), pool).read(["10 x 100 free on 1:40, with tempo ball"])
    assert reading.whole and reading.plan == read_line("10 x 100 free on 1:40, with tempo ball", pool, ("tempo ball",))


def test_a_page_far_too_long_is_one_problem():
    reading = LivePage().read(["pool: 25 m"] + ["  100"] * 3_000)
    assert len(reading.problems) == 1 and reading.plan is None


def test_trying_a_page_out_remembers_nothing(read):
    live, lines = LivePage(), PAGES[2].split("\n")
    live.read(lines)
    live.would(["pool: 25 m", "Main set", "  100"])
    read[0].clear()
    live.read(lines)
    assert read[0] == []
