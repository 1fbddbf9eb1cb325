"""A session of the log in columns: days and times of day as they are said, sentences, the same figures as the log's text."""

import re

import pytest

from pacer.review.tables import about, session_tables
from tests.review.test_log import store  # noqa: F401


@pytest.fixture
def tables(store):
    return {table.heading: table for table in session_tables(store.session(1))}


def test_heads_say_the_day_and_the_time_in_the_zone_it_was_begun_in(store):
    one = store.session(1).listed
    assert about(one)[0].startswith("Monday 2 March 2026, 18:01, 25 m pool, ")
    assert about(one)[-1] == "Monday 2 March 2026, 18:01"


def test_every_row_has_a_cell_for_each_head(tables):
    for table in tables.values():
        assert len({len(row) for row in (*table.rows, *([table.heads] if table.heads else ()))}) == 1, table.heading


def test_lanes_times_and_what_happened(tables):
    title, *headings = tables
    assert title == "Long-axis rotation 3" and headings[0] == "Lanes" and headings[-1] == "What happened"
    assert [row[0] for row in tables["Lanes"].rows] == ["4", "2"] and all(re.fullmatch(r"[\d,]+ m", row[1]) for row in tables["Lanes"].rows)
    assert tables["Times of lane 4, Warm-up, line 1"].rows[0][:3] == ("1", "1", "0:39.1")
    happened = tables["What happened"].rows
    assert happened[0][:2] == ("18:01:13", "-0:10") and happened[0][2] == "The session is set to begin."
    assert all(row[2][0].isupper() or row[2][0].isdigit() for row in happened) and all(row[2].endswith((".", "”")) for row in happened)


def test_no_swimmer_is_named(tables):
    assert not re.search("Kit|Rowan|Ash", repr(tables))
