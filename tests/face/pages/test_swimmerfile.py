"""A list of swimmers with other people's columns becomes a squad, and each column is asked about once."""

import pytest

from tests.face.coach import Coach
from tests.face.officepages import swimmers_from_a_file


@pytest.fixture
def coach(window, tmp_path):
    made = Coach(window, tmp_path)
    yield made
    made.leave()


def test_a_list_becomes_a_squad(coach):
    swimmers_from_a_file(coach)
    coach.frame()
    assert coach.sees("What does “Age” mean?") and coach.sees("In it: 9, 10")
    coach.touch("Nothing: leave it out")
    assert coach.sees("3 swimmers in 3 lanes")
    squad = coach.office.squads.roster("2026-03-02").squad
    assert squad.name == "Juniors" and [lane.swimmers[0].name for lane in squad.lanes] == [
        "Kit Marsh", "Ash Weir", "Wren Low",
    ]  # fmt: skip
    coach.page.hush()
    before = len(coach.office.squads.cards())
    coach.page.list.take_list(b"Name,Age,400\nOrla,12,6:00\n", "more.csv")
    coach.frame()
    assert coach.page.list.columns is None and len(coach.office.squads.cards()) == before + 1


def test_who_has_no_time_is_named_and_the_others_are_there(coach):
    swimmers_from_a_file(coach)
    coach.page.press("leave it")
    coach.page.list.take_list(b"Name,400\nOrla,6:00\nAsh,\nWren,6:10\n", "more.csv")
    coach.frame()
    assert coach.sees("2 swimmers in 2 lanes, fastest first. Left out, because no time is written: Ash.")
    squad = coach.office.squads.roster("2026-03-02").squad
    assert [one.name for lane in squad.lanes for one in lane.swimmers] == ["Orla", "Wren"]


def test_a_list_that_cannot_be_read_changes_nothing(coach):
    swimmers_from_a_file(coach)
    before = coach.office.squads.cards()
    coach.page.press("leave it")
    assert coach.page.list.columns is None
    coach.page.list.take_list(b"Name,400\nOrla,6:75\n", "wrong.csv")
    assert "seconds go from 00 to 59" in coach.page.says and coach.office.squads.cards() == before
    assert not coach.page.list.take_list(b"", "squad.toml")
