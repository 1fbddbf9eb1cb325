"""One connected screen: what waits to be sent to it, and how often it may speak. A slow one is dropped."""

from __future__ import annotations

import asyncio
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass

from websockets.asyncio.server import ServerConnection
from websockets.exceptions import ConnectionClosed

from pacer.screens.devices import Device
from pacer.screens.fromscreens import MOST_MESSAGE_BYTES


@dataclass(frozen=True, slots=True)
class Limits:
    """What one server bears with."""

    screens: int = 64
    connections: int = 160  #: open at one time, whatever they are for
    of_one_address: int = 24
    new: int = 30  #: connections of one address at once
    new_a_second: float = 4.0  #: and on average
    all_new: int = 160  #: of all addresses together from which no screen has joined: a page and a socket for each
    all_new_a_second: float = 20.0
    burst: int = 40  #: messages at once
    a_second: float = 10.0  #: messages, on average
    picks: int = 20  #: of them, other lanes and views at once: each has cards sent
    picks_a_second: float = 1.0
    bytes: int = MOST_MESSAGE_BYTES
    slow_s: float = 5.0  #: within which a message must be taken off our hands
    join_s: float = 5.0  #: within which a connection must say what it wants
    queued: int = 512  #: messages that wait for one screen


class Bucket:
    """How often something may happen: `burst` at once, `a_second` on average."""

    def __init__(self, burst: float, a_second: float, now_s: float):
        self._burst, self._rate, self._left, self._at_s = burst, a_second, float(burst), now_s

    def take(self, now_s: float) -> bool:
        """Whether it may happen now.

        >>> bucket = Bucket(2, 1.0, 0.0)
        >>> [bucket.take(at) for at in (0.0, 0.0, 0.0, 1.0, 1.5)]
        [True, True, False, True, False]
        """
        self._left = min(self._burst, self._left + (now_s - self._at_s) * self._rate)
        self._at_s = now_s
        if self._left < 1:
            return False
        self._left -= 1
        return True


Outgoing = str | Callable[[], str]


class ScreenLine:
    """The line to a screen that has joined."""

    def __init__(self, socket: ServerConnection, device: Device, limits: Limits):
        self.socket, self.device = socket, device
        self.picked: tuple[int, str] | None = None
        self.bound_ms: float | None = None  #: its own bound on its clock's error
        self._limits = limits
        self.picks = Bucket(limits.picks, limits.picks_a_second, asyncio.get_running_loop().time())
        self._urgent: deque[Outgoing] = deque()
        self._messages: deque[Outgoing] = deque()
        self._cards: deque[str] = deque()
        self._some = asyncio.Event()

    def put(self, message: Outgoing, *, urgent: bool = False) -> None:
        """Send a message, when those before it are sent; one that is a function is asked for its text just then."""
        (self._urgent if urgent else self._messages).append(message)
        if len(self._urgent) + len(self._messages) > self._limits.queued:
            self.drop()
        self._some.set()

    def put_cards(self, texts: list[str], *, anew: bool = False) -> None:
        """Send cards after everything else; `anew`: those still waiting are out of date."""
        if anew:
            self._cards.clear()
        self._cards.extend(texts)
        self._some.set()

    def drop(self) -> None:
        """Be rid of it at once."""
        self.socket.transport.abort()

    async def send_all(self) -> None:
        """Send what there is until the connection is closed. A screen that does not take it in time is dropped."""
        while True:
            await self._some.wait()
            self._some.clear()
            while queue := self._urgent or self._messages or self._cards:
                message = queue.popleft()
                try:
                    async with asyncio.timeout(self._limits.slow_s):
                        await self.socket.send(message if isinstance(message, str) else message())
                except TimeoutError:
                    self.drop()
                    return
                except ConnectionClosed:
                    return
