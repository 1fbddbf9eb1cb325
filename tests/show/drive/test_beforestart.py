"""What is told before the start, by hand from the timeline, and against what the rest of the app says of the same
session.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.show.drive.beforestart import gear_out, ready
from pacer.squad.defaultsquad import default_squad
from pacer.squad.files.squadreader import read_squad
from pacer.squad.squad import Lane, Pace, Squad, Swimmer
from pacer.timeline.checks.planchecks import findings
from pacer.timeline.findings import Severity
from pacer.timeline.summary.planned import planned
from pacer.timeline.summary.totals import totals, totals_of

ASSETS = Path(__file__).parents[3] / "assets"
HEAD = "title: Rolls\npool: 25 m\nbooking: 60 min\nfocus: roll\n\n"
#: 2 March 2026, 17:01:20 UTC.
EVENING_MS = 1_772_470_880_000


def squad(*swimmers: int) -> Squad:
    """Lanes 1, 2 … at 1:20, with so many swimmers each."""
    base = Pace(80_000)
    return Squad(
        tuple(
            Lane(number, base, (Swimmer(base),) * count, group="AB"[number > 1])
            for number, count in enumerate(swimmers, 1)
        )
    )


def told(text: str, who: Squad, **more):
    timeline = planned(read_plan(HEAD + text), who)[0]
    return ready(timeline, HEAD + text, findings(timeline), **more)


def test_a_session_told_by_hand():
    made = told("Main set\n  10 x 100 free on 1:40\n", squad(3, 2), away=1)
    # Each lane leaves nine times 1:40 apart; the last swimmer two spacings later, and swims 1:20.
    assert [lane.end_ms for lane in made.totals.lanes] == [990_000, 985_000]
    assert [lane.distance for lane in made.totals.lanes] == [1_000, 1_000] and made.totals.unit == "m"
    assert made.swimmers[0] == 3
    assert made.heads[0] == "5 swimmers in 2 lanes, 1 absent"
    assert made.out[0] == "lasts 16:30 of 60 min, 43:30 spare" and not made.late
    assert made.about == "25 m, roll" and made.title == "Rolls"


def test_the_paces_that_it_rests_on():
    assert told("Main set\n  4 x 100\n", squad(3, 2)).paces == "Base: lane 1 at 1:20, lane 2 at 1:20"
    who = read_squad(
        '[[lane]]\ntests = { "200" = "2:40", "400" = "5:40" }\n[[lane]]\nbase = "1:42"\n[lane.factors]\nkick = 1.6\n'
    )
    assert (
        told("Main set\n  4 x 100\n", who).paces
        == "Base: lane 1 at 1:30 (from 200 and 400); lane 2 at 1:42 (own factors)"
    )
    assert told("Main set\n  4 x 100\n", default_squad(())).paces == "Base: 1:40 (assumed)"


def test_usual_bases_are_in_the_table_and_the_sets_are_there_to_read_out():
    text = 'Main set  # hard\n  4 x 100 on 2:00  # or 1:55\n\nSwim-down\n  200 choice "long"\n'
    made = told(text, squad(3, 2))
    assert made.bases == ("1:20", "1:20")
    assert made.sets == (
        ("Main set", True),
        ("  4 x 100 on 2:00", False),
        ("Swim-down", True),
        ('  200 choice "long"', False),
    )
    who = read_squad('[[lane]]\nbase = "1:42"\n[lane.factors]\nkick = 1.6\n')
    assert told(text, who).bases == (), "there is more to say of it"


def test_the_time_on_the_wall_counts_a_begun_minute():
    made = told("Main set\n  10 x 100 free on 1:40\n", squad(3))
    assert made.out_at(EVENING_MS, "+00:00") == "start now, finish 17:18"  # 17:01:20 + 16:30 is 17:17:50
    assert made.out_at(EVENING_MS + 10_000, "+00:00") == "start now, finish 17:18"
    assert made.out_at(EVENING_MS + 10_001, "+00:00") == "start now, finish 17:19"


def test_gear_is_put_out_for_all_who_use_it_in_the_order_of_the_page():
    text = (
        "Skills\n  B: 4 x 50 kick, on 1:30, with fins\n  4 x 50 scull, on 2:00, with snorkel and buoy\n\n"
        "Main set\n  4 x 50 pull on 1:30, with buoy\n"
    )
    timeline = planned(read_plan(HEAD + text), squad(3, 2, 4))[0]
    assert gear_out(timeline) == ("fins × 6 (lanes 2, 3)", "snorkel × 9", "buoy × 9")
    assert gear_out(planned(read_plan(HEAD + "Main set\n  4 x 50 free on 1:30\n"), squad(3))[0]) == ()


def test_flagged_lines_are_to_be_confirmed_and_are_no_check():
    made = told('Main set\n  4 x 25 free, on 1:00\n  "no breath to the flags"\n  10 x 100 free on 1:20\n', squad(2))
    assert [check.line for check in made.confirm] == [7]
    assert "no hyperventilation" in made.confirm[0].hint.lower()
    assert [(check.line, check.bad) for check in made.checks] == [(9, True)]
    assert made.checks[0].place == "Main set: 10 x 100 free on 1:20" and made.checks[0].says.startswith(
        "Gives the slowest swimmer 0 s rest"
    )


def test_lanes_that_a_check_means_are_named():
    who = Squad((*squad(2).lanes, Lane(2, Pace(110_000), (Swimmer(Pace(110_000)),), group="B")))
    made = told("Main set\n  10 x 100 free on 1:40\n", who)
    assert [(check.place, check.bad) for check in made.checks] == [("Main set: 10 x 100 free on 1:40, lane 2", True)]


def test_of_waits_the_longest_comes_first():
    """Lane 2 waits for lane 1 by 8 x 0:30 less its last rest, then by 15 x 0:30."""
    page = "Warm-up\n  8 x 50 on 1:40 / 1:10\nMain set\n  15 x 50 on 1:40 / 1:10\nSwim-down\n  100\n"
    waits = [one for one in told(page, squad(1, 1)).checks if "wait up to" in one.says]
    assert [one.place.split(":")[0] for one in waits] == ["Main set", "Warm-up"]


def test_a_session_that_is_too_long_says_so():
    made = told("Main set\n  60 x 100 free on 1:40\n", squad(1))
    assert made.late and made.totals.over_ms > 0 and "over" in made.out[0]
    assert any(check.line is None and check.place == "Whole session" for check in made.checks)


def test_nobody_in_particular():
    assert told("Main set\n  4 x 50 free on 1:30\n", default_squad()).heads[0] == "no squad: one swimmer at 1:40"


@pytest.mark.parametrize("plan", sorted(path.stem for path in (ASSETS / "plans").glob("*.txt")))
@pytest.mark.parametrize("name", ["thursday", "masters"])
def test_the_demo_sessions_come_to_what_the_timeline_says(plan, name):
    page = (ASSETS / "plans" / f"{plan}.txt").read_text(encoding="utf-8")
    written = read_plan(page)
    who = read_squad((ASSETS / "squads" / f"{name}.toml").read_text(encoding="utf-8"))
    timeline = planned(written, who)[0]
    found = findings(timeline)
    made = ready(timeline, page, found)
    assert len(made.totals.lanes) == len(made.swimmers) == len(who.lanes)
    assert [lane.distance for lane in made.totals.lanes] == [
        timeline.distance(place) for place in range(len(who.lanes))
    ]
    assert len(made.confirm) == sum(finding.severity is Severity.HAZARD for finding in found)
    names = [swimmer.name for lane in who.lanes for swimmer in lane.swimmers if swimmer.name]
    assert names or name != "thursday"
    assert not [one for one in names if one in str(made)]  # no name on a screen that others see
    assert totals_of(timeline).lanes == totals(written, who, checks=False).lanes
