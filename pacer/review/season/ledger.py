"""Sums of every session in few rows, by session, swimmer and set, so that a season adds up fast.

The file is derived only from the sessions. If it is missing, damaged, or of another version, it is made again; a
session that has changed since is read again. It has only sessions that count as swum. It stays in the sessions' folder,
because it has swimmers' names.
"""

from __future__ import annotations

import contextlib
import json
import re
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from time import monotonic

from pacer.plan.problem import Unreadable
from pacer.review.learning.learned import outliers
from pacer.review.swum.practised import practised_in
from pacer.review.swum.sessionreview import Review, review_of, stayed_away
from pacer.review.swum.whoswam import Person
from pacer.review.wasswum import counts_as_swum
from pacer.session.storage.savedsession import Listed
from pacer.session.storage.schema import is_new, version_of
from pacer.session.storage.store import BUSY, LOCKED, Store, StoreTrouble, reason
from pacer.session.timezone import local_day
from pacer.timeline.cancellation import step
from pacer.timeline.findings import CannotRun

FILE = "season.sqlite"
VERSION = 5  #: of the tables below and their content

_TABLES = """
create table session (
    number integer primary key,
    mark text not null,          -- how the session stood when it was read
    begun_ms integer,
    day text not null,           -- where it was begun
    title text not null,
    unit text not null,
    counts integer not null,     -- whether it counts as swum and could be read
    focus text not null,         -- of its plan, as is what it revisits
    revisits text not null,
    squad text not null          -- the squad's name
);
create table swam (
    session integer not null,
    lane integer not null,
    who integer not null,        -- the person's number in the session
    name text not null,
    base_ms integer not null,    -- per 100 of the session's unit, as it was written then
    distance integer not null,
    swum_ms integer not null,
    rested_ms integer not null,
    stood_ms integer not null,
    tests text not null,         -- the test swims that the base came from, a JSON list of texts and days
    primary key (name, session, who)
) without rowid;
create table absent (
    session integer not null,
    name text not null,
    primary key (name, session)
) without rowid;
create table timed (
    session integer not null,
    lane integer not null,
    who integer not null,        -- the person's number in the session
    name text not null,
    what integer not null,       -- which set
    times integer not null,
    distance integer not null,
    sum_ms integer not null,
    predicted_ms integer not null,
    best_ms integer not null,
    primary key (name, what, session, who)
) without rowid;
create table line (
    number integer primary key,
    text text not null unique    -- a set as it is written, and the pool
);
create table practised (
    session integer not null,
    lane integer not null,
    who integer not null,        -- the person's number in the session
    name text not null,
    what text not null,          -- a drill's name as written, '' for the session's focus
    distance integer not null,
    by_time_ms integer not null, -- what went by time
    primary key (session, what, who)
) without rowid;
create index swam_by_session on swam (session);
create index timed_by_session on timed (session);
"""

_CUE = re.compile(r'\s*"[^"]*"')


def forget_sums(store: Store) -> None:
    """Delete the ledger, which has names of sessions that were deleted; it is made again from those that are left."""
    with contextlib.suppress(OSError):
        for end in ("", "-journal", "-wal", "-shm"):
            Path(f"{Path(store.folder) / FILE}{end}").unlink(missing_ok=True)


class Ledger:
    """The ledger beside a store's sessions. `told` says which sessions could not be read."""

    def __init__(self, store: Store):
        self.store = store
        self.path = Path(store.folder) / FILE
        self.told: tuple[str, ...] = ()
        self.left = 0  #: how many sessions are still unread because `going` said no
        self._memory: sqlite3.Connection | None = None  #: the ledger, if its file can't be written

    @contextlib.contextmanager
    def open(self, going: Callable[[], bool] = lambda: True) -> Iterator[sqlite3.Connection]:
        """The ledger, up to date. `going` is called before each session that has to be read, and may stop the update.

        Raises StoreTrouble if the sessions cannot be read. If the file cannot be written, the ledger is in memory.
        """
        with self.as_it_is() as connection:
            self._bring_up(connection, going)
            yield connection

    def open_for(self, budget_s: float | None) -> contextlib.AbstractContextManager[sqlite3.Connection]:
        """The same, brought up to date for so long at most (None: completely). On a thread, the work can be dropped."""
        until = None if budget_s is None else monotonic() + budget_s

        def going() -> bool:
            step()
            return until is None or monotonic() < until

        return self.open(going)

    @contextlib.contextmanager
    def as_it_is(self) -> Iterator[sqlite3.Connection]:
        """The ledger as far as it was brought up to date before."""
        connection = self._connected()
        try:
            yield connection
        finally:
            if connection is not self._memory:
                connection.close()

    def _connected(self) -> sqlite3.Connection:
        for _ in range(2):
            try:
                connection = sqlite3.connect(self.path, isolation_level=None, timeout=2)
                try:
                    self._prepare(connection)
                    return connection
                except BaseException:
                    connection.close()
                    raise
            except sqlite3.DatabaseError as wrong:
                if reason(wrong) in (BUSY, LOCKED):  # another thread is writing, and the file is intact
                    continue
                with contextlib.suppress(OSError):
                    self.path.unlink()
        if self._memory is None:
            self._memory = sqlite3.connect(":memory:", isolation_level=None, check_same_thread=False)
            self._prepare(self._memory)
        return self._memory

    @staticmethod
    def _prepare(connection: sqlite3.Connection) -> None:
        connection.execute("pragma synchronous = off")  # it can always be made again
        if version_of(connection) == VERSION:
            connection.execute("select 1 from timed, swam, practised, session limit 1")
            return
        if not is_new(connection):
            raise sqlite3.DatabaseError("another version")
        connection.executescript(f"begin; {_TABLES} pragma user_version = {VERSION}; commit;")

    def _bring_up(self, connection: sqlite3.Connection, going: Callable[[], bool]) -> None:
        there = {listed.number: listed for listed in self.store.sessions()}
        known = dict(connection.execute("select number, mark from session"))
        told = []
        self.left = 0
        for number in known.keys() - there.keys():
            self._forget(connection, number)
        for number, listed in there.items():
            if known.get(number) == _mark(listed) or listed.begun_ms is None:
                continue
            if self.left or not going():
                self.left += 1
                continue
            try:
                self._take_in(connection, listed)
            except StoreTrouble as trouble:
                told.append(str(trouble))
        self.told = tuple(told)

    @staticmethod
    def _forget(connection: sqlite3.Connection, number: int) -> None:
        for table, column in (
            ("session", "number"),
            ("swam", "session"),
            ("absent", "session"),
            ("timed", "session"),
            ("practised", "session"),
        ):
            connection.execute(f"delete from {table} where {column} = ?", (number,))

    def _take_in(self, connection: sqlite3.Connection, listed: Listed) -> None:
        review = None
        absent: tuple[str, ...] = ()
        if counts_as_swum(listed):
            with contextlib.suppress(Unreadable, CannotRun):
                kept = self.store.session(listed.number)
                review = review_of(kept)
                absent = stayed_away(kept.session, review)
        rows = () if review is None else tuple(_timed(review))
        connection.execute("begin")
        self._forget(connection, listed.number)
        day = local_day(listed.begun_ms or 0, listed.zone)
        unit = "" if review is None else review.unit
        stands = (listed.number, _mark(listed), listed.begun_ms, day, listed.title, unit, review is not None)
        connection.execute("insert into session values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", (*stands, *_of_series(review)))
        if review is not None:
            connection.executemany("insert into swam values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)", _swam(review))
            rows_absent = [(listed.number, name) for name in dict.fromkeys(absent) if name]
            connection.executemany("insert into absent values (?, ?)", rows_absent)
            connection.executemany("insert into practised values (?, ?, ?, ?, ?, ?, ?)", _practised(review))
            sets = {what: (what,) for what, _ in rows}
            connection.executemany("insert or ignore into line (text) values (?)", sets.values())
            numbers = {
                what: connection.execute("select number from line where text = ?", sets[what]).fetchone()[0]
                for what in sets
            }
            connection.executemany(
                "insert into timed values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
                [(*row[:4], numbers[what], *row[4:]) for what, row in rows],
            )
        connection.execute("commit")


def _mark(listed: Listed) -> str:
    return " ".join(map(str, (listed.entries, listed.begun_ms, listed.ended_ms, listed.seen_ms)))


def _swam(review: Review) -> Iterable[tuple[object, ...]]:
    unit = review.replay.begun.plan.pool.unit
    far = review.distances.people()
    for one in review.spent:
        person = review.people[one.who]
        yield (
            review.listed.number,
            review.lanes[person.lane],
            one.who,
            person.name,
            int(person.base.per_100(unit)),
            far.get(one.who, 0),
            one.swum_ms,
            one.rested_ms,
            one.stood_ms,
            _tests(review, person),
        )


def _tests(review: Review, person: Person) -> str:
    """The test swims that a swimmer's base came from, in words, each with its day, "" if not known."""
    lanes = review.squad.lanes
    if person.lane >= len(lanes) or person.place >= len(lanes[person.lane].swimmers):
        return "[]"  # joined while it ran
    lane, swimmer = lanes[person.lane], lanes[person.lane].swimmers[person.place]
    same = swimmer.name == person.name
    tests = (swimmer.tests if swimmer.own else lane.tests) if same else ()
    return json.dumps([(str(trial), trial.day) for trial in tests])


def _of_series(review: Review | None) -> tuple[str, str, str]:
    """The focus, the title of the revisited plan, and the squad's name."""
    if review is None:
        return "", "", ""
    plan = review.replay.begun.plan
    return plan.focus, plan.revisits, review.squad.name


def _practised(review: Review) -> Iterable[tuple[object, ...]]:
    for one in practised_in(review.replay.begun.plan, review.swims):
        person = review.people[one.who]
        yield (review.listed.number, review.lanes[person.lane], one.who, person.name, *one[1:])


def _timed(review: Review) -> Iterable[tuple[str, tuple[object, ...]]]:
    """A row for each swimmer and set; a set that occurs twice in a plan is one."""
    out = outliers(review)
    pool = review.replay.begun.plan.pool
    sums: dict[tuple[int, str], list[int]] = {}
    for table in review.sets:
        what = f"{_CUE.sub('', table.text)} ({pool})"
        for row in table.rows:
            cells = [cell for cell in row.cells if cell.entry not in out]
            if not cells:
                continue
            made = sums.setdefault((row.who, what), [0, 0, 0, 0, cells[0].time_ms])
            made[0] += len(cells)
            made[1] += sum(table.columns[cell.column].distance for cell in cells)
            made[2] += sum(cell.time_ms for cell in cells)
            made[3] += sum(cell.predicted_ms for cell in cells)
            made[4] = min(made[4], *(cell.time_ms for cell in cells))
    for (who, text), values in sums.items():
        person = review.people[who]
        yield text, (review.listed.number, review.lanes[person.lane], who, person.name, *values)
