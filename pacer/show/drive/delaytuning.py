"""Adjusts how much sooner the device beeps: beep and flash repeat until the coach finds that they agree.
No Kivy.

The flash is drawn at its instant; the beep is started earlier by the latency that is set.
"""

from __future__ import annotations

from pacer.signal.clip import TUNING
from pacer.signal.clipstarter import HANDOVER_MS, Starts

EVERY_MS = 1_500
TUNING_LIT_MS = 150


class Tuning:
    """Beeps and flashes from `now_ms` on."""

    def __init__(self, player: Starts, now_ms: int):
        self._player = player
        self._next_ms = now_ms + EVERY_MS
        self._token: int | None = None

    def frame(self, now_ms: int, latency_ms: int) -> bool:
        """Start the beep that is due; return whether the screen is lit at `now_ms`."""
        if self._token is None and now_ms >= self._next_ms - latency_ms - HANDOVER_MS:
            self._token = self._player.start(TUNING, self._next_ms - latency_ms)
        if now_ms < self._next_ms:
            return False
        if now_ms < self._next_ms + TUNING_LIT_MS:
            return True
        self._token = None
        self._next_ms += -(-(now_ms - self._next_ms) // EVERY_MS) * EVERY_MS
        return False

    def close(self) -> None:
        """Stop."""
        if self._token is not None:
            self._player.stop(self._token)
