"""A board whose rows are reordered by dragging them at their grips (tiles called `grip N`)."""

from __future__ import annotations

from collections.abc import Callable

from kivy.clock import Clock

from pacer.face.tiles.board import SLOP_MM, Board

GRIP = "grip "
SCROLLS_S = 1 / 30  #: while a row is dragged at an edge, the board scrolls this often


class OrderBoard(Board):
    """`lifted(row, x, y)` is called while a row is dragged (window coordinates), `dropped(row, x, y)` when it is let
    go.

    A grip that is touched and not moved is pressed like any tile.
    """

    def __init__(
        self,
        press: Callable[[str], None],
        lifted: Callable[[int, float, float], None],
        dropped: Callable[[int, float, float], None],
        **kwargs,
    ):
        super().__init__(press, **kwargs)
        self.lifted, self.dropped = lifted, dropped
        self.dragged: int | None = None  #: the row being dragged
        self._gripped: tuple[int, float] | None = None
        self._at = (0.0, 0.0)
        self._scrolling = None

    def slot_at(self, y: float) -> int:
        """The place in the order, from 0, at `y` of the window, or the nearest."""
        middles = sorted(
            (self.box_of(tile).y + tile.height / 2 for tile in self.tiles if tile.name.startswith(GRIP)), reverse=True
        )
        return min(range(len(middles)), key=lambda place: abs(middles[place] - y), default=0)

    def on_touch_down(self, touch) -> bool:
        """A finger: on a grip, or as on any board."""
        tile = self.tile_at(*touch.pos) if self.collide_point(*touch.pos) else None
        if tile is None or not tile.name.startswith(GRIP) or self._down is not None or touch.is_mouse_scrolling:
            return super().on_touch_down(touch)
        touch.grab(self)
        self._down = touch.pos
        self.pressed = tile.name
        self._gripped = int(tile.name.removeprefix(GRIP)), touch.y
        self._draw_later()
        return True

    def on_touch_move(self, touch) -> bool:
        """A finger that moves takes the row with it."""
        if touch.grab_current is not self or self._gripped is None:
            return super().on_touch_move(touch)
        row, y = self._gripped
        if self.dragged is None and abs(touch.y - y) + abs(touch.x - self._down[0]) < SLOP_MM * self.glass.px_per_mm:
            return True
        if self.parent is None or self.tile(f"{GRIP}{row}") is None:
            return True
        if self.dragged is None:
            self.dragged, self.pressed = row, ""
            self._scrolling = Clock.schedule_interval(self.scroll_on, SCROLLS_S)
        self._at = touch.pos
        self.lifted(row, *touch.pos)
        return True

    def on_touch_up(self, touch) -> bool:
        """A dragged row is dropped."""
        if touch.grab_current is not self or self._gripped is None:
            return super().on_touch_up(touch)
        touch.ungrab(self)
        row, dragged = self._gripped[0], self.dragged is not None
        name, self.pressed, self._down = self.pressed, "", None
        self._gripped = self.dragged = None
        if self._scrolling is not None:
            self._scrolling.cancel()
            self._scrolling = None
        self._draw_later()
        if not dragged:
            self._let_go(name)
        elif self.parent is not None and self.tile(f"{GRIP}{row}") is not None:
            self.dropped(row, *touch.pos)
        return True

    def scroll_on(self, _dt: float) -> None:
        """Scroll while a row is dragged near an edge."""
        edge = 1.5 * self.cap
        step = 0.4 * self.cap
        if self._at[1] > self.top - edge:
            self.scroller.to(self.scroller.offset - step)
        elif self._at[1] < self.y + edge:
            self.scroller.to(self.scroller.offset + step)
        else:
            return
        if self.parent is not None and self.dragged is not None:
            self.lifted(self.dragged, *self._at)
