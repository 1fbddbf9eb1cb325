"""The pool view, the coach's: the pool seen from above, its lanes as bands between their ropes."""

from __future__ import annotations

from pacer.face.band import header_of, rows_of
from pacer.face.faceview import FaceView
from pacer.face.header import HeaderPart
from pacer.face.ink import Box, Plate
from pacer.face.laneband import BandPart, deck_width
from pacer.face.legibility import Glass
from pacer.face.shown import PoolView as Shown
from pacer.face.theme import Theme
from pacer.face.water import Rope

ROPE_MM = 1.1     #: thickness of a rope
WALL_MM = 1.3     #: of the home wall; the far wall is half as thick


class PoolView(FaceView):
    """Draws a `pacer.face.view.PoolView`. A tap on a band chooses its lane."""

    def on_touch_down(self, touch):
        """Choose the lane under the finger."""
        if super().on_touch_down(touch):
            return True
        if self.face and self.collide_point(*touch.pos):
            for index, band in enumerate(self.face.bands):
                if band.box.y <= touch.y < band.box.top:
                    self.dispatch("on_lane", index)
                    return True
        return False

    def shape_of(self, view: Shown) -> tuple:
        """The number of lanes, and where the ropes change colour."""
        return len(view.bands), view.near_wall

    def laid_out(self, view: Shown) -> Pool:
        """Header and bands."""
        return Pool(self.canvas, Box(*self.pos, *self.size), self.glass, self.theme, len(view.bands), view.near_wall)


class Pool:
    """The header and the lanes between their ropes, from the home wall to the far one."""

    def __init__(self, canvas, box: Box, glass: Glass, theme: Theme, lanes: int, near_wall: float):
        unit, px = glass.unit_px(box.width, box.height), glass.px
        header = header_of(box.width, box.height, unit, lanes)
        pool = box._replace(height=round(box.height - header.height))
        self.header = HeaderPart(canvas, Box(box.x, pool.top, box.width, header.height), header, unit, theme)
        rope = max(5.0, px(ROPE_MM))
        high = (pool.height - rope) / max(1, lanes)
        rows = rows_of(box.width, high - rope, unit, glass.px_per_mm)
        deck = round(deck_width(box.width, rows, high - rope))
        self.bands = []
        for index in range(lanes):
            y = pool.y + (lanes - 1 - index) * high
            band = Box(pool.x, round(y + rope), pool.width, round(y + high) - round(y + rope))
            self.bands.append(BandPart(canvas, band, deck, rows, theme, index))
        for index in range(lanes + 1):
            line = Box(pool.x + deck, round(pool.y + index * high), pool.width - deck, rope)
            Rope(canvas).put(line, near_wall, theme.float_, theme.rope)
        home, far = px(WALL_MM), px(WALL_MM / 2)
        for left, wide in ((pool.x + deck - home, home), (pool.right - far, far)):
            Plate(canvas).put(Box(left, pool.y, wide, pool.height), theme.rope)

    def show(self, view: Shown) -> None:
        """Draw it."""
        self.header.show(view)
        for band, shown in zip(self.bands, view.bands):
            band.show(shown)

    def drawn(self) -> list:
        """Its words."""
        return [piece for part in (self.header, *self.bands) for piece in part.drawn()]
