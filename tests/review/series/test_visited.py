"""What a series visited: compared with pandas on the same rows of random histories, and on sessions that were swum."""

from dataclasses import replace
from datetime import date

import pandas
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.plan.library.drillbook import EMPTY_BOOK, Drill, DrillBook
from pacer.review.season.ledger import Ledger
from pacer.review.series.due import Gaps
from pacer.review.series.seriesorder import Series, SeriesPage, all_series
from pacer.review.series.visited import Diary, PlannedPage, Share, SwumSession, diary_of, visited_of
from pacer.session.storage.savedsession import session_of
from pacer.squad.squad import Absent
from tests.review.made import timed
from tests.review.season.stored import stored
from tests.session.pages import session

BOOK = DrillBook((Drill("six-kick switch", "Six kicks.", also=("6-kick switch",)), Drill("catch-up", "Wait.")))
NAMES = ("Kit", "Rowan", "Ash", "")
WRITTEN = ("six-kick switch", "6-Kick Switch", "Six kick switch", "catch-up", "own thing", "")
OWN_NAME = {**dict.fromkeys(WRITTEN[:3], "six-kick switch"), "catch-up": "catch-up", "own thing": "own thing"}


@st.composite
def histories(draw):
    """Sessions of one series and of others, in the order of their days, with who was there and what they swam."""
    sessions, there, shares, heads = [], {}, {}, {}
    day = 0
    for number in range(1, draw(st.integers(0, 7)) + 1):
        day += draw(st.integers(0, 9))
        title = draw(st.sampled_from(["Roll 1", "roll 1", "Roll 2", "Other"]))
        focus, squad = draw(st.sampled_from(["balance", "Balance", "roll", ""])), draw(st.sampled_from(["Thu", "Mon"]))
        on = f"{date.fromordinal(date(2026, 3, 2).toordinal() + day)}"
        sessions.append(SwumSession(number, day, on, title, "m", focus, "", squad))
        who = draw(st.lists(st.sampled_from(NAMES), min_size=1, max_size=4))
        heads[number], there[number] = len(who), frozenset(name for name in who if name)
        rows = []
        for at, name in enumerate(who):
            rows += [
                Share(number, 1 + at % 2, at, name, what, draw(st.integers(1, 40)) * 25, 0)
                for what in sorted(draw(st.sets(st.sampled_from(WRITTEN))))
            ]
        shares[number] = tuple(sorted(rows, key=lambda row: (row.who, row.what)))
    return Diary(tuple(sessions), there, shares, heads)


@given(histories(), st.sets(st.sampled_from(NAMES[:3])))
def test_against_pandas(diary, members):
    series = Series("Roll", (SeriesPage("Roll 1"), SeriesPage("Roll 2")))
    found = visited_of(diary, series, BOOK, Gaps(), squad="Thu", members=members)
    mine = [one for one in diary.sessions if one.title.casefold() in ("roll 1", "roll 2")]
    squad = "Thu" if any(one.squad == "Thu" for one in mine) else "Mon"
    mine = [one for one in mine if one.squad == squad]
    assert [one.number for one in found.sessions] == [one.number for one in mine]
    focus = {one.number: one.focus.casefold() for one in mine}
    rows = pandas.DataFrame(
        [
            {
                "row": ("focus", focus[number]) if not share.what else ("drill", OWN_NAME[share.what]),
                "session": number,
                "who": share.who,
                "name": share.name,
                "lane": share.lane,
                "distance": share.distance,
            }
            for number in focus
            for share in diary.shares[number]
            if share.what or focus[number]
        ],
        columns=["row", "session", "who", "name", "lane", "distance"],
    )
    sums = rows.groupby(["row", "session"])["distance"].sum().to_dict()
    got = {}
    for row in found.rows:
        for number, visit in row.visits.items():
            kind = ("focus", row.name.casefold()) if row.is_focus else ("drill", row.name)
            got[kind, number] = visit
    assert set(got) == set(sums)
    by_lane = rows.groupby(["row", "session", "lane", "who"])["distance"].sum().groupby(level=[0, 1, 2]).max()
    dates = {one.number: date.fromisoformat(one.day) for one in mine}
    for (kind, number), visit in got.items():
        assert visit.distance == int(sums[kind, number] / diary.heads[number] + 0.5)
        assert visit.lanes() == {lane: (far, 0) for lane, far in by_lane[kind, number].items()}
        swam = set(rows[(rows.row == kind) & (rows.session == number)]["name"]) - {""}
        expected = set()
        for name in NAMES[:3]:  # somebody who came before, and comes again or is in the squad
            days = [place for place, one in enumerate(mine) if name in diary.there[one.number]]
            here = [one.number for one in mine].index(number)
            if days and days[0] <= here and (here <= days[-1] or name in members):
                expected.add(name)
        assert set(visit.missed) == expected - swam
    for row in found.rows:
        days = sorted({dates[number] for number in row.visits})
        assert row.due.visits == len(days) and row.due.last == days[-1]
        assert (row.due.due - days[-1]).days == min(365, 7 * 2 ** (len(days) - 1))
    today = date(2026, 4, 1)
    due = [row for row in found.rows if row.due.due <= today]
    assert sorted(row.name for row in found.due_rows(today)) == sorted(row.name for row in due)


PLAN = """\
title: Roll {number}
pool: 25 m
focus: {focus}
{revisits}
Warm-up
  200 choice
Skill set
  4 x 50 as 25 drill {drill} / 25 free, on 1:30
  2 x 0:30 scull feet first, rest 0:15
Main set
  2 x 100 free on 2:30
Swim-down
  100 choice
"""
SQUAD = """\
name = "Thursday"
[[lane]]
number = 3
  [[lane.swimmer]]
  name = "Kit"
  base = "1:20"
  [[lane.swimmer]]
  name = "Rowan"
  base = "1:22"
[[lane]]
number = 4
base = "1:40"
swimmers = 2
"""


def evening(number, focus, drill, without="", absent=()):
    revisits = f"revisits: Roll {number - 1}\n" if number > 1 else ""
    squad = SQUAD.replace(f'  [[lane.swimmer]]\n  name = "{without}"\n  base = "1:22"\n', "")
    text = PLAN.format(number=number, focus=focus, drill=drill, revisits=revisits)
    made = timed(session(text, squad), lambda swim: None)
    timeline = session(text, squad)
    return replace(made, session=session_of(timeline, text, absent=map(Absent, absent)))


@pytest.fixture
def diary(tmp_path):
    store = stored(
        tmp_path,
        [
            (evening(1, "balance", "six-kick switch"), 0),
            (evening(2, "roll", "6-kick switch", without="Rowan"), 7),
            (evening(3, "balance", "catch-up"), 14),
        ],
    )
    with Ledger(store).open() as ledger:
        return diary_of(ledger)


def test_sessions_that_were_swum(diary):
    (series,) = all_series([*diary.pages(), SeriesPage("Roll 4", "roll", "Roll 3")])
    planned = [PlannedPage("Roll 4", "roll", ("kick switch", "catch-up")), PlannedPage("Elsewhere", "x", ("y",))]
    found = visited_of(diary, series, BOOK, Gaps(), members=("Kit", "Rowan"), planned=planned)
    assert [page.title for page in found.coming] == ["Roll 4"] and found.squad == "Thursday"
    assert [(row.is_focus, row.name) for row in found.rows] == [
        (True, "balance"),
        (True, "roll"),
        (False, "feet first"),
        (False, "six-kick switch"),
        (False, "catch-up"),
        (False, "kick switch"),
    ]
    focus, roll, feet, switch, catch, new = found.rows
    # Skill set and main set: 4 x 50 and 2 x 100, by everybody; warm-up and swim-down do not count.
    assert [(number, visit.distance) for number, visit in focus.visits.items()] == [(1, 400), (3, 400)]
    assert feet.visits[1].distance == 0 and feet.visits[1].by_time_ms == 60_000
    assert switch.visits[1].lanes() == {3: (100, 0), 4: (100, 0)} and list(switch.visits) == [1, 2]
    assert switch.visits[2].missed == roll.visits[2].missed == ("Rowan",) and found.absent[2] == ("Rowan",)
    assert {name: [row.name for row in rows] for name, rows in found.missed().items()} == {
        "Rowan": ["roll", "six-kick switch"]
    }
    assert catch.planned == {"roll 4"} and new.visits == {} and new.due.visits == 0
    assert switch.due.due == date(2026, 3, 23) and catch.due.due == date(2026, 3, 23)
    # Once on the 9th; twice, last on the 9th; once on the 16th: due on the 16th, the 23rd, the 23rd.
    assert [row.name for row in found.due_rows(date(2026, 3, 23))] == ["roll", "six-kick switch", "catch-up"]
    assert found.due_rows(date(2026, 3, 15)) == ()


def test_a_swimmer_who_left_the_squad_does_not_miss_what_comes(diary):
    (series,) = all_series(diary.pages())
    only = Diary(
        diary.sessions,
        {**diary.there, 3: frozenset({"Kit"})},
        {**diary.shares, 3: tuple(one for one in diary.shares[3] if one.name != "Rowan")},
        diary.heads,
    )
    stays, left = (visited_of(only, series, BOOK, Gaps(), members=members) for members in (("Rowan",), ()))
    assert stays.absent[3] == ("Rowan",) and left.absent[3] == ()
    assert stays.absent[2] == ("Rowan",) and left.absent[2] == ()


def test_who_was_marked_absent_missed_it_though_they_never_came_before_or_since(tmp_path):
    """The register says so: also for the first session of somebody, and the last of somebody who left since."""
    store = stored(
        tmp_path,
        [
            (evening(1, "balance", "six-kick switch", without="Rowan", absent=("Rowan", "Ash")), 0),
            (evening(2, "roll", "catch-up"), 7),
            (evening(3, "balance", "catch-up", without="Rowan", absent=("Rowan",)), 14),
        ],
    )
    with Ledger(store).open() as ledger:
        found = diary_of(ledger)
    (series,) = all_series(found.pages())
    visited = visited_of(found, series, BOOK, Gaps(), members=("Kit",))
    assert visited.absent == {1: ("Ash", "Rowan"), 2: (), 3: ("Rowan",)}
    switch = next(row for row in visited.rows if row.name == "six-kick switch")
    assert switch.visits[1].missed == ("Ash", "Rowan")
    still = visited_of(found, series, BOOK, Gaps(), members=("Kit", "Ash"))
    assert still.absent == {1: ("Ash", "Rowan"), 2: ("Ash",), 3: ("Ash", "Rowan")}


def test_nothing_swum():
    series = Series("Roll", (SeriesPage("Roll 1"),))
    found = visited_of(Diary((), {}, {}, {}), series, EMPTY_BOOK, Gaps())
    assert found.rows == () and found.squads == () and [page.title for page in found.coming] == ["Roll 1"]
