"""A relay between screens and the tablet on this machine: a network that is slow, lopsided, or silent for a while.

It passes bytes on in their order, as TCP does: what comes after a late packet waits for it.
"""

from __future__ import annotations

import asyncio
import contextlib
import random
import threading
from collections.abc import Callable, Iterator

Delay = Callable[[], float]  #: how many ms the next packet takes


def jitter(rng: random.Random, more_ms: float = 0.0) -> Delay:
    """20 ms ± 15 ms, and 5 % of the packets 300 ms later; `more_ms` on top."""
    return lambda: 20 + rng.uniform(-15, 15) + (300 if rng.random() < 0.05 else 0) + more_ms


class Relay:
    """Listens at a port of 127.0.0.1 and passes on to the port `to`, with the delays `out` and `back`."""

    def __init__(self, to: int, out: Delay, back: Delay):
        self.to, self.out, self.back, self.port = to, out, back, 0
        self.silent = False  #: nothing passes
        self._connections: set[asyncio.Task[None]] = set()
        self._ready = threading.Event()
        self._thread = threading.Thread(target=lambda: asyncio.run(self._serve()), daemon=True)
        self._thread.start()
        self._ready.wait(10)

    def close(self) -> None:
        """Cut all connections."""
        self._loop.call_soon_threadsafe(self._over.set)
        self._thread.join(10)

    async def _serve(self) -> None:
        self._loop, self._over = asyncio.get_running_loop(), asyncio.Event()
        async with asyncio.TaskGroup() as tasks:
            self._tasks = tasks
            server = await asyncio.start_server(self._accept, "127.0.0.1", 0)
            self.port = server.sockets[0].getsockname()[1]
            self._ready.set()
            await self._over.wait()
            server.close()
            for task in list(self._connections):
                task.cancel()

    def _accept(self, near: asyncio.StreamReader, near_writer: asyncio.StreamWriter) -> None:
        task = self._tasks.create_task(self._connection(near, near_writer))
        self._connections.add(task)
        task.add_done_callback(self._connections.discard)

    async def _connection(self, near: asyncio.StreamReader, near_writer: asyncio.StreamWriter) -> None:
        try:
            far, far_writer = await asyncio.open_connection("127.0.0.1", self.to)
        except OSError:  # nobody serves there now
            near_writer.transport.abort()
            return
        here, there = b":%d" % self.port, b":%d" % self.to  # each has itself in what it is asked and in what it answers
        ways = [
            self._way(near, far_writer, lambda: self.out(), (here, there)),
            self._way(far, near_writer, lambda: self.back(), (there, here)),
        ]
        try:
            with contextlib.suppress(OSError):
                await asyncio.gather(*ways)
        finally:
            for writer in (near_writer, far_writer):
                writer.transport.abort()

    async def _way(
        self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter, delay: Delay, names: tuple
    ) -> None:
        waiting: asyncio.Queue[tuple[float, bytes]] = asyncio.Queue()
        sender = asyncio.ensure_future(self._send(waiting, writer))
        clock = self._loop.time
        try:
            data, first = b"more", True
            while data:
                with contextlib.suppress(ConnectionError):
                    data = b""
                    data = await reader.read(1 << 16)
                if first:
                    data, first = data.replace(*names), False
                waiting.put_nowait((clock() + delay() / 1e3, data))
            await sender
        finally:
            sender.cancel()

    async def _send(self, waiting: asyncio.Queue[tuple[float, bytes]], writer: asyncio.StreamWriter) -> None:
        clock, data = self._loop.time, b"more"
        while data:
            due, data = await waiting.get()
            await asyncio.sleep(max(0.0, due - clock()))
            while self.silent:
                await asyncio.sleep(0.005)
            writer.write(data)
        writer.close()


@contextlib.contextmanager
def relay(to: int, out: Delay, back: Delay) -> Iterator[Relay]:
    """A relay for a while."""
    made = Relay(to, out, back)
    try:
        yield made
    finally:
        made.close()
