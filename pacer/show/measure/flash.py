"""The flash at a send-off, for swimmers who can't hear the beep: when the screen is lit.

WCAG 2.2, 2.3.1: nothing flashes more than three times in any one second. Whatever the lanes do together, two flashes
begin at least `FLASHES_APART_MS` apart; an instant too soon after a flash gets none of its own.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence

FLASH_MS = 180
FLASHES_APART_MS = 400  #: 334 would be three in a second; the rest is for late frames
FRAME_MM = 3.0  #: width of the frame around the edge
MISSED_FLASH_MS = 500  #: an instant missed by more than this (the app was in the background) gets no flash


class Flash:
    """Says for every frame whether the screen is lit.

    Remembers what it showed, so that a changed plan adds no flash.
    """

    def __init__(self) -> None:
        self._seen_ms: int | None = None
        self._began_ms: int | None = None

    def lit(self, now_ms: int, instants: Sequence[int]) -> bool:
        """Whether the screen is lit in the frame drawn at `now_ms`. `instants` are ascending, on the same clock."""
        seen_ms, self._seen_ms = self._seen_ms, now_ms
        if seen_ms is not None:
            last = bisect_right(instants, now_ms) - 1
            due = last >= 0 and instants[last] > max(seen_ms, now_ms - MISSED_FLASH_MS)
            if due and (self._began_ms is None or now_ms - self._began_ms >= FLASHES_APART_MS):
                self._began_ms = now_ms
        return self._began_ms is not None and now_ms - self._began_ms < FLASH_MS
