"""Sessions on disk: acknowledged entries are there, and every failure of a disk is reported in a sentence."""

import contextlib
import os
import random
import resource
import shutil
import sqlite3
import threading
import time

import pytest

from pacer.session.journal.entries import Begun, Ended, Paused, Resumed, Stopped, TakenBack
from pacer.session.journal.jsonlines import BadLine, entry_from_line, line_from_entry
from pacer.session.journal.recordentries import Noted, Touched
from pacer.session.running.replay import replay
from pacer.session.storage import keeper as keepers
from pacer.session.storage import store as stores
from pacer.session.storage.keeper import NotKept, begin, carry_on
from pacer.session.storage.savedsession import session_of
from pacer.session.storage.schema import APPLICATION, MIGRATIONS, VERSION, fill_standing, migrate, sum_of
from pacer.session.storage.store import FILE, Damaged, InUse, Store, StoreTrouble
from pacer.session.timesource import Now
from tests.session.pages import THREE_SECTIONS, session

S = 1000
ZERO = Begun(-10 * S, 5_000_000, 1_772_470_883_456, "+01:00", "this-boot")


def clock():
    return Now(5_000_000, 1_772_470_883_456, "this-boot")


@pytest.fixture
def store(tmp_path):
    made = Store(tmp_path / "deck")
    assert made.open() == ()
    return made


@pytest.fixture
def closing():
    """Close keepers when the test is over, however it ends."""
    with contextlib.ExitStack() as stack:
        yield lambda keeper: stack.enter_context(contextlib.closing(keeper))


@pytest.fixture
def keeper(store, closing):
    return closing(begin(store, kept(), clock=clock, retry_s=0.05))


def kept():
    return session_of(session(), THREE_SECTIONS)


def touch(n):
    return Touched(n * S, 0, n % 2, 0, 1, 1, n % 4 + 1, n * S - 40_000, 4012 + n)


def until(condition, seconds=10):
    """Wait for something that another thread does."""
    end = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < end, "it never came"
        threading.Event().wait(0.005)


# -- keeping ------------------------------------------------------------------------------------------


def test_acknowledged_entries_can_be_read_back(store, keeper):
    entries = [
        ZERO,
        *(touch(n) for n in range(50)),
        Paused(70 * S, (0,)),
        Resumed(90 * S, 120 * S, (0,)),
        Noted(95 * S, "Ellbogen höher", lane=1),
    ]
    for number, entry in enumerate(entries, 1):
        assert keeper.append(entry) == number
    assert keeper.wait() and keeper.saved == len(entries) and keeper.trouble == ""
    found = store.session(1)
    assert list(found.journal) == entries and found.lost == ()
    assert found.session == kept() and found.session.timeline().tracks[0].sendoffs == session().tracks[0].sendoffs
    assert [line.number for line in found.lines] == list(range(1, len(entries) + 1))
    assert {line.wall_ms for line in found.lines} == {clock().wall_ms}


def test_the_list_of_sessions(store, closing):
    for entries in (
        [ZERO, touch(1)],
        [ZERO, Ended(900 * S)],
        [ZERO, Ended(900 * S), Noted(901 * S, "well")],
        [ZERO, Ended(900 * S), TakenBack(901 * S)],
    ):
        keeper = begin(store, kept(), clock=clock)
        for entry in entries:
            keeper.append(entry)
        assert keeper.close()
    listed = store.sessions()
    assert [(one.number, one.entries, one.ended_ms is not None) for one in listed] == [
        (4, 3, False),
        (3, 3, True),
        (2, 2, True),
        (1, 2, False),
    ]
    assert [one.number for one in listed if one.ended_ms is None] == [4, 1]
    assert (listed[0].title, listed[0].pool, listed[0].begun_ms, listed[0].zone) == ("", "25 m", ZERO.wall_ms, "+01:00")


def test_append_returns_before_the_disk_does(store, closing, monkeypatch):
    gate = threading.Event()
    through = keepers.Keeper.write
    monkeypatch.setattr(keepers.Keeper, "write", lambda self, upto: gate.wait(20) and through(self, upto))
    keeper = closing(begin(store, kept(), clock=clock))
    assert keeper.append(ZERO) == 1 and keeper.saved == 0 and keeper.waiting == 1
    assert not keeper.wait(timeout_s=0.02)
    # Back-pressure: if too much waits, records are refused, but entries that steer the session never.
    numbers = [keeper.append(touch(n)) for n in range(keepers.QUEUE + 5)]
    assert numbers[: keepers.QUEUE - 1] == list(range(2, keepers.QUEUE + 1)) and set(numbers[keepers.QUEUE - 1 :]) == {
        None
    }
    assert keeper.append(Stopped(70 * S)) == keepers.QUEUE + 1
    with pytest.raises(NotKept):
        keeper.keep(touch(1))
    gate.set()
    assert keeper.wait()
    assert [line.number for line in store.session(1).lines] == list(range(1, keepers.QUEUE + 2))
    assert isinstance(store.session(1).journal[-1], Stopped)


def test_keep_waits_for_the_disk(store, keeper):
    assert keeper.keep(ZERO) == 1
    assert store.session(1).journal == (ZERO,)


def test_a_closed_keeper_accepts_nothing(keeper):
    assert keeper.close()
    assert keeper.append(touch(1)) is None


def test_a_sign_of_life_in_a_session_in_which_nothing_happens(store, closing, monkeypatch):
    monkeypatch.setattr(keepers, "SEEN_S", 0.01)
    instants = iter(range(5_000_000, 6_000_000, 1000))
    keeper = closing(begin(store, kept(), clock=lambda: Now(at := next(instants), at + 10**12)))
    keeper.keep(ZERO)
    first = store.session(1).seen_boot_ms
    until(lambda: store.session(1).seen_boot_ms > first)
    assert store.sessions()[0].seen_ms == store.session(1).listed.seen_ms
    assert len(store.session(1).lines) == 1


# -- one writer -------------------------------------------------------------------------------------------


def test_a_second_app_gets_a_clear_message_and_takes_over_when_the_first_ends(store, keeper, closing):
    keeper.keep(ZERO)
    second = closing(begin(Store(store.folder), kept(), clock=clock, retry_s=0.02))
    second.append(ZERO)
    until(lambda: second.trouble)
    assert second.trouble.startswith("Another copy of pacer on this device has a session open.")
    with pytest.raises(InUse, match="Another copy"):
        carry_on(Store(store.folder), 1)
    assert [one.number for one in store.sessions()] == [1], "the log can be read meanwhile"
    keeper.close()
    assert second.wait() and second.trouble == "" and second.number == 2


def test_a_resumed_session_continues_with_the_next_number(store, keeper, closing):
    for entry in (ZERO, touch(1), Paused(70 * S)):
        keeper.append(entry)
    keeper.close()
    again, found = carry_on(store, 1, clock=clock)
    closing(again)
    assert found.journal == (ZERO, touch(1), Paused(70 * S))
    assert again.keep(Resumed(80 * S, 120 * S)) == 4
    assert [type(entry).__name__ for entry in store.session(1).journal] == ["Begun", "Touched", "Paused", "Resumed"]
    assert store.sessions()[0].begun_ms == ZERO.wall_ms
    with pytest.raises(StoreTrouble, match="no session 7"):
        again.close()
        carry_on(store, 7)


# -- versions ------------------------------------------------------------------------------------------------


def old_store(path, version, entries):
    """A store as an earlier pacer left it."""
    path.parent.mkdir(parents=True, exist_ok=True)
    connection = sqlite3.connect(path, isolation_level=None)
    migrate(connection, version)
    session_row = (1, "Long-axis rotation 3", "25 m", 0, "[]", THREE_SECTIONS, kept().squad)
    connection.execute("insert into session values (?, ?, ?, ?, ?, ?, ?, ?)", (*session_row, sum_of(*session_row)))
    for number, entry in enumerate(entries, 1):
        row = (1, number, 1_772_470_883_456 + number, line_from_entry(entry))
        connection.execute(
            "insert into entry values (?, ?, ?, ?, ?, ?)",
            (*row[:3], line_from_entry(entry).split('"')[5], row[3], sum_of(*row)),
        )
    if version > 1:
        fill_standing(connection)
    connection.close()


@pytest.mark.parametrize("version", range(1, VERSION))
def test_every_earlier_version_is_brought_up_to_date(tmp_path, version, closing):
    entries = [ZERO, touch(1), Ended(900 * S), TakenBack(901 * S)]
    store = Store(tmp_path)
    old_store(store.path, version, entries)
    with pytest.raises(StoreTrouble, match="older pacer"):
        store.sessions()
    assert store.open() == ()
    found = store.session(1)
    assert list(found.journal) == entries and found.lost == () and found.listed.begun_ms == ZERO.wall_ms
    assert [(one.number, one.ended_ms) for one in store.sessions()] == [(1, None)]
    keeper, _ = carry_on(store, 1, clock=clock)
    assert closing(keeper).keep(Ended(902 * S)) == 5 and store.sessions()[0].ended_ms is not None
    assert keeper.keep(Stopped(903 * S)) == 6 and store.sessions()[0].ended_ms is not None, "ended all the same"


def test_each_version_has_its_own_step_and_a_new_file_runs_all(store):
    with contextlib.closing(sqlite3.connect(store.path)) as connection:
        assert connection.execute("pragma user_version").fetchone()[0] == VERSION == len(MIGRATIONS)
        assert connection.execute("pragma application_id").fetchone()[0] == APPLICATION
        assert connection.execute("pragma journal_mode").fetchone()[0] == "wal"


@pytest.mark.parametrize("in_wal", [False, True])
def test_a_newer_store_is_left_alone_and_sessions_are_saved_beside_it(store, keeper, closing, in_wal):
    keeper.keep(ZERO)
    keeper.close()
    with (
        contextlib.closing(sqlite3.connect(store.path)) as connection,
        contextlib.closing(sqlite3.connect(store.path)) as other,
    ):
        other.execute("select * from session").fetchall()
        connection.execute(f"pragma user_version = {VERSION + 1}")
        connection.execute("alter table session add column more text")
        connection.commit()
        if not in_wal:
            connection.execute("pragma wal_checkpoint(truncate)")
        before = {path.name: path.read_bytes() for path in (store.path, store.folder / f"{FILE}-wal") if path.exists()}
        fresh = Store(store.folder)
        told = fresh.open()
        assert (
            len(told) == 1
            and "newer pacer" in told[0]
            and f"version {VERSION + 1} " in told[0]
            and "is kept" not in told[0]
        )
        mine = closing(begin(fresh, kept(), clock=clock))
        mine.keep(ZERO)
        mine.keep(Paused(70 * S))
        mine.close()
        assert fresh.session(1).journal == (ZERO, Paused(70 * S))
        again = Store(store.folder)
        assert len(again.open()) == 1 and again.session(1).journal == (ZERO, Paused(70 * S))
        assert {name: (store.folder / name).read_bytes() for name in before} == before
    assert not list(store.folder.glob("damaged-*"))


def test_sessions_saved_beside_a_newer_store_are_merged_later(store, keeper, closing, monkeypatch):
    keeper.keep(ZERO)
    keeper.close()
    with contextlib.closing(sqlite3.connect(store.path)) as connection:
        connection.execute(f"pragma user_version = {VERSION + 1}")
        connection.commit()
    beside = Store(store.folder)
    beside.open()
    for entries in ((ZERO, Paused(70 * S)), (ZERO, touch(1), Ended(900 * S))):
        mine = closing(begin(beside, kept(), clock=clock))
        for entry in entries:
            mine.keep(entry)
        mine.close()
    with contextlib.closing(sqlite3.connect(store.path)) as connection:
        connection.execute(f"pragma user_version = {VERSION}")  # as if this pacer were the newer one
        connection.commit()
    side = beside.path
    copy = side.read_bytes()
    again = Store(store.folder)
    assert again.open() == ("2 sessions saved beside sessions.sqlite are now in it.",)
    assert [(one.number, one.entries, one.ended_ms is not None) for one in again.sessions()] == [
        (3, 3, True),
        (2, 2, False),
        (1, 1, False),
    ]
    assert again.session(3).journal == (ZERO, touch(1), Ended(900 * S)) and again.session(3).lost == ()
    assert not side.exists() and side.with_suffix(".sqlite.merged").exists()
    side.write_bytes(copy)  # it was interrupted before the file was renamed
    assert again.open() == () and len(again.sessions()) == 3


def test_a_newer_pacers_entry_is_recognised_and_never_overwritten(store, keeper):
    keeper.keep(ZERO)
    keeper.keep(Paused(70 * S))
    keeper.close()
    line = '{"v": 1, "kind": "held", "at_ms": 70000, "why": "cramp"}'
    with contextlib.closing(sqlite3.connect(store.path)) as connection:
        wall_ms = connection.execute("select wall_ms from entry where number = 2").fetchone()[0]
        connection.execute("update entry set line = ?, sum = ? where number = 2", (line, sum_of(1, 2, wall_ms, line)))
        connection.commit()
    found = store.session(1)
    assert (
        len(found.lost) == 1
        and found.lost[0].startswith("A newer pacer wrote entry 2: ")
        and "It is kept" in found.lost[0]
    )
    again, _kept = carry_on(store, 1, clock=clock)
    assert again.keep(Stopped(80 * S)) == 3
    again.close()
    with contextlib.closing(sqlite3.connect(store.path)) as connection:
        assert connection.execute("select line from entry where number = 2").fetchone()[0] == line


def test_a_migration_is_done_completely_or_not_at_all(tmp_path, monkeypatch):
    old_store(tmp_path / "sessions.sqlite", 1, [ZERO])

    def half(connection):
        connection.execute("create table standing (x)")
        raise sqlite3.OperationalError("disk I/O error")

    monkeypatch.setattr("pacer.session.storage.schema.MIGRATIONS", (MIGRATIONS[0], half))
    with pytest.raises(StoreTrouble):
        Store(tmp_path).open()
    monkeypatch.undo()
    assert Store(tmp_path).open() == () and Store(tmp_path).session(1).journal == (ZERO,)


# -- failing disks ----------------------------------------------------------------------------------------


def test_a_full_disk_is_reported_and_entries_are_saved_later(store, keeper):
    keeper.keep(ZERO)
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    size = max(path.stat().st_size for path in store.folder.iterdir())
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        for n in range(200):
            keeper.append(touch(n))
        until(lambda: keeper.trouble)
        assert keeper.append(Stopped(70 * S)) == 202
        assert "What you press works, but isn't saved yet" in keeper.trouble
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert keeper.wait() and keeper.trouble == ""
    assert len(store.session(1).lines) == 202 and store.session(1).lost == ()


def test_sqlites_own_error_for_a_full_disk(store, closing, monkeypatch):
    def full(self, connection):
        raise _error("database or disk is full", 13)

    monkeypatch.setattr(keepers.Keeper, "put_session", full)
    keeper = closing(begin(store, kept(), clock=clock, retry_s=0.02))
    keeper.append(ZERO)
    until(lambda: keeper.trouble)
    assert keeper.trouble.startswith("The tablet's storage is full. Delete something to make room.")
    assert not keeper.close(1)


def _error(message, code, kind=sqlite3.OperationalError):
    error = kind(message)
    error.sqlite_errorcode = code
    return error


def test_a_folder_that_cannot_be_written_to(tmp_path, closing):
    folder = tmp_path / "deck"
    folder.mkdir()
    with as_nobody(folder):
        with pytest.raises(StoreTrouble, match="can't save to"):
            Store(folder).open()
        keeper = closing(begin(Store(folder), kept(), clock=clock, retry_s=0.02))
        keeper.append(ZERO)
        until(lambda: keeper.trouble)
        assert f"pacer can't save to {folder}." in keeper.trouble
        assert keeper.append(Stopped(5 * S)) == 2 and Store(folder).sessions() == ()


@contextlib.contextmanager
def as_nobody(folder):
    """Remove the permission to write to `folder`, even if root runs the tests."""
    mode = folder.stat().st_mode
    root = os.geteuid() == 0
    folder.chmod(0o555)
    if root:
        for parent in (folder, *folder.parents):
            if parent.stat().st_uid == 0 and parent != parent.parent and not parent.stat().st_mode & 0o001:
                parent.chmod(parent.stat().st_mode | 0o011)
        os.seteuid(65534)
    try:
        yield
    finally:
        if root:
            os.seteuid(0)
        folder.chmod(mode)


def test_a_folder_that_is_none(tmp_path, closing):
    (tmp_path / "deck").write_text("a file")
    with pytest.raises(StoreTrouble):
        Store(tmp_path / "deck" / "inside").open()
    keeper = closing(begin(Store(tmp_path / "deck" / "inside"), kept(), clock=clock, retry_s=0.02))
    keeper.append(ZERO)
    until(lambda: keeper.trouble)
    (tmp_path / "deck").unlink()
    assert keeper.wait(), "as soon as it can be, it is written"


def test_a_file_that_another_program_has_locked(store, keeper):
    keeper.keep(ZERO)
    with contextlib.closing(sqlite3.connect(store.path, isolation_level=None)) as other:
        other.execute("begin exclusive")
        keeper.append(touch(1))
        until(lambda: keeper.trouble)
        assert "Another program is using sessions.sqlite" in keeper.trouble
    assert keeper.wait() and keeper.trouble == ""


def test_a_file_that_disappears_is_written_again_with_the_whole_session(store, keeper):
    keeper.keep(ZERO)
    for path in store.folder.glob("sessions.sqlite*"):
        path.unlink()
    keeper.keep(touch(1))
    assert store.session(1).journal == (ZERO, touch(1))
    assert "is gone" in keeper.told[0]


# -- damage ---------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def filled(tmp_path_factory):
    """A folder with three sessions of 60 entries, closed in order."""
    store = Store(tmp_path_factory.mktemp("filled"))
    store.open()
    for _ in range(3):
        keeper = begin(store, kept(), clock=clock)
        for entry in [ZERO, *(touch(n) for n in range(58)), Stopped(130 * S)]:
            assert keeper.append(entry)
        assert keeper.close()
    return store


def spoilt(filled, folder, spoil):
    """A copy of the store with its file's bytes as `spoil` leaves them."""
    shutil.copytree(filled.folder, folder)
    store = Store(folder)
    store.path.write_bytes(spoil(bytearray(store.path.read_bytes())))
    return store


def acknowledged(filled):
    return {number: filled.session(number).journal for number in (1, 2, 3)}


def opened_and_usable(store, before):
    """Open a store that may be broken.

    Assert that its content is true, that it can continue, and that nothing is thrown away. Returns its entry count.
    """
    told = store.open()
    count = 0
    for listed in store.sessions():
        found = store.session(listed.number)
        if not found.lost:
            assert found.journal == before[listed.number][: len(found.journal)]
        for line in found.lines:
            assert line.entry == before[listed.number][line.number - 1]
        count += len(found.lines)
    if count < 180 and not any(store.session(one.number).lost for one in store.sessions()):
        assert told, "less than there was, and nobody told"
    if told and "damaged" in told[0]:
        assert list(store.folder.glob("damaged-*.sqlite")) and str(store.folder) in told[0]
    keeper = begin(store, kept(), clock=clock)
    keeper.keep(ZERO)
    assert keeper.close()
    assert store.session(keeper.number).journal == (ZERO,)
    return count


def test_a_file_cut_off_at_every_512th_byte(filled, tmp_path):
    size = filled.path.stat().st_size
    before = acknowledged(filled)
    counts = [
        opened_and_usable(spoilt(filled, tmp_path / str(length), lambda data, length=length: data[:length]), before)
        for length in range(0, size, 512)
    ]
    assert counts[0] == 0 and max(counts) > 125, "what SQLite can give back is there"


def test_flipped_bytes(filled, tmp_path):
    before = acknowledged(filled)
    rng = random.Random(5)
    counts = []
    for place in range(80):

        def spoil(data):
            for _ in range(rng.choice((1, 1, 2, 20))):
                data[rng.randrange(len(data))] ^= 1 << rng.randrange(8)
            return data

        counts.append(opened_and_usable(spoilt(filled, tmp_path / str(place), spoil), before))
    assert sum(counts) / len(counts) > 150, "one flipped byte does not cost the store"


@pytest.mark.parametrize("word", [b"plan text", b"wall_ms integer not null,\n    kind", b"CREATE TABLE entry"])
def test_a_broken_description_of_the_tables_costs_nothing(filled, tmp_path, word):
    def spoil(data):
        place = data.index(word)
        data[place] ^= 0x02
        return data

    store = spoilt(filled, tmp_path / "deck", spoil)
    assert "3 sessions with 180 entries" in store.open()[0]


def test_a_page_of_noise_costs_only_what_was_on_it(filled, tmp_path):
    before = acknowledged(filled)
    size = filled.path.stat().st_size
    noise = random.Random(6).randbytes(4096)
    counts = {}
    for page in range(size // 4096):

        def spoil(data, page=page):
            data[page * 4096 : (page + 1) * 4096] = noise
            return data

        counts[page] = opened_and_usable(spoilt(filled, tmp_path / str(page), spoil), before)
    assert counts[0] == 0 and sorted(counts.values())[1:].count(0) < len(counts) / 2


def test_a_file_that_is_not_a_database_is_set_aside(tmp_path):
    store = Store(tmp_path)
    store.path.write_bytes(b"half a page of a coach's text\n" * 200)
    (told,) = store.open()
    assert "damaged" in told and "0 sessions with 0 entries" in told
    assert next(tmp_path.glob("damaged-*.sqlite")).read_bytes().startswith(b"half a page")


def test_the_damaged_file_itself_stays_as_it_was(filled, tmp_path):
    store = spoilt(filled, tmp_path / "deck", lambda data: data[: len(data) // 2])
    before = store.path.read_bytes()
    store.open()
    assert next(store.folder.glob("damaged-*.sqlite")).read_bytes() == before


def test_a_file_that_breaks_while_the_session_runs(store, keeper, monkeypatch):
    for entry in (ZERO, *(touch(n) for n in range(60))):
        keeper.append(entry)
    assert keeper.wait()
    store.path.write_bytes(b"\xff" * store.path.stat().st_size)
    opens = keepers.Keeper.open_file
    broken = iter([_error("database disk image is malformed", 11, sqlite3.DatabaseError)])

    def noticed(self):
        for error in broken:
            raise error
        return opens(self)

    monkeypatch.setattr(keepers.Keeper, "open_file", noticed)
    keeper.append(Paused(70 * S))
    assert keeper.wait(timeout_s=10)
    found = store.session(1)
    assert found.journal == (ZERO, *(touch(n) for n in range(60)), Paused(70 * S)) and found.lost == ()
    assert "was damaged" in keeper.told[0] and keeper.trouble == ""


def large_and_damaged(filled, folder, monkeypatch):
    """A store that is not checked when it is opened, with a page of noise that nobody notices then."""
    monkeypatch.setattr(stores, "CHECKED_BYTES", 0)
    noise = random.Random(6).randbytes(2048)
    for page in range(filled.path.stat().st_size // 4096 - 1, 0, -1):

        def spoil(data, page=page):
            data[page * 4096 : page * 4096 + 2048] = noise
            return data

        store = spoilt(filled, folder / str(page), spoil)
        with contextlib.suppress(StoreTrouble, sqlite3.Error, Damaged):
            if not store.open() and store.sessions():
                try:
                    store.check()
                except (Damaged, sqlite3.DatabaseError):
                    return store
    raise AssertionError("no such page")


def test_a_large_store_is_checked_while_the_session_runs(filled, tmp_path, monkeypatch, closing):
    """A damaged file is set aside while the session runs, and everything is in the new file."""
    store = large_and_damaged(filled, tmp_path, monkeypatch)
    keeper = closing(begin(store, kept(), clock=clock))
    assert keeper.append(ZERO)
    until(lambda: keeper.told)
    assert "was damaged" in keeper.told[0] and list(store.folder.glob("damaged-*.sqlite"))
    assert keeper.keep(Paused(70 * S)) == 2
    assert store.session(keeper.number).journal == (ZERO, Paused(70 * S))
    store.check()


def test_the_check_delays_nobody_and_ends_with_the_session(store, monkeypatch, closing):
    monkeypatch.setattr(stores, "CHECKED_BYTES", 0)
    begun, go_on = threading.Event(), threading.Event()
    check = Store.check

    def slow(self, connection=None):
        begun.set()
        go_on.wait(10)
        return check(self, connection)

    monkeypatch.setattr(Store, "check", slow)
    keeper = closing(begin(store, kept(), clock=clock))
    keeper.keep(ZERO)
    assert begun.wait(10)
    assert keeper.keep(Paused(70 * S)) == 2
    assert keeper.close() and keeper.told == ()
    go_on.set()


def test_a_changed_entry_is_reported(store, keeper):
    for entry in (ZERO, Paused(70 * S), Resumed(90 * S, 120 * S)):
        keeper.keep(entry)
    keeper.close()
    with contextlib.closing(sqlite3.connect(store.path)) as connection:
        connection.execute("update entry set line = replace(line, '70000', '71000') where number = 2")
        connection.execute("update session set plan = plan || ' '")
        connection.commit()
    found = store.session(1)
    assert found.lost == (
        "The plan or the squad has changed on disk since it was saved.",
        "Entry 2 has changed on disk since it was saved.",
    )
    assert [line.number for line in found.lines] == [1, 3]
    assert replay(session(), found.journal).paused() == ()


# -- entries as text --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("", "not JSON"),
        ("[1]", "not an entry of version 1"),
        ('{"v": 2, "kind": "held", "at_ms": 1}', "it has version 2"),
        ('{"v": 0, "kind": "held", "at_ms": 1}', "not an entry of version 1"),
        ('{"v": 1, "kind": "flown", "at_ms": 1}', "no kind of entry is called flown"),
        ('{"v": 1, "kind": ["held"], "at_ms": 1}', "no kind of entry is called"),
        ('{"v": 1, "kind": "held"}', "at_ms is missing"),
        ('{"v": 1, "kind": "held", "at_ms": "1"}', "at_ms is not a whole number"),
        ('{"v": 1, "kind": "held", "at_ms": true}', "at_ms is not a whole number"),
        ('{"v": 1, "kind": "held", "at_ms": 1, "lanes": 2}', "lanes is not a list"),
        ('{"v": 1, "kind": "held", "at_ms": 1, "lane": [2]}', "does not know"),
        ('{"v": 1, "kind": "moved", "at_ms": 1, "unit": "lap", "step": 1, "leave_ms": 5}', "unit "),
        (
            '{"v": 1, "kind": "refitted", "at_ms": 1, "out_ms": 2, "leave_ms": 3, "counts": [[1, 2]]}',
            "counts is not a list of 3",
        ),
        ("[" * 100_000, "not JSON"),
    ],
)
def test_a_line_that_is_not_an_entry_is_refused_with_the_reason(line, why):
    with pytest.raises(BadLine) as wrong:
        entry_from_line(line)
    assert why in str(wrong.value)


def test_a_lost_row_does_not_make_reading_a_journal_quadratic(store, keeper):
    """Measured as a ratio in one run: one lost row out of 5,000 once made it ten times as slow."""
    for n in range(5000):
        while keeper.append(ZERO if not n else touch(n)) is None:
            keeper.wait()
    assert keeper.wait(timeout_s=60)

    def reading_s() -> float:
        start = time.process_time()
        store.session(1)
        return time.process_time() - start

    whole = min(reading_s() for _ in range(3))
    with contextlib.closing(sqlite3.connect(store.path)) as connection:
        connection.execute("delete from entry where number = 2500")
        connection.commit()
    assert store.session(1).lost == ("1 of 5000 entries are missing.",)
    assert min(reading_s() for _ in range(3)) < 4 * whole
