"""The card list of one view, made a minute of the session at a time, and kept as it is sent."""

from __future__ import annotations

import asyncio
import json
from collections.abc import Callable, Collection, Sequence
from contextlib import suppress
from dataclasses import dataclass
from typing import Any, Protocol

from pacer.plan.times import MINUTE_MS
from pacer.session.journal.entries import Entry
from pacer.session.journal.recordentries import Record
from pacer.session.running.replay import Run
from pacer.show.drive.soundplan import sound_instants

CHUNK_MS = MINUTE_MS
FIRST_MS = 15_000  #: of the first message: it is what a change is waited for
CARDS_BEFORE_MS = 2_000  #: cards begin this long before the present: a screen's clock may be that far behind
AFTER_MS = 120_000  #: and end this long after the session's end
IDLE_SHARE = 0.03  #: of the time, at most, in which cards are made that nobody waits for
CARDS_LOOKED_AT_S = 10.0  #: how often it checks whether more must be made
WAITING_MS = 600_000  #: while a lane is paused nobody knows the rest: cards are made this far ahead


class MakeCards(Protocol):
    """`cardmaking.card_list`, packed."""

    def __call__(
        self, run: Run, lane: int, view: str, from_ms: int, until_ms: int, *, whose: str, sounds: Sequence[int]
    ) -> list[dict[str, Any]]:
        """The cards."""


@dataclass(frozen=True, slots=True)
class Shown:
    """What the session's driver hands over: values that never change."""

    run: Run
    journal: tuple[Entry | Record, ...] = ()
    whose: str = "own"
    lanes_that_sound: tuple[int, ...] = ()
    by_times: Run | None = None  #: the run as its times put the swimmers, where that differs

    @property
    def seen(self) -> Run:
        """The run to draw, as on the tablet; what happens next goes by `run`."""
        return self.by_times or self.run

    def is_as(self, other: Shown | None) -> bool:
        """Whether screens show the same for both: records change nothing there."""
        return other is not None and self.is_but_for_times(other) and _same(self.seen, other.seen)

    def is_but_for_times(self, other: Shown) -> bool:
        """The same, but that times may have changed what is predicted."""
        mine, others = (self.whose, self.lanes_that_sound), (other.whose, other.lanes_that_sound)
        return mine == others and _same(self.run, other.run)

    def at_ms(self, now_ms: float) -> int:
        """Session time at an instant of the tablet's clock; 0 before a start is set."""
        return 0 if self.run.begun is None else self.run.at_ms(int(now_ms))

    def until_ms(self, now_ms: int) -> int:
        """Up to when cards are to be made at session time `now_ms`."""
        run = self.run
        if run.begun is None:
            return 1
        if run.paused() and run.ended_ms is None:
            return now_ms + WAITING_MS
        return max(self.seen.timeline.end_ms, now_ms) + AFTER_MS


def _same(one: Run, other: Run) -> bool:
    return one is other or one == other


class CardFeed:
    """The messages with the cards of one lane and view from `from_ms` on, as far as they are made."""

    def __init__(self, lane: int, view: str, version: int, shown: Shown, now_ms: int):
        self.lane, self.view, self.version, self.shown = lane, view, version, shown
        begun = shown.run.begun is not None
        self.made_ms = now_ms - CARDS_BEFORE_MS if begun else 0  #: up to when they are made
        self.texts: list[str] = []
        lanes = shown.lanes_that_sound
        self._sounds = sound_instants(shown.run, shown.journal, lanes) if begun else ()
        self._last: dict[str, dict[str, Any]] = {}

    def ends(self, now_ms: float) -> bool:
        """Whether all is made that can be, at an instant of the tablet's clock."""
        if self.texts and self.shown.run.begun is None:
            return True
        return self.made_ms >= self.shown.until_ms(self.shown.at_ms(now_ms))

    def holds(self, shown: Shown) -> bool:
        """Whether its cards say what `shown` has, of which only predictions may differ: those of its lane do not."""
        before = self.shown.seen.timeline.tracks
        return self.view == "lane" and before[self.lane] is shown.seen.timeline.tracks[self.lane]

    def is_behind(self, now_ms: float) -> bool:
        """Whether what is made is of the past."""
        return bool(self.texts) and not self.ends(now_ms) and self.made_ms < self.shown.at_ms(now_ms)

    def grow(self, until_ms: int, make: MakeCards, pack: Any) -> str:
        """Make the next minute's message, not beyond `until_ms`."""
        chunk_ms = CHUNK_MS if self.texts else FIRST_MS
        from_ms, to_ms = self.made_ms, min(self.made_ms + chunk_ms, until_ms)
        sounds = [at_ms for at_ms in self._sounds if from_ms <= at_ms < to_ms]
        cards = make(self.shown.seen, self.lane, self.view, from_ms, to_ms, whose=self.shown.whose, sounds=sounds)
        told = {
            "type": "cards", "version": self.version, "lane": self.lane, "view": self.view,
            "from_ms": from_ms, "until_ms": to_ms, "cards": pack(self._news(cards)),
        }  # fmt: skip
        self.made_ms = to_ms
        self.texts.append(json.dumps(told, ensure_ascii=False, separators=(",", ":")))
        return self.texts[-1]

    def _news(self, cards: list[dict[str, Any]]) -> list[dict[str, Any]]:
        """Those that say something else than the last one of their part."""
        found = []
        for card in cards:
            part = card.get("part", "")
            before = self._last.get(part)
            if part == "beep" or before is None or {**before, "at_ms": 0} != {**card, "at_ms": 0}:
                found.append(card)
                self._last[part] = card
        return found


Key = tuple[int, str]


def feed_key(picked: Key) -> Key:
    """The feed that serves a lane and a view: dial and pool are the same at every lane."""
    lane, view = picked
    return (lane, view) if view == "lane" else (0, view)


class CardFeeds:
    """The feeds that are looked at. All of it belongs to the server's loop."""

    def __init__(
        self, make: MakeCards, pack: Callable[[list[dict[str, Any]]], Any], clock_ms: Callable[[], float]
    ) -> None:
        self.shown: Shown | None = None
        self._make, self._pack, self._clock_ms = make, pack, clock_ms
        self.version = 0
        self.by_view: dict[Key, CardFeed] = {}
        self._watched: set[Key] = set()
        self._work = asyncio.Event()

    def show(self, shown: Shown) -> bool:
        """Follow a change of the session; return whether screens show something new. Then ask for everything again."""
        before = self.shown
        if shown.is_as(before):
            return False
        self.shown = shown
        self.version += 1
        if before is None or not shown.is_but_for_times(before):
            self.by_view.clear()
        for key in [key for key, feed in self.by_view.items() if not feed.holds(shown)]:
            del self.by_view[key]
        return True

    def clear(self) -> None:
        """Nobody looks any more; the loop is another one."""
        self.by_view.clear()
        self._watched.clear()
        self._work = asyncio.Event()

    def of(self, picked: Key) -> list[str]:
        """What of a feed is made; the rest will be."""
        if self.shown is None:
            return []
        key = feed_key(picked)
        if key not in self.by_view:
            self.by_view[key] = CardFeed(*key, self.version, self.shown, self.shown.at_ms(self._clock_ms()))
        feed = self.by_view[key]
        if not feed.texts or feed.made_ms < self.shown.at_ms(self._clock_ms()) + CARDS_LOOKED_AT_S * 1_000:
            self._work.set()
        return feed.texts

    def watch(self, picked: Collection[Key]) -> None:
        """Make cards for these alone. The others are kept as they are: who picks one after the other makes no work."""
        watched, now_ms = {feed_key(one) for one in picked}, self._clock_ms()
        for key in watched - self._watched:
            if key in self.by_view and self.by_view[key].is_behind(now_ms):
                del self.by_view[key]
        self._watched = watched

    async def make_all(self, put: Callable[[Key, str], None]) -> None:
        """Make cards, the nearest minute of every feed first; what nobody waits for in little of the time."""
        loop = asyncio.get_running_loop()
        while True:
            feed = self._next()
            if feed is None:
                await self._rest(CARDS_LOOKED_AT_S)
                continue
            began, first, shown = loop.time(), not feed.texts, feed.shown
            text = feed.grow(shown.until_ms(shown.at_ms(self._clock_ms())), self._make, self._pack)
            put((feed.lane, feed.view), text)
            if first:
                await asyncio.sleep(0)
            else:
                await self._rest((loop.time() - began) * (1 / IDLE_SHARE - 1))

    async def _rest(self, seconds: float) -> None:
        """Wait, but not when there is a feed that somebody waits for."""
        self._work.clear()
        with suppress(TimeoutError):
            async with asyncio.timeout(seconds):
                await self._work.wait()

    def _next(self) -> CardFeed | None:
        now_ms = self._clock_ms()
        unmade = [feed for key, feed in self.by_view.items() if key in self._watched and not feed.ends(now_ms)]
        return min(unmade, key=lambda feed: (bool(feed.texts), feed.made_ms), default=None)
