"""Handle a damaged store: rename it, never delete it, and save what can be read into a new one."""

from __future__ import annotations

import contextlib
import os
import shutil
import sqlite3
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from pacer.language import tr, tr_n
from pacer.session.storage.schema import COLUMNS, JOURNAL, PUT, fill_standing, next_number, right_description, sum_of

_BESIDE = ("-wal", "-shm", "-journal")  # what SQLite keeps beside a file
_PATIENCE = 256  # give up after this many unreadable rows in a row

_SESSION, _ENTRY = COLUMNS["session"], COLUMNS["entry"]

#: Errors that reading a broken file can raise.
_BROKEN = (sqlite3.Error, OverflowError, ValueError)


def set_aside(path: Path, make: Callable[[], sqlite3.Connection]) -> tuple[str, ...]:
    """Rename the file, `make` a new one, save into it what can be read, and return sentences for the coach.

    Raises OSError or what SQLite raises.
    """
    aside = _renamed(path)
    with contextlib.closing(make()) as fresh, tempfile.TemporaryDirectory() as place:
        copy = _copied(aside, Path(place))
        if copy != aside:
            _mend_tables(copy)
        sessions, entries = _saved(copy, fresh)
    count = tr_n("{n} entry", "{n} entries", entries)
    what = tr_n("{n} session with {count}", "{n} sessions with {count}", sessions, count=count)
    return (
        tr(
            "The file with your sessions was damaged. It is kept as {name} in {parent}. What could be read ({what}) "
            "was saved into a new one.",
            name=aside.name,
            parent=aside.parent,
            what=what,
        ),
    )


def merge(side: Path, into: sqlite3.Connection) -> int:
    """Copy the sessions in the file `side` into an open store, with new numbers after its last, and rename the file.

    Returns how many there were.

    It is one transaction. A session that the store has already (because pacer ended before it renamed the file) is
    skipped. Raises OSError or what SQLite raises.
    """
    count = 0
    with contextlib.closing(sqlite3.connect(side, isolation_level=None)) as old:
        old.text_factory = lambda raw: raw.decode("utf-8", "replace")
        old.execute("pragma wal_checkpoint(truncate)")
        into.execute("begin immediate")
        try:
            for session in old.execute(f"select {', '.join(_SESSION)} from session order by number").fetchall():
                rows = old.execute(
                    f"select {', '.join(_ENTRY)} from entry where session = ? order by number", session[:1]
                ).fetchall()
                count += _taken_over(session, rows, into)
            fill_standing(into)
            into.execute("commit")
        except BaseException:
            into.execute("rollback")
            raise
    os.replace(side, side.with_suffix(f"{side.suffix}.merged"))
    for end in _BESIDE:
        Path(f"{side}{end}").unlink(missing_ok=True)
    return count


def _taken_over(session: tuple, rows: list[tuple], into: sqlite3.Connection) -> bool:
    """Write one session and its entries under the next number, unless the store has it already."""
    journal = [row[1:5] for row in rows]
    for (number,) in into.execute(
        "select number from session where plan = ?", (session[_SESSION.index("plan")],)
    ).fetchall():
        if into.execute(JOURNAL, (number,)).fetchall() == journal:
            return False
    number = next_number(into)
    values = (number, *session[1:-1])
    into.execute(PUT["session"], (*values, sum_of(*values)))
    into.executemany(
        PUT["entry"],
        [
            (
                number,
                entry,
                wall_ms,
                kind,
                line,
                sum_of(number, entry, wall_ms, line) if kept_sum == sum_of(was, entry, wall_ms, line) else kept_sum,
            )
            for was, entry, wall_ms, kind, line, kept_sum in rows
        ],
    )
    return True


def _renamed(path: Path) -> Path:
    """Rename the damaged file and the files beside it; return the new name."""
    stamp = time.strftime("%Y%m%d-%H%M%S")
    number = 1
    while (aside := path.with_name(f"damaged-{stamp}{f'-{number}' if number > 1 else ''}{path.suffix}")).exists():
        number += 1
    os.rename(path, aside)
    for end in _BESIDE:
        with contextlib.suppress(FileNotFoundError):
            os.rename(f"{path}{end}", f"{aside}{end}")
    return aside


def _copied(aside: Path, place: Path) -> Path:
    """A copy to read from, so that reading does not change the damaged file; the file itself if there is no room."""
    copy = place / "copy"
    try:
        shutil.copyfile(aside, copy)
        with contextlib.suppress(FileNotFoundError):
            shutil.copyfile(f"{aside}-wal", f"{copy}-wal")
        return copy
    except OSError:
        return aside


def _saved(damaged: Path, fresh: sqlite3.Connection) -> tuple[int, int]:
    """Copy every row that can be read and trusted; return how many sessions and entries."""
    entries = 0
    with contextlib.closing(sqlite3.connect(damaged, isolation_level=None)) as old:
        old.text_factory = lambda raw: raw.decode("utf-8", "replace")
        fresh.execute("begin immediate")
        sessions = {row[0]: row for row in _rows(old, "session", _SESSION, "") if row[-1] == sum_of(*row[:-1])}
        for number, session in sorted(sessions.items()):
            fresh.execute(PUT["session"], session)
            rows = {row[1]: row for row in _rows(old, "entry", _ENTRY, f"session = {number} and") if _trusted(row)}
            fresh.executemany(PUT["entry"], [rows[key] for key in sorted(rows)])
            entries += len(rows)
        with contextlib.suppress(*_BROKEN):
            for row in old.execute("select mark from deleted"):
                fresh.execute("insert or ignore into deleted (mark) values (?)", row)
        fill_standing(fresh)
        fresh.execute("commit")
    return len(sessions), entries


def _mend_tables(damaged: Path) -> None:
    """If the description of the tables is broken, replace it with the right one; the tables stay in their place."""
    with contextlib.suppress(*_BROKEN), contextlib.closing(sqlite3.connect(damaged, isolation_level=None)) as old:
        old.execute("pragma writable_schema = on")
        for place, description in enumerate(right_description(), 1):
            old.execute(
                "update sqlite_master set type = ?, name = ?, tbl_name = ?, sql = ? where rowid = ?",
                (*description, place),
            )


def _trusted(row: tuple) -> bool:
    session, number, wall_ms, kind, line, kept_sum = row
    return isinstance(kind, str) and kept_sum == sum_of(session, number, wall_ms, line)


def _rows(old: sqlite3.Connection, table: str, columns: tuple[str, ...], where: str) -> Iterator[tuple]:
    """The rows of a table.

    Read from the front and from the back as far as possible, then one by one in between. A row may come twice.
    """
    select = f"select {', '.join(columns)} from {table} where {where} number"
    place = columns.index("number")
    ends: list[int | None] = []
    for order in ("", " desc"):
        last = None
        try:
            for row in old.execute(f"{select} >= 0 order by number{order}"):
                last = row[place]
                yield row
        except _BROKEN:
            ends.append(last)
        else:
            return
    number, last = ends[0] or 0, ends[1]
    failed = 0
    while failed < _PATIENCE and (last is None or number < last - 1):
        number += 1
        failed += 1
        with contextlib.suppress(*_BROKEN):
            for row in old.execute(f"{select} = ?", (number,)):
                failed = 0
                yield row
