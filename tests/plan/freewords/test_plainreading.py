"""What a line counts is swum in its first answer, whatever its other words are: no metres are lost unasked."""

from __future__ import annotations

import re

import pytest

from pacer.plan.freewords.plainreading import counted_metres, plainly
from pacer.plan.layout.pagetotals import sums_of
from pacer.plan.notation.planreader import read_plan
from pacer.plan.pasted.understood import understand
from pacer.plan.text.livepage import LivePage
from pacer.plan.text.standardform import write_plan
from tests.plan.whiteboard import lines

POOL = "pool: 25 m"
#: Counts times distances, joined by what never makes one of them a part or a choice of another.
_COUNTED = re.compile(
    r"(?<![\d.:/+-])(\d{1,2})\s*x\s*(\d{2,4})(?:\s?m)?(?![\w.:%]|\s*(?:secs?|mins?)\b|\s+on\s+\d+\s+off\b)"
)
_OTHER = re.compile(
    r"[()\[\]{}]|\b(?:as|or|of|per|lane|lanes|group|others|incl\w*|instead|break|broken|if|round\w*|rds|sets?|x\s*\d$)\b|=|/"
)
_WORD = re.compile(r"[^\W\d_]{4,}")


def unknown(line: str) -> list[str]:
    """A line with each of its longer words in turn replaced by one that nobody knows; with another one at its end."""
    changed = [f"{line[: word.start()]}flarb{line[word.end() :]}" for word in _WORD.finditer(line)]
    return [*changed, f"{line} flarb", line]


def plain(line: str) -> int:
    return sum(int(count) * int(far) for count, far in _COUNTED.findall(line))


def swum(line: str) -> int:
    """The most that a page with one line swims after the first answer to each of its questions."""
    page = understand(f"25m pool\n\nMain\n{line}\n")
    for _ in range(12):
        if not page.questions:
            break
        page = page.answered(page.questions[0], 0)
    sums = sums_of(page.plan)[0] if page.plan else []
    return sums[-1].page[1] if sums else 0


CORPUS = tuple(
    line.written
    for line in lines()
    if "\n" not in line.written and line.place == "set" and plain(line.written) and not _OTHER.search(line.written)
)


def test_the_first_answers_swim_all_that_is_counted():
    less = [
        (each, swum(each), plain(each))
        for line in CORPUS[::6]
        for each in unknown(line)
        if not _OTHER.search(each) and swum(each) < plain(each)
    ]
    assert less == []


@pytest.mark.parametrize(
    "line",
    [
        "8 x 50 first 4 kick, last 4 flarb",
        "8 x 50 first 25 fly, flarb 25 free",
        "4 x 50 kick flarb 200 swim easy",
        "8 x 100 on 1min45 flarb",
        "flarb legs on back 4 x 10m",
    ],
)
def test_a_line_that_nothing_else_reads_is_swum(line):
    assert swum(line) == plain(line) > 0


def test_what_others_swim_is_not_given_to_the_group_before_them():
    page = understand("25m pool\n\nMain\nS1-4: 4 x 25, others: 8 x 25\n")
    (place,) = page.questions
    assert page.answered(place, 0).text.endswith('Main\n  S1-4: 4 x 25 free\n  "others: 8 x 25"\n')


@pytest.mark.parametrize(
    ("line", "meant"),
    [
        ("4x50 flarb, flarb 10 x 100 on 1:30", '4 x 50 free\n10 x 100 free, on 1:30\n"flarb, flarb"'),
        ("4x (25K flarb + 25K ez) R10, fins ok", '4 rounds\n25 kick\n25 kick easy\n"flarb, fins ok"\nrest 0:10'),
        ("flarb 4 x 100 @1:30 flarb 2 x 200 pull 20s", '4 x 100 free, on 1:30\n2 x 200 pull, rest 0:20\n"flarb"'),
    ],
)
def test_what_is_counted_keeps_its_work_and_its_times(line, meant):
    live = LivePage()
    made = plainly(line, lambda text: not live.would([POOL, f"  {text}"]).problems)
    rows = write_plan(read_plan(f"{POOL}\n\n  {made}\n")).splitlines()[2:]
    assert "\n".join(row.strip() for row in rows) == meant


@pytest.mark.parametrize(
    ("line", "metres"),
    [
        ("8 x 200 (4 x 50 flarb)", 1600),
        ("400 as 4 x 100", 0),
        ("3 x (4 x 50, 2 x 100)", 1200),
        ("5 x 100 or 6 x 50", 500),
    ],
)
def test_parts_and_choices_count_once(line, metres):
    assert counted_metres(line) == metres
