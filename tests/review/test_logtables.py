"""A session of the log in columns.

Days and times of day in words, sentences, the same figures as in the log's text.
"""

import contextlib
import re
import sqlite3
from dataclasses import replace

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.review.logtables import about, card_said
from pacer.review.report.sessiontables import session_tables
from pacer.review.swum.sessionreview import review_of
from pacer.review.wasswum import TOO_SHORT
from pacer.session.journal.entries import Ended, Paused, Refitted, SectionSet, TakenBack
from pacer.session.journal.recordentries import Corrected, Noted, Touched, Withdrawn
from pacer.session.storage.keeper import begin
from pacer.session.storage.savedsession import session_of
from pacer.session.storage.store import Store
from pacer.session.timesource import Now
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.timeline import build_timeline
from tests.review.test_sessionlog import PLAN, SQUAD, ZERO


@pytest.fixture
def tables(store):
    return {table.heading: table for table in session_tables(store.session(1), review_of(store.session(1)))}


def test_the_heading_has_day_and_time_in_the_sessions_time_zone(store):
    one = store.session(1).listed
    assert about(one)[0].startswith("Monday 2 March 2026, 18:01, 25 m pool, ")
    assert about(one)[-1] == "Monday 2 March 2026, 18:01"


def test_every_row_has_a_cell_for_each_heading(tables):
    for table in tables.values():
        assert len({len(row) for row in (*table.rows, *([table.heads] if table.heads else ()))}) == 1, table.heading


def test_lanes_times_and_what_happened(tables):
    title, *headings = tables
    assert title == "Long-axis rotation 3" and headings[0] == "Lanes" and headings[-1] == "What happened"
    assert [row[0] for row in tables["Lanes"].rows] == ["4", "2"] and all(
        re.fullmatch(r"[\d,]+ m", row[1]) for row in tables["Lanes"].rows
    )
    assert tables["Times for lane 4, Warm-up, set 1"].rows[0][:3] == ("1", "1", "0:39.1")
    happened = tables["What happened"].rows
    assert happened[0][:2] == ("18:01:13", "-0:10") and happened[0][2] == "The session is set to start."
    assert all(row[2][0].isupper() or row[2][0].isdigit() for row in happened) and all(
        row[2].endswith((".", "”")) for row in happened
    )


def test_no_swimmer_is_named(tables):
    assert not re.search("Kit|Rowan|Ash", repr(tables))


S = 1000


def told(tmp_path, *entries):
    """The log's entries of a session with these entries after its start."""
    made = Store(tmp_path)
    made.open()
    timeline = build_timeline(read_plan(PLAN), read_squad(SQUAD))
    ms = {"at": 0}
    with contextlib.closing(
        begin(
            made,
            session_of(timeline, PLAN),
            clock=lambda: Now(ZERO.boot_ms + ms["at"], ZERO.wall_ms + ms["at"], "boot"),
        )
    ) as keeper:
        for entry in (ZERO, *entries):
            ms["at"] = entry.at_ms
            keeper.append(entry)
    return [row[2] for row in session_tables(made.session(1))[-1].rows[1:]]


def test_an_undo_says_what_it_undoes_and_a_time_to_finish_by_is_a_time_of_day(tmp_path):
    rows = told(
        tmp_path,
        Paused(10 * S, (0,), breaks_off=True),
        TakenBack(12 * S, 20 * S),
        Refitted(30 * S, 600 * S, 40 * S, ()),
        TakenBack(32 * S, 40 * S),
    )
    assert rows == [
        "Lane 4 paused.",
        "Undone: lane 4 paused.",
        "Changed to finish by 18:12.",
        "Undone: changed to finish by 18:12.",
    ]


def test_corrections_and_undos_are_described_without_numbers(tmp_path):
    rows = told(
        tmp_path,
        Touched(46 * S, 0, 1, 0, 1, 1, 1, 5 * S, 4155),
        Corrected(50 * S, 2, 4105),
        Corrected(55 * S, 2),
        Corrected(58 * S, 2, 4120),
        Noted(60 * S, "hips", 1),
        Withdrawn(65 * S, 6),
        Withdrawn(70 * S, 40),
        Corrected(75 * S, 40, 4000),
    )
    assert rows[1:4] == [
        "Lane 4, swimmer 2, Warm-up, set 1, repeat 1: 0:41.6 corrected to 0:41.1.",
        "Lane 4, swimmer 2, Warm-up, set 1, repeat 1: 0:41.1 is deleted.",
        "Lane 4, swimmer 2, Warm-up, set 1, repeat 1: the deleted time is back, as 0:41.2.",
    ]
    assert rows[5] == "Undid the 18:02:23 record: lane 2: hips."
    assert rows[6:] == [
        "Something that can't be read is undone.",
        "A time that can't be read is corrected to 0:40.0.",
    ]
    assert not re.search(r"\b[Ee]ntr", " ".join(rows))


def test_lost_entries_are_named_by_when_they_were_made(store):
    with contextlib.closing(sqlite3.connect(store.path)) as connection:
        connection.execute("update entry set line = replace(line, '39000', '39001') where number = 3 and session = 1")
        connection.execute("delete from entry where number in (10, 11) and session = 1")
        connection.commit()
    words = [cell for table in session_tables(store.session(1)) for row in table.rows for cell in row]
    assert "Something recorded between 18:01:18 and 18:02:09 can't be read." in words
    assert "2 things recorded between 18:07:53 and 18:13:03 can't be read." in words
    assert not any(word.startswith("Entry ") or "entries" in word for word in words)


def tables_of(tmp_path, *entries):
    """The tables of a session with these entries after its start, by their headings."""
    told(tmp_path, *entries)
    made = Store(tmp_path)
    made.open()
    kept = made.session(1)
    return {table.heading: table for table in session_tables(kept, review_of(kept))}


def test_the_plan_at_the_start_is_shown_beside_changes_on_deck(tmp_path):
    lanes = tables_of(tmp_path, SectionSet(60 * S, 1, 3 * 60 * S), Ended(130 * S))["Lanes"]
    assert lanes.heads == ("lane", "swum", "planned", "plan after changes", "")
    assert lanes.rows[0][:4] == ("4", "100 m", "500 m", "400 m"), lanes.rows


def test_a_session_swum_as_planned_says_so_once(tmp_path):
    assert tables_of(tmp_path, Ended(130 * S))["Lanes"].heads == ("lane", "swum", "planned", "")


def test_the_log_says_how_the_times_compare_and_that_new_bases_come_from_test_swims(tmp_path):
    """50 at a base of 1:18 is 0:39 by prediction: 0:37.05 and 0:37.05 are 5 % faster."""
    bases = tables_of(
        tmp_path, Touched(39 * S, 0, 0, 0, 1, 1, 1, 0, 3705), Touched(99 * S, 0, 0, 0, 1, 1, 2, 60 * S, 3705)
    )["Times against the bases"].rows
    assert bases[0] == ("Lane 4: 2 timed repeats, on average 3.9 s per 100 faster than expected, which may be chance.",)
    assert bases[-1][0].startswith("Every lane keeps its base") and "Test swims" in bases[-1][0]
    assert tables_of(tmp_path / "other")["Times against the bases"].rows == bases[-1:]


def test_a_time_that_is_far_off_says_nothing_about_a_lane(tmp_path):
    """A touch of the wall that came ten minutes late is not in the lane's average, here as in the review."""
    taken = [Touched((99 + n) * S, 0, 0, 0, 1, 1, n, 60 * (n - 1) * S, 3705) for n in (1, 2)]
    tables = tables_of(tmp_path, *taken, Touched(700 * S, 0, 0, 0, 1, 1, 3, 120 * S, 58000))
    (row, *_) = tables["Times against the bases"].rows
    assert tables["Times for lane 4, Warm-up, set 1"].rows[2][2:] == ("(9:40.0)", "+541.0, doesn't count")
    said = "Lane 4: 2 timed repeats, on average 3.9 s per 100 faster than expected, which may be chance."
    assert row == (f"{said} 1 more is far off and doesn't count.",)


def test_a_lone_time_that_is_double_says_nothing_about_a_lane(tmp_path):
    """0:39 by prediction, 1:23 on the watch: a touch was missed."""
    rows = tables_of(tmp_path, Touched(83 * S, 0, 0, 0, 1, 1, 1, 0, 8300))["Times against the bases"].rows
    assert len(rows) == 1 and rows[0][0].startswith("Every lane keeps its base")


def test_the_card_and_the_page_say_that_a_short_session_does_not_count(store):
    kept = store.session(1)
    assert card_said(kept.listed) == about(kept.listed)
    short = replace(kept.listed, ended_ms=kept.listed.begun_ms + 119_000)
    assert card_said(short)[0] == "Monday 2 March 2026, lasted 1:59: too short to count"
    assert all("too short to count" in way for way in card_said(short)), "however little room there is"
    head, *_ = session_tables(replace(kept, listed=short))
    assert (TOO_SHORT,) in head.rows and (TOO_SHORT,) not in session_tables(kept)[0].rows
    assert card_said(replace(short, ended_ms=None)) == about(replace(short, ended_ms=None)), "it may still be running"
