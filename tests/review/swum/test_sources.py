"""The source of a time, the tablet or a lane screen, from the entry to the review."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pacer.review.exports.exporttables import exported
from pacer.review.exports.jsonexport import export_json
from pacer.review.report.reviewtables import sources_table
from pacer.review.swum.sessionreview import review_of
from pacer.session.journal.entries import Begun, Ended, Stopped
from pacer.session.journal.jsonlines import entry_from_line, line_from_entry
from pacer.session.journal.recordentries import Corrected, Rated
from pacer.session.records.entrytext import Names, said
from pacer.session.records.touches import times
from tests.review.made import kept_of, predicted, touch

PLAN = "pool: 25 m\nMain set\n  4 x 100 free on 2:00\n"
SQUAD = '[[lane]]\nnumber = 3\nbase = "1:30"\nswimmers = 2\n'
FROM_SCREEN = {"source": "screen 3", "act": 17, "bound_ms": 12}


@pytest.fixture(scope="module")
def touches():
    swims = predicted(kept_of(PLAN, SQUAD).session.timeline())
    return touch(swims[0], 91_230), replace(touch(swims[1], 92_000), **FROM_SCREEN)


@pytest.fixture(scope="module")
def review(touches):
    rate = replace(Rated(40_000, 0, (0, 150, 300)), **FROM_SCREEN)
    return review_of(kept_of(PLAN, SQUAD, [Begun(-1, 0, 0), rate, *touches, Ended(500_000)]))


def test_a_source_is_kept_in_the_line_and_read_from_it(touches):
    own, screens = touches
    assert "source" not in line_from_entry(own)
    assert line_from_entry(screens).endswith('"source": "screen 3", "act": 17, "bound_ms": 12}')
    for entry in (*touches, Stopped(7, "screen 3", 18)):
        assert entry_from_line(line_from_entry(entry)) == entry


def test_a_line_of_an_older_journal_is_the_tablets():
    line = (
        '{"v": 1, "kind": "touched", "at_ms": 39127, "lane": 0, "swimmer": 0, "section": 0, "round": 1, "line": 1, '
        '"repeat": 1, "left_ms": 0, "time_cs": 3912}'
    )
    entry = entry_from_line(line)
    assert (entry.source, entry.act, entry.bound_ms) == ("", None, None) and line_from_entry(entry) == line


def test_a_corrected_time_is_still_the_screens(touches):
    journal = (*touches, Corrected(99_000, 2, 9_100))
    assert [(one.touched.source, one.touched.bound_ms, one.touched.time_cs) for one in times(journal)] == [
        ("", None, 9_123), ("screen 3", 12, 9_100),
    ]  # fmt: skip


def test_the_journal_says_who(touches):
    names = Names([3], ["Main set"])
    assert said(touches[0], names) == "lane 3, swimmer 1 touched 1:31.2: Main set, set 1, repeat 1"
    assert said(touches[1], names) == "lane 3, swimmer 2 touched 1:32.0: Main set, set 1, repeat 1 (screen 3)"
    assert said(Stopped(7, "screen 3", 18), names) == "stop all (screen 3)"


def test_the_review_says_who_timed(review):
    table = sources_table(review)
    assert table.heads == ("timed by", "lanes", "times", "stroke rates", "clock off by at most")
    assert table.rows == (("tablet", "3", "1", "", ""), ("screen 3", "3", "1", "1", "0.02 s"))


def test_nothing_is_said_if_the_tablet_timed_everything(touches):
    alone = review_of(kept_of(PLAN, SQUAD, [Begun(-1, 0, 0), touches[0], Ended(500_000)]))
    assert sources_table(alone).rows == ()


def test_the_export_says_who_timed():
    swims = predicted(kept_of(PLAN, SQUAD).session.timeline())
    taken = (touch(swims[0], 91_230), replace(touch(swims[1], 92_000), **FROM_SCREEN))
    tables = export_json([exported(kept_of(PLAN, SQUAD, [Begun(-1, 0, 0), *taken, Ended(500_000)]))])["tables"]
    assert [(row["source"], row["bound_ms"]) for row in tables["times"]] == [("", None), ("screen 3", 12)]
