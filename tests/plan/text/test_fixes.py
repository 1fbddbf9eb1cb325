"""Fixes: each one offered leaves the page with fewer errors, and the common ones are offered."""

from __future__ import annotations

import tomllib
from pathlib import Path

import pytest

from pacer.plan.text.fixes import EMPTY, MAX_FIXES, REMARK, fixes_for
from pacer.plan.text.livepage import LivePage

CATALOGUE = tomllib.loads((Path(__file__).parents[1] / "mistakes.toml").read_text(encoding="utf-8"))
ABOVE = ["pool: 25 m", "Main set"]
PAGES = [("pool: 25 m\nMain set\n" + text).split("\n") for _, text, *_ in CATALOGUE["lines"]] + [
    page.split("\n") for _, page, *_ in CATALOGUE["pages"]
]


def problems_of(lines):
    return LivePage().read(lines).problems


def offered(*lines):
    """The fixes offered for the first error of a line that can't be read, each as the new text of its line."""
    problems = problems_of(list(lines))
    problem = next((each for each in problems if not each.message.endswith(EMPTY)), problems[0])
    return [fix.applied(lines)[fix.line] for fix in fixes_for(problem, lines, problems_of)]


@pytest.mark.parametrize("page", PAGES, ids=[" / ".join(page)[:60] for page in PAGES])
def test_a_fix_leaves_fewer_errors(page):
    before = problems_of(page)
    live = LivePage()
    live.read(page)
    for problem in before[:3]:
        fixes = fixes_for(problem, page, lambda lines: live.would(lines).problems)
        assert len(fixes) <= MAX_FIXES
        for fix in fixes:
            assert fix.says and fix.says.isprintable()
            after = problems_of(fix.applied(page))
            behind = [p for p in after if p.line == problem.line and p.column > problem.column]
            assert len(after) < len(before) or behind or fix.says == REMARK


@pytest.mark.parametrize("page", PAGES, ids=[" / ".join(page)[:60] for page in PAGES])
def test_each_error_has_one_to_four_fixes(page):
    for problem in problems_of(page):
        rows = [(fix.row(page[fix.line]), fix.also) for fix in fixes_for(problem, page, problems_of)]
        if problem.message.endswith(EMPTY):  # it wants a set, which the page's head offers
            assert not rows
            continue
        assert problem.source == "" or 1 <= len(set(rows)) == len(rows) <= 4


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ("  8 x 50 free on 1:75", ["  8 x 50 free on 2:15"]),
        ("  8 x 50 free on 1;30", ["  8 x 50 free on 1:30"]),
        ("  8 x 50 free on 1:4", ["  8 x 50 free on 1:04", "  8 x 50 free on 1:40"]),
        ("  8 x 50 free @ 1:40", ["  8 x 50 free on 1:40", "  8 x 50 free hold 1:40"]),
        ("  8 x 50 free @ 40, with fins", ["  8 x 50 free on 0:40, with fins", "  8 x 50 free hold 0:40, with fins"]),
        ("  8 x 50 free @ 1:40 / 1:50", ["  8 x 50 free on 1:40 / 1:50", "  8 x 50 free hold 1:40 / 1:50"]),
        ("  8 x 50 free, 20s", ["  8 x 50 free, rest 0:20", "  8 x 50 free, on 0:20"]),
        ("  4 x 100 brest", ["  4 x 100 breast"]),
        ("  • 4 x 100", ["  4 x 100"]),
        ("  4 x 100 with finns", ["  4 x 100 with fins"]),
        ("  4 x 100 as 75 drill / 50 swim", ["  4 x 75 as 75 drill / 50 swim", "  4 x 125 as 75 drill / 50 swim"]),
        ('  4 x 100 "open', ['  4 x 100 "open"']),
        ("  4 x (3 x 100 + 50", ["  4 x (3 x 100 + 50)"]),
        ("  8 x 50 free gloriously, rest 0:10", ['  8 x 50 free "gloriously", rest 0:10']),
        ("  8 x 50 free rest 0:10 rest 0:20", ["  8 x 50 free rest 0:10"]),
        ("  8 x 50 free, 1:00", ["  8 x 50 free, on 1:00", "  8 x 50 free, rest 1:00"]),
        ("  8 x 50 @ hard", ["  8 x 50 fast"]),
        # For a missing value, the usual ones are offered.
        ("  8 x 50 free, rest", ["  8 x 50 free, rest 0:15", "  8 x 50 free, rest 0:10", "  8 x 50 free, rest 0:20"]),
        ("  4 x 0", ["  4 x 50", "  4 x 100", "  4 x 25"]),
        ("  8 x free", ["  8 x 50 free", "  8 x 100 free", "  8 x 25 free"]),
        # If a word can mean two things, both are offered, the likelier first.
        ("  8 x 50 free off 0:30", ["  8 x 50 free on 0:30", "  8 x 50 free rest 0:30"]),
        ("  16 x 50 tempo", ["  16 x 50 threshold", "  16 x 50 steady"]),
        ("  16 x 50 at 95% effort", ["  16 x 50 fast", "  16 x 50 threshold", "  16 x 50 sprint"]),
        ("  10 x 100 on 145", ["  10 x 100 on 1:45"]),
        ("  50 x 4 easy", ["  4 x 50 easy"]),
        ("  8 x 50 descend", ["  8 x 50 descend 1-8", "  8 x 50 descend 1-4"]),
        ("  200 drill / swim", ["  200 drill / swim by 100", "  200 drill / swim by 50", "  200 drill / swim by 25"]),
        ("  6x50 drill/swim by 25, 20 sec rset", ["  6x50 drill/swim by 25, 20 sec rest"]),
        ("  8 x 50 free rst 0:15", ["  8 x 50 free rest 0:15"]),
        ("  8 x 50 free on 1:00 test", ['  8 x 50 free on 1:00 "test"']),
        # Words for the swimmers stay, in quotes.
        ("  100 free, swim tall, on 2:00", ['  100 free, swim "tall", on 2:00']),
        ("  title: Late", ["  # title: Late"]),
    ],
)
def test_fixes_for_a_line(wrong, right):
    assert offered(*ABOVE, wrong)[: len(right)] == right


@pytest.mark.parametrize(
    ("page", "right"),
    [
        (["Main set", "  100"], ["pool: 25 m", "pool: 50 m", "pool: 25 yd"]),
        (["pool: 25", "Main set", "  100"], ["pool: 25 m", "pool: 25 yd"]),
        (["polo: 25 m", "Main set", "  100"], ["pool: 25 m"]),
        (["pool: 25 m", "booking: 60", "Main set", "  100"], ["booking: 60 min"]),
        (["pool: 25 m", "booking: 1:00", "Main set", "  100"], ["booking: 1:00:00", "booking: 1 min"]),
        (["pool: 25 m", "Main set 3 rounds", "  100"], ["Main set, 3 rounds"]),
        (["pool: 25 m", "Main set 1-4 rounds", "  100"], ["Main set, 1 to 4 rounds"]),
        (["pool: 25 m", "Main set, esay", "  100"], ["Main set, easy"]),
        (["pool: 25 m", "Main set, 0 rounds", "  100"], []),
        (["pool: 25 m", "Warm-up", "Main set", "  100"], []),
    ],
)
def test_fixes_elsewhere_on_the_page(page, right):
    assert offered(*page)[: len(right)] == right


def test_a_problem_below_the_page_offers_nothing():
    page = ["pool: 25 m", "Main set", "  4 x brest"]
    problem = problems_of(page)[0]
    assert fixes_for(problem, page[:2], problems_of) == ()


@pytest.mark.parametrize(
    ("name", "fixed"),
    [
        ("Main set 3 rounds", "Main set, 3 rounds"),
        ("Swim down", "Swim down"),
        ("Mian set", "Main set"),
        ("Wram-up", "Warm-up"),
        ("Main st, 3 rounds", "Main set, 3 rounds"),
        ("main thing", "main thing"),
    ],
)
def test_an_indented_name_of_a_section_becomes_one(name, fixed):
    """Whether its sets are written already or not."""
    for below in ((), ("  4 x 100 free, rest 0:20",)):
        assert offered("pool: 25 m", "Warm-up", "  200", f"  {name}", *below)[0] == fixed


def test_rounds_get_their_comma_before_their_sets_are_written():
    assert offered("pool: 25 m", "Warm-up", "  200", "Main set 3 rounds")[0] == "Main set, 3 rounds"


def test_a_section_without_sets_offers_nothing_of_its_own():
    """What helps is a set: nobody puts the section's name in quotes."""
    problem = next(p for p in problems_of(["pool: 25 m", "Main set"]) if p.message.endswith("has no sets yet"))
    assert fixes_for(problem, ["pool: 25 m", "Main set"], problems_of) == ()


def test_of_a_header_written_twice_either_line_can_be_kept():
    """A coach types a whole page, its header too, below the one that stands there."""
    page = ["title: New plan", "pool: 25 m", "booking: 60 min", "", "booking: 45 min", "Main set", "  100"]
    (problem,) = problems_of(page)
    this, above = fixes_for(problem, page, problems_of)
    assert this.applied(page)[2] == "booking: 45 min" and this.says == "booking: 45 min"
    assert above.applied(page)[2] == "booking: 60 min" and above.says == "Keep booking: 60 min"
    for fix in (this, above):
        assert problems_of(fix.applied(page)) == () and fix.applied(page)[4] == ""
    further = [*page[:4], "Warm-up", "  200", page[4], *page[5:]]  # below a section
    (problem,) = problems_of(further)
    assert fixes_for(problem, further, problems_of)[0].applied(further)[2] == "booking: 45 min"


@pytest.mark.parametrize("written", ["45 min", "45 mins", "45’", "45'"])
def test_minutes_alone_at_the_head_of_a_page_are_its_booking(written):
    """On a page of one's own, and below a header that has another booking."""
    page = [written, "Warm-up", "  300 choice"]
    problem = next(each for each in problems_of(page) if "of what" in each.message)
    assert fixes_for(problem, page, problems_of)[0].applied(page)[0] == "booking: 45 min"
    page = ["title: New plan", "pool: 25 m", "booking: 60 min", "", written, "Warm-up", "  300 choice"]
    (problem,) = problems_of(page)
    first = fixes_for(problem, page, problems_of)[0]
    assert first.says == "booking: 45 min" and problems_of(first.applied(page)) == ()
    assert first.applied(page)[2:5] == ["booking: 45 min", "", ""]


def test_an_hour_is_60_minutes_and_minutes_in_a_section_are_swum():
    page = ["pool: 25 m", "1 hour", "Warm-up", "  300 choice"]
    assert offered(*page)[0] == "booking: 60 min"
    assert offered("pool: 25 m", "Warm-up", "20 min")[0] != "booking: 20 min"
    assert offered("pool: 25 m", "Warm-up", "  20 min", "  300 choice")[0] == "  20 min free"


@pytest.mark.parametrize("line", ["6 x 50, 1-3 desc, 4-6 desc", "6 x 50 - 12.5 drill"])
def test_no_fix_leaves_the_line_as_it_was_or_joins_numbers(line):
    page = ["pool: 25 m", "Main", f"  {line}"]
    problem = LivePage().read(page).problems[0]
    for fix in fixes_for(problem, page, lambda page: LivePage().read(page).problems):
        assert fix.applied(page) != page
        assert "desc,  desc" not in fix.row(page[2]) and "125" not in fix.row(page[2])


def test_a_long_rest_behind_an_interval_is_a_break_after_the_set():
    page = ["pool: 25 m", "Main", "  2 x (4 x 25 on 0:45, 1 min rest)"]
    problem = LivePage().read(page).problems[0]
    fixes = fixes_for(problem, page, lambda page: LivePage().read(page).problems)
    assert fixes[0].applied(page)[2] == "  2 x (4 x 25 on 0:45 + rest 1:00)"


@pytest.mark.parametrize("name", ["Kick", "Pull:", "Sprints"])
def test_work_alone_on_an_indented_line_may_name_a_section(name):
    page = ["pool: 25 m", "Main", "  400", f"  {name}", "  6 x 50 kick, on 1:15"]
    problem = LivePage().read(page).problems[0]
    fix = fixes_for(problem, page, lambda lines: LivePage().read(lines).problems)[0]
    assert fix.applied(page)[3] == name.strip(":")
    assert not LivePage().read(fix.applied(page)).problems
