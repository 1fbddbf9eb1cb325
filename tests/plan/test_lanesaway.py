"""A plan with its entries by lane reduced to the lanes that are here."""

from hypothesis import given
from hypothesis import strategies as st

from pacer.plan.lanesaway import plan_for_lanes
from pacer.plan.model import ByLane
from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.standardform import write_plan

PAGE = """\
pool: 25 m

Main set, rounds 3 / 2 / 1
  4 / 3 / 2 x 100 / 75 / 50 free, on 1:40 / 1:50 / 2:00
  rest 1:00 / 0:30
  A: 2 x 50 free, on A 1:00
  4 x (2 x 100 on 1:30 / 1:35 / 1:40 + 100 easy, on 2:30)
  hold: 1
""".replace("  hold: 1\n", "  2 x 100 free, hold 1:20 / 1:25 / 1:30, rest 0:20\n")


def test_each_lane_keeps_its_own_entry():
    plan = plan_for_lanes(read_plan(PAGE), (1, 2))
    text = write_plan(plan)
    assert "rounds 2 / 1" in text and "3 / 2 x 75 / 50 free, on 1:50 / 2:00" in text
    assert "rest 0:30\n" in text and "on A 1:00" in text and "on 1:35 / 1:40" in text and "hold 1:25 / 1:30" in text
    assert read_plan(text) == plan


def test_the_last_entry_applies_to_all_later_lanes():
    plan = plan_for_lanes(read_plan(PAGE), (2, 4))
    assert "2 x 50 free, on 2:00" in write_plan(plan)


def test_all_lanes_change_nothing():
    plan = read_plan(PAGE)
    assert plan_for_lanes(plan, (0, 1, 2)) is plan
    assert plan_for_lanes(plan, (0, 1, 2, 3)) == plan


@given(st.lists(st.integers(0, 3), min_size=1, max_size=5), st.sets(st.integers(0, 6), min_size=1).map(sorted))
def test_every_lane_finds_its_own_entry(entries, lanes):
    plan = read_plan("pool: 25 m\n\n2 x 50, rest 0:10\n")
    from dataclasses import replace

    line = replace(plan.sections[0].items[0], count=ByLane(tuple(entry + 1 for entry in entries)))
    plan = replace(plan, sections=(replace(plan.sections[0], items=(line,)),))
    count = plan_for_lanes(plan, lanes).sections[0].items[0].count
    assert [count.for_lane(i, None) for i in range(len(lanes))] == [line.count.for_lane(lane, None) for lane in lanes]


def test_lines_for_absent_groups_are_left_out():
    page = "pool: 25 m\n\nMain set\n  A, B: 4 x 50\n  B: 100\n  lane 3: 200\n  3 rounds\n    B: 50\n  400\n"
    page += "\nExtra\n  B: 25\n"
    plan = plan_for_lanes(read_plan(page), (0, 1), {"B", "lane 3"})
    assert write_plan(plan) == "pool: 25 m\n\nMain set\n  A: 4 x 50 free\n  400 free\n"
