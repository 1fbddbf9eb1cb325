"""Deleting a session for good: its names are nowhere on disk, and no copy from another tablet brings it back."""

from __future__ import annotations

from dataclasses import replace

import pytest

from pacer.cli.commands import main
from pacer.review.exports.archivereading import read_archive
from pacer.review.exports.tabletarchive import import_archive
from pacer.review.season.ledger import Ledger
from pacer.session.journal.recordentries import Noted
from pacer.session.storage.deleting import delete, deleted, session_mark
from pacer.session.storage.hiding import hide
from pacer.session.storage.salvage import set_aside
from pacer.session.storage.sessionimport import take_in
from pacer.session.storage.sessionmerge import rows_of
from pacer.session.storage.store import Store, StoreTrouble
from pacer.show.after.loglist import LogList
from pacer.show.after.tabletexports import AskFirst, archive, imported
from tests.review.exports.test_merging import EVENINGS, more

NAMES = (b"Rowan", b"was late")  # a swimmer who joined in the third evening, and a note of the second one


@pytest.fixture
def stores(tmp_path):
    made = [Store(tmp_path / name) for name in ("a", "b")]
    for store in made:
        store.open()
        take_in(store, EVENINGS[:3])
    return made


def titles(store):
    return [one.begun_ms for one in (*store.sessions(), *store.sessions(hidden=True))]


def bytes_of(store):
    return b"".join(path.read_bytes() for path in sorted(store.folder.rglob("*")) if path.is_file())


def bury(store, number):
    hide(store, number)
    log = LogList(store)
    log.turn(away=True)
    log.delete(number)
    assert not log.can_undo


def test_nothing_of_it_is_left_on_disk(stores):
    store = stores[0]
    with Ledger(store).open():
        pass
    assert all(name in bytes_of(store) for name in NAMES)
    bury(store, 3)
    assert NAMES[0] not in bytes_of(store) and NAMES[1] in bytes_of(store)
    bury(store, 2)
    assert NAMES[1] not in bytes_of(store)
    assert titles(store) == [1_000_000] and store.open() == ()


def test_only_a_hidden_session_can_be_deleted(stores):
    with pytest.raises(StoreTrouble, match=r"is in the log\. Hide it first"):
        delete(stores[0], 1)
    with pytest.raises(StoreTrouble, match="no session 9"):
        delete(stores[0], 9)
    assert len(titles(stores[0])) == 3 and not deleted(stores[0])


@pytest.mark.parametrize("names", [True, False])
def test_no_copy_brings_it_back_and_it_is_deleted_on_the_other_tablet(stores, names):
    a, b = stores
    take_in(b, [more(rows_of(b.session(3)), Noted(9, "longer there"))])
    before = archive(b, names)
    bury(a, 3)
    said = imported(a, before)
    assert titles(a) == [2_000_000, 1_000_000], said
    brought = import_archive(b, read_archive(archive(a, names)))
    assert titles(b) == titles(a) and [one.begun_ms for one in brought.deleted] == [3_000_000]
    assert archive(a, names) == archive(b, names) and NAMES[0] not in bytes_of(b)
    again = Store(a.folder.parent / "c")
    again.open()
    assert imported(again, before)[0] == "Sessions: 3 new."
    with pytest.raises(AskFirst, match="deleted for good"):
        imported(again, archive(a, names))
    assert len(titles(again)) == 3, "nobody's session is deleted unasked"
    assert "Deleted, as on the other tablet" in " ".join(imported(again, archive(a, names), agreed=True))
    assert titles(again) == titles(a)


def test_the_mark_says_nothing_and_is_the_same_for_every_copy(stores):
    rows = rows_of(stores[0].session(3))
    mark = session_mark(rows)
    assert len(mark) == 64 and session_mark(replace(rows, rows=rows.rows[:2])) == mark
    assert session_mark(replace(rows, plan=f"# Kit is away\n{rows.plan}")) == mark
    assert len({session_mark(one) for one in EVENINGS}) == 4
    (theirs,) = [
        one for one in read_archive(archive(stores[0], False)).sessions if one.rows[0].wall_ms == rows.rows[0].wall_ms
    ]
    assert session_mark(theirs) == mark, "nor do names matter"


def test_a_damaged_store_keeps_what_was_deleted(stores):
    store = stores[0]
    bury(store, 3)
    kept = deleted(store)
    lock = store.claim()
    set_aside(store.path, store.made)
    lock.close()
    assert deleted(store) == kept and len(kept) == 1 and len(titles(store)) == 2


def test_the_command_line_asks_before_an_import_deletes(stores, tmp_path, monkeypatch, capsys):
    bury(stores[0], 3)
    (tmp_path / "a.zip").write_bytes(archive(stores[0], True))
    monkeypatch.setenv("PACER_HOME", str(stores[1].folder))
    assert main(["import", str(tmp_path / "a.zip")]) == 1
    assert "it would delete" in capsys.readouterr().err and len(titles(stores[1])) == 3
    assert main(["import", str(tmp_path / "a.zip"), "--delete"]) == 0 and titles(stores[1]) == titles(stores[0])


def test_by_the_command_line(stores, monkeypatch, capsys):
    monkeypatch.setenv("PACER_HOME", str(stores[0].folder))
    assert main(["log", "3", "--delete"]) == 1 and "Hide it first" in capsys.readouterr().err
    assert main(["log", "3", "--hide"]) == main(["log", "3", "--delete"]) == 0
    assert "Session 3 is deleted for good" in capsys.readouterr().out
    assert main(["log", "--delete"]) == 2
    assert len(titles(stores[0])) == 2
