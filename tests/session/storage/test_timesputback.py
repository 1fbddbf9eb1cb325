"""A time put back by hand is in the session: it leaves with the archive, merges, and is left out again."""

from __future__ import annotations

import json

import pytest

from pacer.review.exports.archivereading import read_archive
from pacer.review.exports.tabletarchive import import_archive
from pacer.review.learning.learned import outliers
from pacer.review.swum.sessionreview import review_of
from pacer.session.journal.recordentries import times_put_back
from pacer.session.storage.hiding import hide, show_again
from pacer.session.storage.sessionimport import take_in
from pacer.session.storage.sessionmerge import rows_of
from pacer.session.storage.store import Store, StoreTrouble
from pacer.session.storage.timesputback import leave_out, put_back
from pacer.show.after.tabletexports import archive
from tests.review.exports.test_merging import cut
from tests.review.learning.missedtouch import missed_touch
from tests.review.season.stored import stored


@pytest.fixture
def store(tmp_path):
    return stored(tmp_path / "a", [(missed_touch(), 3)])


def far_off(store, number=1):
    """The entry of the missed touch; None if it counts."""
    return next(iter(outliers(review_of(store.session(number)))), None)


def back(store, number=1):
    return times_put_back(store.session(number).journal)


def test_a_time_put_back_is_an_entry_that_can_be_undone(store):
    before, entry = rows_of(store.session(1)), far_off(store)
    put_back(store, 1, entry)
    put_back(store, 1, entry)  # twice is once
    assert (back(store), far_off(store)) == ({entry}, None)
    leave_out(store, 1, entry)
    assert (back(store), far_off(store)) == (set(), entry)
    rows = rows_of(store.session(1)).rows
    assert rows[:-2] == before.rows and [row.kind for row in rows[-2:]] == ["put back", "left out"]
    assert store.session(1).listed.ended_ms is not None and not store.session(1).lost


@pytest.mark.parametrize("names", [True, False])
def test_another_tablet_knows_it_after_an_exchange(store, tmp_path, names):
    other = stored(tmp_path / "b", [(missed_touch(), 3)])
    entry = far_off(store)
    put_back(store, 1, entry)
    assert import_archive(other, read_archive(archive(store, names))).sessions == (0, 1, 0)
    assert (len(other.sessions()), back(other), far_off(other)) == (1, {entry}, None)
    assert archive(other, True) == archive(store, True)


def test_put_back_on_two_tablets_it_is_still_one_session(store, tmp_path):
    other = stored(tmp_path / "b", [(missed_touch(), 3)])
    for one in (store, other):
        put_back(one, 1, far_off(one))
    assert import_archive(other, read_archive(archive(store, True))).sessions == (0, 0, 1)


def test_a_session_that_never_ended_keeps_when_it_was_last_seen(store, tmp_path):
    other = Store(tmp_path / "c")
    other.open()
    take_in(other, [cut(rows_of(store.session(1)), 9)])
    kept = other.session(1)
    assert kept.listed.ended_ms is None
    put_back(other, 1, 3)
    now = other.session(1)
    assert (now.listed.seen_ms, now.seen_boot_ms, back(other)) == (kept.listed.seen_ms, kept.seen_boot_ms, {3})


def test_nothing_is_added_to_a_hidden_session(store):
    hide(store, 1)
    with pytest.raises(StoreTrouble, match="is hidden"):
        put_back(store, 1, 3)


# -- what an older pacer put back ---------------------------------------------------------------------------------


def older(store, back):
    path = store.folder / "offers.json"
    path.write_text(json.dumps({"taken": [], "put back": back}))
    return path


def test_what_an_older_pacer_put_back_moves_into_the_session(store):
    entry = far_off(store)
    path = older(store, {"1": [entry, 1, 999], "7": [3]})  # no time, no entry, no session: nothing to put back
    assert store.open() == ()
    assert (back(store), far_off(store)) == ({entry}, None)
    assert json.loads(path.read_text())["put back"] == {}
    leave_out(store, 1, entry)
    store.open()
    assert back(store) == set()
    older(store, {"1": [entry]})  # as if pacer had ended before it wrote the file
    store.open()
    assert back(store) == set(), "left out since by hand"


def test_in_a_hidden_session_it_waits_until_that_is_shown_again(store):
    entry = far_off(store)
    path = older(store, {"1": [entry]})
    hide(store, 1)
    store.open()
    assert store.sessions() == () and json.loads(path.read_text())["put back"] == {"1": [entry]}
    show_again(store, 1)
    store.open()
    assert back(store) == {entry}


@pytest.mark.parametrize("text", ["", "[]", '{"taken": []}', '{"put back": {"x": [1]}}', '{"put back": [1]}'])
def test_a_file_that_cannot_be_read_stays_as_it_is(store, text):
    path = store.folder / "offers.json"
    path.write_text(text)
    before = rows_of(store.session(1))
    assert store.open() == () and path.read_text() == text and rows_of(store.session(1)) == before
