"""Lane screens as the session's driver and the face hold them: turned on and off, asked each frame, never waited for.

The server has a thread of its own. What goes to it is put into its loop, what comes from it is taken by `frame`. Where
it dies it says so in `trouble`, and comes back by itself.
"""

from __future__ import annotations

import asyncio
import logging
import threading
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any, NamedTuple

from pacer.disk import reason_of
from pacer.language import tr
from pacer.plan.decimals import decimals
from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook
from pacer.screens.addresses import addresses
from pacer.screens.cardmaking import card_list, pack
from pacer.screens.cardsending import Shown
from pacer.screens.devices import Devices, for_next_session
from pacer.screens.helperacts import entry_of
from pacer.screens.laneserver import Delivered, LaneServer
from pacer.screens.screenconnection import Limits
from pacer.screens.screenlist import Row
from pacer.screens.screenpage import page_bytes
from pacer.screens.screensfile import KeptScreens, keep_screens, kept_screens
from pacer.session.journal.entries import Stopped
from pacer.session.journal.recordentries import Rated, Touched
from pacer.session.records.strokefigures import rating
from pacer.show.drive.driver import Driver
from pacer.show.wording.touchtext import time_ways
from pacer.threadswitching import short_turns

HOST = "0.0.0.0"  #: in all networks that the tablet is in
PORT = 8080  #: the first that is tried; `PORTS` of them are
PORTS = 10
PATIENCE = 8  #: quarters of a second that the port which screens know is waited for
ADDRESSES_LOOKED_AT_S = 5.0  #: how often it is looked for other addresses
AGAIN_S = 2.0  #: until a server that died is started again
GAP_MS = 1_000  #: so long an act waits for one of the same screen that was made before it


class CountedAct(NamedTuple):
    """An act that has become an entry, and what there is to say of it, the longest way first."""

    entry: Touched | Rated | Stopped
    ways: tuple[str, ...]


class LaneScreens:
    """Lane screens of one session, from being turned on until `close`."""

    def __init__(
        self,
        driver: Driver,
        folder: Path | None,
        *,
        book: DrillBook = EMPTY_BOOK,
        host: str | None = None,
        port: int | None = None,
        limits: Limits | None = None,
    ):
        self.driver, self.trouble, self._off = driver, "", False
        self._folder, self._host, self._clock_ms = folder, host or HOST, driver.exact_ms
        kept = None if folder is None else kept_screens(folder)
        self._ports = _ports(port, None if kept is None else kept.port)
        devices = Devices() if kept is None else kept.opened()
        self._kept_number = driver.number
        if kept is not None and kept.number != driver.number:
            devices, self._kept_number = for_next_session(devices), None
        self._acts_done = {
            (entry.source, entry.act): True
            for entry in driver.journal
            if isinstance(entry, Touched | Rated | Stopped) and entry.act is not None
        }
        devices.spent |= {int(source[7:]) for source, _ in self._acts_done if source[7:].isdecimal()}  # of "screen 3"
        self._waiting: list[tuple[int, Delivered]] = []
        self._shown: Shown | None = None
        self._lanes_that_sound: tuple[int, ...] = ()
        self._addresses: tuple[str, ...] = ()
        self.server = LaneServer(
            devices,
            page_bytes(),
            clock_ms=driver.exact_ms,
            boot=driver.boot,
            make=_maker(book),
            pack=pack,
            keep=self._keep,
            limits=limits,
        )
        for source, n in sorted(self._acts_done):
            self.server.has_done(source, n)
        self.loop: asyncio.AbstractEventLoop | None = None
        self._task: asyncio.Task[None] | None = None
        self._closing = threading.Event()
        self._thread = threading.Thread(target=self._work, name="lane screens", daemon=True)
        self._thread.start()

    # -- what the coach sees ---------------------------------------------------------------------------------

    @property
    def ready(self) -> bool:
        """Whether it serves."""
        return self.loop is not None and self.server.port > 0

    @property
    def rows(self) -> tuple[Row, ...]:
        """The list of screens, as it was a second ago at most."""
        return self.server.rows

    @property
    def address(self) -> str:
        """The address to be typed."""
        return self._address(0)

    @property
    def others(self) -> tuple[str, ...]:
        """The same in the other networks that the tablet is in."""
        return tuple(self._address(at) for at in range(1, len(self._addresses)))

    def _address(self, at: int) -> str:
        return f"http://{self._addresses[at]}:{self.server.port}" if self.ready and self._addresses else ""

    @property
    def code(self) -> str:
        """The code to be typed; "" where none is taken any more."""
        devices = self.server.devices
        return "" if devices.lockout.closed else devices.code

    @property
    def scanned(self) -> str:
        """What the QR code says; "" before it serves."""
        return f"{self.address}/#{self.server.devices.key}" if self.address else ""

    def gone_s(self, row: Row) -> int | None:
        """Since how many seconds a screen is not connected; None where that is not known, or it is."""
        return None if row.gone_ms is None else max(0, int(self._clock_ms() - row.gone_ms) // 1000)

    # -- what the coach does ---------------------------------------------------------------------------------

    def approve(self, number: int, helps: bool = True) -> None:
        """A screen may help, or only show from now on."""
        self._call(self.server.approve, number, helps)

    def show_number(self, number: int) -> None:
        """A screen shows its number."""
        self._call(self.server.show_number, number)

    def send_away(self, number: int) -> None:
        """A screen is sent away for this session."""
        self._call(self.server.send_away, number)

    def renew_code(self) -> None:
        """Another code to be typed."""
        self._call(self.server.renew_code)

    def sound(self, lanes: Sequence[int]) -> None:
        """The tablet counts down aloud to the send-offs of these lanes."""
        self._lanes_that_sound = tuple(lanes)

    def turn_off(self) -> None:
        """Turned off by the coach: a session that is resumed begins without."""
        self._off = True
        self.close()
        self._keep(self.server.devices.as_json())

    def close(self, wait_s: float = 0.0) -> None:
        """Turned off. Screens that are still there go on alone. Not waited for, but by who has no frames to draw."""
        self._closing.set()
        self._stop()
        self._thread.join(wait_s)

    # -- each frame ------------------------------------------------------------------------------------------

    def frame(self) -> tuple[CountedAct, ...]:
        """Hand the session over where it has changed, and let what helpers did count."""
        driver = self.driver
        run, seen, journal, before = driver.run, driver.seen, driver.journal, self._shown
        more = driver.whose(driver.now_ms()), self._lanes_that_sound
        known = before is not None and before.run is run and before.seen is seen and before.journal is journal
        if before is None or not known or more != (before.whose, before.lanes_that_sound):
            shown = self._shown = Shown(run, journal, *more, None if seen is run else seen)
            if not shown.is_as(before):
                self._call(self.server.show, shown)
            if before is None or before.journal is not journal:
                self.server.show_times(run, driver.times)
        if self._kept_number != driver.number:
            self._kept_number = driver.number
            self._call(self.server.keep_now)
        return self._take_acts()

    def _take_acts(self) -> tuple[CountedAct, ...]:
        acts, waiting = self.server.acts, self._waiting
        if not acts and not waiting:
            return ()
        now_ms = self.driver.now_ms()
        while acts:
            waiting.append((now_ms, acts.popleft()))
        waiting.sort(key=lambda one: one[1].act.n)
        counted = []
        for one in tuple(waiting):
            came_ms, delivered = one
            key = delivered.source, delivered.act.n
            follows = delivered.act.n == 1 or self._is_known(delivered, delivered.act.n - 1)
            if not follows and delivered.act.kind != "stop all" and now_ms - came_ms < GAP_MS:
                continue
            waiting.remove(one)
            if key in self._acts_done:
                self._answer(delivered, self._acts_done[key], "")
                continue
            found = self._count(delivered)
            self._acts_done[key] = found is not None
            counted += [] if found is None else [found]
        return tuple(counted)

    def _is_known(self, delivered: Delivered, n: int) -> bool:
        """Whether it is known what came of another act of the same screen."""
        device = self.server.devices.known.get(delivered.device)
        return (delivered.source, n) in self._acts_done or (device is not None and device.was_refused(n))

    def _count(self, delivered: Delivered) -> CountedAct | None:
        driver = self.driver
        at_ms = driver.at_ms()
        entry = entry_of(delivered.act, delivered.source, driver.run, driver.times, 0 if at_ms is None else at_ms)
        if isinstance(entry, str):
            self._answer(delivered, False, entry)
            return None
        told = driver.append(entry)
        done = entry in driver.journal[-1:] or not told
        ways = time_ways(driver.run, entry, driver.times) if isinstance(entry, Touched) else ()
        self._answer(delivered, done, (*told, *ways, *_rate_ways(entry), tr("Done"))[0])
        return CountedAct(entry, told or ways) if done else None

    def _answer(self, delivered: Delivered, done: bool, says: str) -> None:
        self._call(self.server.answer, delivered.device, delivered.act.n, done, says)

    def _call(self, do: Callable[..., None], *values: Any) -> None:
        loop = self.loop
        if loop is not None:
            with suppress(RuntimeError):  # it is closing: a screen that comes back gets everything again
                loop.call_soon_threadsafe(do, *values)

    # -- the server's thread ---------------------------------------------------------------------------------

    def _work(self) -> None:
        with short_turns():  # while it serves, a frame waits no longer for its turn
            self._serve_again_and_again()

    def _serve_again_and_again(self) -> None:
        while not self._closing.is_set():
            try:
                asyncio.run(self._serve())
            except Exception as wrong:  # whatever it died of, the session runs on
                logging.getLogger(__name__).exception("Lane screens died")
                self.trouble = tr("Lane screens are off ({reason}); trying again", reason=_reason(wrong))
            self.loop, self.server.port = None, 0
            self._closing.wait(AGAIN_S)

    async def _serve(self) -> None:
        self.loop, self._task = asyncio.get_running_loop(), asyncio.current_task()
        if self._closing.is_set():
            return
        if self._shown is not None:
            self.server.show_anew(self._shown)
            self.server.show_times(self._shown.run, self.driver.times)
        for _ in range(PATIENCE):  # who was just turned off lets go of it in a moment
            if _is_free(self._host, self._ports[0]):
                break
            await asyncio.sleep(0.25)
        port = next((one for one in self._ports if _is_free(self._host, one)), self._ports[0])
        with suppress(asyncio.CancelledError):
            async with asyncio.TaskGroup() as tasks:
                tasks.create_task(self._look_for_addresses())
                tasks.create_task(self.server.run(self._host, port, self._started))

    def _started(self, port: int) -> None:
        self.trouble = ""
        self._ports = (port, *(one for one in self._ports if one != port))

    async def _look_for_addresses(self) -> None:
        while True:
            found = ("127.0.0.1",) if self._host == "127.0.0.1" else await asyncio.to_thread(addresses)
            hosts = tuple(f"{address}:{self.server.port}" for address in found)
            if self.server.port and hosts != self.server.hosts:
                self.server.name_hosts(hosts)
            self._addresses = found
            await asyncio.sleep(ADDRESSES_LOOKED_AT_S if self.server.port else 0.1)

    def _stop(self) -> None:
        loop, task = self.loop, self._task
        if loop is not None and task is not None:
            with suppress(RuntimeError):
                loop.call_soon_threadsafe(task.cancel)

    def _keep(self, devices: dict[str, Any]) -> None:
        number = self.driver.number
        if self._folder is None or number is None:
            return
        try:
            keep_screens(self._folder, KeptScreens(number, not self._off, self._ports[0], devices))
        except OSError as wrong:
            self.trouble = tr("Screens can't be saved: {reason}", reason=reason_of(wrong))


def _rate_ways(entry: object) -> tuple[str, ...]:
    found = rating(entry) if isinstance(entry, Rated) else None
    return () if found is None else (tr("Saved: {rate} cycles a minute", rate=decimals(found.rate)),)


def _reason(wrong: Exception) -> str:
    while isinstance(wrong, ExceptionGroup):
        wrong = wrong.exceptions[0]
    return reason_of(wrong) if isinstance(wrong, OSError) else f"{type(wrong).__name__}: {wrong}"


def _maker(book: DrillBook) -> Callable[..., list[dict[str, Any]]]:
    def make(*values: Any, **named: Any) -> list[dict[str, Any]]:
        return card_list(*values, **named, book=book)

    return make


def _ports(wanted: int | None, kept: int | None) -> tuple[int, ...]:
    """Ports to try, the best first: the one that screens know."""
    if wanted is not None:
        return (wanted,)
    return tuple(dict.fromkeys([*([kept] if kept else []), *range(PORT, PORT + PORTS), 0]))


def _is_free(host: str, port: int) -> bool:
    import socket

    with socket.socket(socket.AF_INET, socket.SOCK_STREAM) as tried:
        tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            tried.bind((host, port))
        except OSError:
            return False
    return True
