"""The key that stops everything: live while a session runs, even under the splash lock."""

from __future__ import annotations

from collections.abc import Callable

from pacer.face.bar.keyface import KeyFace
from pacer.face.kit.textures import font_size, measure
from pacer.show.measure.keyrows import GAP_MM, PADDING_MM, TARGET_MM, bar_height, key_mm
from pacer.show.measure.legibility import COACH_M, Glass, character_mm
from pacer.show.measure.presstime import STOP_MS
from pacer.show.measure.theme import STOP_GROUND, STOP_INK, Theme
from pacer.show.wording.stopalltext import STOP_ALL_ROWS


def stop_width(mm: float) -> float:
    """Its width; `mm` is the pixels of a millimetre."""
    wide = max(measure(row, character_mm(COACH_M) * mm, True) for row in STOP_ALL_ROWS.split("\n"))
    return max(wide + 4 * PADDING_MM * mm, 1.5 * TARGET_MM * mm)


def corner_of(width: float, height: float, glass: Glass) -> tuple[float, float]:
    """Width and height of the corner that it has on a window of that size, with the gap around it."""
    mm = key_mm(width, height, glass.px_per_mm)
    return stop_width(mm) + 2 * GAP_MM * mm, bar_height(width, height, glass.px_per_mm)


class StopKey(KeyFace):
    """STOP ALL. It acts at once when its half second is over: `stop()` is called."""

    def __init__(self, stop: Callable[[], None], **kwargs):
        super().__init__(text=STOP_ALL_ROWS, **kwargs)
        self.stop = stop
        self._fingers: dict[object, int] = {}  # on it, each since when

    def dress(self, live: bool, theme: Theme, cap: float) -> None:
        """Show whether it can be pressed."""
        self.font_size, self.long_press = font_size(cap), live
        if live:
            self.ground = self.edge = STOP_GROUND
            self.ink = self.fill = self.track = STOP_INK
        else:
            self.ground, self.ink, self.edge = theme.ground, theme.dim, theme.line

    @property
    def pressed(self) -> bool:
        """Whether a finger is on it."""
        return bool(self._fingers)

    def down(self, touch, now_ms: int) -> bool:
        """A finger comes down. Returns whether it is on this key."""
        if self.collide_point(*touch.pos):
            self._fingers[touch.uid] = now_ms
        return touch.uid in self._fingers

    def move(self, touch) -> None:
        """A finger moves: one that leaves the key does not press it any more."""
        if touch.uid in self._fingers and not self.collide_point(*touch.pos):
            del self._fingers[touch.uid]

    def up(self, touch) -> bool:
        """A finger is lifted. Returns whether it was the last one on the key, and too soon."""
        return self._fingers.pop(touch.uid, None) is not None and not self._fingers

    def tick(self, now_ms: int) -> None:
        """Fill while it is pressed; act when it is full."""
        filled = (now_ms - min(self._fingers.values(), default=now_ms)) / STOP_MS
        full = filled >= 1
        if full:
            self._fingers.clear()
        self.filled = 0 if full else filled
        if full:
            self.stop()
