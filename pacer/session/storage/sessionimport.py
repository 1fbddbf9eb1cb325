"""Import sessions into the store, all or none; sessions that are there already are not doubled."""

from __future__ import annotations

import sqlite3
from collections.abc import Collection, Iterable
from typing import NamedTuple

from pacer.session.storage.deleting import bury, marks_in, session_mark, writing
from pacer.session.storage.schema import PUT, fill_standing, next_number, sum_of
from pacer.session.storage.sessionmerge import KeptRows, begun_of, joined, read_rows
from pacer.session.storage.store import Store


class ImportCounts(NamedTuple):
    """How many sessions were `new`, how many became `fuller`, and how many were there already (`same`)."""

    new: int
    fuller: int
    same: int


def take_in(store: Store, sessions: Iterable[KeptRows], deleted: Collection[str] = ()) -> ImportCounts:
    """Import sessions in one transaction; those that were `deleted` (their marks), here or there, are not.

    Raises StoreTrouble; then nothing has changed.
    """
    with writing(store) as connection:
        bury(connection, deleted)
        gone = marks_in(connection)
        found = [_take(connection, one) for one in sessions if not gone or session_mark(one) not in gone]
        fill_standing(connection)
    return ImportCounts(found.count("new"), found.count("fuller"), found.count("same"))


def _take(connection: sqlite3.Connection, one: KeptRows) -> str:
    numbers = connection.execute(
        "select number from session left join standing on standing.session = session.number "
        "where plan = ? or begun_ms = ? order by number",
        (one.plan, begun_of(one)),
    ).fetchall()
    for (number,) in numbers:
        there = read_rows(connection, number)
        both = joined(there, one)
        if both is None:
            continue
        if both == there:
            return "same"
        _write(connection, number, both)
        return "fuller"
    _write(connection, next_number(connection), one)
    return "new"


def _write(connection: sqlite3.Connection, number: int, one: KeptRows) -> None:
    values = (number, one.title, one.pool, int(one.assumed), one.counts, one.plan, one.squad)
    connection.execute(
        PUT["session"],
        (*values, sum_of(*values)),
    )
    connection.execute("delete from standing where session = ?", (number,))
    connection.executemany(
        PUT["entry"],
        [(number, *row, sum_of(number, row.number, row.wall_ms, row.line)) for row in one.rows],
    )
