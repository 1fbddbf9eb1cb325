"""The sessions saved on this device: one SQLite file in one folder.

Each read opens the file again; only a `Keeper` writes. A failing disk never causes a traceback here:
every failure is a `StoreTrouble` with a sentence for the coach.
"""

from __future__ import annotations

import contextlib
import sqlite3
from collections.abc import Iterable, Iterator
from pathlib import Path

from pacer.disk import NO_ROOM, STORAGE_FULL
from pacer.language import tr, tr_n
from pacer.plan.sentence import sentence
from pacer.session.journal.jsonlines import WORDS, BadLine, NewerLine, entry_from_line
from pacer.session.journal.recordentries import Hidden
from pacer.session.storage import schema
from pacer.session.storage.datafolder import home
from pacer.session.storage.putbackmigration import move_put_back
from pacer.session.storage.salvage import merge, set_aside
from pacer.session.storage.savedsession import KeptSession, Line, Listed, Session, counts_from_json, recency
from pacer.session.storage.schema import ms_or_none, sum_of

FILE = "sessions.sqlite"
OWN_FILE = f"sessions-{schema.VERSION}.sqlite"  #: this version's own file, while a newer version's file is in its place
LOCK = "sessions.lock"
LOCKED_WAIT_S = 0.5  #: how long to wait for another program that has locked the file
CHECKED_BYTES = 4_000_000  #: files up to this size are checked completely when the store is opened

#: SQLite's own reasons, by the low byte of its result code.
BUSY, LOCKED, READONLY, CORRUPT, FULL, CANTOPEN, NOTADB = 5, 6, 8, 11, 13, 14, 26


class StoreTrouble(Exception):
    """Something could not be read or saved; the message says why."""


class InUse(StoreTrouble):
    """Another copy of pacer on this device has a session open."""


class Newer(StoreTrouble):
    """A newer pacer wrote the file. It is intact, and is left alone."""


class Damaged(Exception):
    """The file is not what SQLite wrote."""


def reason(error: Exception) -> int:
    """SQLite's reason for an error; 0 if there is none."""
    return (getattr(error, "sqlite_errorcode", None) or 0) & 0xFF


def is_damage(error: Exception) -> bool:
    """Whether an error means that the file itself is broken, not the disk or its permissions."""
    if isinstance(error, Damaged):
        return True
    if not isinstance(error, sqlite3.DatabaseError):
        return False
    # A file of the current version without its tables is broken as well.
    return reason(error) in (CORRUPT, NOTADB) or (
        reason(error) == 1 and str(error).startswith(("no such", "near ", "unsupported file"))
    )


def said(error: Exception, path: Path) -> str:
    """An error in a coach's words."""
    code = reason(error)
    if code == FULL or getattr(error, "errno", None) in NO_ROOM:
        return tr("{full} Delete something to make room.", full=sentence(STORAGE_FULL))
    if code in (BUSY, LOCKED):
        return tr(
            "Another program is using {name} in {parent}. Close that program.", name=path.name, parent=path.parent
        )
    if code in (READONLY, CANTOPEN) or isinstance(error, PermissionError):
        return tr("pacer can't save to {parent}.", parent=path.parent)
    if isinstance(error, Damaged) or is_damage(error):
        return tr("{name} in {parent} is damaged.", name=path.name, parent=path.parent)
    told = getattr(error, "strerror", None) or str(error) or type(error).__name__
    return tr("{name} in {parent}: {told}.", name=path.name, parent=path.parent, told=told)


class Store:
    """The store in a folder, by default this device's."""

    def __init__(self, folder: Path | str | None = None):
        self.folder = home() if folder is None else Path(folder)
        self.path = self.folder / FILE
        if schema.is_newer(self.path):
            self.path = self.folder / OWN_FILE

    # -- opening -------------------------------------------------------------------------------------

    def open(self) -> tuple[str, ...]:
        """Make the store ready: create it if there is none, bring it to the current version, set it aside if damaged.

        Returns what the coach should know about that, in sentences. Raises StoreTrouble.
        """
        lock = self.claim()
        told: tuple[str, ...] = ()
        try:
            if self.path.name == OWN_FILE:
                told = (self._newer(schema.version_in(self.folder / FILE)[1]),)
            return told + self._ready()
        except Newer as newer:
            self.path = self.folder / OWN_FILE
            return (str(newer), *self._ready())
        finally:
            lock.close()

    def _newer(self, version: int) -> str:
        return tr(
            "A newer pacer wrote {file} in {folder} (version {version} of the store; this pacer reads "
            "up to version {schema_version}). It is left unchanged. Update this pacer; until then it "
            "saves sessions in {own_file}.",
            file=FILE,
            folder=self.folder,
            version=version,
            schema_version=schema.VERSION,
            own_file=OWN_FILE,
        )

    def _ready(self) -> tuple[str, ...]:
        try:
            empty = self.path.exists() and not self.path.stat().st_size and not Path(f"{self.path}-wal").exists()
            with contextlib.closing(self.made()) as connection:
                if self.path.stat().st_size <= CHECKED_BYTES:
                    self.check(connection)
                told = (tr("{name} in {folder} was empty.", name=self.path.name, folder=self.folder),) if empty else ()
                return told + self._merged(connection)
        except (sqlite3.Error, OSError, Damaged, ValueError) as error:
            if not (is_damage(error) or isinstance(error, ValueError)):
                raise StoreTrouble(said(error, self.path)) from error
        return self.renew()

    def _merged(self, connection: sqlite3.Connection) -> tuple[str, ...]:
        """Merge what an older pacer saved elsewhere: sessions beside a newer store, times put back."""
        if self.path.name != FILE:
            return ()
        sides = [side for side in sorted(self.folder.glob("sessions-*.sqlite")) if not schema.is_newer(side)]
        count = sum(merge(side, connection) for side in sides)
        move_put_back(self.folder, connection)
        return (
            (
                tr_n(
                    "{n} session saved beside {file} is now in it.",
                    "{n} sessions saved beside {file} are now in it.",
                    count,
                    file=FILE,
                ),
            )
            if count
            else ()
        )

    def renew(self) -> tuple[str, ...]:
        """Set the damaged file aside, and start a new one with everything that can be read.

        The caller must have claimed the store.
        """
        try:
            return set_aside(self.path, self.made)
        except (sqlite3.Error, OSError) as error:
            raise StoreTrouble(
                tr(
                    "{name} in {folder} is damaged and can't be moved aside: {said}",
                    name=self.path.name,
                    folder=self.folder,
                    said=said(error, self.path),
                )
            ) from error

    def claim(self) -> sqlite3.Connection:
        """Become the only writer, until the returned connection is closed or the program ends in any way.

        Raises InUse if another pacer is the writer, StoreTrouble if the store cannot be claimed.
        """
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            lock = sqlite3.connect(self.folder / LOCK, timeout=0, isolation_level=None, check_same_thread=False)
        except (sqlite3.Error, OSError) as error:
            raise StoreTrouble(said(error, self.path)) from error
        try:
            lock.execute("pragma journal_mode = memory")
            lock.execute("begin exclusive")
        except sqlite3.Error as error:
            lock.close()
            if reason(error) in (BUSY, LOCKED):
                raise InUse(
                    tr("Another copy of pacer on this device has a session open. End it there, or close that copy.")
                ) from error
            if is_damage(error):  # this file never holds data
                (self.folder / LOCK).unlink(missing_ok=True)
                return self.claim()
            raise StoreTrouble(said(error, self.path)) from error
        return lock

    def connect(self, *, make: bool = False) -> sqlite3.Connection:
        """A connection that is safe against loss of power.

        WAL, full synchronous. Another thread may use it.
        """
        mode = "rwc" if make else "rw"
        connection = sqlite3.connect(
            f"{self.path.absolute().as_uri()}?mode={mode}",
            uri=True,
            timeout=LOCKED_WAIT_S,
            isolation_level=None,
            check_same_thread=False,
        )
        try:
            connection.text_factory = lambda raw: raw.decode("utf-8", "replace")
            connection.execute("pragma journal_mode = wal")
            connection.execute("pragma synchronous = full")
        except BaseException:
            connection.close()
            raise
        return connection

    def made(self) -> sqlite3.Connection:
        """A connection to the file, after creating it and bringing it to the current version if necessary."""
        connection = self.connect(make=True)
        try:
            self.prepare(connection)
        except BaseException:
            connection.close()
            raise
        return connection

    def prepare(self, connection: sqlite3.Connection) -> None:
        """Bring the file behind a connection to the current version.

        Raises StoreTrouble, Damaged or what SQLite raises.
        """
        version = schema.version_of(connection)
        ours = connection.execute("pragma application_id").fetchone()[0] == schema.APPLICATION
        if version > schema.VERSION and ours:
            raise Newer(self._newer(version))
        if not ours and not schema.is_new(connection):
            raise Damaged(tr("not a file of pacer's sessions"))
        if version < schema.VERSION:
            schema.migrate(connection)
        if tuple(schema.described(connection)) != schema.right_description():
            raise Damaged(tr("its tables are damaged"))

    def check(self, connection: sqlite3.Connection | None = None) -> None:
        """Check the whole file. Raises Damaged, or what SQLite raises. Large files take seconds."""
        if connection is None:
            with contextlib.closing(self.connect()) as own:
                self.check(own)
            return
        found = connection.execute("pragma quick_check(1)").fetchone()[0]
        if found != "ok":
            raise Damaged(found)

    # -- reading ---------------------------------------------------------------------------------------

    @contextlib.contextmanager
    def reading(self) -> Iterator[sqlite3.Connection | None]:
        """A connection for reading, None if nothing was ever saved. It works even if nothing can be written."""
        if not self.path.exists():
            yield None
            return
        try:
            try:
                connection = self.connect()
            except sqlite3.OperationalError as error:
                if reason(error) not in (READONLY, CANTOPEN):
                    raise
                connection = sqlite3.connect(f"{self.path.absolute().as_uri()}?immutable=1", uri=True)
                connection.text_factory = lambda raw: raw.decode("utf-8", "replace")
            with contextlib.closing(connection):
                version = schema.version_of(connection)
                if version > schema.VERSION:
                    raise Newer(self._newer(version))
                if version < schema.VERSION:
                    raise StoreTrouble(
                        tr(
                            "An older pacer wrote {name} in {folder}. This pacer must update it first: "
                            "allow it to write there.",
                            name=self.path.name,
                            folder=self.folder,
                        )
                    )
                yield connection
        except (sqlite3.Error, OSError) as error:
            raise StoreTrouble(said(error, self.path)) from error

    def sessions(self, hidden: bool = False) -> tuple[Listed, ...]:
        """All sessions, the last started first; those that are `hidden` instead. The log has an order of its own.

        Raises StoreTrouble.
        """
        with self.reading() as connection:
            listed = () if connection is None else _listed(connection)
            return tuple(sorted((one for one in listed if one.hidden is hidden), key=recency, reverse=True))

    def plans(self, numbers: Iterable[int]) -> dict[int, str]:
        """The texts of these sessions' plans. Raises StoreTrouble."""
        with self.reading() as connection:
            wanted = set(numbers) if connection is not None else set()
            rows = connection.execute("select number, plan from session") if connection is not None and wanted else ()
            return {number: str(plan) for number, plan in rows if number in wanted}

    def squads(self) -> tuple[str, ...]:
        """The different texts of the sessions' squads. Raises StoreTrouble."""
        with self.reading() as connection:
            rows = connection.execute("select distinct squad from session") if connection is not None else ()
            return tuple([str(squad) for (squad,) in rows])

    def session(self, number: int) -> KeptSession:
        """One session with its journal.

        `lost` says what cannot be read. Raises StoreTrouble, also if there is no such session.
        """
        with self.reading() as connection:
            kept = None if connection is None else read_session(connection, number)
        if kept is None:
            raise StoreTrouble(tr("There is no session {number}.", number=number))
        return kept


def _listed(connection: sqlite3.Connection, number: int | None = None) -> Iterator[Listed]:
    query = f"""select session.number, title, pool, begun_ms, zone, ended_ms, seen_ms,
                       coalesce((select max(entry.number) from entry where entry.session = session.number), 0),
                       (select kind from entry where session = session.number order by entry.number desc limit 1)
                from session left join standing on standing.session = session.number
                {"" if number is None else "where session.number = ?"}"""
    for row in connection.execute(query, () if number is None else (number,)):
        number_, title, pool, begun_ms, zone, ended_ms, seen_ms, entries, last = row
        yield Listed(
            int(number_),
            str(title),
            str(pool),
            ms_or_none(begun_ms),
            str(zone or ""),
            ms_or_none(ended_ms),
            ms_or_none(seen_ms),
            int(entries),
            last == WORDS[Hidden],
        )


def read_session(connection: sqlite3.Connection, number: int) -> KeptSession | None:
    """One session from an open file, None if the file has none of that number.

    `lost` names rows that cannot be trusted.

    Raises what SQLite raises.
    """
    listed = next(_listed(connection, number), None)
    if listed is None:
        return None
    lost = []
    assumed, counts, plan, squad, kept_sum = connection.execute(
        "select assumed, counts, plan, squad, sum from session where number = ?", (number,)
    ).fetchone()
    try:
        if kept_sum != sum_of(number, listed.title, listed.pool, assumed, counts, plan, squad):
            lost.append(tr("The plan or the squad has changed on disk since it was saved."))
        session = Session(str(plan), str(squad), counts_from_json(counts), bool(assumed), listed.title, listed.pool)
    except (TypeError, ValueError):
        lost.append(tr("The chosen counts can't be read."))
        session = Session(str(plan), str(squad), (), bool(assumed), listed.title, listed.pool)
    itself, lines = tuple(lost), []
    for row in connection.execute(
        "select number, wall_ms, line, sum from entry where session = ? order by number", (number,)
    ):
        line = _line(number, row)
        if isinstance(line, Line):
            lines.append(line)
        else:
            lost.append(line)
    missing = listed.entries - len(lines)  # their numbers are the table's key, so no line comes twice
    if missing > len(lost):
        lost.append(tr("{missing} of {entries} entries are missing.", missing=missing, entries=listed.entries))
    seen = connection.execute("select seen_boot_ms from standing where session = ?", (number,)).fetchone()
    return KeptSession(listed, session, tuple(lines), ms_or_none(seen[0]) if seen else None, tuple(lost), itself)


def _line(session: int, row: tuple) -> Line | str:
    """The entry in a row, or why it cannot be one."""
    number, wall_ms, text, kept_sum = row
    if kept_sum != sum_of(session, number, wall_ms, text):
        return tr("Entry {number} has changed on disk since it was saved.", number=number)
    try:
        return Line(number, wall_ms, entry_from_line(text), text)
    except NewerLine as wrong:  # its checksum is right, so it is intact
        return tr(
            "A newer pacer wrote entry {number}: {wrong}. It is kept; update this pacer to read it.",
            number=number,
            wrong=wrong,
        )
    except BadLine as wrong:
        return tr("Entry {number}: {wrong}.", number=number, wrong=wrong)
