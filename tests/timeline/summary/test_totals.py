"""A plan's totals for a squad: they agree with the timeline, and never raise, whatever is written."""

from __future__ import annotations

from pathlib import Path

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.livepage import LivePage
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.checks.planchecks import findings
from pacer.timeline.summary.planned import planned
from pacer.timeline.summary.totals import totals

ROOT = Path(__file__).parents[3]
DEMOS = sorted((ROOT / "assets" / "plans").glob("*.txt"))
SQUAD = read_squad((ROOT / "assets" / "squads" / "thursday.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("demo", DEMOS, ids=lambda demo: demo.stem)
def test_totals_are_the_timelines(demo):
    plan = read_plan(demo.read_text(encoding="utf-8"))
    timeline, fitted = planned(plan, SQUAD)
    found = totals(plan, SQUAD)
    assert [lane.lane for lane in found.lanes] == [1, 2, 3, 4, 5, 6]
    assert (
        [lane.distance for lane in found.lanes]
        == [timeline.distance(lane) for lane in range(6)]
        == list(fitted.distances)
    )
    assert max(lane.end_ms for lane in found.lanes) == found.end_ms == timeline.end_ms
    assert found.limit_ms == plan.booking_ms - plan.spare_ms and found.over_ms == 0 and not found.stops
    assert set(findings(timeline)) <= set(found.findings)
    assert totals(plan, SQUAD, checks=False).lanes == found.lanes


def test_chosen_counts_are_named():
    plan = read_plan(
        "pool: 25 m\nbooking: 20 min\nMain set, 1 to 3 rounds\n  2 to 4 x 50, rest 0:10\n\n"
        "  1 to 2 x 0:30 kick vertical, rest 0:30"
    )
    chosen = totals(plan, SQUAD).lanes[0].chosen
    assert [what for what, _ in chosen] == ["Main set", "x 50", "times"]
    assert all(count >= 1 for _, count in chosen)


def test_an_overrun_says_by_how_much():
    found = totals(read_plan("pool: 25 m\nbooking: 10 min\nspare: 1:00\nMain set\n  10 x 100, on 2:00"), SQUAD)
    assert found.limit_ms == 9 * 60_000 and found.over_ms == found.end_ms - 9 * 60_000 > 0


def test_without_a_booking_there_is_no_limit():
    found = totals(read_plan("pool: 25 m\nMain set\n  100"), SQUAD)
    assert found.limit_ms is None and found.over_ms == 0


@pytest.mark.parametrize(
    "text",
    [
        "pool: 25 m\nMain set\n  4 x 100 on Z 1:40",  # a group that no lane has
        "pool: 25 m\nMain set, 200 rounds\n  100 x 50, on 3:00",  # longer than a day
    ],
)
def test_plans_that_cannot_run_say_why(text):
    plan = LivePage().read(text.split("\n")).plan
    found = totals(plan, SQUAD)
    assert found.stops and found.lanes == () and found.findings[0].message


def test_half_written_pages_have_totals():
    text = (ROOT / "assets" / "plans" / "long-axis-rotation-4.txt").read_text(encoding="utf-8")
    live = LivePage()
    for end in range(0, len(text), 37):
        plan = live.read(text[:end].split("\n")).plan
        if plan is not None:
            assert len(totals(plan, SQUAD).lanes) in (0, 6)
