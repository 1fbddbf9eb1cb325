"""Import sessions into the store, all or none; sessions that are there already are not doubled."""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterable
from typing import NamedTuple

from pacer.session.storage.schema import fill_standing, sum_of
from pacer.session.storage.sessionmerge import KeptRows, Row, joined
from pacer.session.storage.store import Store, StoreTrouble, said


class TakenIn(NamedTuple):
    """How many sessions were `new`, how many became `fuller`, and how many were there already (`same`)."""

    new: int
    fuller: int
    same: int


def take_in(store: Store, sessions: Iterable[KeptRows]) -> TakenIn:
    """Import sessions in one transaction. Raises StoreTrouble; then nothing has changed."""
    lock = store.claim()
    try:
        with contextlib.closing(store.made()) as connection:
            connection.execute("begin immediate")
            try:
                found = [_take(connection, one) for one in sessions]
                fill_standing(connection)
                connection.execute("commit")
            except BaseException:
                connection.execute("rollback")
                raise
    except (sqlite3.Error, OSError) as error:
        raise StoreTrouble(said(error, store.path)) from error
    finally:
        lock.close()
    return TakenIn(found.count("new"), found.count("fuller"), found.count("same"))


def _take(connection: sqlite3.Connection, one: KeptRows) -> str:
    numbers = connection.execute("select number from session where plan = ? order by number", (one.plan,)).fetchall()
    for (number,) in numbers:
        there = _read(connection, number)
        both = joined(there, one)
        if both is None:
            continue
        if both == there:
            return "same"
        _write(connection, number, both)
        return "fuller"
    number = connection.execute("select coalesce(max(number), 0) + 1 from session").fetchone()[0]
    _write(connection, number, one)
    return "new"


def _read(connection: sqlite3.Connection, number: int) -> KeptRows:
    title, pool, assumed, counts, plan, squad = connection.execute(
        "select title, pool, assumed, counts, plan, squad from session where number = ?", (number,)
    ).fetchone()
    rows = connection.execute(
        "select number, wall_ms, kind, line from entry where session = ? order by number", (number,)
    ).fetchall()
    return KeptRows(title, pool, bool(assumed), counts, plan, squad, tuple(Row(*row) for row in rows))


def _write(connection: sqlite3.Connection, number: int, one: KeptRows) -> None:
    values = (number, one.title, one.pool, int(one.assumed), one.counts, one.plan, one.squad)
    connection.execute(
        "insert or replace into session (number, title, pool, assumed, counts, plan, squad, sum) values "
        "(?, ?, ?, ?, ?, ?, ?, ?)",
        (*values, sum_of(*values)),
    )
    connection.execute("delete from standing where session = ?", (number,))
    connection.executemany(
        "insert or replace into entry (session, number, wall_ms, kind, line, sum) values (?, ?, ?, ?, ?, ?)",
        [(number, *row, sum_of(number, row.number, row.wall_ms, row.line)) for row in one.rows],
    )
