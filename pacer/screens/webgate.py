"""What is served on the web: one page and the way to the socket, to who asks for them by the tablet's own address."""

from __future__ import annotations

import asyncio
import base64
import re
import socket
import time
from collections.abc import Callable, Container
from hashlib import sha256
from http import HTTPStatus
from typing import Any

from websockets.asyncio.server import ServerConnection
from websockets.datastructures import Headers
from websockets.http11 import Request, Response

from pacer.language import tr
from pacer.screens.lockout import MOST_ADDRESSES
from pacer.screens.screenconnection import Bucket, Limits

FAIR = 4  #: connections of one address: a page, its socket, and those that it has not noticed to be gone
REFUSED_S = 0.003
BACKLOG = (
    32  #: connections that are taken at once: those that are refused hold up screens for this many times `REFUSED_S`
)
SEND_BYTES = 131_072  #: that the system holds for one connection; else a slow one holds megabytes


class KnownAddresses:
    """Addresses from which screens have joined, and whether one of them has a key."""

    def __init__(self) -> None:
        self._keyed: dict[str, bool] = {}

    def add(self, address: str, keyed: bool) -> None:
        """A screen has joined from there. Too many: who typed the code is forgotten first, the last of them."""
        self._keyed[address] = keyed or self._keyed.get(address, False)
        while len(self._keyed) > MOST_ADDRESSES:
            others = [one for one in self._keyed if one != address]
            del self._keyed[next((one for one in reversed(others) if not self._keyed[one]), others[0])]

    def trust(self, address: str) -> int:
        """0: nobody has joined from there. 1: by the code, as anybody may who listens. 2: by a key."""
        return 1 + self._keyed[address] if address in self._keyed else 0


class WebGate:
    """Answers requests, and counts connections from their first byte on.

    `hosts`: addresses that the tablet has had. `known`: those from which screens have joined; what all others may do
    together is limited too. However many connections strangers hold, there is room for screens: see `_has_made_room`.
    """

    def __init__(
        self,
        page: bytes,
        limits: Limits,
        hosts: Callable[[], Container[str]] = tuple,
        known: KnownAddresses | None = None,
    ):
        self._page, self._limits, self._policy, self._hosts = page, limits, policy_of(page), hosts
        self._known = known or KnownAddresses()
        self._strangers = Bucket(limits.all_new, limits.all_new_a_second, time.monotonic())
        self._open: dict[str, list[_Counted]] = {}
        self._came: dict[str, Bucket] = {}

    def enters(self, connection: _Counted) -> bool:
        """Whether one more connection is borne with."""
        limits, now_s, address = self._limits, time.monotonic(), connection.address
        self._open.setdefault(address, []).append(connection)
        bucket = self._came.pop(address, None) or Bucket(limits.new, limits.new_a_second, now_s)
        self._came[address] = bucket
        while len(self._came) > MOST_ADDRESSES:
            del self._came[next(iter(self._came))]
        if not bucket.take(now_s) or not (self._known.trust(address) or self._strangers.take(now_s)):
            return False
        if len(self._open[address]) > limits.of_one_address:
            return False
        return sum(map(len, self._open.values())) <= limits.connections or self._has_made_room(address)

    def _has_made_room(self, address: str) -> bool:
        """Whether a connection was closed for one of `address`: the newest of the address that has the least claim.

        Least has who holds the most beyond `FAIR`, then who is trusted less, then who holds more.
        """

        def least_claim(one: str) -> tuple[int, int, int]:
            held = len(self._open[one])
            return max(0, held - FAIR), -self._known.trust(one), held

        most = max(self._open, key=least_claim)
        if least_claim(most) <= least_claim(address):
            return False
        newest = self._open[most][-1]
        self.left(newest)
        newest.transport.abort()
        return True

    def left(self, connection: _Counted) -> None:
        """A connection was closed: there is room for another."""
        of_it = self._open.get(connection.address, [])
        if connection in of_it:
            of_it.remove(connection)
            if not of_it:
                del self._open[connection.address]

    def connection(self, *args: Any, **kwargs: Any) -> ServerConnection:
        """A connection of the server's."""
        return _Counted(self, *args, **kwargs)

    def request(self, connection: ServerConnection, request: Request) -> Response | None:
        """The page; None for the WebSocket.

        A name in Host means that somebody's page was led here by a name of its own (DNS rebinding), another Origin that
        the page is not ours. A page that was loaded before the tablet got another address is: `hosts` are the tablet's.
        """
        host, port = connection.local_address[:2]
        names = {f"{host}:{port}", *([f"localhost:{port}"] if host.startswith("127.") else [])}
        asked = request.headers.get_all("Host")
        if len(asked) != 1 or asked[0] not in names:
            return _said(HTTPStatus.FORBIDDEN, tr("Use the address that the tablet shows."))
        path = request.path.partition("?")[0]
        if path == "/":
            return self._page_at(asked[0])
        if path != "/link":
            return _said(HTTPStatus.NOT_FOUND, tr("There is nothing here."))
        origins = request.headers.get_all("Origin")
        from_us = len(origins) == 1 and origins[0].startswith("http://")
        if not from_us or not (origins[0][7:] == asked[0] or origins[0][7:] in self._hosts()):
            return _said(HTTPStatus.FORBIDDEN, tr("Open the address shown on the tablet."))
        return None

    def _page_at(self, host: str) -> Response:
        more = {
            "Content-Security-Policy": f"{self._policy}; connect-src ws://{host} ws://*:{host.rpartition(':')[2]}",
            "X-Content-Type-Options": "nosniff",
            "Referrer-Policy": "no-referrer",
            "Cache-Control": "no-cache",
        }
        return _response(HTTPStatus.OK, "text/html", self._page, more)


class _Counted(ServerConnection):
    """A connection that counts against the limit from its first byte on."""

    def __init__(self, gate: WebGate, *args: Any, **kwargs: Any):
        super().__init__(*args, **kwargs)
        self._gate, self.address = gate, ""

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Too many: it is closed at once."""
        self.address = transport.get_extra_info("peername", ("",))[0]
        super().connection_made(transport)
        enters = self._gate.enters(self)
        transport.get_extra_info("socket").setsockopt(socket.SOL_SOCKET, socket.SO_SNDBUF, SEND_BYTES)
        if not enters:
            self.transport.abort()
            time.sleep(REFUSED_S)  # in the server's thread alone: who floods gets no more of the processor for it

    def connection_lost(self, exc: Exception | None) -> None:
        """There is room for another."""
        self._gate.left(self)
        super().connection_lost(exc)


def _said(status: HTTPStatus, text: str) -> Response:
    return _response(status, "text/plain", f"{text}\n".encode(), {})


def _response(status: HTTPStatus, kind: str, body: bytes, more: dict[str, str]) -> Response:
    length = {"Content-Type": f"{kind}; charset=utf-8", "Content-Length": str(len(body)), "Connection": "close"}
    return Response(status, status.phrase, Headers({**length, **more}), body)


def policy_of(page: bytes) -> str:
    """What the page may do: run its own scripts and styles, show its own font and pictures, and nothing else.

    >>> policy_of(b"<p>")
    "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; img-src data:; font-src data:"
    """
    rules = ["default-src 'none'", "base-uri 'none'", "form-action 'none'", "frame-ancestors 'none'"]
    rules += ["img-src data:", "font-src data:"]
    for tag in ("script", "style"):
        found = re.findall(rf"<{tag}>(.*?)</{tag}>".encode(), page, re.DOTALL)
        sums = [f"'sha256-{base64.b64encode(sha256(each).digest()).decode()}'" for each in found]
        rules += [f"{tag}-src {' '.join(sums)}"] if sums else []
    return "; ".join(rules)
