"""The pool from above: ropes with their floats, and swimmers who circle in their lane."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from kivy.graphics import InstructionGroup
from kivy.graphics.texture import Texture

from pacer.face.kit.ink import Box
from pacer.face.kit.quads import Quads, covered
from pacer.show.measure.theme import Rgb
from pacer.show.view.swimmerplaces import AWAY


@lru_cache(8)
def _dart(width: int, height: int) -> Texture:
    """A swimmer from above: a dart with a notch behind, its nose to the right."""
    half, notch = height / 2, width * 0.28
    slope = (width * width + half * half) ** 0.5

    def cover(x: float, y: float) -> float:
        off = abs(y - half)
        inside = ((width - x) * half - off * width) / slope  # distance from the leading edge
        behind = x - notch * (1 - off / half)  # distance from the notch
        return min(inside, behind) + 0.5

    return covered(width, height, cover)


@lru_cache(1)
def _floats() -> Texture:
    """One float and the gap after it, for a rope of any length."""
    made = covered(16, 16, lambda x, y: 6.5 - ((x - 8) ** 2 / 1.6 + (y - 8) ** 2) ** 0.5)
    made.wrap = "repeat"
    return made


class Ropes:
    """Ropes: lines of floats, those near the walls in a colour of their own (as in a real pool).

    Two strokes of the brush for all of them.
    """

    def __init__(self, group: InstructionGroup):
        self.ends, self.middles = Quads(group), Quads(group)

    def put(self, boxes: Sequence[Box], near_wall: float, end: Rgb, middle: Rgb) -> None:
        """One along each of `boxes`; `near_wall` is the share of the length at each end that has the colour `end`."""
        ends: list[float] = []
        middles: list[float] = []
        for box in boxes:
            count = max(4, round(box.width / max(6.0, box.height * 1.35)))
            near = min(count // 2 - 1, max(1, round(count * near_wall)))
            pitch = box.width / count
            for quads, first, last in ((ends, 0, near), (middles, near, count - near), (ends, count - near, count)):
                left, right = box.x + first * pitch, box.x + last * pitch
                quads += (
                    left,
                    box.y,
                    0,
                    0,
                    right,
                    box.y,
                    last - first,
                    0,
                    right,
                    box.top,
                    last - first,
                    1,
                    left,
                    box.top,
                    0,
                    1,
                )
        self.ends.put(ends, _floats(), end)
        self.middles.put(middles, _floats(), middle)


class Swimmers:
    """The swimmers of a lane, a dart each: out on one side, back on the other."""

    def __init__(self, group: InstructionGroup):
        self.quads = Quads(group)
        self.drawn: list[tuple[int, bool]] = []
        self.x = self.way = 0.0
        self.out_y = self.back_y = 0
        self.size = (1, 1)

    def lay(self, x: float, right: float, out_y: float, back_y: float, size: tuple[int, int], colour: Rgb) -> None:
        """From the home wall at `x` to the far wall at `right`.

        Darts of `size`, their lower edges at `out_y` and `back_y`.
        """
        self.x, self.way = x, right - x - size[0]
        self.out_y, self.back_y, self.size = round(out_y), round(back_y), size
        self.quads.put([], _dart(*size), colour)
        self.drawn = []

    def show(self, places: Sequence[float]) -> None:
        """Swimmers at `places`, as `pacer.show.view.swimmerplaces` gives them."""
        x, way, queue = self.x, self.way, self.size[0] * 0.62
        home = far = 0
        drawn = []
        for place in places:
            if place >= 0:
                back = place >= 1
                at = int(x + (2 - place if back else place) * way)
            elif place == AWAY:
                continue
            elif place > -1.5:
                back, at = False, int(x + home * queue)
                home += 1
            else:
                back, at = True, int(x + way - far * queue)
                far += 1
            drawn.append((at, back))
        if drawn != self.drawn:
            self.drawn = drawn
            self.quads.move(self._corners())

    def _corners(self) -> list[float]:
        wide, high = self.size
        corners: list[float] = []
        for left, back in self.drawn:
            right = left + wide
            if back:
                low, top = self.back_y, self.back_y + high
                corners += (left, low, 1, 0, right, low, 0, 0, right, top, 0, 1, left, top, 1, 1)
            else:
                low, top = self.out_y, self.out_y + high
                corners += (left, low, 0, 0, right, low, 1, 0, right, top, 1, 1, left, top, 0, 1)
        return corners
