"""Delete a session for good: its times, notes and names go, and no copy from another tablet brings it back.

What stays is a mark of the session, a hash that says nothing about it. It leaves with every export, and deletes the
session wherever it is imported, so that the session is gone on all tablets in whatever order they exchange files.
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import sqlite3
from collections.abc import Collection

from pacer.language import tr
from pacer.plan.text.withoutcomments import without_comments
from pacer.session.storage.savedsession import Listed
from pacer.session.storage.sessionmerge import KeptRows, read_rows, unnamed
from pacer.session.storage.store import Store, StoreTrouble, said
from pacer.squad.files.withoutnames import without_names


def session_mark(one: KeptRows) -> str:
    """The mark of a session: the same for every copy of it, also for one that is longer, shorter, or without names."""
    first = [*one.rows[0][:3], unnamed(one.rows[0].line)] if one.rows else []
    start = [without_comments(one.plan), one.counts, one.assumed, without_names(one.squad) or one.squad, first]
    return hashlib.sha256(json.dumps(start).encode()).hexdigest()


def delete(store: Store, number: int) -> None:
    """Delete a hidden session for good. Raises StoreTrouble; then nothing has changed."""
    if not store.session(number).listed.hidden:
        raise StoreTrouble(tr("Session {number} is in the log. Hide it first.", number=number))
    with writing(store) as connection:
        bury(connection, {session_mark(read_start(connection, number))})


def deleted(store: Store) -> frozenset[str]:
    """The marks of all sessions that were deleted. Raises StoreTrouble."""
    with store.reading() as connection:
        return frozenset() if connection is None else marks_in(connection)


def would_delete(store: Store, marks: Collection[str]) -> tuple[Listed, ...]:
    """The sessions in the log that an import of these marks would delete. Raises StoreTrouble."""
    new = set(marks) - deleted(store)
    with store.reading() as connection:
        if connection is None or not new:
            return ()
        return tuple(one for one in store.sessions() if session_mark(read_start(connection, one.number)) in new)


def marks_in(connection: sqlite3.Connection) -> frozenset[str]:
    """The marks in an open file."""
    return frozenset(mark for (mark,) in connection.execute("select mark from deleted"))


@contextlib.contextmanager
def writing(store: Store):
    """One transaction in the store, all or nothing; what it deletes is overwritten on disk. Raises StoreTrouble."""
    lock = store.claim()
    try:
        with contextlib.closing(store.made()) as connection:
            connection.execute("pragma secure_delete = on")
            connection.execute("begin immediate")
            try:
                yield connection
                connection.execute("commit")
            except BaseException:
                connection.execute("rollback")
                raise
            connection.execute("pragma wal_checkpoint(truncate)")  # what was deleted is in the log file until then
    except (sqlite3.Error, OSError) as error:
        raise StoreTrouble(said(error, store.path)) from error
    finally:
        lock.close()


def bury(connection: sqlite3.Connection, marks: Collection[str]) -> None:
    """Add marks, and delete all sessions that have one of them."""
    new = set(marks) - marks_in(connection)
    connection.executemany("insert into deleted (mark) values (?)", [(mark,) for mark in sorted(new)])
    if not new:
        return
    for (number,) in connection.execute("select number from session order by number").fetchall():
        if session_mark(read_start(connection, number)) in new:
            for table, column in (("entry", "session"), ("standing", "session"), ("session", "number")):
                connection.execute(f"delete from {table} where {column} = ?", (number,))


def read_start(connection: sqlite3.Connection, number: int) -> KeptRows:
    """A session with no more than its first entry."""
    return read_rows(connection, number, 1)
