"""Hiding a session: it counts nowhere, a copy from another tablet does not bring it back, and Undo does."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pacer.review.enter.enteredtimes import begin_without, keep
from pacer.review.season.ledger import Ledger
from pacer.session.journal.recordentries import Touched
from pacer.session.storage.hiding import hide, show_again
from pacer.session.storage.sessionimport import take_in
from pacer.session.storage.sessionmerge import joined, rows_of
from pacer.session.storage.store import Store, StoreTrouble
from tests.review.exports.test_merging import EVENINGS, cut
from tests.review.made import S

TIME = Touched(70 * S, 0, 0, 0, 1, 1, 1, 10 * S, 3_000)


@pytest.fixture
def store(tmp_path):
    made = Store(tmp_path)
    made.open()
    take_in(made, EVENINGS[:2])
    return made


def numbers(store, hidden=False):
    return sorted(one.number for one in store.sessions(hidden))


def test_a_hidden_session_counts_nowhere_until_it_is_shown_again(store):
    before = rows_of(store.session(1))
    hide(store, 1)
    assert (numbers(store), numbers(store, hidden=True)) == ([2], [1])
    with Ledger(store).open() as ledger:
        assert ledger.execute("select number from session").fetchall() == [(2,)]
    assert rows_of(store.session(1)).rows[:-1] == before.rows, "nothing of it is deleted"
    assert store.session(1).listed.ended_ms is not None and not store.session(1).lost
    with pytest.raises(StoreTrouble, match="is hidden"):
        keep(store, store.session(1), [TIME], 1)
    hide(store, 1)  # twice is once
    show_again(store, 1)
    assert (numbers(store), numbers(store, hidden=True)) == ([1, 2], [])
    keep(store, store.session(1), [TIME], 1)
    with Ledger(store).open() as ledger:
        assert ledger.execute("select count(*) from session").fetchone() == (2,)


def test_only_a_session_that_is_over_can_be_hidden(store):
    take_in(store, [cut(EVENINGS[2], 5)])
    with pytest.raises(StoreTrouble, match="was never ended"):
        hide(store, 3)


def test_a_copy_does_not_bring_it_back_and_hidden_twice_it_is_still_one(store):
    one = rows_of(store.session(1))
    hide(store, 1)
    gone = rows_of(store.session(1))
    assert joined(one, gone) == joined(gone, one) == gone
    assert take_in(store, [one]) == (0, 0, 1) and numbers(store) == [2]
    show_again(store, 1)
    assert take_in(store, [gone]) == (0, 0, 1) and numbers(store) == [1, 2], "hidden before it was shown again"


def test_what_was_added_elsewhere_meanwhile_stays_in_the_log(store, tmp_path):
    other = Store(tmp_path / "other")
    other.open()
    take_in(other, EVENINGS[:1])
    keep(other, other.session(1), [TIME], 1)
    hide(store, 1)
    assert take_in(store, [rows_of(other.session(1))]) == (1, 0, 0)
    assert (numbers(store), numbers(store, hidden=True)) == ([2, 3], [1])


def test_a_session_entered_again_is_not_lost_behind_a_hidden_one(store):
    """The same plan at the same time: the coach is told where it is."""
    rows = EVENINGS[0]
    ended = next(row for row in rows.rows if row.kind == "ended")
    again = replace(rows, rows=(rows.rows[0]._replace(wall_ms=1_000_000), ended._replace(number=2)))
    with pytest.raises(StoreTrouble, match="started at that time"):
        begin_without(store, again)
    hide(store, 1)
    with pytest.raises(StoreTrouble, match="is the same one, and hidden: show it again"):
        begin_without(store, again)
