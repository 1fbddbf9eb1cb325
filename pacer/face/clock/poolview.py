"""The pool view, for the coach: the pool seen from above, its lanes as bands between their ropes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from kivy.graphics import InstructionGroup
from kivy.properties import NumericProperty

from pacer.face.clock.bandlayout import deck_width
from pacer.face.clock.laneband import BandPart
from pacer.face.clock.poolheader import HeaderPart
from pacer.face.clock.ropesandswimmers import Ropes
from pacer.face.clock.runningview import RunningView
from pacer.face.kit.background import Ground
from pacer.face.kit.ink import Box, Frame, Plate
from pacer.show.measure.legibility import Glass
from pacer.show.measure.poolrows import header_of, rows_of
from pacer.show.measure.theme import Theme
from pacer.show.view.viewvalues import PoolNow

ROPE_MM = 1.1  #: thickness of a rope
ROPE_SHARE = 0.07  #: its greatest share of a lane
CHOSEN_MM = 1.0  #: of the frame around the chosen lane
WALL_MM = 1.3  #: of the home wall; the far wall is half as thick


class PoolView(RunningView):
    """Draws a `pacer.show.view.viewvalues.PoolNow`.

    A tap on a band's deck chooses its lane, one on its water times a swimmer's touch.

    `chosen` is the chosen lane, -1 for none.
    """

    chosen = NumericProperty(-1)

    def __init__(self, **kwargs):
        super().__init__(**kwargs)
        self._mark = InstructionGroup()
        self.canvas.after.add(self._mark)

    def on_touch_down(self, touch):
        """The lane under the finger."""
        if super().on_touch_down(touch):
            return True
        if self.face and self.collide_point(*touch.pos):
            for index, band in enumerate(self.face.bands):
                if band.box.y <= touch.y < band.box.top:
                    self.dispatch("on_lane" if touch.x < band.deck_box.right else "on_arrival", index)
                    return True
        return False

    def band_box(self, index: int) -> Box:
        """Where a lane's water is."""
        return self.face.bands[index].water

    def room_for(self, index: int) -> Box:
        """The part of a lane's water that may be covered for a while without taking room from what is done."""
        return self.face.bands[index].beside

    def words_end(self, index: int) -> float:
        """Where the part of a lane's water ends that is needed to say all that is done and what becomes of it."""
        return self.face.bands[index].words_end

    def foretell(self, said: Mapping[int, tuple[str, ...]]) -> None:
        """Each lane says on its band what becomes of it."""
        super().foretell(said)
        for index, band in enumerate(self.face.bands if self.face else ()):
            band.foretell(said.get(index, ()))

    def keep_clear(self, boxes: Sequence[Box]) -> None:
        """While something covers `boxes`, write beside them."""
        for band in self.face.bands:
            band.keep_clear(boxes)

    def show(self, view: PoolNow) -> None:
        """Draw it, with a frame around the chosen lane."""
        laid = self._laid
        super().show(view)
        if self._laid is not laid:
            self.on_chosen()
            self.foretell(self.foretold)

    def on_chosen(self, *_args) -> None:
        """Frame the chosen lane."""
        self._mark.clear()
        if self.face and 0 <= self.chosen < len(self.face.bands):
            wide = max(3.0, self.glass.px(CHOSEN_MM))
            Frame(self._mark).put(
                self.face.bands[int(self.chosen)].box.inset(0, -wide), self.theme.flip, wide
            )  # on its ropes

    def shape_of(self, view: PoolNow) -> tuple:
        """The number of lanes, how wide their numbers are, and where the ropes change colour."""
        return len(view.bands), "8" * max((len(band.text.lane) for band in view.bands), default=1), view.near_wall

    def laid_out(self, view: PoolNow) -> Pool:
        """Header and bands."""
        return Pool(self.canvas, Box(*self.pos, *self.size), self.glass, self.theme, *self.shape_of(view))


class Pool:
    """The header and the lanes between their ropes, from the home wall to the far one."""

    def __init__(self, canvas, box: Box, glass: Glass, theme: Theme, lanes: int, widest: str, near_wall: float):
        unit, px = glass.unit_px(box.width, box.height), glass.px
        header = header_of(box.width, box.height, unit, lanes)
        pool = box._replace(height=round(box.height - header.height))
        self.header = HeaderPart(canvas, Box(box.x, pool.top, box.width, header.height), header, unit, theme)
        rope = max(3.0, min(px(ROPE_MM), ROPE_SHARE * pool.height / max(1, lanes)))
        high = (pool.height - rope) / max(1, lanes)
        rows = rows_of(box.width, high - rope, unit, glass.px_per_mm)
        deck = round(deck_width(box.width, rows, high - rope, widest))
        Ground(canvas).put(Box(pool.x + deck, pool.y, pool.width - deck, pool.height), theme.water)
        self.bands = []
        for index in range(lanes):
            y = pool.y + (lanes - 1 - index) * high
            band = Box(pool.x, round(y + rope), pool.width, round(y + high) - round(y + rope))
            self.bands.append(BandPart(canvas, band, deck, rows, theme, widest))
        ropes = [
            Box(pool.x + deck, round(pool.y + index * high), pool.width - deck, rope) for index in range(lanes + 1)
        ]
        Ropes(canvas).put(ropes, near_wall, theme.float_, theme.rope)
        home, far = px(WALL_MM), px(WALL_MM / 2)
        for left, wide in ((pool.x + deck - home, home), (pool.right - far, far)):
            Plate(canvas).put(Box(left, pool.y, wide, pool.height), theme.rope)

    def show(self, view: PoolNow) -> None:
        """Draw it."""
        self.header.show(view)
        for band, shown in zip(self.bands, view.bands):
            band.show(shown)

    def drawn(self) -> list:
        """Its words."""
        return [*self.header.drawn(), *(piece for band in self.bands for piece in band.drawn())]
