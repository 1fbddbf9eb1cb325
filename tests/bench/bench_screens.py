"""Twenty lane screens of a running session, and the same without them.

    python tests/bench/bench_screens.py [changes]

The session has ten lanes, eighty swimmers and two hours. The screens are real WebSocket clients in a process of their
own on this machine; four more are pages in Chromium, which tell when a change was painted. Frames and touches are
measured turn and turn about, so that what else the machine does falls on both alike.
"""

from __future__ import annotations

import asyncio
import json
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from contextlib import closing, contextmanager
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(Path(__file__).parent)]

SCREENS = 20
SECONDS = 12.0
TURNS = 2
CHANGES = 40
FRAME_S = 1 / 60
RESYNC_S = 2.0


# -- the screens, in a process of their own ------------------------------------------------------------------------


async def one_screen(port: int, code: str, number: int, seen: dict[int, float]) -> None:
    """A screen that reads what comes, exchanges timestamps, and notes when the first card of each version came."""
    from websockets.asyncio.client import connect

    view = ("lane", "lane", "dial", "pool")[number % 4]
    link = connect(f"ws://127.0.0.1:{port}/link", origin=f"http://127.0.0.1:{port}", compression=None, max_size=None)
    async with link as socket:
        hello = json.loads(await socket.recv())
        join = {"type": "join", "v": 1, "device": f"{number:016x}", "session": hello["session"], "code": code}
        await socket.send(json.dumps(join))
        await socket.send(json.dumps({"type": "pick", "lane": number % 10, "view": view}))

        async def resync() -> None:
            while True:
                await socket.send(json.dumps({"type": "time", "t1_ms": time.monotonic() * 1e3, "bound_ms": 5.0}))
                await asyncio.sleep(RESYNC_S)

        task = asyncio.create_task(resync())
        async for text in socket:
            if text.startswith('{"type":"cards"'):
                seen.setdefault(json.loads(text)["version"], time.monotonic())
        task.cancel()


async def all_screens(port: int, code: str) -> None:
    """All of them, until the tablet goes; then when they saw what."""
    seen: list[dict[int, float]] = [{} for _ in range(SCREENS)]
    jobs = [one_screen(port, code, number, mine) for number, mine in enumerate(seen)]
    await asyncio.gather(*jobs, return_exceptions=True)
    json.dump(seen, sys.stdout)


@contextmanager
def screens_of(hall):
    """Twenty screens that have joined; gives where their notes will be."""
    notes: list[dict[str, float]] = []
    command = [sys.executable, __file__, "screens", str(hall.server.port), hall.code]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as process:
        while sum(row.connected for row in hall.rows) < SCREENS:
            hall.frame()
            time.sleep(0.05)
        try:
            yield notes
        finally:
            hall.close()
        notes += json.loads(process.stdout.read())


# -- the tablet ----------------------------------------------------------------------------------------------------


def frames(driver, hall, seconds: float, touch: bool = True) -> tuple[list[float], list[float]]:
    """The Python time of each frame, and how long each touch took to the disk."""
    from pacer.session.journal.recordentries import Touched
    from pacer.show.view.instantview import pool_view

    spent, to_disk, end, count = [], [], time.monotonic() + seconds, 0
    while time.monotonic() < end:
        began = time.thread_time()
        driver.settle()
        if hall is not None:
            hall.frame()
        at_ms = driver.at_ms()
        pool_view(driver.seen, at_ms, walls=driver.at_wall(at_ms))
        spent.append(time.thread_time() - began)
        count += 1
        if touch and count % 6 == 0:
            tapped = time.monotonic()
            driver.append(Touched(at_ms, count % 10, 0, 0, 1, 1, 1, at_ms - 40_000 - count, 4_000))
            while driver.on_their_way:
                driver.settle()
                time.sleep(0.0002)
            to_disk.append(time.monotonic() - tapped)
        time.sleep(FRAME_S)
    return spent, to_disk


def percentile(values, share: float):
    """The value that `share` of them do not exceed."""
    return sorted(values)[min(len(values) - 1, int(share * len(values)))]


def ms(seconds: float) -> str:
    """In milliseconds."""
    return f"{1e3 * seconds:.2f} ms"


@contextmanager
def session(minutes: int):
    """A session that began so many minutes ago, on disk."""
    from sessions import ten_lanes, two_hours

    from pacer.session.journal.entries import Begun
    from pacer.session.storage.keeper import begin
    from pacer.session.storage.savedsession import session_of
    from pacer.session.storage.store import Store
    from pacer.session.timesource import boot_ms
    from pacer.show.drive.driver import Driver
    from pacer.show.drive.journalwriter import OnDisk
    from pacer.timeline.timeline import build_timeline

    with tempfile.TemporaryDirectory() as folder:
        store = Store(folder)
        store.open()
        timeline = build_timeline(two_hours(), ten_lanes())
        with closing(begin(store, session_of(timeline))) as keeper:
            driver = Driver(timeline, store=OnDisk(keeper))
            driver.append(Begun(-1, boot_ms() - minutes * 60_000, 1_772_470_883_456))
            while driver.run.begun is None:
                driver.settle()
            yield driver, Path(folder)


def turned_on(driver, host="127.0.0.1"):
    """Lane screens."""
    from pacer.screens.lanescreens import LaneScreens
    from pacer.screens.screenconnection import Limits  # all of it comes from one address

    hall = LaneScreens(driver, None, host=host, port=0, limits=Limits(of_one_address=100, new=200))
    while not hall.ready or not hall.address:
        hall.frame()
        time.sleep(0.02)
    return hall


def thread_time(hall) -> float:
    """What the server's thread has had of the processor."""
    found: list[float] = []
    hall.loop.call_soon_threadsafe(lambda: found.append(time.thread_time()))
    while not found:
        time.sleep(0.001)
    return found[0]


def with_and_without() -> None:
    """Frames and touches, and the server's load while nothing changes."""
    spent: dict[bool, list[float]] = {True: [], False: []}
    disk: dict[bool, list[float]] = {True: [], False: []}
    loads: tuple[list[float], list[float]] = ([], [])
    with session(minutes=100) as (driver, _):  # the cards of what is left are made within half a minute
        for _ in range(TURNS):
            made, took = frames(driver, None, SECONDS)
            spent[False] += made
            disk[False] += took
            hall = turned_on(driver)
            with screens_of(hall):
                frames(driver, hall, 2, touch=False)
                making, at = thread_time(hall), time.monotonic()
                frames(driver, hall, 6, touch=False)
                loads[0].append((thread_time(hall) - making) / (time.monotonic() - at))
                while any(not feed.ends(driver.exact_ms()) for feed in list(hall.server.feeds.by_view.values())):
                    frames(driver, hall, 1, touch=False)
                began, at = thread_time(hall), time.monotonic()
                made, took = frames(driver, hall, SECONDS)
                loads[1].append((thread_time(hall) - began) / (time.monotonic() - at))
                spent[True] += made
                disk[True] += took
    for what, found in zip(("while cards are made", "then"), loads):
        print(f"load of {SCREENS} screens, of a core, {what}: {', '.join(f'{load:.1%}' for load in found)}")
    for what, both in (("Python time per frame", spent), ("touch to disk", disk)):
        for share in (0.5, 0.99):
            there, alone = percentile(both[True], share), percentile(both[False], share)
            print(f"{what}, {share:.0%}: with {ms(there)}, without {ms(alone)}: {there / alone:.2f}")
        print(f"  {len(both[True])} with, {len(both[False])} without")


def changes() -> None:
    """A pause of a lane, and its resumption, on twenty screens and on four pages of phones."""
    from pacer.session.journal.entries import Paused, Resumed
    from tests.screens.fourpages import FourPages

    made: list[tuple[float, int]] = []
    with session(minutes=20) as (driver, _):
        hall = turned_on(driver, "0.0.0.0")  # each page has an address of its own
        with screens_of(hall) as notes:
            pages = FourPages(hall.server.port, hall.code, hall.frame) if shutil.which("chromedriver") else None
            frames(driver, hall, 4, touch=False)
            first = hall.server.feeds.version
            for number in range(CHANGES):
                at_ms = driver.at_ms()
                made.append((time.monotonic(), at_ms))
                driver.append(Resumed(at_ms, at_ms + 5_000, (0,)) if number % 2 else Paused(at_ms, (0,), True))
                frames(driver, hall, 0.7, touch=False)
            painted = [] if pages is None else pages.each("return painted")
            if pages is not None:
                pages.close()
    late = []
    for screen in notes:
        for number, (at, _) in enumerate(made):
            came = screen.get(str(first + 1 + number))
            if came is not None:
                late.append(came - at)
    print(f"a change to its first cards on {SCREENS} screens: median {ms(statistics.median(late))}")
    print(f"  95 % {ms(percentile(late, 0.95))}, greatest {ms(max(late))}; {len(late)} of {SCREENS * CHANGES}")
    if painted:
        firsts = [min(at for at in page if at >= at_ms) - at_ms for page in painted for _, at_ms in made]
        print(f"to painted on four pages in Chromium: median {statistics.median(firsts):.0f} ms")
        print(f"  95 % {percentile(firsts, 0.95):.0f} ms; {len(firsts)} changes")


def clock() -> None:
    """The page's clock in simulated time: 20 ms ± 15 ms each way, 5 % of packets 300 ms late."""
    import random

    from tests.screens import test_linkscript as simulated
    from tests.screens.conftest import opened

    browser = opened()
    try:
        simulated.load(browser)
        for what, fast, out_ms in (("alike", 0.0, 0), ("50 ppm fast", 50e-6, 0), ("lopsided by 30 ms", 0.0, 30)):
            rng = random.Random(7)
            exchanges = [(2_000.0 * n, simulated.jitter(rng) + out_ms, simulated.jitter(rng)) for n in range(1_000)]
            asked = [2_000.0 * n + 1_111 for n in range(20, 1_000)]
            found, _ = simulated.played(browser, simulated.Network(fast), exchanges, asked)
            errors, bounds = [abs(error) for error, _ in found], [bound for _, bound in found]
            kept = sum(error <= bound for error, bound in zip(errors, bounds))
            print(f"clock, {what}: median {percentile(errors, 0.5):.1f} ms, 99 % {percentile(errors, 0.99):.1f} ms")
            print(f"  bound, median {percentile(bounds, 0.5):.1f} ms, kept {kept} of {len(found)}")
        late = []
        for seed in range(20):
            rng = random.Random(seed)
            exchanges = [(2_000.0 * n, simulated.jitter(rng), simulated.jitter(rng)) for n in range(300)]
            asked = [exchanges[-1][0] + 60_500]
            late += [
                abs(error) for error, _ in simulated.played(browser, simulated.Network(50e-6), exchanges, asked)[0]
            ]
        print(f"  50 ppm fast and 60 s alone: median {percentile(late, 0.5):.1f} ms, greatest {max(late):.1f} ms")
    finally:
        browser.quit()


if __name__ == "__main__":
    if sys.argv[1:2] == ["screens"]:
        asyncio.run(all_screens(int(sys.argv[2]), sys.argv[3]))
    elif sys.argv[1:2] == ["changes"]:
        changes()
    else:
        with_and_without()
        changes()
        clock()
