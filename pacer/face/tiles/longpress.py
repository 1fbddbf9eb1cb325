"""A long press: how far it has filled what is pressed."""

from __future__ import annotations

from collections.abc import Callable

from pacer.show.measure.presstime import HELD_MS


class LongPress:
    """Fills in `needs_ms` from `begin()` on, by the time source `now_ms`."""

    def __init__(self, now_ms: Callable[[], int], needs_ms: int = HELD_MS):
        self.now_ms, self.needs_ms = now_ms, needs_ms
        self._since_ms: int | None = None

    def begin(self) -> None:
        """A finger comes down."""
        self._since_ms = self.now_ms()

    def end(self) -> bool:
        """It is lifted; returns whether it stayed long enough."""
        full = self.full
        self._since_ms = None
        return full

    @property
    def share(self) -> float:
        """How full it is: 0 (or nothing is pressed) to 1."""
        return 0.0 if self._since_ms is None else min(1.0, (self.now_ms() - self._since_ms) / self.needs_ms)

    @property
    def full(self) -> bool:
        """Whether it is full."""
        return self.share >= 1
