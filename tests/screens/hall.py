"""A session with lane screens on this machine, and screens without a browser that speak to it."""

from __future__ import annotations

import asyncio
import contextlib
import json
import os
import socket
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from websockets.asyncio.client import ClientConnection, connect
from websockets.exceptions import ConnectionClosed

from pacer.plan.notation.planreader import read_plan
from pacer.screens.lanescreens import LaneScreens
from pacer.screens.screenconnection import Limits
from pacer.screens.signing import mac_of
from pacer.session.journal.entries import Begun
from pacer.session.timesource import boot_ns
from pacer.show.drive.driver import Driver
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.timeline import build_timeline

PLAN = "title: Long-axis rotation 2\npool: 25 m\nMain set\n  20 x 100 free on 2:00\n"
SQUAD = "".join(f'[[lane]]\nnumber = {number}\nbase = "1:30"\nswimmers = 2\n' for number in (3, 4, 5))
PHONE, OTHER = "0123456789abcdef", "fedcba9876543210"
PATIENT_S = 60.0  #: what is waited for comes in a moment, and on a machine with other work to do some time later
PATIENT = Limits(join_s=PATIENT_S, slow_s=PATIENT_S)  #: nobody is dropped because this machine is busy


def now_ms() -> int:
    """The clock that does not jump."""
    return boot_ns() // 1_000_000


def driver(store: Any = None, journal: Any = (), *, began_ago_ms: int | None = 60_000) -> Driver:
    """A session that was begun so long ago."""
    timeline = build_timeline(read_plan(PLAN), read_squad(SQUAD))
    if began_ago_ms is not None and not journal:
        journal = (Begun(0, now_ms() - began_ago_ms, 1_772_470_883_456, "+00:00"),)
    return Driver(timeline, now_ms=now_ms, wall_ms=lambda: 1_772_470_883_456, boot=lambda: "a", store=store,
                  journal=journal)  # fmt: skip


@contextlib.contextmanager
def hall(
    session: Driver | None = None,
    folder: Path | None = None,
    *,
    host: str = "127.0.0.1",
    limits: Limits | None = None,
    port: int | None = 0,
) -> Iterator[LaneScreens]:
    """Lane screens of a session, turned on."""
    screens = LaneScreens(session or driver(), folder, host=host, limits=limits or PATIENT, port=port)
    try:
        until(lambda: screens.frame() is not None and screens.ready)
        yield screens
    finally:
        screens.close(5)


def own_ports() -> int:
    """The first of ten ports that nobody has, nor another run of these tests: below those that a system hands out."""
    for tens in range(1_000):
        first = 20_000 + (7 * os.getpid() + tens) % 1_000 * 10
        with contextlib.suppress(OSError), contextlib.ExitStack() as tried:
            for port in range(first, first + 10):
                tried.enter_context(socket.socket()).bind(("127.0.0.1", port))
            return first
    raise AssertionError("no port is free")


def kept_says(folder: Path, text: str) -> bool:
    """Whether the file of the screens has that text."""
    path = folder / "screens.json"
    return path.exists() and text in path.read_text()


def until(asked: Any) -> Any:
    """Wait until something is so; what it is then."""
    end = time.monotonic() + PATIENT_S
    while not (found := asked()):
        assert time.monotonic() < end, "it did not come"
        time.sleep(0.01)
    return found


class Screen:
    """A screen without a browser."""

    def __init__(self, socket: ClientConnection, hello: dict[str, Any]):
        self.socket, self.session, self.nonce = socket, hello["session"], hello["nonce"]
        self.name, self.key, self.n = PHONE, "", 0

    async def send(self, kind: str, **told: Any) -> None:
        """Send a message."""
        await self.socket.send(json.dumps({"type": kind, **told}))

    async def hear(self, kind: str, seconds: float = PATIENT_S) -> dict[str, Any]:
        """The next message of a kind."""
        async with asyncio.timeout(seconds):
            while True:
                told = json.loads(await self.socket.recv())
                if told["type"] == kind:
                    return told

    async def gone(self, seconds: float = PATIENT_S) -> None:
        """Hear what still comes, until the connection is closed."""
        async with asyncio.timeout(seconds):
            with contextlib.suppress(ConnectionClosed):
                async for _ in self.socket:
                    pass

    async def join(self, *, name: str = PHONE, code: str | None = None, key: str = "", token: str | None = None) -> Any:
        """Ask to join; what came back."""
        self.name, self.key = name, key
        told: dict[str, Any] = {"v": 1, "device": name, "session": self.session}
        told |= {"code": code} if code else {"token": token} if token else {}
        if key:
            told["mac"] = mac_of(key, "join", self.session, name, self.nonce)
        await self.send("join", **told)
        return json.loads(await self.socket.recv())

    def signed(self, kind: str, n: int | None = None, key: str | None = None, **told: Any) -> dict[str, Any]:
        """An act, signed."""
        self.n += 1
        body = json.dumps({"n": n or self.n, "kind": kind, "bound_ms": 7, **told})
        return {"body": body, "mac": mac_of(key or self.key, "act", self.session, self.name, body)}


@contextlib.asynccontextmanager
async def screen(screens: LaneScreens, *, source: str = "127.0.0.1", **more: Any):
    """A connection that has heard hello."""
    address = f"127.0.0.1:{screens.server.port}"
    headers = {"origin": f"http://{address}", **more}
    async with connect(
        f"ws://{address}/link",
        compression=None,
        max_size=None,
        ping_interval=None,
        open_timeout=PATIENT_S,
        **{"local_addr": (source, 0), **headers},
    ) as socket:
        yield Screen(socket, json.loads(await socket.recv()))
