"""The log as a list: its sessions, the hidden ones, possible duplicates; hiding, and Undo. No Kivy."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from operator import attrgetter

from pacer.language import listed, tr, tr_n
from pacer.review.doubles import possible_doubles
from pacer.review.enter.joinedtimes import Joined, join, part
from pacer.review.season.ledger import forget_sums
from pacer.review.sessionlog import log_order
from pacer.session.records.touches import times
from pacer.session.storage.deleting import delete
from pacer.session.storage.hiding import hide, show_again
from pacer.session.storage.savedsession import Listed
from pacer.session.storage.store import Store, StoreTrouble
from pacer.session.timezone import time_of_day

#: What is said before a session is deleted.
DELETES = tr(
    "Deletes this session for good, with its times, its notes and its swimmers' names. It can't be "
    "undone. Tablets that import this tablet's file delete it too. Files that were exported before "
    "still have it, and squads keep their swimmers."
)


class LogList:
    """The sessions in `store` in the order of `log_order`; the hidden ones instead if `away`."""

    def __init__(self, store: Store):
        self.store, self.away = store, False
        self.sessions: tuple[Listed, ...] = ()
        self.hidden = 0  #: how many sessions are hidden
        self.doubles: Mapping[int, tuple[int, ...]] = {}  #: sessions that are here twice perhaps, with the others
        self.trouble = ""  #: why the sessions can't be read
        self._moved: tuple[int, ...] = ()  #: what was hidden or shown again last
        self._added: dict[int, list[int]] = {}  #: the entries that were joined into a session last, by its number
        self.read()

    def read(self) -> None:
        """Read the store again."""
        self.sessions, self.hidden, self.doubles, self.trouble = (), 0, {}, ""
        try:
            listed, hidden = (self.store.sessions(hidden) for hidden in (False, True))
            self.sessions = log_order(one for one in (hidden if self.away else listed) if one.begun_ms is not None)
            self.hidden = len(hidden)
            self.doubles = possible_doubles(self.store, listed)
        except StoreTrouble as trouble:
            self.trouble = str(trouble)

    def turn(self, away: bool) -> None:
        """List the hidden sessions, or the log."""
        self.away, self._moved, self._added = away, (), {}
        self.read()

    # -- actions: each raises StoreTrouble, and then Undo reverses what was done so far -------------------------

    @property
    def can_undo(self) -> bool:
        """Whether something was hidden or shown again just now."""
        return bool(self._moved)

    def hide(self, number: int) -> None:
        """Hide a session."""
        self._added = {}
        self._each([number])

    def keep(self, number: int) -> Joined:
        """Keep this session and hide those that are perhaps the same, after it got their times, stroke rates and notes.

        What it got, in all.
        """
        others, got = self.doubles.get(number, ()), []
        added: list[int] = []
        try:
            for other in others:
                got.append(join(self.store, number, other))
                added += got[-1].numbers
        finally:
            self._added = {number: added} if added else {}
        self._each(others)
        times, notes, differ, rates = (
            sum(map(attrgetter(name), got)) for name in ("times", "notes", "differ", "rates")
        )
        return Joined(times, notes, differ, rates=rates)

    def show_again(self, number: int) -> None:
        """Show a hidden session again, and list the log."""
        self.away, self._added = False, {}
        self._each([number])

    def delete(self, number: int) -> None:
        """Delete a hidden session for good."""
        try:
            delete(self.store, number)
            forget_sums(self.store)
        finally:
            self._moved, self._added = (), {}
            self.read()

    def undo(self) -> None:
        """Reverse the last of these."""
        moved, added = self._moved, self._added
        self._each(moved)
        self._moved, self._added = (), {}
        for number, entries in added.items():
            part(self.store, number, entries)

    def _each(self, numbers: Sequence[int]) -> None:
        """Hide those that are shown, and show those that are hidden."""
        done = []
        try:
            away = {one.number for one in self.store.sessions(hidden=True)}
            for number in numbers:
                (show_again if number in away else hide)(self.store, number)
                done.append(number)
        finally:
            self._moved = tuple(done)
            self.read()

    # -- what is said ------------------------------------------------------------------------------------------

    def twins(self, number: int) -> tuple[Listed, ...]:
        """The sessions that are perhaps the same as this one."""
        return tuple(one for one in self.sessions if one.number in self.doubles.get(number, ()))

    def twin_said(self, number: int, one: Listed) -> str:
        """What makes a session perhaps the same as the open one, and how many times each has."""
        mine, its = (self._times(each) for each in (number, one.number))
        at = time_of_day(one.begun_ms or 0, one.zone)[:5]
        return tr(
            "Another session has the same plan, squad and day, and started at {at}. It may be the same "
            "one, from another tablet. It has {its} times, this one {mine}.",
            at=at,
            its=its,
            mine=mine,
        )

    def kept_said(self, got: Joined) -> str:
        """What came of keeping one session of several."""
        parts = [tr_n("{n:,} time", "{n:,} times", got.times)] if got.times else []
        parts += [tr_n("{n:,} stroke rate", "{n:,} stroke rates", got.rates)] if got.rates else []
        parts += [tr_n("{n:,} note", "{n:,} notes", got.notes)] if got.notes else []
        told = [
            tr("The other one is hidden.")
            if len(self._moved) == 1
            else tr("{count} others are hidden.", count=len(self._moved))
        ]
        if parts:
            told.append(tr("Added from there: {parts}.", parts=listed(parts)))
        if got.differ:
            told.append(
                tr_n("{n:,} time there differs: yours stays.", "{n:,} times there differ: yours stay.", got.differ)
            )
        return " ".join(told)

    def _times(self, number: int) -> int:
        try:
            return len(times(self.store.session(number).journal))
        except StoreTrouble:
            return 0
