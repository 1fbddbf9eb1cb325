"""From a plan and who is here to a session."""

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.session.journal.entries import Begun, Ended
from pacer.session.storage.startandresume import open_new
from pacer.session.storage.store import Store
from pacer.session.timesource import Now
from pacer.show.drive.preparation import CannotStart, Clocks, broken_off, started
from pacer.squad.defaultsquad import default_squad
from pacer.squad.files.squadreader import read_squad
from pacer.squad.register.roster import Roster
from pacer.timeline.findings import Severity
from tests.face.sessions import timeline

SQUAD = read_squad('[[lane]]\nbase = "1:20"\ngroup = "A"\n[[lane]]\nbase = "1:40"\ngroup = "B"\nswimmers = 2\n')
PLAN = "pool: 25 m\n\nMain set\n  2 x 100 free, on 1:40 / 2:00\n  B: 50 kick, rest 0:10\n"
ALL_HERE = Roster(SQUAD)


def start(text=PLAN, roster=ALL_HERE):
    return started(lambda: read_plan(text), text, roster)


def test_all_here():
    made = start()
    assert [lane.number for lane in made.timeline.lanes] == [1, 2] and made.text == PLAN


def test_a_lane_away_takes_its_entries_along():
    made = start(roster=Roster(SQUAD, frozenset({(0, 0)})))
    assert [lane.number for lane in made.timeline.lanes] == [2] and made.text is None
    assert made.timeline.tracks[0].sendoffs[:2] == [0, 120_000]


def test_a_swimmer_away_leaves_the_plan_as_it_was_written():
    made = start(roster=Roster(SQUAD, frozenset({(1, 0)})))
    assert made.text == PLAN and [len(lane.swimmers) for lane in made.timeline.lanes] == [1, 1]


def test_the_squad_that_stands_in_is_of_the_plans_group():
    made = start(roster=Roster(default_squad()))
    assert made.timeline.lanes[0].group == "B"


@pytest.mark.parametrize(
    ("text", "roster", "said"),
    [
        (PLAN, Roster(SQUAD, frozenset({(0, 0), (1, 0), (1, 1)})), "Nobody is here today"),
        ("pool: 25 m\n\n2 x what\n", Roster(SQUAD), "2 x what: don't know “what”"),
        (
            "pool: 25 m\n\n2 x 100, on A 1:40\n",
            Roster(SQUAD),
            "lane 2 has no value: this set has values for A only; give the lane one of these groups in the squad",
        ),
    ],
)
def test_what_cannot_start_says_why(text, roster, said):
    with pytest.raises(CannotStart) as why:
        start(text, roster)
    assert said in why.value.ways[0] and len(why.value.ways[-1]) <= len(why.value.ways[0])


def test_findings_are_worst_first():
    found = start('pool: 25 m\n\n2 x 100 free, on 1:00\n25 free "underwater, no breath"\n').findings()
    assert found[0].severity is Severity.HAZARD and [each.severity for each in found] == sorted(
        each.severity for each in found
    )


def test_what_was_broken_off(tmp_path):
    store, clock = Store(tmp_path), lambda: Now(5_000, 1_800_000_000_000, "b")
    assert broken_off(store, clock()) is None
    opened = open_new(store, timeline(2), clock=clock)
    opened.keeper.keep(Begun(0, 5_000, 1_800_000_000_000, "+00:00", "b"))
    opened.keeper.close()
    number, recovery = broken_off(store, Now(65_000, 1_800_000_060_000, "b"))
    assert (number, recovery.at_ms) == (1, 60_000)
    opened = open_new(store, timeline(2), clock=clock)
    opened.keeper.keep(Begun(0, 5_000, 1_800_000_000_000, "+00:00", "b"))
    opened.keeper.keep(Ended(1_000))
    opened.keeper.close()
    assert broken_off(store, clock()) is None


def test_a_day_is_the_tablets_own(monkeypatch):
    import time

    monkeypatch.setenv("TZ", "Pacific/Auckland")
    time.tzset()
    try:
        assert Clocks(wall=lambda: 1_772_470_880_000).day() == "2026-03-03"
    finally:
        monkeypatch.undo()
        time.tzset()
