"""Times recorded without pacer: read from a file, placed on a session's swims, counted, corrected, undone."""

from __future__ import annotations

import csv
import io
import random

import pandas
import pytest

from pacer.plan.problem import Unreadable
from pacer.review.enter.enteredtimes import (
    begin_without,
    entering,
    keep,
    kept_from,
    last_entered,
    ran_without,
    rows_without,
    undoing,
)
from pacer.review.enter.placedtimes import place_times, set_named
from pacer.review.enter.timesfile import read_times
from pacer.review.exports.csvfiles import csv_files
from pacer.review.exports.exporttables import exported
from pacer.review.learning.learned import learn
from pacer.review.sessionlog import session_json, session_text
from pacer.review.swum.sessionreview import review_of
from pacer.session.storage.savedsession import session_of
from pacer.session.storage.startandresume import reopens, running
from pacer.session.storage.store import Store, StoreTrouble
from pacer.session.timesource import Now
from pacer.squad.files.csvcolumns import Column, UnknownColumns
from pacer.squad.refusal import Refused
from tests.review.made import noisy, timed
from tests.session.pages import session

PLAN = """\
title: Long-axis rotation 3
pool: 25 m

Warm-up
  4 x 50 on 1:10

Main set, 2 rounds
  3 x 100 on 2:00
  2 x 50 kick, rest 0:20
  4 x 25 free "no breath to the flags", on 1:00
"""
SQUAD = """\
[[lane]]
number = 2
[[lane.swimmer]]
name = "Kit Marsh"
base = "1:20"
[[lane.swimmer]]
name = "Orla"
base = "1:22"
[[lane]]
number = 3
[[lane.swimmer]]
name = "Wren"
base = "1:35"
"""
BEGUN_MS = 1_772_470_860_000
ROWS = rows_without(session_of(session(PLAN, SQUAD), PLAN), session(PLAN, SQUAD), BEGUN_MS, "+00:00", "from t.csv")
REVIEW = review_of(kept_from(ROWS))


def read(text, known=None):
    return read_times(text.encode(), known or {})


def placed(text, set_text=""):
    """Name, section, set, round, repeat and time of each placed row, and the problems with the others."""
    made = place_times(REVIEW, read(text), set_text)
    rows = [
        (
            REVIEW.people[one.swim.who].name,
            one.swim.section,
            one.swim.line,
            one.swim.round,
            one.swim.repeat,
            one.time_cs,
        )
        for one in made.times
    ]
    return rows, [f"{problem.line}:{problem.column} {problem.message}" for problem in made.problems]


def test_a_row_for_each_time():
    header = "lane,swimmer,section,set,round,repeat,distance,time\n"
    text = f"{header}2,1,main set,1,2,3,100,1:21.35\n3,,Warm-up,,,4,50 m,48.2\n"
    assert placed(text) == ([("Kit Marsh", 1, 1, 2, 3, 8135), ("Wren", 0, 1, 1, 4, 4820)], [])


def test_a_column_for_each_repeat_by_names_with_semicolons_and_commas():
    text = "Athlete;1;2;3;4;5\nKIT MARSH;1:21,3;1:22,0;;1:20,1;1:20,2\nwren;95;96;97;;\n"
    rows, wrong = placed(text, "Main set 1")
    assert wrong == []
    assert rows[:4] == [
        ("Kit Marsh", 1, 1, 1, 1, 8130),
        ("Kit Marsh", 1, 1, 1, 2, 8200),
        ("Kit Marsh", 1, 1, 2, 1, 8010),  # repeats count through the rounds
        ("Kit Marsh", 1, 1, 2, 2, 8020),
    ]
    assert rows[4:] == [("Wren", 1, 1, 1, repeat, 9400 + 100 * repeat) for repeat in (1, 2, 3)]


def test_times_in_the_order_of_the_file():
    rows, _ = placed("name,line,time\n" + "Orla,5,41.0\n" * 4)
    assert [row[4] for row in rows] == [1, 2, 3, 4]


def test_what_cannot_be_placed_is_named_with_its_place():
    text = (
        "lane,swimmer,section,set,repeat,time\n"
        "4,1,Warm-up,1,1,40.1\n"
        "2,Ash,Warm-up,1,1,40.1\n"
        "2,,Warm-up,1,1,40.1\n"
        "2,1,Cool-down,1,1,40.1\n"
        "2,1,Main set,,1,40.1\n"
        "2,1,Main set,3,1,20.1\n"
        "2,1,Warm-up,1,5,40.1\n"
        "2,1,Warm-up,1,1,2:40.1\n"
        "2,1,Warm-up,1,1,4o.1\n"
        "2,1,Warm-up,1,1,40.1\n"
        "2,1,Warm-up,1,1,40.1\n"
    )
    rows, wrong = placed(text)
    assert rows == [("Kit Marsh", 0, 1, 1, 1, 4010)]
    assert wrong == [
        "2:1 there is no lane 4 in this session",
        "3:3 no swimmer called “Ash” in this session",
        "4:3 which swimmer is it?",
        "5:5 this session has no set “Cool-down 1”",
        "6:5 “Main set” has 3 sets",
        "7:14 that set is never timed",
        "8:15 there is no repeat 5",
        "9:17 2:40.1 for 50 can't be right: 0:40 was expected",
        "10:17 “4o.1” is not a time",
        "12:15 the same swim has a time on line 11 already",
    ]


def test_columns_are_asked_about_once():
    text = "Bib,Swimmer,Result\n7,Wren,48.2\n"
    with pytest.raises(UnknownColumns) as asked:
        read(text)
    assert asked.value.columns == (Column("Bib", ("7",)),)
    assert read(text, {"bib": "skip"}).rows[0].said["swimmer"] == "Wren"
    with pytest.raises(UnknownColumns):
        read("Bib,Bip\n1,2\n", {"bib": "time"})
    with pytest.raises(Unreadable) as no_times:
        read("lane\n2\n")
    assert "no column has times" in no_times.value.problems[0].message


@pytest.mark.parametrize(
    ("text", "key"),
    [("Warm-up", (0, 1)), ("main  set 2", (1, 2)), ("Main set, set 1", (1, 1)), ("Main set, 3", (1, 3))],
)
def test_a_set_by_its_name(text, key):
    assert set_named(REVIEW, text) == key


@pytest.mark.parametrize("text", ["2", "Main set", "Main set 4", "", "Swim-down 1"])
def test_a_set_name_that_fits_none_or_two(text):
    with pytest.raises(Refused):
        set_named(REVIEW, text)


@pytest.mark.parametrize("table", ["times.csv", "repeats.csv"])
def test_pacers_own_tables_are_read_back_unchanged(table):
    """Also after pandas has read and written the table."""
    there = timed(session(PLAN, SQUAD), noisy(random.Random(4), 0.03))
    data = csv_files([exported(there)], names=False)[table]
    as_panda = io.StringIO()
    pandas.read_csv(io.BytesIO(data)).to_csv(as_panda, index=False, sep=";", quoting=csv.QUOTE_ALL)
    want = {(s.who, s.left_ms): s.time_ms for s in review_of(there).swims if s.time_ms is not None}
    for said in (data, as_panda.getvalue().encode()):
        made = place_times(REVIEW, read_times(said, {}))
        timed_lines = [swim for swim in want if swim in {(one.swim.who, one.swim.left_ms) for one in made.times}]
        assert {(one.swim.who, one.swim.left_ms): one.time_cs * 10 for one in made.times} == {
            key: want[key] // 10 * 10 for key in timed_lines
        }
        assert all("never timed" in problem.message for problem in made.problems)
        assert len(made.times) + len(made.problems) == len(want)


# -- in the store --------------------------------------------------------------------------------------------


@pytest.fixture
def store(tmp_path):
    made = Store(tmp_path)
    made.open()
    return made


TEXT = "name,line,time\n" + "".join(f"{name},8,{time}\n" for name in ("Orla", "Wren") for time in ("1:30.0", "1:31.0"))


def begun(store, text=TEXT):
    times = place_times(REVIEW, read(text)).times
    return begin_without(store, ROWS, entering(kept_from(ROWS), times, "from t.csv").entries)


def test_a_session_that_ran_without_pacer_counts(store):
    number = begun(store)
    kept = store.session(number)
    review = review_of(kept)
    assert ran_without(kept) and review.taken == 4 and review.loose == 0
    assert sum(review.distances.of_person(person.number) for person in review.people) == 3 * (200 + 600 + 200 + 200)
    assert learn(review)[0].bases[1].times == 2  # Orla
    assert running(store) is None
    assert "ran without pacer" in session_text(kept) and "t.csv" not in session_text(kept)
    told = session_json(kept)["session"]
    assert {one["source"] for one in told["times"]} == {"from a file"} and "t.csv" not in str(told)
    assert "from t.csv" in str(session_json(kept, names=True))


def test_entering_again_doubles_nothing_and_leaves_differing_times(store):
    kept = store.session(begun(store))
    times = place_times(review_of(kept), read(TEXT.replace("1:31.0", "1:32.0"))).times
    made = entering(kept, times, "from u.csv")
    assert (made.entries, made.same, made.other) == ((), 2, 2)
    made = entering(kept, times, "from u.csv", correct=True)
    keep(store, kept, made.entries, 5)
    again = store.session(kept.listed.number)
    assert sorted(cell.time_ms for table in review_of(again).sets for row in table.rows for cell in row.cells) == [
        90_000, 90_000, 92_000, 92_000,
    ]  # fmt: skip
    keep(store, again, undoing(again), 6)
    before = store.session(kept.listed.number)
    assert {swim.time_ms for swim in review_of(before).swims} == {None, 90_000, 91_000}
    keep(store, before, undoing(before), 7)
    empty = store.session(kept.listed.number)
    assert {swim.time_ms for swim in review_of(empty).swims} == {None} and last_entered(empty) == ()


def test_two_sessions_cannot_start_at_one_time(store):
    begun(store)
    with pytest.raises(StoreTrouble, match=r"Session 1 started at that time"):
        begun(store)


def test_nothing_can_be_added_to_a_session_that_never_ended(store):
    rows = ROWS.rows[:1]
    from dataclasses import replace

    from pacer.session.storage.sessionimport import take_in

    take_in(store, [replace(ROWS, rows=rows)])
    with pytest.raises(StoreTrouble, match="never ended"):
        keep(store, store.session(1), (), 5)


def test_a_session_of_last_week_does_not_hide_an_interrupted_one(store):
    from dataclasses import replace

    from pacer.session.journal.entries import Begun
    from pacer.session.journal.jsonlines import line_from_entry
    from pacer.session.storage.sessionimport import take_in

    later = ROWS.rows[0]._replace(line=line_from_entry(Begun(0, 0, BEGUN_MS + 86_400_000, "+00:00")))
    take_in(store, [replace(ROWS, rows=(later,))])
    begun(store)
    assert [one.number for one in store.sessions()] == [1, 2]
    assert running(store).number == 1
    assert reopens(store, Now(0, kept_from(ROWS).listed.ended_ms + 1, "")) is None
