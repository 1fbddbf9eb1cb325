"""Lines cut into stretches: together they are the whole line, and each has the right kind."""

from __future__ import annotations

from pathlib import Path

import pytest

from pacer.plan.text.livepage import LivePage
from pacer.plan.text.styledstretches import stretches

DEMOS = sorted((Path(__file__).parents[3] / "assets" / "plans").glob("*.txt"))


def cut(lines, number):
    reading = LivePage(("tempo ball",)).read(lines)
    return [
        (lines[number][start:end], kind)
        for start, end, kind in stretches(lines[number], reading.kinds[number], reading.starts[number], ("tempo ball",))
        if kind != "plain"
    ]


@pytest.mark.parametrize("demo", DEMOS, ids=lambda demo: demo.stem)
def test_stretches_together_are_the_line(demo):
    lines = demo.read_text(encoding="utf-8").split("\n")
    reading = LivePage().read(lines)
    for line, kind, start in zip(lines, reading.kinds, reading.starts):
        found = stretches(line, kind, start)
        assert "".join(line[a:b] for a, b, _ in found) == line
        assert all(a < b for a, b, _ in found)
        plain = "".join(line[a:b] for a, b, kind in found if kind == "plain")
        assert not plain.strip(), "all of what can be read is of some kind"


PAGE = [
    "pool: 25 m",
    'Main set, 2 rounds "long"  # twice',
    "  A, B: 4 x 50 drill kick on side / free by 25, on base+0:10, with fins and tempo ball",
    '  100 "roll", with fins "now"',
    "  4 x 50 oops, rest 0:10",
    '  "one thing"',
    "# remark",
    "",
]


@pytest.mark.parametrize(
    ("number", "kinds"),
    [
        (0, [("pool:", "key"), ("25 m", "value")]),
        (
            1,
            [
                ("Main set", "section"),
                (",", "mark"),
                ("2", "number"),
                ("rounds", "detail"),
                ('"long"', "cue"),
                ("  # twice", "comment"),
            ],
        ),
        (
            2,
            [
                ("A, B:", "group"),
                ("4", "number"),
                ("x", "mark"),
                ("50", "number"),
                ("drill", "work"),
                ("kick", "work"),
                ("on", "work"),
                ("side", "work"),
                ("/", "mark"),
                ("free", "work"),
                ("by", "detail"),
                ("25", "number"),
                (",", "mark"),
                ("on", "detail"),
                ("base+", "detail"),
                ("0:10", "time"),
                (",", "mark"),
                ("with", "detail"),
                ("fins", "detail"),
                ("and", "detail"),
                ("tempo ball", "detail"),
            ],
        ),
        (
            3,
            [
                ("100", "number"),
                ('"roll"', "cue"),
                (",", "mark"),
                ("with", "detail"),
                ("fins", "detail"),
                ('"now"', "cue"),
            ],
        ),
        # Text after an unknown word stays plain, because it has not been understood.
        (4, [("4", "number"), ("x", "mark"), ("50", "number")]),
        (5, [('"one thing"', "cue")]),
        (6, [("# remark", "comment")]),
        (7, []),
    ],
)
def test_kinds(number, kinds):
    assert cut(PAGE, number) == kinds


@pytest.mark.parametrize(
    ("line", "times"),
    [
        ("  4 x 50 free, rest 20", ["20"]),
        ("  4 x 50 free, rest 0:15", ["0:15"]),
        ("  rest 20", ["20"]),
        ("  6 / 4 x 50 free on 50 / 55 then 45, by 25", ["50", "55", "45"]),
        ("  4 x 50 free, rest A 20 / B 0:25, rate 32-40, descend 1-4", ["20", "0:25"]),
        ("  4 x (3 x 50 on 45 + 100 easy)", ["45"]),
        ("  4 x 50 free, hold base+5, apart 10", ["5", "10"]),
    ],
)
def test_seconds_alone_are_times_too(line, times):
    assert [text for text, kind in cut(["pool: 25 m", "Main set", line], 2) if kind == "time"] == times
