"""A season, compared with the sessions' own reviews and with pandas on the same rows; and when it is read again."""

import random
import sqlite3
from dataclasses import replace
from fractions import Fraction

import pandas
import pytest

from pacer.review.report.historytables import season_tables
from pacer.review.season.ledger import FILE, Ledger
from pacer.review.season.season import lane_visits, season_of, trends, visits
from pacer.review.swum.sessionreview import review_of
from pacer.session.journal.entries import Begun, Ended
from tests.review.made import ZERO_WALL_MS, S, kept, timed
from tests.review.season.stored import stored
from tests.session.pages import session

PLAN = """\
title: Thursday
pool: 25 m
Main set, 2 rounds
  4 x 50 free on 1:15
Swim-down
  100 choice
"""
OTHER = PLAN.replace("title: Thursday", "title: Monday").replace("4 x 50 free on 1:15", '3 x 100 back "long", on 2:30')
YARDS = PLAN.replace("25 m", "25 yd").replace("Thursday", "Away")
SQUAD = """\
[[lane]]
number = 3
  [[lane.swimmer]]
  name = "Kit"
  base = "1:{kit}"
  [[lane.swimmer]]
  name = "Rowan"
  base = "1:22"
[[lane]]
number = 4
base = "1:40"
swimmers = 2
"""


def evening(plan, by, *, kit=20, without="", seed=0):
    """A session of a plan, with everybody `by` slower than written, plus a little chance."""
    rng = random.Random(seed)
    text = SQUAD.format(kit=kit).replace(f'  [[lane.swimmer]]\n  name = "{without}"\n  base = "1:22"\n', "")
    return timed(session(plan, text), lambda swim: round(swim.predicted_ms * by * rng.gauss(1, 0.01)))


@pytest.fixture
def store(tmp_path):
    broken_off = kept(session(PLAN, SQUAD.format(kit=20)), [Begun(-10 * S, 0, ZERO_WALL_MS, "+00:00"), Ended(9 * S)])
    return stored(
        tmp_path,
        [
            (evening(PLAN, 1.02, seed=1), 0),
            (evening(OTHER, 1.0, seed=2), 3),
            (evening(PLAN, 1.0, kit=19, without="Rowan", seed=3), 7),
            (broken_off, 8),
            (evening(PLAN, 0.98, kit=18, seed=4), 35),
            (evening(YARDS, 1.0, kit=18, seed=5), 36),
        ],
    )


def test_totals_are_the_sums_of_the_reviews(store):
    reviews = [review_of(store.session(number)) for number in (1, 2, 3, 5, 6)]
    far = [sum(swim.distance for swim in review.swims) for review in reviews]
    with Ledger(store).open() as ledger:
        season = season_of(ledger)
    assert [(one.key, one.sessions) for one in season.months] == [("2026-03", 3), ("2026-04", 2)]
    assert season.months[0].distance == sum(far[:3])
    assert season.months[1].distance == round(far[3] + far[4] * 0.9144)
    by_lane, by_month = (sum(one.distance for one in table) for table in (season.lanes, season.months))
    assert abs(by_lane - by_month) <= 1  # each is rounded to a metre
    assert [one.key for one in season.lanes] == ["3", "4"]
    spent = {review.listed.number: {one.who: one.swum_ms for one in review.spent} for review in reviews}
    kit = next(one for one in season.swimmers if one.key == "Kit")
    assert kit.sessions == 5 and kit.swum_ms == sum(swum[0] for swum in spent.values())


def test_weeks_are_pandas_weeks(store):
    """Every week from its Monday: sessions, metres and heads, worked out from the reviews by pandas."""
    rows = []
    for number, metres in ((1, 1.0), (2, 1.0), (3, 1.0), (5, 1.0), (6, 0.9144)):
        review = review_of(store.session(number))
        rows += [
            {"day": pandas.Timestamp(review.listed.begun_ms, unit="ms"), "session": number, "far": far * metres}
            for far in (review.distances.of_person(person.number) for person in review.people)
        ]
    weeks = pandas.DataFrame(rows).groupby(pandas.Grouper(key="day", freq="W-MON", label="left", closed="left"))
    wanted = [
        (f"{monday:%Y-%m-%d}", mine["session"].nunique(), round(mine["far"].sum()), len(mine))
        for monday, mine in weeks
        if len(mine)
    ]
    with Ledger(store).open() as ledger:
        season = season_of(ledger)
    found = [(one.key, one.sessions, one.distance, one.came) for one in season.weeks]
    assert [one[:2] + one[3:] for one in found] == [one[:2] + one[3:] for one in wanted]
    assert all(abs(one[2] - other[2]) <= 1 for one, other in zip(found, wanted))


def test_a_lane_over_time(store):
    with Ledger(store).open() as ledger:
        lanes, kit = lane_visits(ledger), visits(ledger, "Kit")["Kit"]
    assert set(lanes) == {"3", "4"} and [one.session for one in lanes["4"]] == [1, 2, 3, 5, 6]
    assert [one.base_ms for one in lanes["3"]] == [82_000, 82_000, 79_000, 82_000, 89_676], "of its slowest"
    assert lanes["3"][2].times == kit[2].times and lanes["3"][0].times == 2 * kit[0].times


def test_a_session_given_up_after_seconds_counts_nowhere(store):
    with Ledger(store).open() as ledger:
        assert [row[0] for row in ledger.execute("select number from session where not counts")] == [4]
        assert 4 not in {visit.session for visit in visits(ledger, "Kit").get("Kit", ())}


def test_attendance_counts_from_the_first_time(store):
    with Ledger(store).open() as ledger:
        assert [(one.name, one.came, one.of) for one in season_of(ledger).attendance] == [
            ("Kit", 5, 5),
            ("Rowan", 4, 5),
        ]


def test_who_was_absent_and_never_came_is_there_with_the_sessions_since(tmp_path):
    def without(names, seed):
        made = evening(PLAN, 1.0, seed=seed)
        text = made.session.squad + "".join(f"# absent: {name}\n" for name in names)
        return replace(made, session=replace(made.session, squad=text))

    # Ash is absent from the second one on, Wren from the third on; Kit is written as absent, but swam.
    store = stored(tmp_path, [(without((), 1), 0), (without(["Ash"], 2), 3), (without(["Ash", "Wren", "Kit"], 3), 7)])
    with Ledger(store).open() as ledger:
        season = season_of(ledger)
    assert [tuple(one) for one in season.attendance] == [
        ("Ash", 0, 2),
        ("Kit", 3, 3),
        ("Rowan", 3, 3),
        ("Wren", 0, 1),
    ]
    (table,) = (table for table in season_tables(season) if table.heading == "By swimmer")
    assert [(row[0], row[1], row[-1]) for row in table.rows][2:] == [("Ash", "0", "0 of 2"), ("Wren", "0", "0 of 1")]


def test_a_period_of_the_season(store):
    with Ledger(store).open() as ledger:
        season = season_of(ledger, ZERO_WALL_MS + 86_400_000, ZERO_WALL_MS + 10 * 86_400_000)
    assert [(one.key, one.sessions) for one in season.months] == [("2026-03", 2)]


def test_a_swimmers_history(store):
    with Ledger(store).open() as ledger:
        rows = visits(ledger, "Kit").get("Kit", ())
    assert [(row.session, row.day, row.title, row.base_ms) for row in rows] == [
        (1, "2026-03-02", "Thursday", 80_000),
        (2, "2026-03-05", "Monday", 80_000),
        (3, "2026-03-09", "Thursday", 79_000),
        (5, "2026-04-06", "Thursday", 78_000),
        (6, "2026-04-07", "Away", 85_302),  # 1:18 per 100 yd, of 0.9144 m
    ]
    assert {row.base_unit for row in rows} == {"m"} and [row.unit for row in rows] == ["m"] * 4 + ["yd"]
    assert [row.distance for row in rows] == [500, 700, 500, 500, 500] and rows[0].unit == "m"
    assert float(rows[0].over) == pytest.approx(0.02, abs=0.01) and rows[0].times == 9
    assert isinstance(rows[0].over, Fraction)


def test_all_at_once_is_the_same_as_one_by_one(store):
    with Ledger(store).open() as ledger:
        everybody = visits(ledger), trends(ledger)
        assert set(everybody[0]) == {"Kit", "Rowan"}
        for name in everybody[0]:
            assert visits(ledger, name) == {name: everybody[0][name]}
            assert trends(ledger, name) == {name: everybody[1][name]}


def test_as_many_of_both_units_are_in_that_of_the_last(tmp_path):
    """International Yard and Pound Agreement, 1959: 1 yd = 0.9144 m."""
    mixed = stored(tmp_path, [(evening(PLAN, 1.0, kit=20), 0), (evening(YARDS, 1.0, kit=10), 7)])
    with Ledger(mixed).open() as ledger:
        rows = visits(ledger, "Kit")["Kit"]
    assert [(row.base_ms, row.base_unit) for row in rows] == [(round(80_000 * 0.9144), "yd"), (70_000, "yd")]


def test_the_same_set_then_and_now(store):
    """4 x 50 on three evenings; in yards it is another set, with a cue it is the same."""
    with Ledger(store).open() as ledger:
        found = {trend.what: trend for trend in trends(ledger, "Kit")["Kit"]}
    assert set(found) == {"4 x 50 free, on 1:15 (25 m)", "100 choice (25 m)"}
    trend = found["4 x 50 free, on 1:15 (25 m)"]
    review = review_of(store.session(1))
    mine = [swim.time_ms for swim in review.swims if swim.who == 0 and swim.line == 1 and swim.section == 0]
    assert [one.session for one in trend.swum] == [1, 3, 5] and trend.swum[0].times == len(mine) == 8
    assert trend.swum[0].mean_ms == pytest.approx(sum(mine) / 8, abs=0.5)
    assert trend.swum[0].best_ms == min(mine) and trend.change_ms < -500


def test_against_pandas(store):
    """Every mean of every swimmer, session and set, computed from the times themselves."""
    rows = []
    for number in (1, 2, 3, 5, 6):
        review = review_of(store.session(number))
        rows += [
            {
                "session": number,
                "name": review.people[swim.who].name,
                "text": (swim.section, swim.line),
                "ms": swim.time_ms,
            }
            for swim in review.swims
            if swim.time_ms is not None and review.people[swim.who].name
        ]
    means = pandas.DataFrame(rows).groupby(["name", "session", "text"])["ms"].agg(["mean", "count", "min"])
    with Ledger(store).open() as ledger:
        mine = ledger.execute(
            "select name, session, what, times, sum_ms, best_ms from timed where name > ''"
        ).fetchall()
    assert len(mine) == len(means)
    assert sorted((n, s, t, round(total / t), best) for n, s, _, t, total, best in mine) == sorted(
        (name, session, int(row["count"]), round(row["mean"]), int(row["min"]))
        for (name, session, _), row in means.iterrows()
    )


def test_only_what_changed_is_read_again(store, monkeypatch):
    with Ledger(store).open():
        pass
    read = []
    real = type(store).session
    monkeypatch.setattr(type(store), "session", lambda self, number: read.append(number) or real(self, number))
    with Ledger(store).open():
        assert read == []
    with sqlite3.connect(store.path) as connection:
        connection.execute("update standing set ended_ms = ended_ms + 1000 where session = 2")
    connection.close()
    with Ledger(store).open() as ledger:
        assert read == [2] and len(visits(ledger, "Kit").get("Kit", ())) == 5


def test_reading_can_stop_and_continue(store):
    asked = iter((True, True, False))
    made = Ledger(store)
    with made.open(lambda: next(asked)) as ledger:
        assert ledger.execute("select count(*) from session").fetchone()[0] == 2 and made.left == 4
    with Ledger(store).open() as ledger:
        assert ledger.execute("select count(*) from session").fetchone()[0] == 6


@pytest.mark.parametrize("spoil", [b"", b"no database at all, but long enough to be looked at" * 40, None])
def test_a_spoilt_ledger_is_made_again(store, spoil):
    with Ledger(store).open() as ledger:
        before = season_of(ledger)
    path = store.folder / FILE
    if spoil is None:
        with sqlite3.connect(path) as connection:
            connection.execute("pragma user_version = 99")
        connection.close()
    else:
        path.write_bytes(spoil)
    with Ledger(store).open() as ledger:
        assert season_of(ledger) == before


def test_if_nothing_can_be_written_the_ledger_is_in_memory(store, monkeypatch):
    made = Ledger(store)
    made.path = store.folder / "nowhere" / FILE
    with made.open() as ledger:
        assert len(visits(ledger, "Kit").get("Kit", ())) == 5
    assert not made.path.exists()


def test_an_empty_store(tmp_path):
    made = stored(tmp_path, [])
    with Ledger(made).open() as ledger:
        assert (
            season_of(ledger) == type(season_of(ledger))((), (), (), ()) and visits(ledger, "Kit").get("Kit", ()) == ()
        )
