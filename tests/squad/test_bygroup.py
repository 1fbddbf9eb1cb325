"""A plan's entries by group, and labels that no lane has."""

from __future__ import annotations

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.standardform import write_plan
from pacer.squad.bygroup import by_group
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.findings import CannotRun
from pacer.timeline.timeline import build_timeline


def squad_of(groups: str):
    rows = ('[[lane]]\nbase = "1:30"\n' + (f'group = "{group}"\n' if group != "-" else "") for group in groups.split())
    return read_squad("".join(rows))


def intervals(groups: str, line: str) -> list[int]:
    timeline = build_timeline(read_plan(f"pool: 25 m\nMain set\n  {line}\n"), squad_of(groups))
    return [track.passes[0].laneline.intervals[0] // 1000 for track in timeline.tracks]


@pytest.mark.parametrize(
    ("groups", "seconds"),
    [
        ("A A B B C C", [240, 240, 260, 260, 285, 285]),
        ("A B A C C", [240, 260, 240, 285, 285]),  # in the order in which the groups first appear in the squad
        ("A B C", [240, 260, 285]),
        ("A A B B - C", [240, 260, 285, 285, 285, 285]),  # one lane has no group: by lane
        ("A A B B", [240, 260, 285, 285]),  # three values, two groups: by lane
        ("- - - -", [240, 260, 285, 285]),
    ],
)
def test_as_many_entries_as_groups_are_by_group(groups, seconds):
    assert intervals(groups, "2 x 200 free, on 4:00 / 4:20 / 4:45") == seconds


def test_entries_are_written_as_before_unless_labels_are_asked_for():
    plan, squad = read_plan("pool: 25 m\n\n  100 free, on 2:00 / 2:20\n"), squad_of("A A B")
    assert write_plan(by_group(plan, squad.lanes)) == write_plan(plan)
    assert "on A 2:00 / B 2:20" in write_plan(by_group(plan, squad.lanes, said=True))


@pytest.mark.parametrize(("label", "said"), [("Z", "no group Z"), ("lane 9", "no lane 9"), ("A, Y", "no group Y")])
def test_a_label_that_no_lane_has_stops_the_plan(label, said):
    plan = read_plan(f"pool: 25 m\nMain set\n  100\n  {label}: 100\n")
    with pytest.raises(CannotRun) as caught:
        build_timeline(plan, squad_of("A A B"))
    assert said in caught.value.findings[0].message and caught.value.findings[0].line == 4


def test_lanes_labelled_by_number_swim_their_own_lines():
    plan = read_plan("pool: 25 m\n\n  lanes 1-2: 4 x 100\n  L3: 2 x 100\n")
    assert write_plan(plan).endswith("  lanes 1-2: 4 x 100 free\n  lane 3: 2 x 100 free\n")
    timeline = build_timeline(plan, squad_of("A A B"))
    assert [sum(found.count for found in track.passes) for track in timeline.tracks] == [4, 4, 2]
