"""The server of lane screens: one page, and a WebSocket for each screen. All of it runs in one loop of one thread.

It knows the session by what it is handed (`Shown`), and hands on signed acts; it never waits for the session, nor the
session for it.
"""

from __future__ import annotations

import asyncio
import logging
from collections import deque
from collections.abc import Callable, Sequence
from contextlib import suppress
from typing import Any, NamedTuple

from websockets.asyncio.server import Server, ServerConnection, serve
from websockets.exceptions import ConnectionClosed

from pacer.language import tr
from pacer.screens.cardsending import CardFeeds, MakeCards, Shown, feed_key
from pacer.screens.devices import BEFORE_EVERY_START_MS, MOST_DEVICES, VERSION, Device, Devices, Refusal
from pacer.screens.deviceswriter import DevicesWriter
from pacer.screens.fromscreens import Act, BadMessage, ClockAsked, Join, Message, Pick, SignedAct, act_of, message_of
from pacer.screens.screenconnection import Bucket, Limits, ScreenLine
from pacer.screens.screenlist import Row, rows_of
from pacer.screens.signing import is_signed, new_key
from pacer.screens.swimmercards import walls_of
from pacer.screens.toscreens import joined, message, role_of, state
from pacer.screens.webgate import BACKLOG, KnownAddresses, WebGate
from pacer.session.records.touches import TakenTime
from pacer.session.running.replay import Run
from pacer.show.view.swimmerplaces import GLIDE_MS

GLANCE_S = 1.0  #: how often the coach's list is updated
SHOW_NUMBER_MS = 8_000
ANSWERS = 256  #: of one device that are remembered, for acts that come again


class Delivered(NamedTuple):
    """A signed act of an approved device."""

    device: str
    source: str
    act: Act


class LaneServer:
    """Everything but `acts`, `rows`, `stamp`, `port` and `show_times` belongs to the loop that `run` runs in."""

    def __init__(
        self,
        devices: Devices,
        page: bytes,
        *,
        clock_ms: Callable[[], float],
        boot: str,
        make: MakeCards,
        pack: Callable[[list[dict[str, Any]]], Any],
        keep: Callable[[dict[str, Any]], None] = lambda told: None,
        limits: Limits | None = None,
    ):
        self.devices, self.limits = devices, limits or Limits()
        self.acts: deque[Delivered] = deque()  #: for the session's thread to take
        self.rows: tuple[Row, ...] = ()  #: the coach's list
        self.stamp = 0  #: goes up when the QR code, the code or the list's devices have changed
        self.port = 0
        self.hosts: tuple[str, ...] = ()
        self._clock_ms, self._boot = clock_ms, boot
        self._page = page
        self.feeds = CardFeeds(make, pack, clock_ms)
        self._screens: dict[str, ScreenLine] = {}
        self._gone: dict[str, int] = {}
        self._known = KnownAddresses()
        self._answers: dict[str, dict[int, str]] = {}
        self._timed: tuple[Run, Sequence[TakenTime]] | None = None
        self._keeper = DevicesWriter(lambda: keep(self.devices.as_json()))

    async def run(self, host: str, port: int, started: Callable[[int], None] = lambda port: None) -> None:
        """Serve until cancelled. Raises OSError where the port cannot be had."""
        gate = WebGate(self._page, self.limits, lambda: self.devices.hosts, self._known)
        self._screens.clear()
        self.feeds.clear()
        quiet = logging.getLogger("pacer.screens.sockets")
        quiet.setLevel(logging.CRITICAL)  # what strangers send is their trouble
        async with serve(
            self._screen,
            host,
            port,
            process_request=gate.request,
            create_connection=gate.connection,  # type: ignore[arg-type]  # whatever makes one
            compression=None,
            max_size=self.limits.bytes,
            max_queue=16,
            open_timeout=self.limits.join_s,
            ping_interval=10,
            ping_timeout=15,
            close_timeout=2,
            server_header=None,
            backlog=BACKLOG,
            logger=quiet,
        ) as server:
            self.port = port_of(server)
            started(self.port)
            async with asyncio.TaskGroup() as tasks:
                tasks.create_task(self.feeds.make_all(self._put_cards))
                tasks.create_task(self._watch())
                tasks.create_task(self._tell_walls())
                tasks.create_task(self._keeper.run())

    # -- what the session's thread asks for, called in the loop ----------------------------------------------

    def show(self, shown: Shown) -> None:
        """Follow a change of the session: every screen gets its cards again."""
        if not self.feeds.show(shown):
            return
        kept = set(self.feeds.by_view)
        for screen in self._screens.values():
            screen.put(state(self.feeds.shown), urgent=True)
            if screen.picked is None or feed_key(screen.picked) not in kept:
                self._feed(screen)

    def show_times(self, run: Run, times: Sequence[TakenTime]) -> None:
        """Who has touched, for those who show the pool. From any thread: waking the loop each time costs a frame."""
        self._timed = run, times

    async def _tell_walls(self) -> None:
        told = None
        while True:
            await asyncio.sleep(GLIDE_MS / 1_000)
            if self._timed is told:
                continue
            told, walls = self._timed, self._walls()
            for screen in self._screens.values():
                if screen.picked is not None and screen.picked[1] == "pool":
                    screen.put(walls)

    def show_anew(self, shown: Shown) -> None:
        """What a server that is started again begins with. Before `run`."""
        self.feeds.show(shown)

    def has_done(self, source: str, n: int) -> None:
        """An act was counted before the tablet was killed. Before `run`."""
        device = next((one for one in self.devices.known.values() if one.source == source), None)
        if device is not None:
            self._answers.setdefault(device.name, {})[n] = message("answer", n=n, done=True, says=tr("Done"))

    def keep_now(self) -> None:
        """Write the devices down."""
        self._keeper.changed()

    def name_hosts(self, hosts: tuple[str, ...]) -> None:
        """The tablet is found at these addresses now: screens try them where they lose it."""
        self.hosts = hosts
        if self.devices.name_hosts(hosts):
            self._keeper.changed()
        for screen in self._screens.values():
            screen.put(message("hosts", hosts=hosts))

    def answer(self, device: str, n: int, done: bool, says: str) -> None:
        """What came of an act."""
        told = message("answer", n=n, done=done, says=says)
        answers = self._answers.setdefault(device, {})
        answers[n] = told
        if not done and device in self.devices.known:
            self._is_now(self.devices.refuse(device, n))
            self._keeper.changed()
        while len(answers) > ANSWERS:
            del answers[next(iter(answers))]
        if device in self._screens:
            self._screens[device].put(told, urgent=True)

    def approve(self, number: int, helps: bool = True) -> None:
        """A screen may help, or only show from now on."""
        device = self.devices.numbered(number)
        if device is None or (helps and not device.key):
            return
        self.change(device.name, helps=helps, helped_before=False)
        self._take_turn(device.name, device.lane if helps else None)
        self._changed()
        if screen := self._screens.get(device.name):
            screen.put(message("role", role=role_of(screen.device)), urgent=True)

    def show_number(self, number: int) -> None:
        """A screen shows its number, large, for a while."""
        device = self.devices.numbered(number)
        if device is not None and (screen := self._screens.get(device.name)):
            screen.put(message("show number", for_ms=SHOW_NUMBER_MS), urgent=True)

    def send_away(self, number: int) -> None:
        """A screen is sent away, and its device does not come back in this session."""
        device = self.devices.numbered(number)
        if device is None:
            return
        self.change(device.name, away=True, helps=False)
        self._take_turn(device.name, None)
        self._changed()
        if screen := self._screens.get(device.name):
            screen.put(message("away"), urgent=True)
            asyncio.get_running_loop().call_later(0.2, screen.drop)

    def renew_code(self) -> None:
        """Another code to be typed."""
        self.devices.renew_code()
        self._changed()

    # -- a screen ----------------------------------------------------------------------------------------------

    async def _screen(self, socket: ServerConnection) -> None:
        nonce = new_key()
        try:
            await socket.send(message("hello", v=VERSION, session=self.devices.session, nonce=nonce))
            async with asyncio.timeout(self.limits.join_s):
                asked = message_of(await socket.recv())
        except (TimeoutError, BadMessage, ConnectionClosed):
            socket.transport.abort()
            return
        if not isinstance(asked, Join):
            socket.transport.abort()
            return
        found = self._join(asked, nonce, socket.remote_address[0])
        if isinstance(found, Refusal):
            await self._refuse(socket, found)
            return
        self._known.add(socket.remote_address[0], bool(found.key))
        await self._serve(ScreenLine(socket, found, self.limits))

    def _join(self, asked: Join, nonce: str, address: str) -> Device | Refusal:
        others = len(self._screens) - (asked.device in self._screens)
        full = others >= self.limits.screens
        if full and asked.mac is None and asked.token is None:
            return Refusal("full")
        devices, name = self.devices, asked.device
        before = devices.known.get(name), devices.key, devices.lockout.closed
        found = devices.join(asked, nonce, address, int(self._clock_ms()))
        if before != (devices.known.get(name), devices.key, devices.lockout.closed):
            self._changed()
        return Refusal("full") if full and isinstance(found, Device) and not self._has_made_room(found) else found

    def _has_made_room(self, comes: Device) -> bool:
        """Whether one that joined by the typed code, as anybody may who listens, was dropped: the last that came.

        Its number says when it came; who typed the code gives way to whose number is lower, and to who scanned.
        """
        typed = [one for one in self._screens.values() if not one.device.key]
        last = max(typed, key=lambda one: one.device.number, default=None)
        if last is None or not (comes.key or comes.number < last.device.number):
            return False
        last.drop()
        return True

    async def _refuse(self, socket: ServerConnection, found: Refusal) -> None:
        try:
            async with asyncio.timeout(self.limits.join_s):
                await socket.send(message("refused", why=found.why, wait_ms=found.wait_ms))
                await socket.close()
        except (TimeoutError, ConnectionClosed):
            socket.transport.abort()

    async def _serve(self, screen: ScreenLine) -> None:
        name = screen.device.name
        if (before := self._screens.get(name)) is not None:
            before.drop()
        self._screens[name] = screen
        sender = asyncio.create_task(screen.send_all())
        screen.put(lambda: self._joined(screen.device))
        screen.put(state(self.feeds.shown))
        self.glance()
        try:
            with suppress(ConnectionClosed):
                await self._listen(screen)
        finally:
            sender.cancel()
            if self._screens.get(name) is screen:
                del self._screens[name]
                self._gone.pop(name, None)
                self._gone[name] = int(self._clock_ms())
                while len(self._gone) > MOST_DEVICES:
                    del self._gone[next(iter(self._gone))]
                self._watch_feeds()
                self.glance()

    async def _listen(self, screen: ScreenLine) -> None:
        clock = asyncio.get_running_loop().time
        bucket = Bucket(self.limits.burst, self.limits.a_second, clock())
        async for text in screen.socket:
            came_ms = self._clock_ms()
            try:
                if not bucket.take(clock()):
                    raise BadMessage(tr("Too many presses. Wait a moment and press again."))
                self._take(screen, message_of(text), came_ms)
            except BadMessage:
                screen.drop()  # to part politely would mean reading on
                return

    def _take(self, screen: ScreenLine, asked: Message, came_ms: float) -> None:
        match asked:
            case ClockAsked(t1_ms, bound_ms):
                screen.bound_ms = bound_ms
                screen.put(
                    lambda: message("time", t1_ms=t1_ms, t2_ms=came_ms, t3_ms=round(self._clock_ms(), 3)), urgent=True
                )
            case Pick(lane, view, at_ms):
                if self.feeds.shown is not None and lane >= len(self.feeds.shown.run.timeline.tracks):
                    raise BadMessage(tr("there is no such lane"))
                if not screen.picks.take(asyncio.get_running_loop().time()):
                    raise BadMessage(tr("Too many presses. Wait a moment and press again."))
                screen.picked = (lane, view)
                self.change(screen.device.name, lane=lane, view=view)
                if screen.device.helps:
                    self._take_turn(screen.device.name, lane, at_ms)
                self._keeper.changed()
                self._watch_feeds()
                self._feed(screen)
                if view == "pool":
                    screen.put(self._walls())
            case SignedAct(body, mac):
                self._act(screen, body, mac)
            case _:
                raise BadMessage(tr("it has joined already"))

    def _act(self, screen: ScreenLine, body: str, mac: str) -> None:
        device = screen.device
        if not device.key or not is_signed(device.key, mac, "act", self.devices.session, device.name, body):
            raise BadMessage(tr("The tablet can't tell who pressed. Scan its QR code again."))
        act = act_of(body)
        known = self._answers.get(device.name, {}).get(act.n)
        if known is not None:
            screen.put(known, urgent=True)
        elif device.was_refused(act.n):
            screen.put(message("answer", n=act.n, done=False, says=""), urgent=True)
        elif not device.helps:
            self.answer(device.name, act.n, False, tr("Ask the coach to press “Let it help”."))
        elif act.lane is not None and not device.helped(act.lane, act.at_ms, act.bound_ms):
            self.answer(device.name, act.n, False, tr("This screen was at another lane then. Press again."))
        elif len(self.acts) < 4 * self.limits.queued:
            self.acts.append(Delivered(device.name, device.source, act))

    # -- what screens are told ---------------------------------------------------------------------------------

    def _joined(self, device: Device) -> str:
        acts = max((*self._answers.get(device.name, {}), *device.refused), default=0)
        return joined(device, self.feeds.shown, boot=self._boot, acts=acts, hosts=self.hosts)

    def _feed(self, screen: ScreenLine) -> None:
        """Give a screen the cards that are made already, and have the others made."""
        if screen.picked is not None:
            screen.put_cards(self.feeds.of(screen.picked), anew=True)

    def _put_cards(self, key: tuple[int, str], text: str) -> None:
        for screen in self._screens.values():
            if screen.picked is not None and feed_key(screen.picked) == key:
                screen.put_cards([text])

    def _walls(self) -> str:
        return message("walls", walls=[] if self._timed is None else walls_of(*self._timed))

    def _watch_feeds(self) -> None:
        self.feeds.watch({screen.picked for screen in self._screens.values() if screen.picked is not None})

    # -- the coach's list --------------------------------------------------------------------------------------

    async def _watch(self) -> None:
        while True:
            await asyncio.sleep(GLANCE_S)
            self.glance()

    def glance(self) -> None:
        """Bring the coach's list of screens up to date."""
        self.rows = rows_of(self.devices, self._screens, self._gone)

    def change(self, name: str, **values: Any) -> None:
        """A device is otherwise now."""
        self._is_now(self.devices.change(name, **values))

    def _is_now(self, device: Device) -> None:
        if device.name in self._screens:
            self._screens[device.name].device = device

    def _take_turn(self, name: str, lane: int | None, at_ms: int | None = None) -> None:
        """A device helps at that lane, or at none, since `at_ms` or from now on."""
        shown = self.feeds.shown
        begun = shown is not None and shown.run.begun is not None
        now_ms = shown.at_ms(self._clock_ms()) if shown is not None and begun else BEFORE_EVERY_START_MS
        self._is_now(self.devices.turn(name, now_ms if at_ms is None else min(at_ms, now_ms), lane))

    def _changed(self) -> None:
        self.stamp += 1
        self.glance()
        self._keeper.changed()


def port_of(server: Server) -> int:
    """The port that a server listens on."""
    return server.sockets[0].getsockname()[1]
