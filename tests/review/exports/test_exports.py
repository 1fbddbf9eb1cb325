"""Exports read by other libraries: csv in its strict mode, pandas, jsonschema, icalendar."""

from __future__ import annotations

import csv
import io
import json
import math
import random
import zipfile
from dataclasses import replace
from datetime import timedelta

import icalendar
import jsonschema
import pandas
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pacer.review.exports.archivereading import read_archive
from pacer.review.exports.calendarfile import (
    CalendarEvent,
    duration,
    escaped,
    folded,
    ics_text,
    plan_uid,
    planned_event,
    swum_event,
)
from pacer.review.exports.csvfiles import cell_of, csv_files, safe_text
from pacer.review.exports.exporttables import TABLES, TEXT, Column, exported
from pacer.review.exports.jsonexport import SCHEMA_FILE, export_json, schema
from pacer.review.exports.tabletarchive import import_archive
from pacer.review.season.ledger import Ledger
from pacer.session.journal.entries import Paused, Resumed, SwimmerJoined, TakenBack
from pacer.session.journal.recordentries import Noted, Rated
from pacer.session.storage.savedsession import Listed
from pacer.session.storage.store import Store
from pacer.show.after.tabletexports import archive
from tests.review.made import ZERO_WALL_MS, S, kept_of, noisy, timed
from tests.review.season.stored import stored
from tests.session.pages import session

PLAN = 'title: =SUM(A1), "Zürich"\npool: 25 m\nbooking: 40 min\n'
PLAN += 'Main set, 2 rounds\n  4 x 50 back "-1, or @home" on 1:10\n  100 free\n'
SQUAD = """[[lane]]
number = 3
base = "1:20"
  [[lane.swimmer]]
  name = "=cmd|Kit"
  base = "1:20"
  [[lane.swimmer]]
  name = "Ölaf, the \\"fast\\""
  base = "1:24"
[[lane]]
number = 4
base = "1:40"
swimmers = 2
"""


@pytest.fixture(scope="module")
def sessions():
    taps = Rated(60 * S, 0, (0, 150, 300, 450), 1, 0)
    evening = timed(session(PLAN, SQUAD), noisy(random.Random(7), 0.03), taps, Noted(70 * S, "Kit was late", 0))
    return [exported(evening), exported(kept_of(PLAN, SQUAD, number=2))]


def read(data):
    return list(csv.reader(io.StringIO(data.decode(), newline=""), strict=True))


# -- CSV ------------------------------------------------------------------------------------------------


def test_rows_end_with_crlf_and_have_as_many_fields_as_the_header(sessions):
    """RFC 4180, rules 1 to 5."""
    for name, data in csv_files(sessions, names=True).items():
        assert data.endswith(b"\r\n") and data.count(b"\n") == data.count(b"\r\n"), name
        rows = read(data)
        assert {len(row) for row in rows} == {len(rows[0])}, name
        assert len(set(rows[0])) == len(rows[0]) > 4


def test_every_time_is_there(sessions):
    rows = read(csv_files(sessions)["times.csv"])
    heads, review = rows[0], sessions[0].review
    taken = [swim for swim in review.swims if swim.time_ms is not None]
    assert len(rows) - 1 == len(taken) == review.taken
    for row, swim in zip(rows[1:], taken):
        told = dict(zip(heads, row))
        assert float(told["time_s"]) * 1000 == pytest.approx(swim.time_ms)
        assert float(told["over_s"]) * 1000 == pytest.approx(swim.time_ms - swim.predicted_ms)
        assert (int(told["lane"]), int(told["repeat"])) == (review.lane_number(swim.lane), swim.repeat)


def test_pandas_adds_up_to_the_review(sessions):
    files = csv_files(sessions, names=True)
    repeats = pandas.read_csv(io.BytesIO(files["repeats.csv"]))
    review = sessions[0].review
    mine = repeats[repeats.session == 1]
    for person in review.people:
        assert mine[mine.person == person.number].distance.sum() == review.distances.of_person(person.number)
    attendance = pandas.read_csv(io.BytesIO(files["attendance.csv"]))
    assert attendance.distance.sum() == pandas.read_csv(io.BytesIO(files["sessions.csv"])).distance.iloc[0]
    assert set(attendance.session) == {1}, "one that was never begun is no attendance"
    strokes = pandas.read_csv(io.BytesIO(files["strokes.csv"]))
    assert strokes.rate.iloc[0] == 40 and strokes.at_s.iloc[0] == pytest.approx(57.75)
    assert set(strokes.speed_of.dropna()) <= {"counted length", "whole repeat", "expected"}
    assert (strokes.speed_of.isna() == strokes.speed.isna()).all(), "said wherever there is a speed"


def test_no_cell_is_a_formula(sessions):
    for data in csv_files(sessions, names=True).values():
        rows = read(data)
        for row in rows[1:]:
            for cell in row:
                if cell.lstrip().startswith(("=", "+", "@", "|", "%")) or cell.startswith(("\t", "\r")):
                    pytest.fail(cell)
                assert not cell.startswith("-") or float(cell) < 0, "a number may be negative"
    assert read(csv_files(sessions)["sessions.csv"])[1][4] == '\'=SUM(A1), "Zürich"'


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1", "@SUM", "\t=1", " =1", "'=1", "|x", "%x", "\r=1", "\n=1"])
def test_formulas_are_marked(text):
    assert safe_text(text)[0] == "'" or safe_text(text).strip() == text.strip() == ""


@given(st.text(max_size=20))
def test_any_text_is_one_safe_cell(text):
    cell = cell_of(Column("x", TEXT, ""), text)
    assert not cell.lstrip(" ").startswith(("=", "+", "-", "@", "\t", "\r"))
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\r\n").writerow([cell, "x"])
    assert list(csv.reader(io.StringIO(out.getvalue(), newline=""), strict=True)) == [[cell, "x"]]


@pytest.mark.parametrize("names", [False, True])
def test_names_leave_only_if_asked_for(sessions, names):
    told = b"".join(csv_files(sessions, names).values()).decode() + json.dumps(
        export_json(sessions, names), ensure_ascii=False
    )
    assert ("Kit" in told) is names and ("Ölaf" in told) is names


def test_what_was_undone_and_what_was_cut_into_pieces_is_not_counted():
    """A swimmer whose adding was undone has not come; a pause in a set makes no round."""
    timeline = session(PLAN, SQUAD)
    deck = (
        SwimmerJoined(20 * S, 1, 60_000, name="Rowan"),
        TakenBack(22 * S),
        Paused(80 * S, (0,)),
        Resumed(95 * S, 125 * S, (0,)),
    )
    run = exported(timed(timeline, lambda swim: None, *deck))
    files = csv_files([run], names=True)
    attendance = pandas.read_csv(io.BytesIO(files["attendance.csv"]))
    assert len(run.review.people) == 5 and list(attendance.person) == [0, 1, 2, 3]
    assert pandas.read_csv(io.BytesIO(files["sessions.csv"])).swimmers.iloc[0] == 4
    sets = pandas.read_csv(io.BytesIO(files["sets.csv"]))
    assert len(run.review.replay.run.timeline.tracks[0].passes) > 4, "the pause cut a set"
    assert set(sets.rounds) == {2} and list(sets.repeats) == [8, 2, 8, 2]


# -- JSON -----------------------------------------------------------------------------------------------


def test_the_published_schema_is_up_to_date():
    assert json.loads(SCHEMA_FILE.read_text(encoding="utf-8")) == schema()
    jsonschema.Draft202012Validator.check_schema(schema())


@pytest.mark.parametrize("names", [False, True])
def test_the_json_follows_its_schema(sessions, names):
    told = json.loads(json.dumps(export_json(sessions, names)))
    jsonschema.validate(told, schema(), cls=jsonschema.Draft202012Validator)
    assert all(told["tables"][table.name] for table in TABLES)
    told["tables"]["times"][0]["time_ms"] = "1:20"
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(told, schema(), cls=jsonschema.Draft202012Validator)


def test_json_and_csv_say_the_same(sessions):
    told, files = export_json(sessions, True)["tables"], csv_files(sessions, True)
    for table in TABLES:
        rows = read(files[f"{table.name}.csv"])[1:]
        assert len(rows) == len(told[table.name])
        for row, said in zip(rows, told[table.name]):
            assert row == [cell_of(column, value) for column, value in zip(table.columns, said.values())]


def test_a_session_whose_plan_cannot_be_read_is_still_listed():
    one = exported(kept_of(PLAN, SQUAD))
    broken = exported(type(one.kept)(one.kept.listed, one.kept.session.__class__("no plan", "no squad"), ()))
    assert broken.review is None
    told = export_json([broken])["tables"]
    assert len(told["sessions"]) == 1 and not any(told[name] for name in ("sets", "repeats", "times", "attendance"))


def test_who_was_absent_is_in_the_attendance_without_a_lane():
    made = timed(session(PLAN, SQUAD), noisy(random.Random(1), 0.02))
    absent = replace(made, session=replace(made.session, squad=made.session.squad + "# absent: Ash Weir\n"))
    files = csv_files([exported(absent)], names=True)
    told = pandas.read_csv(io.BytesIO(files["attendance.csv"]))
    assert list(told[told.here == "no"].name) == ["Ash Weir"] and told[told.here == "yes"].name.notna().any()
    (row,) = told[told.here == "no"].to_dict("records")
    assert math.isnan(row["lane"]) and row["distance"] == 0 and row["day"] == told.day[0]
    files = csv_files([exported(absent)], names=False)
    told = pandas.read_csv(io.BytesIO(files["attendance.csv"]))
    assert (told.here == "no").sum() == 1 and b"Ash" not in b"".join(files.values()), "counted, not named"


def test_how_many_were_absent_goes_along_without_names(tmp_path):
    """Exported without names, imported, and exported again: the same bytes."""
    made = timed(session(PLAN, SQUAD), noisy(random.Random(1), 0.02))
    absent = replace(made.session, squad=made.session.squad + "# absent: Ash Weir\n# absent: Kit Lund\n")
    one = stored(tmp_path / "one", [(replace(made, session=absent), 0)])
    first = archive(one, names=False)
    with zipfile.ZipFile(io.BytesIO(first)) as packed:
        assert not any(b"Weir" in packed.read(name) for name in packed.namelist())
    two = Store(tmp_path / "two")
    two.open()
    import_archive(two, read_archive(first))
    assert two.session(1).session.absent == ("", "")
    assert archive(two, names=False) == first
    with Ledger(two).open() as ledger:
        assert ledger.execute("select count(*) from absent").fetchone() == (0,)


# -- calendar -------------------------------------------------------------------------------------------


LISTED = Listed(
    7, "Größe; Ärger, Öl und Übermut: " + "ü" * 60, "25 m", ZERO_WALL_MS, "+01:00", ZERO_WALL_MS + 3_630_000, 0, 9
)


def test_another_reader_finds_the_session():
    (event,) = icalendar.Calendar.from_ical(ics_text([swum_event(LISTED)])).walk("VEVENT")
    assert str(event["SUMMARY"]) == LISTED.title
    assert event["DTSTART"].dt.timestamp() * 1000 == ZERO_WALL_MS // 1000 * 1000
    assert event["DURATION"].dt == timedelta(hours=1, seconds=30)
    assert event["UID"] and event["DTSTAMP"].dt.tzinfo is not None


def test_a_planned_session_lasts_as_long_as_its_booking():
    event = planned_event(session(PLAN, SQUAD), plan_uid("roll"), ZERO_WALL_MS, ZERO_WALL_MS)
    (read_back,) = icalendar.Calendar.from_ical(ics_text([event])).walk("VEVENT")
    assert read_back["DURATION"].dt == timedelta(minutes=40) and str(read_back["STATUS"]) == "TENTATIVE"
    assert str(read_back["DESCRIPTION"]) == "25 m pool\nMain set"


def test_lines_have_75_octets_at_most_and_no_letter_is_broken():
    """RFC 5545, 3.1."""
    for row in ics_text([swum_event(LISTED)]).encode().split(b"\r\n"):
        assert len(row) <= 75
        row.decode()


def test_durations():
    """RFC 5545, 3.3.6: there must be minutes between hours and seconds; `PT1H30S` is invalid."""
    assert [duration(ms) for ms in (3_630_000, 240_000, 85_000, 3_600_000, 5_400_000, 0, 999)] == [
        "PT1H0M30S",
        "PT4M",
        "PT1M25S",
        "PT1H",
        "PT1H30M",
        "PT0S",
        "PT0S",
    ]


def test_escapes():
    """RFC 5545, 3.3.11."""
    assert escaped("a\\b;c,d:e\nf") == "a\\\\b\\;c\\,d:e\\nf"


@given(st.text(max_size=120))
def test_any_title_comes_back(text):
    event = CalendarEvent("x@pacer", 0, 0, 60_000, text)
    (found,) = icalendar.Calendar.from_ical(ics_text([event])).walk("VEVENT")
    plain = "".join(c for c in text.replace("\r\n", "\n").replace("\r", "\n") if c >= " " or c in "\n\t")
    assert str(found["SUMMARY"]).replace("\r", "") == plain or any(c in text for c in "\x7f\x85\u2028\u2029")
    assert all(len(part.encode()) <= 75 for part in folded(f"SUMMARY:{escaped(text)}"))


def test_a_session_that_never_started_is_not_an_event():
    assert swum_event(Listed(1, "x", "25 m", None, "", None, None, 0)) is None
    assert swum_event(Listed(1, "x", "25 m", 2**61, "", None, None, 0)) is None, "a year that no calendar has"
