"""The pool view, the coach's: the pool seen from above, its lanes as bands between their ropes."""

from __future__ import annotations

from pathlib import Path

from kivy.lang import Builder
from kivy.properties import ObjectProperty
from kivy.uix.widget import Widget

from pacer.face.band import header_of, rows_of
from pacer.face.header import HeaderPart
from pacer.face.ink import Box, Plate
from pacer.face.laneband import BandPart, deck_width
from pacer.face.legibility import Glass
from pacer.face.theme import DARK, Theme
from pacer.face.view import PoolView as Shown
from pacer.face.water import Rope

Builder.load_file(str(Path(__file__).with_suffix(".kv")))

ROPE_MM = 1.1     #: thickness of a rope
WALL_MM = 1.3     #: of the home wall; the far wall is half as thick


class PoolView(Widget):
    """Draws a `pacer.face.view.PoolView`: `show` it once a frame. A tap on a band sends `on_lane` with the lane's index."""

    theme: Theme = ObjectProperty(DARK)
    glass: Glass = ObjectProperty(Glass())

    def __init__(self, **kwargs):
        self.register_event_type("on_lane")
        super().__init__(**kwargs)
        self.header: HeaderPart | None = None
        self.bands: list[BandPart] = []
        self._laid: tuple | None = None

    def on_lane(self, index: int) -> None:
        """A band was tapped."""

    def on_touch_down(self, touch):
        """Choose the lane under the finger."""
        if super().on_touch_down(touch):
            return True
        if self.collide_point(*touch.pos):
            for index, band in enumerate(self.bands):
                if band.box.y <= touch.y < band.box.top:
                    self.dispatch("on_lane", index)
                    return True
        return False

    def show(self, view: Shown) -> None:
        """Draw `view`; what has not changed is not drawn again."""
        wanted = (self.x, self.y, self.width, self.height, self.theme, self.glass, len(view.bands), view.near_wall)
        if wanted != self._laid:
            self._laid = wanted
            self._lay(len(view.bands), view.near_wall)
        self.header.show(view)
        for band, shown in zip(self.bands, view.bands):
            band.show(shown)

    def drawn(self) -> list:
        """Everything written, with its box and its ink: for tests."""
        return [piece for part in (self.header, *self.bands) if part for piece in part.drawn() if piece.ink]

    def _lay(self, lanes: int, near_wall: float) -> None:
        self.canvas.clear()
        unit, theme, px = self.glass.unit_px(self.width, self.height), self.theme, self.glass.px
        header = header_of(self.width, self.height, unit, lanes)
        pool = Box(self.x, self.y, self.width, round(self.height - header.height))
        self.header = HeaderPart(self.canvas, Box(self.x, pool.top, self.width, header.height), header, unit, theme)
        rope = max(5.0, px(ROPE_MM))
        high = (pool.height - rope) / max(1, lanes)
        rows = rows_of(self.width, high - rope, unit, self.glass.px_per_mm)
        deck = round(deck_width(self.width, rows, high - rope))
        self.bands = []
        for index in range(lanes):
            y = pool.y + (lanes - 1 - index) * high
            band = Box(pool.x, round(y + rope), pool.width, round(y + high) - round(y + rope))
            self.bands.append(BandPart(self.canvas, band, deck, rows, theme, index))
        for index in range(lanes + 1):
            line = Box(pool.x + deck, round(pool.y + index * high), pool.width - deck, rope)
            Rope(self.canvas).put(line, near_wall, theme.float_, theme.rope)
        home, far = px(WALL_MM), px(WALL_MM / 2)
        for left, wide in ((pool.x + deck - home, home), (pool.right - far, far)):
            Plate(self.canvas).put(Box(left, pool.y, wide, pool.height), theme.rope)
