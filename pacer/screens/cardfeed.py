"""The card list of one view, made a minute of the session at a time, and kept as it is sent."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Protocol

from pacer.session.journal.entries import Entry
from pacer.session.journal.recordentries import Record
from pacer.session.running.run import Run
from pacer.show.drive.soundplan import sound_instants

CHUNK_MS = 60_000
BEFORE_MS = 2_000  #: cards begin so long before the present: a screen's clock may be behind by as much
AFTER_MS = 120_000  #: and end so long after the session's end
WAITING_MS = 600_000  #: while a lane is paused nobody knows the rest: cards are made for so long ahead


class MakeCards(Protocol):
    """`cardlist.card_list`, packed."""

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

    def is_as(self, other: Shown | None) -> bool:
        """Whether screens show the same by both: what was merely taken down changes nothing there."""
        return (
            other is not None
            and (self.run is other.run or self.run == other.run)
            and (
                self.whose,
                self.lanes_that_sound,
            )
            == (other.whose, other.lanes_that_sound)
        )

    def until_ms(self, now_ms: int) -> int:
        """Up to when cards are to be made at session time `now_ms`."""
        run = self.run
        if run.begun is None:
            return 1
        if run.held() and run.ended_ms is None:
            return now_ms + WAITING_MS
        return max(run.timeline.end_ms, now_ms) + AFTER_MS


class CardFeed:
    """The messages with the cards of one lane and view from `from_ms` on, as far as they are made."""

    def __init__(self, lane: int, view: str, version: int, shown: Shown, now_ms: int):
        self.lane, self.view, self.version, self.shown = lane, view, version, shown
        begun = shown.run.begun is not None
        self.made_ms = now_ms - BEFORE_MS if begun else 0  #: up to when they are made
        self.texts: list[str] = []
        lanes = shown.lanes_that_sound
        self._sounds = sound_instants(shown.run, shown.journal, lanes) if begun else ()
        self._last: dict[str, dict[str, Any]] = {}

    def grow(self, until_ms: int, make: MakeCards, pack: Any) -> str:
        """Make the next minute's message, not beyond `until_ms`."""
        from_ms, to_ms = self.made_ms, min(self.made_ms + CHUNK_MS, until_ms)
        sounds = [at_ms for at_ms in self._sounds if from_ms <= at_ms < to_ms]
        cards = make(self.shown.run, self.lane, self.view, from_ms, to_ms, whose=self.shown.whose, sounds=sounds)
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
