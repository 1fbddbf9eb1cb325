"""Whole pages as coaches keep them: each becomes the plan that was meant, and asks only what it leaves open.

Each file in `pages` has the page, the plan that it becomes with the first answer to every question, the questions
(`? line: question`), and the totals that differ (`! line: the plan's distance`), separated by five signs =. SAME means
that the page is already a plan.
"""

from __future__ import annotations

import random
import re
from dataclasses import dataclass
from pathlib import Path

import pytest

from pacer.plan.layout.bulletsandsigns import plain
from pacer.plan.notation.planreader import read_plan
from pacer.plan.pasted.question import Answer, Question
from pacer.plan.pasted.understood import Understood, understand
from pacer.plan.text.standardform import write_plan
from tests.plan.accounting import missing, mutated

_STAMP = re.compile(
    r"^[\[(\s>•*#-]*(?:\d+/\d+/\d+, [\d:]+\] \w+: |\d{1,2}[.)]\s|subject: (?:fwd: )?|\**total\b)"
    r"|[*•]|\d+:\d+-\d+:\d+(?:pm)?",
    re.IGNORECASE,
)
PAGES = sorted((Path(__file__).parent / "pages").glob("*.txt"))
#: Written without looking at the notation; `~ line` marks what would have to be rewritten.
FRESH = sorted((Path(__file__).parent / "fresh").glob("*.txt"))


@dataclass
class Case:
    """A page, what it becomes, and what the app says about it."""

    page: str
    plan: str
    said: list[str]


def case_of(path: Path) -> Case:
    page, plan, *said = path.read_text(encoding="utf-8").split("=====\n")
    return Case(page, page if plan == "SAME\n" else plan, said[0].splitlines() if said else [])


def settled(page: str) -> tuple[Understood, list[str]]:
    """What a page becomes with the first answer to every question, and the questions."""
    found, asked = understand(page), []
    while found.questions:
        place = found.questions[0]
        asked.append(f"? {found.lines[place].number}: {found.lines[place].question.text}")
        assert len(asked) < 30
        found = found.answered(place, 0)
    return found, asked


def test_one_answer_goes_for_all_lines_that_ask_the_same():
    page = understand("25m pool\nMain\n4 x 100 @ 1:45\n8 x 50 kick @ 1:05\n6 x 75 @ 1:20 w/ fins\n200 @ 85%\n")
    first, second, third, percent = page.questions
    assert page.like(first) == (second, third)
    assert page.like(percent) == ()
    assert page.answered(first, 0).questions == (percent,)


def test_there_are_many():
    assert len(PAGES) >= 25


@pytest.mark.parametrize("path", [*PAGES, *FRESH], ids=lambda path: path.stem)
def test_a_page_becomes_the_plan_that_was_meant(path):
    case = case_of(path)
    found, asked = settled(case.page)
    assert found.text == case.plan
    assert write_plan(read_plan(found.text)) == found.text
    differ = [f"! {line.number}: {line.told.rpartition(' ')[2]}" for line in found.lines if line.differs]
    assert asked + differ == [line for line in case.said if not line.startswith("~")]


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.stem)
def test_line_ends_and_invisible_signs_change_nothing(path):
    case = case_of(path)
    windows = "\ufeff" + case.page.replace("\n", "\r\n").replace(" on ", "\u00a0on ").replace("free", "fr\u00adee")
    assert settled(windows)[0].text == settled(case.page)[0].text


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.stem)
def test_every_line_of_the_page_stands_beside_what_was_understood(path):
    page = case_of(path).page
    found = understand(page)
    written = [(number, line.strip()) for number, line in enumerate(page.split("\n"), start=1)]
    assert [(line.number, line.written) for line in found.lines if line.number] == written


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.stem)
def test_nothing_of_a_page_is_lost(path):
    """Each word and number is in the plan, in a remark there, or reported, except a chat's stamps and numbering."""
    found, _ = settled(case_of(path).page)
    for line in found.lines:
        assert missing(_STAMP.sub("", plain(line.written)), f"{found.text} {line.told}") == []


def test_a_page_changed_by_chance_is_understood_or_asked_about():
    pages = [case_of(path).page for path in PAGES]
    for seed in range(60):
        rng = random.Random(seed)
        page = mutated(rng, pages)
        for _ in range(rng.randint(0, 12)):
            page = mutated(rng, [page])
        found = understand(page)
        for _ in range(40):
            if not found.questions:
                break
            place = rng.choice(found.questions)
            found = found.answered(place, rng.randrange(len(found.lines[place].question.answers)))
        if found.plan and not found.questions:
            assert write_plan(read_plan(found.text)) == found.text


def test_the_same_question_is_asked_once():
    page = "Tuesday 25m\n\nMain\n4 x 50 @ 1:00\n100 kick @ 2:30\n4 x 25 @ CSS\n"
    found = understand(page)
    assert len(found.questions) == 3
    found = found.answered(found.questions[0], 0)
    assert [found.lines[place].written for place in found.questions] == ["4 x 25 @ CSS"]
    assert "4 x 50 on 1:00" in found.text and "100 kick on 2:30" in found.text


def test_counts_below_a_set_share_it_out():
    found = understand("Tuesday 25m\n\nSet 1 - 16x50 on 1:00\n4 fly\n4 back\n8 free\n")
    assert found.text.endswith("Set 1\n  4 x 50 fly, on 1:00\n  4 x 50 back, on 1:00\n  8 x 50 free, on 1:00\n")


def test_a_number_behind_a_sections_name_is_its_total_where_sets_stand_below():
    found = understand("Tuesday 25m\n\nWU 1000\n400 fr\n300 kick\n\nCD 200\n")
    assert found.text.endswith("WU\n  400 free\n  300 kick\n\nCD\n  200 free\n")
    assert found.lines[2].told == "your text says 1,000, but it adds up to 700"


@pytest.mark.parametrize(
    ("written", "becomes"),
    [
        ("Then 4 x 2 lengths front crawl", "4 x 50 free"),
        ("10 x 100 on 1:35 (A), 1:45 (B), 2:00 (C)", "10 x 100 free, on A 1:35 / B 1:45 / C 2:00"),
        ("300 swim / 200 pull / 100 kick", "300 free\n  200 pull\n  100 kick"),
        ("10 x 50 on 1:00: 25 fast, 25 easy", "10 x 50 as 25 free fast / 25 free easy, on 1:00"),
        ("8x50 on 1:00 (odds fist drill, evens swim)", "8 x 50 odd drill fist / even free, on 1:00"),
        ("6 x 50 BK - 25 drill, 25 swim", "6 x 50 as 25 drill back / 25 back"),
        (
            "5 x 100 on 2:00, #1, 3, 5 swim, #2, 4 pull",
            "5 x 100 repeats 1 free / 2 pull / 3 free / 4 pull / 5 free, on 2:00",
        ),
        ("800: 300 fr, 200 k, 300 p", "300 free\n  200 kick\n  300 pull"),
        ("800 (200 free, 100 back) x2 + 4x50 build", "2 rounds\n    200 free\n    100 back\n  4 x 50 free build"),
    ],
)
def test_a_set_is_brought_into_the_order_of_a_plan(written, becomes):
    found = understand(f"Tuesday 25m\n\nMain\n{written}\n")
    assert found.text == f"title: Tuesday\npool: 25 m\n\nMain\n  {becomes}\n"


def test_lengths_are_those_of_the_pool_that_is_answered():
    found = understand("Tuesday\n\nMain\n4 lengths kick\n")
    assert "200 kick" in found.answered(0, 1).text  # 50 m


def test_words_that_nobody_knows_are_a_note_and_keep_the_rest():
    found = understand("Tuesday 25m\n\nMain\n6 x 50 free zigzag fashion 20s rest\n")
    (place,) = found.questions
    assert found.answered(place, 0).text.endswith('Main\n  6 x 50 free, rest 0:20\n  "zigzag fashion"\n')


def test_a_word_before_a_set_is_a_section_or_a_group():
    found = understand("Tuesday 25m\n\nMain\n200 easy\nBreath: 8 x 25 easy\n")
    (place,) = found.questions
    assert found.lines[place].question.text == "What is “Breath”?"
    assert found.answered(place, 0).text.endswith("Breath\n  8 x 25 free easy\n")
    assert found.answered(place, 1).text.endswith("  Breath: 8 x 25 free easy\n")


def test_rest_between_rounds_is_inside_their_bracket():
    found = understand("Tuesday 25m\n\nMain\n3 x (100 fast, 50 easy)\n1:00 rest between rounds\n")
    assert found.text.endswith("  3 rounds\n    100 free fast\n    50 free easy\n    rest 1:00\n")


def test_words_above_the_sets_are_for_the_swimmers_or_a_comment():
    found = understand("Tuesday 25m\nBring fins\nBeginners in lane 1\n\nWU\n200 easy\n")
    assert [found.lines[place].written for place in found.questions] == ["Bring fins", "Beginners in lane 1"]
    shown, kept = found.answered(found.questions[0], 0), found.answered(found.questions[0], 1)
    assert not shown.questions and not kept.questions  # the same question is answered once
    assert 'WU\n  "Bring fins; Beginners in lane 1"\n' in shown.text
    assert "# Bring fins\n# Beginners in lane 1\n" in kept.text


@pytest.mark.parametrize(
    "written",
    [
        "L3 go again from the 200",
        "R2 all pull",
        "b lane do 4s not 6s",
        "Roy - same but fins",
        "up = steady",
    ],
)
def test_words_that_change_what_some_swim_are_asked_about(written):
    found = understand(f"Tuesday 25m\n\nMain\n4 x 100 free on 2:00\n{written}\n")
    (place,) = found.questions
    assert found.lines[place].question.text == "pacer can't act on this: keep it as a note?"
    assert f'"{written}"' in found.answered(place, 0).text
    assert f"# {written}" in found.answered(place, 1).text


@pytest.mark.parametrize(
    ("written", "becomes"),
    [
        ("fly on the evens", "  8 x 50 odd free / even fly, on 1:00\n"),
        ("every 4th one max, others HR 140", '  8 x 50 in turn 3 free / 1 free sprint "others HR 140", on 1:00\n'),
        ("#8 = FAST", "  8 x 50 in turn 7 free / 1 free fast, on 1:00\n"),
        ("same w/ fins", "  8 x 50 free, on 1:00\n  8 x 50 free, on 1:00, with fins\n"),
        ("same again but kick on 1:15", "  8 x 50 free, on 1:00\n  8 x 50 kick, on 1:15\n"),
        ("repeat x2, no breath off walls", "  8 x 50 free, on 1:00\n  2 rounds\n    8 x 50 free, on 1:00\n"),
    ],
)
def test_words_below_a_set_change_it_or_say_it_again(written, becomes):
    found = understand(f"Tuesday 25m\n\nMain\n8 x 50 free on 1:00\n{written}\n")
    while found.questions:
        found = found.answered(found.questions[0], 0)
    assert becomes in found.text


def test_rounds_said_again_leave_out_what_is_skipped():
    page = "Tuesday 25m\n\nMain\n3 x (200 free on 2:50 + 100 kick)\nsame w/ fins but 1x, skip k\n"
    found = understand(page)
    (place,) = found.questions
    assert found.answered(place, 0).text.endswith("    100 kick\n  200 free, on 2:50, with fins\n")


@pytest.mark.parametrize(
    ("written", "becomes"),
    [
        (
            "5 x 200 r:30 neg split (ln 2: 150s ln 1: 100s)",
            ["all but lanes 1-2: 5 x 200", "lane 2: 5 x 150", "lane 1: 5 x 100"],
        ),
        (
            "12 x 100 on 1:40 (lane 1 do 10 off 2.00)",
            ["all but lane 1: 12 x 100 free, on 1:40", "lane 1: 10 x 100 free, on 2:00"],
        ),
        ("400 K, last 100 timed (C 300)", ["all but C: 400 as 300 kick / 100 kick", "C: 300 as"]),
        ("8 x 50 on 1:00, B lane skip", ["all but B: 8 x 50 free, on 1:00"]),
        (
            "breast only - 8 x 25 k off 45. everyone else 200 k w/ snorkel",
            ["breast-swimmers: 8 x 25 kick", "all but breast-swimmers: 200 kick, with snorkel"],
        ),
    ],
)
def test_what_some_lanes_swim_instead_is_a_set_of_its_own(written, becomes):
    found = understand(f"Tuesday 25m\n\nMain\n{written}\n")
    (place,) = found.questions
    assert found.lines[place].question.text == "do some lanes swim something else?"
    text = found.answered(place, 0).text
    assert all(line in text for line in becomes)
    assert text.count("\n  ") - text.count('\n  "') == len(becomes)


def test_a_bracket_drawn_with_lines_repeats_what_it_is_beside():
    lines = ["┌ 200 fr on 2:50          1500 / 2500", "│ 4x50 k on 1:00     x3   1' btw", "└ 100 ez"]
    page = "\n".join(["Tuesday 25m", "", "Main", *lines, "", "CD 200        200 / 2700", ""])
    found = understand(page)
    assert (
        "  3 rounds\n    200 free, on 2:50\n    4 x 50 kick, on 1:00\n    100 free easy\n    rest 1:00\n" in found.text
    )


@pytest.mark.parametrize(
    ("total", "told"),
    [
        ("= 600  (700 w/ dives)", "(700 w/ dives); total 600: right"),
        ("~0.6k (gr1)", "(gr1); total 600: right"),
        ("~ 600 top lanes", "(top lanes); total 600: right"),
        ("c. 600", "total 600: right"),
    ],
)
def test_a_total_can_have_words_behind_it(total, told):
    found = understand(f"Tuesday 25m\n\nMain\n4 x 100 free on 2:00\n\nCD\n200 easy      {total}\n")
    assert not found.questions
    assert found.lines[-2].told == told


def test_a_note_behind_a_sections_name_that_counts_is_asked_about():
    found = understand("Tuesday 25m\n\nWU\n200 easy\n\nRelay changeovers 15 min, lane 4\n\nMain\n4 x 100\n")
    (place,) = found.questions
    assert found.lines[place].question.text == "is this swum, or a note?"


def test_a_line_with_quotes_in_it_can_have_a_note_below():
    found = understand('Tuesday 25m\n\nMain\n4 x 100 rest 30"\nlong strokes\n')
    assert found.text.endswith('Main\n  4 x 100 free, rest 0:30\n  "long strokes"\n')


def test_totals_of_groups_are_no_section():
    found = understand("Tuesday 25m\n\nMain\n4 x 100\nA 3000   B 1900\n200 easy\n")
    assert "A 3000 B 1900\n" not in found.text.replace("# ", "")


@pytest.mark.parametrize(
    ("head", "becomes"),
    [
        ("CRUISING   20 x 100", "CRUISING\n  10 x 100 free, on 1:20\n  10 x 100 free, on 1:15\n"),
        ("KICK 20 x 100 back", "  10 x 100 kick back, on 1:20\n  10 x 100 kick back, on 1:15\n"),
        ("20 x 100 fins", "  10 x 100 free, on 1:20, with fins\n  10 x 100 free, on 1:15, with fins\n"),
    ],
)
def test_lines_below_a_named_set_share_its_repeats_out(head, becomes):
    found = understand(f"Tuesday 25m\n\nWU\n200 easy\n\n{head}\n10 on 1:20\n10 on 1:15\n")
    assert found.text.endswith(becomes) and not found.questions


def test_an_answer_that_leaves_the_line_as_it_was_is_not_given_for_ever(monkeypatch):
    def unchanged(problem, place, rows, *_):
        return Question("again?", (Answer("as it is", ((place, rows[place].plan),), "as it is"),))

    monkeypatch.setattr("pacer.plan.pasted.understood.asked_of", unchanged)
    found = understand("Tuesday 25m\n\nMain\n4 x 50 @ 1:00\n100 kick @ 2:30\n")
    assert len(found.answered(found.questions[0], 0).questions) == 2


def test_minutes_before_the_sets_that_are_too_few_for_a_booking_are_words():
    found = understand("Sprint night 25m\nStretch on deck 10'\n4 x 50\n")
    assert "booking" not in found.text
    assert understand("Sprint night 25m\nPool for 45 min\n4 x 50\n").plan.booking_ms == 45 * 60_000


def test_a_title_can_say_long_course():
    assert understand("Saturday 7-9 long course\n4 x 50\n").text.startswith("title: Saturday 7-9\npool: 50 m\n")


@pytest.mark.parametrize(
    ("written", "becomes"),
    [
        (
            "12 x 50 on 1:00\nchin tucked\nlane 3 do 8",
            'all but lane 3: 12 x 50 free, on 1:00\n  "chin tucked"\n  lane 3: 8 x 50 free, on 1:00\n  "chin tucked"',
        ),
        (
            '12 x 50 on 1:00 "chin tucked"\nB lane: 8 only',
            'all but B: 12 x 50 free, on 1:00\n  "chin tucked"\n  B: 8 x 50 free, on 1:00\n  "chin tucked"',
        ),
        ("12 x 50 drill\nL1 - 1:00\nL2 - 1:10\nL3 - 1:20", "12 x 50 drill, on 1:00 / 1:10 / 1:20"),
        (
            "12 x 50 on 1:00\nlane 4: 10 on 1:15",
            "all but lane 4: 12 x 50 free, on 1:00\n  lane 4: 10 x 50 free, on 1:15",
        ),
        ("12 x 50 on 1:00\nC lane 1:15", "all but C: 12 x 50 free, on 1:00\n  C: 12 x 50 free, on 1:15"),
        (
            "L1      L2\n200 fr    150 kick\n100 easy   100 easy",
            "# L1      L2\n  lane 1: 200 free\n  lane 2: 150 kick\n  100 free easy",
        ),
        (
            "3 rounds\n4 x 100 on 1:45\nR2 hold 1:10",
            "4 x 100 free, on 1:45\n  4 x 100 free, hold 1:10, on 1:45\n  4 x 100 free, on 1:45",
        ),
        (
            "3 x 400 on 6:00\nR1 pull, R2-3 paddles",
            "400 pull, on 6:00\n  2 x 400 free, on 6:00, with paddles",
        ),
        (
            "2 rounds\n4 x 100 free\n4 x 50 kick\nround 2: with fins",
            "4 x 100 free\n  4 x 50 kick\n  4 x 100 free, with fins\n  4 x 50 kick, with fins",
        ),
        ("3 rounds\n4 x 100 on 1:45\nR2 think long", '3 rounds\n    4 x 100 free, on 1:45\n    "R2 think long"'),
    ],
)
def test_words_below_a_set_about_lanes_or_rounds_change_it(written, becomes):
    assert settled(f"Tuesday 25m\n\nMain\n{written}\n")[0].text.endswith(f"Main\n  {becomes}\n")


def test_words_about_a_round_of_the_section_stay_a_note():
    text = settled("Tuesday 25m\n\nMain set x3\n4 x 100 on 1:45\nR1 kick, R2 pull\n")[0].text
    assert text.endswith('Main set, 3 rounds\n  4 x 100 free, on 1:45\n  "R1 kick, R2 pull"\n')


@pytest.mark.parametrize(
    ("written", "becomes"),
    [
        ("1000 for time or 20 mins, whichever first", '1000 free\n  "for time; or 20 mins, whichever first"'),
        ("Swim 200 Kick 100 Pull 200", "200 free\n  100 kick\n  200 pull"),
        ("TT 400 all out from a push", '400 free sprint\n  "TT; from a push"'),
        (
            "3 x [100 fast, 50 easy] 15s rest throughout\nrest 1min after each round",
            "3 rounds\n    100 free fast, rest 0:15\n    50 free easy, rest 0:15\n    rest 1:00",
        ),
    ],
)
def test_what_is_swum_is_no_remark(written, becomes):
    assert settled(f"Tuesday 25m\n\nMain\n{written}\n")[0].text.endswith(f"Main\n  {becomes}\n")
