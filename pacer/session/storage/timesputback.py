"""Put back a time that looks too far off, so that it counts, and leave it out again.

Both are entries of the session's journal. They have the time of the entry before them, so that a session in which two
tablets put back the same time is still one.
"""

from __future__ import annotations

from pacer.session.journal.recordentries import LeftOut, PutBack, times_put_back
from pacer.session.storage.deleting import writing
from pacer.session.storage.hiding import check_open_to_more
from pacer.session.storage.putbackmigration import add_entry
from pacer.session.storage.store import Store


def put_back(store: Store, number: int, entry: int) -> None:
    """Let the time in an entry of a session count, however far off it is. Raises StoreTrouble."""
    _turn(store, number, entry, back=True)


def leave_out(store: Store, number: int, entry: int) -> None:
    """Leave out a time again that was put back. Raises StoreTrouble."""
    _turn(store, number, entry, back=False)


def _turn(store: Store, number: int, entry: int, *, back: bool) -> None:
    kept = store.session(number)
    check_open_to_more(kept)
    if (entry in times_put_back(kept.journal)) is back:
        return
    at_ms = kept.lines[-1].entry.at_ms
    with writing(store) as connection:  # directly: of a session that never ended, the store knows when it was last seen
        add_entry(connection, number, PutBack(at_ms, entry) if back else LeftOut(at_ms, entry))
