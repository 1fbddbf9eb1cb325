"""The running session and its store.

python tests/bench/bench_store.py
"""

from __future__ import annotations

import random
import statistics
import sys
import tempfile
import threading
import time
from contextlib import closing
from dataclasses import replace
from itertools import islice
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parent)]

from sessions import ten_lanes, two_hours
from table import Row, against, alone, print_table, shown, spread_of

from pacer.face.kit.garbagecollection import settle_in
from pacer.plan.text.standardform import write_plan
from pacer.session.journal.entries import Begun
from pacer.session.journal.jsonlines import WORDS, line_from_entry
from pacer.session.journal.recordentries import Touched
from pacer.session.running.outlook import outlook
from pacer.session.running.replay import apply, fresh, replay
from pacer.session.storage.keeper import begin
from pacer.session.storage.savedsession import session_of
from pacer.session.storage.schema import sum_of
from pacer.session.storage.store import Store
from pacer.session.timesource import Now, now
from pacer.show.view.instantview import pool_view
from pacer.timeline.timeline import build_timeline
from tests.session.deck import press

FRAME_S = 1 / 60
SESSIONS, ENTRIES_EACH = 2_000, 250


def touches(timeline, presses: int = 300) -> list[Row]:
    """Taps while the pool view of ten lanes is worked out sixty times a second.

    Measures the time from tap to disk, and the cost to the frame.
    """
    rng = random.Random(1)
    run = apply(fresh(timeline), Begun(-10_000, 0, 0))
    to_disk, to_return, frames = [], [], []
    with tempfile.TemporaryDirectory(dir=".") as folder:
        store = Store(folder)
        store.open()
        with closing(begin(store, session_of(timeline))) as keeper:
            keeper.keep(Begun(-10_000, 0, 0))
            tapped: list[tuple[int, float]] = []
            change, done = threading.Condition(), False

            def watch():
                while True:
                    with change:
                        change.wait_for(lambda: len(tapped) > len(to_disk) or done)
                        if len(tapped) == len(to_disk):
                            return
                        number, at = tapped[len(to_disk)]
                    keeper.wait(number, 60)
                    to_disk.append(time.perf_counter() - at)

            watcher = threading.Thread(target=watch)
            watcher.start()
            frame = 0
            while len(tapped) < presses:
                begun = time.perf_counter()
                pool_view(run, 600_000 + frame * 16)
                if rng.random() < 0.3:
                    at = time.perf_counter()
                    number = keeper.append(Touched(600_000 + frame, frame % 10, frame % 8, 1, 1, 1, 1, 550_000, 4812))
                    to_return.append(time.perf_counter() - at)
                    with change:
                        tapped.append((number, at))
                        change.notify()
                frames.append(time.perf_counter() - begun)
                frame += 1
                time.sleep(max(0.0, FRAME_S - (time.perf_counter() - begun)))
            with change:
                done = True
                change.notify()
            watcher.join()
    return [
        Row(
            "a touch to disk, 99th percentile",
            shown(percentile(to_disk, 99)),
            "at most 20 ms",
            "",
            spread_of(to_disk),
            presses,
        ),
        Row("a touch to disk, median", shown(statistics.median(to_disk)), "", "", "", presses),
        Row(
            "what it costs the frame, 99th percentile",
            shown(percentile(to_return, 99)),
            "",
            "",
            spread_of(to_return),
            presses,
        ),
        Row(
            "the whole frame without drawing, 99th percentile",
            shown(percentile(frames, 99)),
            "",
            "",
            spread_of(frames),
            len(frames),
        ),
    ]


def percentile(values: list[float], part: int) -> float:
    """The value that `part` per cent of the times do not exceed."""
    return sorted(values)[min(len(values) - 1, len(values) * part // 100)]


def journal(timeline, entries: int, changes: int, *, calm: bool) -> list:
    """So many changes, and touches for the rest. On a `calm` one, three in four changes are for one lane."""
    rng = random.Random(2)
    made, run, at_ms = [Begun(-10_000, 0, 0)], apply(fresh(timeline), Begun(-10_000, 0, 0)), 0
    while len(made) < entries:
        at_ms += timeline.end_ms // entries
        if len(made) % (entries // changes) == 0 and (entry := press(rng, run, at_ms)):
            if calm and getattr(entry, "lanes", ()) != () and rng.random() < 0.75:
                entry = replace(entry, lanes=(rng.randrange(10),))
            told = outlook(run, entry)
            if not told.refused:
                run = told.run
                made.append(entry)
                continue
        made.append(Touched(at_ms, rng.randrange(10), rng.randrange(8), 1, 1, 1, 1, at_ms - 48_000, 4800))
    return made


def large(folder: str, timeline) -> Store:
    """2,000 sessions with 500,000 entries."""
    store = Store(folder)
    store.open()
    session = session_of(timeline, write_plan(timeline.plan))
    line = line_from_entry(Touched(600_000, 3, 2, 1, 1, 1, 1, 550_000, 4812))
    with closing(store.connect()) as connection:
        connection.execute("begin")
        for number in range(1, SESSIONS + 1):
            values = (number, session.title, session.pool, 0, session.counts_json(), session.plan, session.squad)
            connection.execute("insert into session values (?, ?, ?, ?, ?, ?, ?, ?)", (*values, sum_of(*values)))
            connection.execute(
                "insert into standing values (?, ?, '+01:00', ?, ?, null)",
                (number, number * 10**8, number * 10**8 + 10**6, number * 10**8 + 10**6),
            )
            connection.executemany(
                "insert into entry values (?, ?, ?, ?, ?, ?)",
                [(number, n, n, WORDS[Touched], line, sum_of(number, n, n, line)) for n in range(1, ENTRIES_EACH + 1)],
            )
        connection.execute("commit")
    return store


def opening(timeline) -> list[Row]:
    """Open the store up to the list of sessions, and up to one session's state."""
    with tempfile.TemporaryDirectory(dir=".") as folder:
        store = large(folder, timeline)
        times = []
        for _ in range(9):
            begun = time.perf_counter()
            again = Store(folder)
            again.open()
            assert len(again.sessions()) == SESSIONS
            times.append(time.perf_counter() - begun)
        size = store.path.stat().st_size / 1e6
        begun = time.perf_counter()
        store.check()
        checked = time.perf_counter() - begun
        return [
            Row(
                f"a store of {SESSIONS:,} sessions and {SESSIONS * ENTRIES_EACH:,} entries ({size:.0f} MB) "
                "opened to the list of sessions",
                shown(statistics.median(times)),
                "at most 0.3 s",
                "",
                spread_of(times),
                9,
            ),
            Row("the same store read through for damage (in the background)", shown(checked), repeats=1),
        ]


def states(timeline) -> list[Row]:
    """Work out the state from a journal, in memory and from the store."""
    entries, wild = journal(timeline, 5_000, 20, calm=True), journal(timeline, 5_000, 40, calm=False)
    steering, wilder = (sum(1 for entry in each if not isinstance(entry, Touched)) for each in (entries, wild))
    plain = [Begun(-10_000, 0, 0), *(Touched(n, 0, 0, 1, 1, 1, 1, 0, 4800) for n in range(4_999))]
    ones = list(islice((entry for entry in wild if not isinstance(entry, Touched | Begun)), 200))
    with tempfile.TemporaryDirectory() as folder:
        store = Store(folder)
        store.open()
        with closing(begin(store, session_of(timeline), clock=lambda: Now(0, 0))) as keeper:
            for entry in entries:
                while keeper.append(entry) is None:
                    keeper.wait()
        settle_in()  # as in the app after its first picture: the garbage collector ignores what exists by now
        return [
            against(
                f"state from a journal of 5,000 entries, {steering} of them changes, ten lanes (at most 5 ms)",
                lambda: replay(timeline, entries),
                "building the timeline",
                lambda: build_timeline(timeline.plan, timeline.squad),
                25,
            ),
            alone(f"the same with {wilder} changes, most for many lanes at once", lambda: replay(timeline, wild), 15),
            alone("the same with touches alone", lambda: replay(timeline, plain), 15),
            alone("all 5,000 entries read from the store", lambda: store.session(1), 5),
            alone(
                "one change, told before it is made",
                lambda: [outlook(fresh(timeline), entry) for entry in ones],
                9,
                per=len(ones),
            ),
        ]


def main() -> None:
    """Measure and print."""
    now()
    timeline = build_timeline(two_hours(), ten_lanes())
    print_table([*touches(timeline), *states(timeline), *opening(timeline)])


if __name__ == "__main__":
    main()
