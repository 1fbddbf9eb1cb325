"""The whole face while somebody attacks its lane screens, and the same in peace, turn and turn about in one run.

    python tests/bench/bench_hostile.py [FOLDER]

The app runs in a hidden window, 1280 x 800, ten lanes, eighty swimmers, two hours, kept on disk, with an approved
helper on the network. The attacker is a process of its own on this machine, at the lowest priority: it floods with
connections, requests and messages, holds 200 connections open half way, sends frames that are too large, JSON that is
none, Hosts of its own, and the helper's signed acts again, in another order, from other connections, and asks for the
cards of one lane and view after the other. In peace it does all that to another server, in a process of its own: what
an attack costs this machine, which is the attacker's too, is in both. FOLDER: where the data is kept; one in memory
(/dev/shm) leaves out how slow the disk is while others use it. A frame's drawing is not waited for (glFinish): drawn by
the processor, that holds Python's lock for as long, and touches with it.
"""

from __future__ import annotations

import asyncio
import contextlib
import json
import os
import queue
import statistics
import subprocess
import sys
import tempfile
import threading
import time
from collections import Counter
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(Path(__file__).parent)]

SECONDS = 8.0
TURNS = 4  #: of each
TOUCH_FRAMES = 9  #: one touch in so many frames


# -- the attacker ------------------------------------------------------------------------------------------------------


async def attack(port: int, code: str, acts: list[dict[str, str]], over: asyncio.Event, sent: Counter[str]) -> None:
    """All of it at once, until it is over."""
    from websockets.asyncio.client import connect

    where = f"127.0.0.1:{port}"

    async def raw(name: str, source: str, text: bytes, hold: bool = False) -> None:
        while not over.is_set():
            with contextlib.suppress(OSError):
                reader, writer = await asyncio.open_connection("127.0.0.1", port, local_addr=(source, 0))
                writer.write(text)
                sent[name] += 1
                if hold:
                    with contextlib.suppress(TimeoutError):
                        await asyncio.wait_for(reader.read(), 3)
                writer.close()
            await asyncio.sleep(0.002)

    async def talk(name: str, source: str, join: bool, texts: list[Any]) -> None:
        number = 0
        while not over.is_set():
            with contextlib.suppress(Exception):  # whatever the tablet does to it, it comes again
                async with connect(
                    f"ws://{where}/link", origin=f"http://{where}", compression=None, local_addr=(source, 0),
                    open_timeout=2, close_timeout=0.1,
                ) as socket:  # fmt: skip
                    hello = json.loads(await socket.recv())
                    if join:
                        number = (number + 1) % 8
                        told = {
                            "v": 1,
                            "device": f"{source[8:]:0>8}{number:08}",
                            "session": hello["session"],
                            "code": code,
                        }
                        await socket.send(json.dumps({"type": "join", **told}))
                    while not over.is_set():
                        for text in texts:
                            await socket.send(text)
                            sent[name] += 1
                        await asyncio.sleep(0)
            await asyncio.sleep(0.01)

    again = [json.dumps({"type": "act", **act}) for act in reversed(acts)]
    picks = [json.dumps({"type": "pick", "lane": lane, "view": view}) for lane in range(3) for view in ("lane", "pool")]
    get = f"GET / HTTP/1.1\r\nHost: {where}\r\n\r\n".encode()
    rebound = f"GET /link HTTP/1.1\r\nHost: club.example:{port}\r\nOrigin: http://club.example:{port}\r\n\r\n".encode()
    jobs = [
        raw("requests", "127.0.0.20", get),
        raw("other Hosts", "127.0.0.21", rebound),
        *[raw("half open", f"127.0.0.{30 + number % 10}", b"GET / HT", hold=True) for number in range(200)],
        talk("large frames", "127.0.0.22", False, ["x" * 100_000]),
        talk("no JSON", "127.0.0.23", False, ['{"type": "join', b"\x00\xff"]),
        talk("messages", "127.0.0.24", True, ['{"type":"time","t1_ms":1.0}']),
        talk("acts again", "127.0.0.25", True, again),
        *[talk("picks", f"127.0.0.{50 + number}", True, picks) for number in range(4)],
    ]
    await asyncio.gather(*jobs)


def decoy() -> None:
    """The same server in a process of its own, with a session that nobody looks at, until standard input ends."""
    from tests.screens.hall import hall

    os.nice(19)
    with hall() as screens:
        print(json.dumps([screens.server.port, screens.code]), flush=True)
        threading.Thread(target=sys.stdin.read, name="end").start()
        while any(thread.name == "end" for thread in threading.enumerate()):
            screens.frame()
            time.sleep(0.05)


async def attacker(port: int, code: str, acts: list[dict[str, str]]) -> None:
    """Attack the tablet, or the decoy, as a line on standard input says."""
    os.nice(19)
    other = subprocess.Popen(
        [sys.executable, __file__, "decoy"], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert other.stdin is not None and other.stdout is not None
    decoy_port, decoy_code = json.loads(other.stdout.readline())
    unsent = Counter[str]()
    loop, over, sent = asyncio.get_running_loop(), asyncio.Event(), Counter[str]()
    task: asyncio.Task[None] | None = None
    while line := (await loop.run_in_executor(None, sys.stdin.readline)).strip():
        over.set()
        if task is not None:
            await task
        over.clear()
        which = (port, code, acts, over, sent) if line == "go" else (decoy_port, decoy_code, acts, over, unsent)
        task = asyncio.create_task(attack(*which))
    over.set()
    if task is not None:
        await task
    other.stdin.close()
    other.wait()
    other.stdout.close()
    print(json.dumps(sent))


# -- the tablet --------------------------------------------------------------------------------------------------------


class Tablet:
    """The app, what it does in each phase, and what was measured."""

    def __init__(self, folder: str):
        from sessions import ten_lanes, two_hours

        from pacer.session.storage.keeper import begin
        from pacer.session.storage.savedsession import session_of
        from pacer.session.storage.store import Store
        from pacer.show.drive.journalwriter import OnDisk
        from pacer.timeline.timeline import build_timeline

        store = Store(Path(folder))
        store.open()
        timeline = build_timeline(two_hours(), ten_lanes())
        self.keeper = begin(store, session_of(timeline))
        from pacer.face.window.kivyapp import FaceApp
        from pacer.show.drive.settings import Settings

        self.app = FaceApp(timeline, "", (), Settings(cautions_read=1_000), OnDisk(self.keeper))
        self.python: dict[bool, list[float]] = {True: [], False: []}
        self.rates: dict[bool, list[float]] = {True: [], False: []}
        self.disk: dict[bool, list[float]] = {True: [], False: []}
        self.load: dict[bool, list[float]] = {True: [], False: []}
        self.attacked: bool | None = None
        self.count = self.touches = 0
        self._waits: queue.SimpleQueue = queue.SimpleQueue()
        threading.Thread(target=self._wait, daemon=True).start()

    def _wait(self) -> None:
        while True:
            number, began, attacked = self._waits.get()
            self.keeper.wait(number, 2.0)
            self.disk[attacked].append(time.monotonic() - began)

    def frame(self, _dt: float) -> None:
        """One of Kivy's frames."""
        from pacer.session.journal.recordentries import Touched

        shell, driver = self.app.shell, self.app.shell.driver
        began = time.thread_time()
        shell.frame()
        if self.attacked is None:
            return
        self.python[self.attacked].append(time.thread_time() - began)
        self.count += 1
        if self.count % TOUCH_FRAMES == 0:
            at_ms = driver.at_ms()
            tapped = time.monotonic()
            driver.append(Touched(at_ms, self.count % 10, 0, 0, 1, 1, 1, at_ms - 40_000 - self.count, 4_000))
            self.touches += 1
            self._waits.put((self.keeper.saved + self.keeper.waiting, tapped, self.attacked))

    def script(self):
        """What happens, one step after the other; each gives the seconds until the next."""
        from pacer.screens import lanescreens

        shell = self.app.shell
        shell.driver.do(shell.driver.begin(1_000))
        yield 3.0
        lanescreens.HOST = "127.0.0.1"
        shell.switch.turn_on()
        screens = shell.switch.screens
        while not screens.scanned:
            yield 0.1
        helper = Helper(screens.server.port, screens.scanned.partition("#")[2])
        while not screens.rows:
            yield 0.1
        screens.approve(1)
        yield 0.5
        helper.touch(shell.driver.at_ms())
        yield 1.0
        before = len(shell.driver.journal)
        command = [sys.executable, __file__, "attack", str(screens.server.port), screens.code, json.dumps(helper.acts)]
        with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True) as process:
            assert process.stdin is not None
            for turn in range(2 * TURNS):
                attacked = bool(turn % 2)
                process.stdin.write("go\n" if attacked else "stop\n")
                process.stdin.flush()
                yield 1.5
                self.attacked, self.count, began, used = attacked, 0, time.perf_counter(), server_s()
                yield SECONDS
                took = time.perf_counter() - began
                self.rates[attacked].append(self.count / took)
                self.load[attacked].append((server_s() - used) / took)
                self.attacked = None
            process.stdin.close()
            yield 3.0
            self.sent = json.loads(process.stdout.read())
        yield 1.0
        self.strange = len(shell.driver.journal) - before - self.touches
        self.helper_stays = helper.answered() and any(row.connected for row in screens.rows)
        self.app.stop()


def server_s() -> float:
    """What the thread of lane screens has had of the processor. Linux."""
    thread = next(each for each in threading.enumerate() if each.name == "lane screens")
    with open(f"/proc/self/task/{thread.native_id}/stat", encoding="ascii") as stat:
        return sum(map(int, stat.read().rpartition(")")[2].split()[11:13])) / os.sysconf("SC_CLK_TCK")


class Helper:
    """An honest helper in a thread of its own; what it signed is known to who listens."""

    def __init__(self, port: int, key: str):
        self.port, self.key, self.acts, self.loop = port, key, [], asyncio.new_event_loop()
        self.heard = time.monotonic()
        threading.Thread(target=lambda: self.loop.run_until_complete(self._run()), daemon=True).start()

    async def _run(self) -> None:
        from websockets.asyncio.client import connect

        from pacer.screens.signing import mac_of

        where, name = f"127.0.0.1:{self.port}", "0123456789abcdef"
        async with connect(f"ws://{where}/link", origin=f"http://{where}", compression=None, max_size=None) as socket:
            hello = json.loads(await socket.recv())
            self.session, self.name, self.socket = hello["session"], name, socket
            mac = mac_of(self.key, "join", self.session, name, hello["nonce"])
            told = {"type": "join", "v": 1, "device": name, "session": self.session, "mac": mac}
            await socket.send(json.dumps(told))
            await socket.send(json.dumps({"type": "pick", "lane": 0, "view": "lane"}))

            async def ask() -> None:
                while True:
                    await socket.send(json.dumps({"type": "time", "t1_ms": 1.0, "bound_ms": 5.0}))
                    await asyncio.sleep(1)

            asking = asyncio.create_task(ask())
            async for _ in socket:
                self.heard = time.monotonic()
            asking.cancel()

    def touch(self, at_ms: int) -> None:
        """A touch that counts nothing yet (nobody is due), and STOP ALL that is never sent: an old one."""
        from pacer.screens.signing import mac_of

        for n, kind in ((1, "touch"), (2, "stop all")):
            body = json.dumps({"n": n, "kind": kind, "bound_ms": 7, "at_ms": at_ms} | ({"lane": 0} if n == 1 else {}))
            self.acts.append({"body": body, "mac": mac_of(self.key, "act", self.session, self.name, body)})
        send = self.socket.send(json.dumps({"type": "act", **self.acts[0]}))
        asyncio.run_coroutine_threadsafe(send, self.loop)

    def answered(self) -> bool:
        """Whether the tablet has been heard in the last two seconds."""
        return time.monotonic() - self.heard < 2


def percentile(values, share: float):
    """The value that `share` of them do not exceed."""
    return sorted(values)[min(len(values) - 1, int(share * len(values)))]


def child(folder: str) -> None:
    """Run the app through the phases, and print."""
    from bench_face import sized

    sized(own=True)
    from pacer.face.kit.kivysetup import open_window

    open_window(full=False)
    from kivy.clock import Clock

    tablet = Tablet(folder)
    tablet.app.frame = tablet.frame
    steps = None

    def step(_dt: float) -> None:
        nonlocal steps
        steps = steps or tablet.script()
        with contextlib.suppress(StopIteration):
            Clock.schedule_once(step, next(steps))

    Clock.schedule_once(step, 2)
    tablet.app.run()
    tablet.keeper.close()
    for what, both, form in (
        ("frames a second", tablet.rates, "{:.1f}"),
        (
            "Python time per frame, 99 %, ms",
            {k: [1e3 * percentile(v, 0.99)] for k, v in tablet.python.items()},
            "{:.2f}",
        ),
        ("touch to disk, median, ms", {k: [1e3 * statistics.median(v)] for k, v in tablet.disk.items()}, "{:.2f}"),
        ("touch to disk, 99 %, ms", {k: [1e3 * percentile(v, 0.99)] for k, v in tablet.disk.items()}, "{:.2f}"),
    ):
        there, alone = statistics.median(both[True]), statistics.median(both[False])
        print(f"{what}: attacked {form.format(there)}, in peace {form.format(alone)}: {there / alone:.2f}")
    for attacked, loads in tablet.load.items():
        print(
            f"load of the server, of a core, {'attacked' if attacked else 'in peace'}: {statistics.median(loads):.1%}"
        )
    print(f"frames a second, each turn: attacked {tablet.rates[True]}, in peace {tablet.rates[False]}")
    print(f"{len(tablet.disk[True])} touches attacked, {len(tablet.disk[False])} in peace; sent: {tablet.sent}")
    print(f"entries that nobody on deck made: {tablet.strange}; the helper is still served: {tablet.helper_stays}")


def main(above: str | None = None) -> None:
    """Run it in a hidden window."""
    with tempfile.TemporaryDirectory(dir=above) as folder:
        environment = os.environ | {
            "HOME": folder, "PACER_HOME": folder, "KIVY_NO_ARGS": "1", "PYTHONPATH": str(ROOT),
            "SDL_VIDEODRIVER": "offscreen", "SDL_AUDIODRIVER": "dummy", "KIVY_HOME": folder,
        }  # fmt: skip
        subprocess.run([sys.executable, __file__, "child", folder], env=environment, check=True)


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["attack", port, code, acts]:
            asyncio.run(attacker(int(port), code, json.loads(acts)))
        case ["decoy"]:
            decoy()
        case ["child", folder]:
            child(folder)
        case above:
            main(*above)
