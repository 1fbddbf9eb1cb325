"""Times that an older pacer put back by hand: from a file of the tablet into their sessions' journals.

An older pacer kept them beside accepted offers, by session, so that no other tablet knew of them.
"""

from __future__ import annotations

import contextlib
import json
import sqlite3
from collections.abc import Collection
from pathlib import Path

from pacer.disk import write_whole
from pacer.session.journal.jsonlines import WORDS, line_from_entry
from pacer.session.journal.recordentries import Hidden, LeftOut, PutBack, Touched
from pacer.session.storage.schema import JOURNAL, PUT, sum_of

FILE = "offers.json"  #: accepted offers; in older versions also the times put back
KEY = "put back"


def move_put_back(folder: Path, connection: sqlite3.Connection) -> None:
    """Add the times to their sessions and take them out of the file.

    Those of a hidden session wait in the file until it is shown again. If something can't be read or written, all stay
    where they are.
    """
    path = Path(folder) / FILE
    with contextlib.suppress(OSError, ValueError, TypeError, KeyError, AttributeError, sqlite3.Error):
        data = json.loads(path.read_bytes())
        back = {int(session): frozenset(map(int, entries)) for session, entries in data[KEY].items()}
        if not back:
            return
        left = {}
        connection.execute("begin immediate")
        try:
            for session, entries in back.items():
                if not _added(connection, session, entries):
                    left[str(session)] = sorted(entries)
            connection.execute("commit")
        except BaseException:
            connection.execute("rollback")
            raise
        if len(left) < len(back):
            write_whole(path, json.dumps({**data, KEY: left}, ensure_ascii=False).encode())


def _added(connection: sqlite3.Connection, session: int, entries: Collection[int]) -> bool:
    """Add them to a session's journal, those that it has not yet; False if the session is hidden."""
    rows = connection.execute(JOURNAL, (session,)).fetchall()
    if rows and rows[-1][2] == WORDS[Hidden]:
        return False
    times = {number for number, _, kind, _ in rows if kind == WORDS[Touched]}
    turned = {json.loads(line)["entry"] for *_, kind, line in rows if kind in (WORDS[PutBack], WORDS[LeftOut])}
    for number in sorted(times & set(entries) - turned):
        add_entry(connection, session, PutBack(json.loads(rows[-1][3])["at_ms"], number))
    return True


def add_entry(connection: sqlite3.Connection, session: int, entry: PutBack | LeftOut) -> None:
    """Add an entry to a session's journal, with the wall time of the entry before it."""
    last, wall_ms, *_ = connection.execute(f"{JOURNAL} desc limit 1", (session,)).fetchone()
    line = line_from_entry(entry)
    values = (session, last + 1, wall_ms, WORDS[type(entry)], line)
    connection.execute(PUT["entry"], (*values, sum_of(session, last + 1, wall_ms, line)))
