"""Sessions that run in their own process and are killed while entries stream in.

Run as a script, this is the nursery: it imports everything once, then forks a child for each line `FOLDER SEED`
that it reads, and answers with the child's process id. The child starts a session, or resumes the one it finds,
runs an evening on deck on a clock much faster than ours, and writes each number that the keeper has acknowledged
into FOLDER/acknowledged. The fast clock is only for tests: nothing outside this file can ask for it.
"""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import subprocess
import sys
import threading
import traceback
from collections.abc import Iterator
from contextlib import closing, contextmanager
from itertools import islice
from pathlib import Path

from pacer.session.journal.entries import Begun, CarriedOn
from pacer.session.running.replay import apply, fresh, replay
from pacer.session.storage.keeper import begin, carry_on
from pacer.session.storage.recovery import recover
from pacer.session.storage.savedsession import session_of
from pacer.session.storage.store import Store
from pacer.session.timesource import Now
from tests.session.deck import PLAN, SQUAD, evening
from tests.session.pages import session

ENTRIES = 400
ZERO = Begun(-10_000, 50_000_000, 1_772_470_880_000, "+01:00", "boot")
TIMELINE = session(PLAN, SQUAD)


def entries_of(seed: int) -> Iterator:
    """The entries that the child with that seed appends, in order."""
    rng = random.Random(seed)
    yield ZERO
    for entry, _ in islice(evening(rng, apply(fresh(TIMELINE), ZERO), ENTRIES), ENTRIES):
        yield entry


def child(folder: Path, seed: int) -> None:
    """Run the session, and keep acknowledging until all is on disk or the process is killed."""
    acknowledged = os.open(folder / "acknowledged", os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    clock = {"ms": ZERO.boot_ms - 10_000}

    def now() -> Now:
        clock["ms"] += 500
        return Now(clock["ms"], clock["ms"] - ZERO.boot_ms + ZERO.wall_ms, "boot")

    store = Store(folder)
    store.open()
    keeper = begin(store, session_of(TIMELINE, PLAN), clock=now)
    rng = random.Random(-seed)
    told = 0
    for entry in entries_of(seed):
        while keeper.append(entry) is None:
            keeper.wait()
        if rng.random() < 0.3:
            keeper.wait(timeout_s=0.05)
        if keeper.saved > told:
            told = keeper.saved
            os.write(acknowledged, b"%d\n" % told)
    keeper.wait(timeout_s=30)
    os.write(acknowledged, b"%d\n" % keeper.saved)
    threading.Event().wait(60)  # until it is killed


def nursery() -> None:
    """Fork a child for each line of standard input."""
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)
    for line in sys.stdin:
        folder, seed = line.split()
        pid = os.fork()
        if not pid:
            try:
                child(Path(folder), int(seed))
            except BaseException:  # noqa: BLE001  # whatever ended it is printed
                traceback.print_exc()
            finally:
                os._exit(0)
        print(pid, flush=True)


@contextmanager
def a_nursery():
    """Start the nursery; yield a function that starts a child there, and the nursery's process id."""
    process = subprocess.Popen(
        [sys.executable, "-m", "tests.session.storage.killed"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    try:

        def born(folder: Path, seed: int) -> int:
            folder.mkdir(parents=True, exist_ok=True)
            process.stdin.write(f"{folder} {seed}\n")
            process.stdin.flush()
            return int(process.stdout.readline())

        yield born
    finally:
        process.stdin.close()
        process.stdout.close()
        process.wait(30)


def kill_one(born, folder: Path, seed: int) -> tuple[int, int]:
    """Kill one session at a random instant and check it.

    Returns how many entries were acknowledged and how many are there.
    """
    rng = random.Random(f"kill {seed}")
    pid = born(folder, seed)
    acknowledged = folder / "acknowledged"
    tick = threading.Event()
    while not acknowledged.exists() or not acknowledged.stat().st_size:
        tick.wait(0.001)
    tick.wait(rng.random() ** 2 * 0.35)
    os.kill(pid, signal.SIGKILL)
    while _alive(pid):
        tick.wait(0.001)
    return look(folder, seed)


def _alive(pid: int) -> bool:
    try:
        os.kill(pid, 0)
    except ProcessLookupError:
        return False
    return True


def look(folder: Path, seed: int) -> tuple[int, int]:
    """Assert that acknowledged entries are there once, in order, and give the same session as without the kill."""
    words = (folder / "acknowledged").read_bytes().split(b"\n")
    acknowledged = int(words[-2])
    store = Store(folder)
    assert store.open() == (), "the file is sound"
    with closing(sqlite3.connect(store.path)) as connection:
        assert connection.execute("pragma integrity_check").fetchone()[0] == "ok"
    instant = Now(ZERO.boot_ms + 777_000, ZERO.wall_ms + 777_000, "boot")
    keeper, kept = carry_on(store, 1, clock=lambda: instant)
    with closing(keeper):
        numbers = [line.number for line in kept.lines]
        assert numbers == list(range(1, len(numbers) + 1)) and len(numbers) >= acknowledged and not kept.lost
        expected = tuple(islice(entries_of(seed), len(numbers)))
        assert kept.journal == expected
        found = recover(kept, instant)
        whole = replay(TIMELINE, expected)
        assert found.at_ms == 777_000
        assert [t.sendoffs for t in found.run.timeline.tracks] == [t.sendoffs for t in whole.timeline.tracks]
        assert found.run.paused() == whole.paused() and found.run.phase_ms == whole.phase_ms
        assert keeper.keep(found.entry) == len(numbers) + 1
    assert isinstance(store.session(1).journal[-1], CarriedOn)
    return acknowledged, len(numbers)


if __name__ == "__main__":
    nursery()
