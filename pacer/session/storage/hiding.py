"""Hide a session from the log, and show it again.

Both are entries of the session's journal, so that they hold on every tablet that takes them in, and a copy that has
them not yet does not bring the session back. If another tablet added something to the session meanwhile, what it has is
a session of its own (`sessionmerge`), and that one is not hidden: nobody has looked at it yet.

The entries have the time of the entry before them, so that a session hidden on two tablets is still one.
"""

from __future__ import annotations

from dataclasses import replace

from pacer.language import tr
from pacer.session.journal.jsonlines import WORDS, line_from_entry
from pacer.session.journal.recordentries import Hidden, ShownAgain
from pacer.session.storage.savedsession import KeptSession
from pacer.session.storage.sessionimport import take_in
from pacer.session.storage.sessionmerge import Row, rows_of
from pacer.session.storage.store import Store, StoreTrouble


def hide(store: Store, number: int) -> None:
    """Hide a session. Raises StoreTrouble if it is not over, or damaged."""
    _add(store, number, hidden=True)


def show_again(store: Store, number: int) -> None:
    """Show a hidden session again. Raises StoreTrouble."""
    _add(store, number, hidden=False)


def check_ended(kept: KeptSession) -> None:
    """Raise StoreTrouble if a session was never ended."""
    if kept.listed.ended_ms is None:
        raise StoreTrouble(
            tr("Session {number} was never ended. Resume it and end it first.", number=kept.listed.number)
        )


def check_open_to_more(kept: KeptSession) -> None:
    """Raise StoreTrouble if nothing can be added to a session: it is hidden, or damaged."""
    if kept.listed.hidden:
        raise StoreTrouble(tr("Session {number} is hidden. Show it again first.", number=kept.listed.number))
    if kept.lost:
        raise StoreTrouble(tr("Session {number} is damaged: nothing can be added to it.", number=kept.listed.number))


def _add(store: Store, number: int, *, hidden: bool) -> None:
    kept = store.session(number)
    if kept.listed.hidden is hidden:
        return
    check_ended(kept)
    if kept.lost:
        raise StoreTrouble(tr("Session {number} is damaged, and stays as it is.", number=number))
    there, last = rows_of(kept), kept.lines[-1]
    entry = Hidden(last.entry.at_ms) if hidden else ShownAgain(last.entry.at_ms)
    row = Row(last.number + 1, last.wall_ms, WORDS[type(entry)], line_from_entry(entry))
    take_in(store, [replace(there, rows=(*there.rows, row))])
