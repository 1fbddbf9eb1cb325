"""The one writer of a running session: it saves the journal on a separate thread, and never delays a frame.

`append` takes an entry and returns at once; `saved` tells how far the journal is on disk (committed and
synced). Entries that could not be saved stay in memory and are tried again: disk full, folder read-only, file
locked by another program, file damaged, file gone. `trouble` says so while it lasts. The session's clock does
not depend on any of this.
"""

from __future__ import annotations

import contextlib
import sqlite3
import time
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial
from threading import Condition, Thread

from pacer.language import tr
from pacer.session.journal.entries import Begun, Ended, Entry, TakenBack
from pacer.session.journal.jsonlines import STEERING, WORDS, line_from_entry
from pacer.session.journal.recordentries import Record
from pacer.session.storage import store as stores
from pacer.session.storage.savedsession import KeptSession, Line, Session
from pacer.session.storage.schema import PUT, next_number, sum_of
from pacer.session.storage.store import Store, StoreTrouble, is_damage, said
from pacer.session.timesource import Now, now

QUEUE = 512  #: entries that may wait to be written; after that, records are refused
RETRY_S = 1.0  #: time between a failure and the next try
SEEN_S = 30.0  #: how often a session in which nothing happens saves the time at which it was still running

#: Why an entry is not saved, if the disk said nothing.
TOO_MUCH, TOO_SLOW = tr("saving can't keep up"), tr("the tablet's storage is slow")


class NotKept(OSError):
    """An entry was not saved (in time); the message says why."""


class Keeper:
    """Save one session's journal. `begin` and `carry_on` make a keeper; close it in the end."""

    def __init__(
        self,
        store: Store,
        session: Session,
        *,
        clock: Callable[[], Now] = now,
        retry_s: float = RETRY_S,
        number: int | None = None,
        lines: Iterable[Line] = (),
        lock: sqlite3.Connection | None = None,
        begun: Begun | None = None,
        ended_ms: int | None = None,
        entries: int = 0,
    ):
        self.store = store
        self.session = session
        self.number = number  #: the session's number in the store; None until it is saved
        self.trouble = ""  #: why entries cannot be saved, in a sentence; "" while all is well
        self.told: tuple[str, ...] = ()  #: what has happened to the store since, in sentences
        self._clock = clock
        self._retry_s = retry_s
        self._lock = lock
        self._connection: sqlite3.Connection | None = None
        self._file: tuple[int, int] | None = None
        self._begun = begun
        self._ended_ms = ended_ms
        self.rows: list[tuple | None] = []  #: (number, wall_ms, kind, line) by number - 1; None: could not be read
        for line in lines:
            self.rows += [None] * (line.number - 1 - len(self.rows))
            self.rows.append((line.number, line.wall_ms, WORDS[type(line.entry)], line.text))
        self.rows += [None] * (
            entries - len(self.rows)
        )  # the last ones may be unreadable, but their numbers are in use
        self._saved = len(self.rows)
        self._written = (
            self._saved
        )  #: how far the open file has the journal; less than `saved` after starting a new file
        self._present = number is not None
        self._closing = False
        self._damage: Exception | None = None  #: the error that checking a large file has found
        self._checking: sqlite3.Connection | None = None
        self._checked = False
        self._change = Condition()
        self._thread = Thread(target=self._work, name="keeper", daemon=True)
        self._thread.start()

    # -- for the drawing thread --------------------------------------------------------------------

    @property
    def saved(self) -> int:
        """The number of the last entry on disk, with all entries before it."""
        return self._saved

    @property
    def waiting(self) -> int:
        """How many entries are not on disk yet."""
        return len(self.rows) - self._saved

    def append(self, entry: Entry | Record) -> int | None:
        """Queue an entry to be saved, and return its number in the journal. Never waits.

        None: too many entries are waiting already; this one is not part of the journal and must not count.
        Entries that steer the session (a pause, a move, stop all) are always accepted. A `Begun` without the
        start of the machine gets the current one.
        """
        kind = WORDS[type(entry)]
        if isinstance(entry, Begun) and not entry.boot:
            entry = replace(entry, boot=self._clock().boot)
        row_text = line_from_entry(entry)
        with self._change:
            if self._closing or (len(self.rows) - self._saved >= QUEUE and kind not in STEERING):
                return None
            number = len(self.rows) + 1
            wall_ms = self._clock().wall_ms
            self.rows.append((number, wall_ms, kind, row_text))
            if isinstance(entry, Begun):
                self._begun = entry
            if isinstance(entry, Ended):
                self._ended_ms = wall_ms
            elif isinstance(entry, TakenBack):
                self._ended_ms = None
            self._change.notify_all()
        return number

    def wait(self, number: int | None = None, timeout_s: float = 5.0) -> bool:
        """Wait until entry `number` (None: the last) is on disk; False if it is not in time.

        Not for the drawing thread.
        """
        with self._change:
            wanted = len(self.rows) if number is None else number
            return self._change.wait_for(lambda: self._saved >= wanted, timeout_s)

    def keep(self, entry: Entry | Record, timeout_s: float = 2.0) -> int:
        """Append an entry, and wait until it is on disk. Raises NotKept; the entry may still be saved later."""
        number = self.append(entry)
        if number is None:
            raise NotKept(self.trouble or TOO_MUCH)
        if not self.wait(number, timeout_s):
            raise NotKept(self.trouble or TOO_SLOW)
        return number

    def close(self, timeout_s: float = 5.0) -> bool:
        """Save what is waiting, and release the store. False if something could not be saved in time."""
        with self._change:
            self._closing = True
            self._change.notify_all()
        self._thread.join(timeout_s)
        return not self.waiting and not self._thread.is_alive()

    # -- the writing thread ----------------------------------------------------------------------------

    def _closes_now(self, closing: bool) -> bool:
        return self._closing and not closing

    def _work(self) -> None:
        deadline: float | None = None
        while True:
            with self._change:
                idle = not self._change.wait_for(lambda: self._closing or self._damage or self._unwritten(), SEEN_S)
                upto, closing = len(self.rows), self._closing
                damage, self._damage = self._damage, None
            if closing and deadline is None:
                deadline = time.monotonic() + self._retry_s * 2
            try:
                if damage is not None:
                    raise damage
                if self._unwritten() or (idle and self._present and self._ended_ms is None):
                    self.write(upto)
            except (sqlite3.Error, OSError, StoreTrouble, stores.Damaged) as error:
                self._cope(error)
                if deadline is not None and time.monotonic() > deadline:
                    break
                with self._change:
                    self._change.wait_for(partial(self._closes_now, closing), self._retry_s)
                continue
            if closing and not self._unwritten():
                break
        with self._change, contextlib.suppress(sqlite3.Error):
            if self._checking is not None:
                self._checking.interrupt()
        self._let_go(self._connection)
        self._let_go(self._lock)

    def _check(self) -> None:
        """Check the whole file while entries are written; writing does not wait for it."""
        try:
            with contextlib.closing(self.store.connect()) as connection:
                with self._change:
                    self._checking = None if self._closing else connection
                if self._checking is not None:
                    self.store.check(connection)
        except (sqlite3.Error, OSError, stores.Damaged) as error:
            if is_damage(error):
                with self._change:
                    self._damage = error
                    self._change.notify_all()
        finally:
            with self._change:
                self._checking = None

    def _unwritten(self) -> bool:
        return self._written < len(self.rows)

    def write(self, upto: int) -> None:
        """Bring the file up to entry `upto`, in one transaction."""
        connection = self.open_file()
        rows = [row for row in self.rows[self._written : upto] if row is not None]
        instant = self._clock()
        connection.execute("begin immediate")
        if not self._present:
            self.put_session(connection)
        connection.executemany(
            PUT["entry"],
            [
                (self.number, number, wall_ms, kind, line, sum_of(self.number, number, wall_ms, line))
                for number, wall_ms, kind, line in rows
            ],
        )
        begun_ms, zone = (None, "") if self._begun is None else (self._begun.wall_ms, self._begun.zone)
        connection.execute(
            "insert or replace into standing (session, begun_ms, zone, ended_ms, seen_ms, seen_boot_ms) values "
            "(?, ?, ?, ?, ?, ?)",
            (self.number, begun_ms, zone, self._ended_ms, instant.wall_ms, instant.boot_ms),
        )
        connection.execute("commit")
        with self._change:
            self._present = True
            self._written = upto
            self._saved = max(self._saved, upto)
            self.trouble = ""
            self._change.notify_all()

    def put_session(self, connection: sqlite3.Connection) -> None:
        if self.number is None:
            self.number = next_number(connection)
        session = self.session
        values = (
            self.number,
            session.title,
            session.pool,
            int(session.assumed),
            session.counts_json(),
            session.plan,
            session.squad,
        )
        connection.execute(
            PUT["session"],
            (*values, sum_of(*values)),
        )

    def open_file(self) -> sqlite3.Connection:
        """The connection to the file that exists now."""
        if self._lock is None:
            self._lock = self.store.claim()
        if self._connection is not None and self._file != self._identity():
            self._let_go(self._connection)  # the file is gone: a new one gets the whole session
            self._connection, self._file = None, None
            self._present, self._written = False, 0
            self.told += (
                tr(
                    "{name} in {folder} is gone. This session is saved in a new file.",
                    name=self.store.path.name,
                    folder=self.store.folder,
                ),
            )
        if self._connection is None:
            self._connection = self.store.made()
            self._file = self._identity()
            if not self._checked and self.store.path.stat().st_size > stores.CHECKED_BYTES:
                self._checked = True  # smaller files were checked when the store was opened
                Thread(target=self._check, name="store check", daemon=True).start()
        return self._connection

    def _identity(self) -> tuple[int, int] | None:
        try:
            found = self.store.path.stat()
        except FileNotFoundError:
            return None
        return found.st_dev, found.st_ino

    def _cope(self, error: Exception) -> None:
        """After a failure, start again with a new connection, and with a new file if this one is broken."""
        self._let_go(self._connection)
        self._connection, self._file = None, None
        trouble = str(error) if isinstance(error, StoreTrouble) else said(error, self.store.path)
        if is_damage(error):
            try:
                self.told += self.store.renew()
                self._present, self._written = False, 0
                trouble = ""
            except StoreTrouble as worse:
                trouble = str(worse)
        with self._change:
            self.trouble = trouble and tr("{trouble} What you press works, but isn't saved yet.", trouble=trouble)

    @staticmethod
    def _let_go(connection: sqlite3.Connection | None) -> None:
        if connection is not None:
            with contextlib.suppress(sqlite3.Error):
                connection.close()


def begin(store: Store, session: Session, *, clock: Callable[[], Now] = now, retry_s: float = RETRY_S) -> Keeper:
    """Keep a new session. Never fails: if it cannot be saved, `trouble` says why, and the keeper tries again."""
    return Keeper(store, session, clock=clock, retry_s=retry_s)


def carry_on(
    store: Store, number: int, *, clock: Callable[[], Now] = now, retry_s: float = RETRY_S
) -> tuple[Keeper, KeptSession]:
    """Continue to keep an earlier session. Raises StoreTrouble, also if another pacer has it open."""
    lock = store.claim()
    try:
        kept = store.session(number)
    except StoreTrouble:
        lock.close()
        raise
    begun = next((entry for entry in reversed(kept.journal) if isinstance(entry, Begun)), None)
    return Keeper(
        store,
        kept.session,
        clock=clock,
        retry_s=retry_s,
        number=number,
        lines=kept.lines,
        lock=lock,
        begun=begun,
        ended_ms=kept.listed.ended_ms,
        entries=kept.listed.entries,
    ), kept
