"""Fixes for a finding: each changes the line, the finding goes, and the other lanes keep what they had."""

from __future__ import annotations

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.livepage import LivePage
from pacer.plan.text.standardform import write_plan
from pacer.squad.squad import Lane, Pace, Squad, Swimmer
from pacer.timeline.checks.remedies import fix_together, fixes_of
from pacer.timeline.findings import CannotRun
from pacer.timeline.summary.planned import planned
from pacer.timeline.summary.totals import totals


def lane(number, base, group):
    pace = Pace(base * 1000)
    return Lane(number, pace, (Swimmer(pace),), group=group)


SQUAD = Squad((lane(4, 76, "A"), lane(5, 90, "A"), lane(6, 104, "B")), gear=("tempo ball",))


def found_in(text, squad=SQUAD):
    """The findings of lines below a pool, with the fixes of each: (message, [the page's new line])."""
    lines = ["pool: 25 m", *text.split("\n")]
    live = LivePage(squad.gear)
    reading = live.read(lines)
    assert reading.whole, reading.problems
    return [
        (each, [(fix.says, fix.applied(lines)) for fix in fixes_of(each, lines, reading, squad, live)])
        for each in totals(reading.plan, squad).findings
    ]


def offered(text, about, squad=SQUAD):
    """The fixes for the first finding whose message mentions `about`: (says, the changed line)."""
    lines = ["pool: 25 m", *text.split("\n")]
    fixes = next(fixes for finding, fixes in found_in(text, squad) if about in finding.message)
    return [(says, next(new for new, old in zip(after, lines) if new != old)) for says, after in fixes]


@pytest.mark.parametrize(
    ("text", "about", "fixes"),
    [
        (
            "  8 x 100 free, on 1:40",
            "too tight",
            [
                ("on 1:50 in lane 6", "  8 x 100 free, on 1:40 / 1:40 / 1:50"),
                ("on 1:45 in lane 6", "  8 x 100 free, on 1:40 / 1:40 / 1:45"),
            ],
        ),
        (
            "  8 x 100 free on 1:20",
            "gives the slowest",
            [("on 1:25 in lane 4", "  8 x 100 free on 1:25 / 1:20 / 1:20")],
        ),
        (
            "  8 x 100 free, on 1:40 / 1:40 / 1:40 # why",
            "too tight",
            [
                ("on 1:50 in lane 6", "  8 x 100 free, on 1:40 / 1:40 / 1:50 # why"),
                ("on 1:45 in lane 6", "  8 x 100 free, on 1:40 / 1:40 / 1:45 # why"),
            ],
        ),
        ("  8 x 100 free, on A 1:40 / B 1:40, with fins", "too tight", None),
        (
            "  8 x 100 free, on A 1:45 / B 1:40",
            "too tight",
            [("on B 1:50", "  8 x 100 free, on A 1:45 / B 1:50"), ("on B 1:45", "  8 x 100 free, on A 1:45 / B 1:45")],
        ),
        ("  4 x 100 free, on 1:40 then 1:35", "too tight", []),
        (
            "  4 x 100 free, on 2:02",
            "off the clock",
            [("on 2:05", "  4 x 100 free, on 2:05"), ("on 2:00", "  4 x 100 free, on 2:00")],
        ),
        (
            "  2 x 60 free, rest 0:10",
            "not a whole number",
            [("50", "  2 x 50 free, rest 0:10"), ("75", "  2 x 75 free, rest 0:10")],
        ),
        (
            "  3 x 25 free, rest 0:10",
            "far wall",
            [("4 x", "  4 x 25 free, rest 0:10"), ("2 x", "  2 x 25 free, rest 0:10")],
        ),
        (
            "  25 x 25 free, rest 0:10",
            "far wall",
            [("26 x", "  26 x 25 free, rest 0:10"), ("24 x", "  24 x 25 free, rest 0:10")],
        ),
        (
            '  100 free "fins on", rest 0:10',
            "mentions fins",
            [("with fins", '  100 free "fins on", rest 0:10, with fins')],
        ),
        (
            '  100 free "fins on", with paddles, rest 0:10',
            "mentions fins",
            [("with fins", '  100 free "fins on", with paddles and fins, rest 0:10')],
        ),
        (
            '  100 free "fins on", with ankle band, rest 0:10',
            "mentions fins",
            [("with fins", '  100 free "fins on", with ankle band and fins, rest 0:10')],
        ),
        (
            '  100 free "fins on", with tempo ball, rest 0:10',
            "mentions fins",
            [("with fins", '  100 free "fins on", with tempo ball and fins, rest 0:10')],
        ),
        (
            "  4 x 50 as 25 fast / 25 easy, descend 1-4, rest 0:10",
            "does nothing",
            [("without descend", "  4 x 50 as 25 fast / 25 easy, rest 0:10")],
        ),
        (
            "  4 x 50 as 25 fast / 25 easy descend 1-4",
            "does nothing",
            [("without descend", "  4 x 50 as 25 fast / 25 easy")],
        ),
        (
            "Main set, easy # note\n  16 x 100 free, on 1:20 / 1:35 / 2:30\nSwim-down\n  100",
            "before the next section",
            [
                ("16 x 100 becomes 29 / 24 / 16 x 100", "  29 / 24 / 16 x 100 free, on 1:20 / 1:35 / 2:30"),
                ("Each lane swims straight on after Main set", "Main set, easy, run on # note"),
            ],
        ),
        (
            "Warm-up\n  16 x 100 free, on 1:20 / 1:35 / 2:30\nMain set\n  200\nSwim-down\n  100",
            "before the next section",
            [
                ("16 x 100 becomes 29 / 24 / 16 x 100", "  29 / 24 / 16 x 100 free, on 1:20 / 1:35 / 2:30"),
                ("Each lane swims straight on, no waiting", "Warm-up, run on"),
                ("Each lane swims straight on after Warm-up", "Warm-up, run on"),
            ],
        ),
        ("Main set, for 45 min\n  200 free, rest 0:10\nSwim-down\n  100", "before the next section", []),
    ],
)
def test_fixes_for_a_finding(text, about, fixes):
    if fixes is None:
        assert not any(about in finding.message and 4 in finding.lanes for finding, _ in found_in(text))
    else:
        assert any(about in finding.message for finding, _ in found_in(text)), "the finding itself is missing"
        assert offered(text, about) == fixes


@pytest.mark.parametrize(
    "text",
    [
        "  8 x 100 free, on 1:40",
        "  8 x 100 free, on 1:20 / 1:25",
        "  8 x 100 free, on A 1:15 / B 1:20",
        "  8 x 100 free, on base+0:02",
        "  3 x 25, rest 0:10",
        "  4 x 60 back, on 1:02",
        '  100 "paddles", rest 0:10',
        "  4 x 50 (25 fast / 25 easy), ascend 1-4",
    ],
)
def test_a_fix_removes_its_finding_and_makes_no_error(text):
    fixed = 0
    for finding, fixes in found_in(text):
        for _, page in fixes[:1]:
            fixed += 1
            reading = LivePage(SQUAD.gear).read(page)
            assert reading.whole
            after = totals(reading.plan, SQUAD).findings
            assert not any(each.message == finding.message and set(each.lanes) & set(finding.lanes) for each in after)
    assert fixed


def test_one_fix_gives_all_lanes_intervals_they_can_make():
    lines = ["pool: 25 m", "  8 x 100 free, on 1:15, with snorkel"]
    live = LivePage()
    reading = live.read(lines)
    before = [each for each in totals(reading.plan, SQUAD).findings if each.remedies]
    assert len(before) == 3
    fix = fix_together(before, lines, reading, SQUAD, live)
    assert fix.says == "on 1:25 / 1:35 / 1:50"
    after = live.read(fix.applied(lines))
    assert not [each for each in totals(after.plan, SQUAD).findings if each.remedies]
    assert "on 1:25 / 1:35 / 1:50" in write_plan(after.plan)
    assert fix_together(before[:1], lines, reading, SQUAD, live) is None


def test_findings_without_a_line_offer_no_fix():
    lines = ["pool: 25 m", "booking: 5 min", "  8 x 100 free, on 1:20"]
    live = LivePage()
    reading = live.read(lines)
    found = totals(reading.plan, SQUAD).findings
    assert any(each.line is None for each in found)
    assert [fixes_of(each, lines, reading, SQUAD, live) for each in found if each.line is None] == [()]
    assert all(fixes_of(each, lines[:2], reading, SQUAD, live) == () for each in found)


@pytest.mark.parametrize(
    ("written", "becomes"),
    [
        ("  Z: 4 x 50", ["  4 x 50", "  A: 4 x 50", "  B: 4 x 50"]),
        ("  A, Z: 4 x 50", ["  A: 4 x 50", "  4 x 50", "  B: 4 x 50"]),
        ("  slow lanes: 4 x 50", ["  B: 4 x 50", "  4 x 50"]),
        (
            "  keepers: 4 x 50  # why",
            ['  4 x 50 "keepers"  # why', "  4 x 50  # why", "  A: 4 x 50  # why", "  B: 4 x 50  # why"],
        ),
    ],
)
def test_a_group_that_the_squad_does_not_have_is_mended(written, becomes):
    lines = ["pool: 25 m", written]
    live = LivePage()
    reading = live.read(lines)
    with pytest.raises(CannotRun) as caught:
        planned(reading.plan, SQUAD)
    (finding,) = caught.value.findings
    assert [fix.applied(lines)[1] for fix in fixes_of(finding, lines, reading, SQUAD, live)] == becomes
    for row in becomes:
        planned(read_plan(f"pool: 25 m\n{row}\n"), SQUAD)


def test_run_on_in_all_sections_is_one_change():
    """Nobody answers the same question once per section; one that can't run on is left alone."""
    text = (
        "Warm-up\n  16 x 100 free, on 1:20 / 1:35 / 2:30\nSkill set, for 10 min\n  50\nMain set, easy # note\n  200\n"
        "Pull, run on\n  100\nSwim-down\n  100"
    )
    (fix,) = (
        after
        for finding, fixes in found_in(text)
        if "before the next section" in finding.message and finding.line == 3
        for says, after in fixes
        if says == "Each lane swims straight on, no waiting"
    )
    assert [line for line in fix if "run on" in line] == [
        "Warm-up, run on",
        "Main set, easy, run on # note",
        "Pull, run on",
    ]
