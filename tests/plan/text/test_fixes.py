"""Fixes: each one offered makes the page have fewer mistakes, and the common ones are offered."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from pacer.plan.text.fixes import MAX_FIXES, fixes_for
from pacer.plan.text.livepage import LiveReading

CATALOGUE = tomllib.loads((Path(__file__).parents[1] / "mistakes.toml").read_text(encoding="utf-8"))
ABOVE = ["pool: 25 m", "Main set"]
PAGES = [("pool: 25 m\nMain set\n" + text).split("\n") for _, text, *_ in CATALOGUE["lines"]] + [
    page.split("\n") for _, page, *_ in CATALOGUE["pages"]
]


def problems_of(lines):
    return LiveReading().read(lines).problems


def offered(*lines):
    """What is offered for the first mistake: what the line becomes."""
    problem = problems_of(list(lines))[0]
    return [fix.applied(lines)[fix.line] for fix in fixes_for(problem, lines, problems_of)]


@pytest.mark.parametrize("page", PAGES, ids=[" / ".join(page)[:60] for page in PAGES])
def test_a_fix_leaves_fewer_mistakes(page):
    before = problems_of(page)
    live = LiveReading()
    live.read(page)
    for problem in before[:3]:
        fixes = fixes_for(problem, page, lambda lines: live.would(lines).problems)
        assert len(fixes) <= MAX_FIXES
        for fix in fixes:
            assert fix.says and fix.says.isprintable()
            assert len(problems_of(fix.applied(page))) < len(before)


def test_most_of_the_catalogue_has_a_fix():
    with_fixes = 0
    for page in PAGES:
        problems = problems_of(page)
        with_fixes += bool(problems and fixes_for(problems[0], page, problems_of))
    assert with_fixes >= 80


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ("  8 x 50 free on 1:75", ["  8 x 50 free on 2:15"]),
        ("  8 x 50 free on 1.30", ["  8 x 50 free on 1:30"]),
        ("  8 x 50 free on 1:4", ["  8 x 50 free on 1:04", "  8 x 50 free on 1:40"]),
        ("  8 x 50 free @ 1:40", ["  8 x 50 free on 1:40", "  8 x 50 free hold 1:40"]),
        ("  8 x 50 free @ 40, with fins", ["  8 x 50 free on 0:40, with fins", "  8 x 50 free hold 0:40, with fins"]),
        ("  8 x 50 free @ 1:40 / 1:50", ["  8 x 50 free on 1:40 / 1:50", "  8 x 50 free hold 1:40 / 1:50"]),
        ("  8 x 50 free, 15s rest", ["  8 x 50 free, rest 0:15"]),
        ("  8 x 50 free 15 rest, with fins", ["  8 x 50 free rest 0:15, with fins"]),
        ("  1:00 rest", ["  rest 1:00"]),
        ("  8 x 50 free, 20s", ["  8 x 50 free, on 0:20", "  8 x 50 free, rest 0:20"]),
        ("  25 fist drill", ["  25 drill fist", "  25 fast drill"]),
        ("  200 as 50 kick switch drill / 50 free", ["  200 as 50 drill kick switch / 50 free"]),
        ("  4 x 100 brest", ["  4 x 100 breast"]),
        ("  4 x 200 m free", ["  4 x 200 free"]),
        ("  200m free", ["  200 free"]),
        ("  4 * 100", ["  4 x 100"]),
        ("  • 4 x 100", ["  4 x 100"]),
        ("  4 x 100 with finns", ["  4 x 100 with fins"]),
        ("  4 x 100 fins", ["  4 x 100 with fins"]),
        ("  4 x 100 as 75 drill / 50 swim", ["  4 x 75 as 75 drill / 50 swim", "  4 x 125 as 75 drill / 50 swim"]),
        ("  8 x 50 free 'same roll'", ['  8 x 50 free "same roll"']),
        ('  4 x 100 "open', ['  4 x 100 "open"']),
        ("  4 x (3 x 100 + 50", ["  4 x (3 x 100 + 50)"]),
        ("  8 x 50 free gloriously, rest 0:10", ['  8 x 50 free "gloriously", rest 0:10']),
        ("  8 x 50 free rest 0:10 rest 0:20", ["  8 x 50 free rest 0:10"]),
        ("  8 x 50 free, easy", ["  8 x 50 free easy"]),
        ("  8 x 50 free, 1:00", ["  8 x 50 free, on 1:00", "  8 x 50 free, rest 1:00"]),
        ("  4-8 x 100, on 1:40", ["  4 to 8 x 100, on 1:40"]),
        ("  4–8 x 100", ["  4 to 8 x 100"]),
        ("  4 - 8 x 100", ["  4 to 8 x 100"]),
        ("  2 x (2-3 x 100 + 50)", ["  2 x (2 to 3 x 100 + 50)"]),
        ("  8 x 50 hard", ["  8 x 50 fast"]),
        ("  8 x 50 moderate, rest 0:15", ["  8 x 50 steady, rest 0:15"]),
        ("  8 x 50 max", ["  8 x 50 sprint"]),
        ("  8 x 50 strong", ["  8 x 50 fast"]),
        ("  8 x 50 @ hard", ["  8 x 50 fast"]),
        ("  8 x 50 free, hard", ["  8 x 50 free fast"]),
        ("  8 x 50 free, on 1:00 / 1:10, hard, with fins", ["  8 x 50 free fast, on 1:00 / 1:10, with fins"]),
        ("  8 x 50 free on 1:00 hard", ["  8 x 50 free fast on 1:00"]),
        ("  8 x 50 free on 1:00 easy", ["  8 x 50 free easy on 1:00"]),
        ("  8 x 50 free w/o fins, on 1:15", ["  8 x 50 free, on 1:15"]),
        ("  8 x 50 free, no fins", ["  8 x 50 free"]),
        ("  8 x 50 free without fins and paddles on 1:15", ["  8 x 50 free on 1:15"]),
        ("  200 as 50 drill catch-up w/o fins / 50 swim", ["  200 as 50 drill catch-up / 50 swim"]),
        ("  8 x 50 kick w/ board", ["  8 x 50 kick with board"]),
        ("  8 x 50 w/fins and paddles", ["  8 x 50 with fins and paddles"]),
        ("  4 x 50 6-3-6 drill free", ["  4 x 50 drill 6-3-6 free"]),
        ("  200 as 50 6-3-6 drill / 150 swim", ["  200 as 50 drill 6-3-6 / 150 swim"]),
        ("  8 x 50 descend 1 to 4", ["  8 x 50 descend 1-4"]),
        ("A: 4 x 100", ["  A: 4 x 100"]),
        # What is only an example is not offered, nor what would be a guess.
        ("  8 x 50 free, rest :", []),
        ("  8 x 50 free @", []),
        ("  4 x 0", []),
        ("  8 x free", []),
        ("  200 drill / swim by 50, hard", []),
        ("  title: Late", []),
    ],
)
def test_what_is_offered(wrong, right):
    assert offered(*ABOVE, wrong) == right


@pytest.mark.parametrize(
    ("page", "right"),
    [
        (["Main set", "  100"], ["pool: 25 m", "pool: 50 m", "pool: 25 yd"]),
        (["pool: 25", "Main set", "  100"], ["pool: 25 m", "pool: 25 yd"]),
        (["polo: 25 m", "Main set", "  100"], ["pool: 25 m"]),
        (["pool: 25 m", "booking: 60", "Main set", "  100"], ["booking: 60 min"]),
        (["pool: 25 m", "booking: 1:00", "Main set", "  100"], ["booking: 1:00:00", "booking: 1 min"]),
        (["pool: 25 m", "Main set 3 rounds", "  100"], ["Main set, 3 rounds"]),
        (["pool: 25 m", "Main set, 1-4 rounds", "  100"], ["Main set, 1 to 4 rounds"]),
        (["pool: 25 m", "Main set, 1–4 rounds, easy", "  100"], ["Main set, 1 to 4 rounds, easy"]),
        (["pool: 25 m", "Main set 1-4 rounds", "  100"], ["Main set, 1 to 4 rounds"]),
        (["pool: 25 m", "Main set, hard", "  100"], ["Main set, fast"]),
        (["pool: 25 m", "Main set, esay", "  100"], ["Main set, easy"]),
        (["pool: 25 m", "Main set, 0 rounds", "  100"], []),
        (["pool: 25 m", "Warm-up", "Main set", "  100"], []),
    ],
)
def test_what_is_offered_elsewhere_on_the_page(page, right):
    assert offered(*page) == right


def test_a_problem_below_the_page_offers_nothing():
    page = ["pool: 25 m", "Main set", "  4 x brest"]
    problem = problems_of(page)[0]
    assert fixes_for(problem, page[:2], problems_of) == ()
