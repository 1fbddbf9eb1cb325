"""Boards with presses of their own: tiles to keep pressed until they fill, and tiles that count as the finger comes
down.

Whatever changes a session needs a deliberate press; whatever takes a time must not wait for one.
"""

from __future__ import annotations

from collections.abc import Callable, Collection

from kivy.clock import Clock

from pacer.face.kit.ink import Box, Plate
from pacer.face.tiles.board import Board, Tile
from pacer.face.tiles.longpress import LongPress
from pacer.show.measure.presstime import HELD_MS

RESTED = 0.5  #: a finger has come to press, not to scroll, once the tile is so full (our choice)
TRACK_MM = 0.7  #: the strip that fills along a tile's foot: it marks tiles to keep pressed


class LongPressBoard(Board):
    """`long_presses` are the names of the tiles to keep pressed, which fill in `needs_ms`.

    `began(name)` is called as one is pressed, `short(name)` for one let go too soon.
    """

    def __init__(
        self,
        press: Callable[[str], None],
        short: Callable[[str], None],
        long_presses: Collection[str],
        now_ms: Callable[[], int],
        began: Callable[[str], None] = lambda name: None,
        needs_ms: int = HELD_MS,
        **kwargs,
    ):
        super().__init__(press, **kwargs)
        self.short, self.long_presses, self.now_ms, self.began = short, frozenset(long_presses), now_ms, began
        self._fill = LongPress(now_ms, needs_ms)
        self._filling = None

    def filled(self) -> float:
        """How full the pressed tile is, 0 to 1; 0 if it is not one of those."""
        return self._fill.share if self.pressed in self.long_presses else 0.0

    def on_touch_down(self, touch) -> bool:
        """A finger: a tile begins to fill."""
        taken = super().on_touch_down(touch)
        if taken and self.pressed in self.long_presses and self._filling is None:
            self._fill.begin()
            self._filling = Clock.schedule_interval(lambda _dt: self._draw_later(), 0)
            self.began(self.pressed)
        return taken

    def on_touch_move(self, touch) -> bool:
        """A finger that has read what the tile would do, and slides off it, cancels that and scrolls nothing."""
        if touch.grab_current is self and self._filling is not None and self.pressed and self._fill.share >= RESTED:
            self.scroller.stay()
        return super().on_touch_move(touch)

    def on_touch_up(self, touch) -> bool:
        """A finger lifted: a tile that is full is pressed."""
        if touch.grab_current is not self or self._filling is None:
            return super().on_touch_up(touch)
        self._filling.cancel()
        self._filling = None
        strayed = not self.pressed
        name = self.pressed if self.pressed in self.long_presses and self.filled() < 1 else ""
        if name:
            self.pressed = ""
        super().on_touch_up(touch)
        if name or strayed:
            self.short(name)
        return True

    def _draw_tile(self, tile: Tile, box: Box) -> None:
        """A filling tile is lit only when it is full.

        Several lines of words are in the middle of what the strip leaves.
        """
        high = TRACK_MM * self.glass.px_per_mm
        if tile.name in self.long_presses:
            texts = (
                text._replace(box=(*text.box[:3], text.box[3] - 2 * high)) if text.box and text.lines > 1 else text
                for text in tile.texts
            )
            tile = tile._replace(texts=tuple(texts))
        pressed, filled = self.pressed, self.filled() if tile.name == self.pressed else 0.0
        if filled < 1 and tile.name in self.long_presses:
            self.pressed = ""
        super()._draw_tile(tile, box)
        self.pressed = pressed
        if tile.name in self.long_presses and tile.able:
            track = Box(box.x + 2 * high, box.y + high, box.width - 4 * high, high)
            main = tile.look == "main"
            Plate(self._frame).put(track, self.theme.on_state if main else self.theme.dim)
            if 0 < filled < 1:
                Plate(self._frame).put(
                    track._replace(width=track.width * filled, height=3 * high),
                    self.theme.on_state if main else self.theme.flip,
                )


class TapBoard(Board):
    """A board on which a tap counts when the finger comes down, with any number of fingers at once."""

    def __init__(self, press: Callable[[str], None], tap: Callable[[], None], **kwargs):
        super().__init__(press, **kwargs)
        self.tap = tap

    def on_touch_down(self, touch) -> bool:
        """A finger."""
        tile = self.tile_at(*touch.pos) if self.collide_point(*touch.pos) else None
        if tile is not None and tile.name == "tap" and not touch.is_mouse_scrolling:
            self.tap()
            return True
        return super().on_touch_down(touch)
