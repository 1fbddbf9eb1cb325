"""The tables of saved sessions, from version to version.

    session   one row for each session: its start
    standing  one row for each session: the data that changes, so that a list need not read journals
    entry     one row for each entry of a journal; `line` is one JSON object
    deleted   one row for each session that was deleted: a mark that says nothing about it (`deleting.py`)

`sum` is the CRC-32 of a row's own values as text: it shows a flipped byte, which SQLite itself does
not notice.
"""

from __future__ import annotations

import contextlib
import json
import sqlite3
from functools import cache
from pathlib import Path
from zlib import crc32

#: Marks a file as pacer's, in SQLite's `application_id`: "pace" in ASCII.
APPLICATION = 0x70616365

_FIRST = """
create table session (
    number integer primary key,
    title text not null,
    pool text not null,
    assumed integer not null,
    counts text not null,
    plan text not null,
    squad text not null,
    sum integer not null
);
create table entry (
    session integer not null references session (number),
    number integer not null,
    wall_ms integer not null,
    kind text not null,
    line text not null,
    sum integer not null,
    primary key (session, number)
) without rowid;
"""

_STANDING = """
create table standing (
    session integer primary key references session (number),
    begun_ms integer,
    zone text not null default '',
    ended_ms integer,
    seen_ms integer,
    seen_boot_ms integer
);
"""


def _to_first(connection: sqlite3.Connection) -> None:
    for statement in filter(str.strip, _FIRST.split(";")):
        connection.execute(statement)
    connection.execute(f"pragma application_id = {APPLICATION}")


def _to_standing(connection: sqlite3.Connection) -> None:
    """Version 2: the state of each session has its own table, filled from the journals."""
    connection.execute(_STANDING)
    fill_standing(connection)


def fill_standing(connection: sqlite3.Connection) -> None:
    """Work out the state of each session without one from its journal.

    Lines that are not JSON are skipped.
    """
    for (session,) in connection.execute(
        "select number from session where number not in (select session from standing)"
    ).fetchall():
        begun_ms, zone, ended_ms = None, "", None
        for kind, line, wall_ms in connection.execute(
            "select kind, line, wall_ms from entry where session = ? and kind "
            "in ('begun', 'ended', 'taken back') order by number",
            (session,),
        ):
            ended_ms = wall_ms if kind == "ended" else None
            if kind == "begun":
                with contextlib.suppress(ValueError, TypeError, KeyError):
                    told = json.loads(line)
                    begun_ms, zone = told["wall_ms"], told.get("zone", "")
                    begun_ms = begun_ms if abs(begun_ms) < 2**62 else None  # more does not fit into a column
        seen_ms = connection.execute("select max(wall_ms) from entry where session = ?", (session,)).fetchone()[0]
        connection.execute(
            "insert into standing (session, begun_ms, zone, ended_ms, seen_ms) values (?, ?, ?, ?, ?)",
            (session, begun_ms, zone, ended_ms, seen_ms),
        )


def _to_deleted(connection: sqlite3.Connection) -> None:
    """Version 3: sessions can be deleted for good."""
    connection.execute("create table deleted (mark text primary key) without rowid")


#: `MIGRATIONS[v]` brings a file from version v to v + 1. Never change or remove one.
MIGRATIONS = (_to_first, _to_standing, _to_deleted)
VERSION = len(MIGRATIONS)


#: The columns of each table, in order.
COLUMNS = {
    "session": ("number", "title", "pool", "assumed", "counts", "plan", "squad", "sum"),
    "entry": ("session", "number", "wall_ms", "kind", "line", "sum"),
}
#: Write a row of a table, in place of the one with its number.
PUT = {
    table: f"insert or replace into {table} ({', '.join(columns)}) values ({', '.join('?' * len(columns))})"
    for table, columns in COLUMNS.items()
}
#: A session's entries in order, without their sums.
JOURNAL = "select number, wall_ms, kind, line from entry where session = ? order by number"


def next_number(connection: sqlite3.Connection) -> int:
    """The number of a session that is added."""
    return connection.execute("select coalesce(max(number), 0) + 1 from session").fetchone()[0]


def described(connection: sqlite3.Connection) -> list[tuple]:
    """The description of a file's tables, in the order they were made."""
    return connection.execute("select type, name, tbl_name, sql from sqlite_master order by rowid").fetchall()


@cache
def right_description() -> tuple[tuple, ...]:
    """The description of the tables in the current version."""
    with contextlib.closing(sqlite3.connect(":memory:", isolation_level=None)) as empty:
        migrate(empty)
        return tuple(described(empty))


def is_new(connection: sqlite3.Connection) -> bool:
    """Whether nobody has put anything into a file: it has neither a version nor tables."""
    return not version_of(connection) and not connection.execute("select count(*) from sqlite_master").fetchone()[0]


def version_of(connection: sqlite3.Connection) -> int:
    """The version of a file, 0 for an empty one."""
    return connection.execute("pragma user_version").fetchone()[0]


def migrate(connection: sqlite3.Connection, to: int = VERSION) -> None:
    """Bring a file to version `to`, completely or not at all."""
    connection.execute("begin immediate")
    try:
        for version in range(version_of(connection), to):
            MIGRATIONS[version](connection)
            connection.execute(f"pragma user_version = {version + 1}")
        connection.execute("commit")
    except BaseException:
        if connection.in_transaction:
            connection.execute("rollback")
        raise


def sum_of(*values: object) -> int:
    """The checksum of a row's values."""
    return crc32("\x1f".join(map(str, values)).encode("utf-8", "surrogatepass"))


def ms_or_none(value: object) -> int | None:
    """A column's instant; None if there is none."""
    return value if isinstance(value, int) else None


def version_in(path: Path) -> tuple[int, int]:
    """Whose file it is and its version, from its first page alone: `application_id` and `user_version`
    (SQLite's file format, offsets 68 and 60 of the header). Zeros if there is no file."""
    try:
        with path.open("rb") as file:
            head = file.read(72)
    except OSError:
        return 0, 0
    return int.from_bytes(head[68:72], "big"), int.from_bytes(head[60:64], "big")


def is_newer(path: Path) -> bool:
    """Whether a file is a newer pacer's store."""
    ours, version = version_in(path)
    return ours == APPLICATION and version > VERSION
