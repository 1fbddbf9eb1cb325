"""Write many sessions into a store at once, as the keeper does entry by entry."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from pacer.session.journal.entries import Begun
from pacer.session.journal.jsonlines import WORDS, line_from_entry
from pacer.session.storage import schema
from pacer.session.storage.savedsession import KeptSession
from pacer.session.storage.schema import sum_of
from pacer.session.storage.store import Store

DAY_MS = 86_400_000


def stored(folder: Path, sessions: Iterable[tuple[KeptSession, int]]) -> Store:
    """Add these sessions to a store, each started so many days after the first."""
    store = Store(folder)
    store.open()
    with contextlib.closing(store.made()) as connection:
        connection.execute("begin")
        last = connection.execute("select coalesce(max(number), 0) from session").fetchone()[0]
        for number, (kept, day) in enumerate(sessions, last + 1):
            _write(connection, number, kept, day * DAY_MS)
        schema.fill_standing(connection)
        connection.execute("commit")
    return store


def _write(connection, number: int, kept: KeptSession, later_ms: int) -> None:
    session = kept.session
    values = (
        number,
        session.title,
        session.pool,
        int(session.assumed),
        session.counts_json(),
        session.plan,
        session.squad,
    )
    connection.execute("insert into session values (?, ?, ?, ?, ?, ?, ?, ?)", (*values, sum_of(*values)))
    rows = []
    for line in kept.lines:
        entry = line.entry
        if isinstance(entry, Begun):
            entry = replace(entry, wall_ms=entry.wall_ms + later_ms)
        text, wall_ms = line_from_entry(entry), line.wall_ms + later_ms
        total = sum_of(number, line.number, wall_ms, text)
        rows.append((number, line.number, wall_ms, WORDS[type(entry)], text, total))
    connection.executemany("insert into entry values (?, ?, ?, ?, ?, ?)", rows)
