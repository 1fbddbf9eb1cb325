"""The pool from above: ropes with their floats, and swimmers who circle in their lane."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from kivy.graphics import ClearBuffers, ClearColor, Color, InstructionGroup, Rectangle, ScissorPop, ScissorPush
from kivy.graphics.texture import Texture

from pacer.face.ink import Box
from pacer.face.theme import Rgb


def _texture(width: int, height: int, cover, tile: bool = False) -> Texture:
    """White, as opaque as `cover(x, y)` says at the middle of each pixel."""
    data = bytearray()
    for row in range(height):
        for column in range(width):
            data += bytes((255, 255, 255, round(255 * min(1.0, max(0.0, cover(column + 0.5, row + 0.5))))))
    made = Texture.create(size=(width, height), colorfmt="rgba")
    made.blit_buffer(bytes(data), colorfmt="rgba", bufferfmt="ubyte")
    if tile:
        made.wrap = "repeat"
    return made


@lru_cache(8)
def _dart(width: int, height: int) -> Texture:
    """A swimmer from above: a dart with a notch behind, its nose to the right."""
    half, notch = height / 2, width * 0.28
    slope = (width * width + half * half) ** 0.5

    def cover(x: float, y: float) -> float:
        off = abs(y - half)
        inside = ((width - x) * half - off * width) / slope      # distance from the leading edge
        behind = x - notch * (1 - off / half)                     # distance from the notch
        return min(inside, behind) + 0.5

    return _texture(width, height, cover)


@lru_cache(1)
def _floats() -> Texture:
    """One float and the gap after it, for a rope of any length."""
    return _texture(16, 16, lambda x, y: 6.5 - ((x - 8) ** 2 / 1.6 + (y - 8) ** 2) ** 0.5, tile=True)


class Water:
    """A box of water in a window: cleared rather than filled, which costs a third where no graphics chip helps. Lies under everything else."""

    def __init__(self, group: InstructionGroup, box: Box, colour: Rgb):
        x, y = round(box.x), round(box.y)
        for instruction in (ScissorPush(x=x, y=y, width=round(box.right) - x, height=round(box.top) - y), ClearColor(*colour, 1),
                            ClearBuffers(clear_color=True), ScissorPop()):
            group.add(instruction)


class Rope:
    """A rope: a line of floats, those near the walls in a colour of their own (as in a real pool)."""

    def __init__(self, group: InstructionGroup):
        self.parts = []
        for _ in range(3):
            colour, shape = Color(0, 0, 0, 0), Rectangle(size=(0, 0))
            group.add(colour)
            group.add(shape)
            self.parts.append((colour, shape))

    def put(self, box: Box, near_wall: float, end: Rgb, middle: Rgb) -> None:
        """Along `box`; `near_wall` is the share of the length at each end that has the colour `end`."""
        pitch = max(6.0, box.height * 1.35)
        count = max(4, round(box.width / pitch))
        near = min(count // 2 - 1, max(1, round(count * near_wall)))
        pitch = box.width / count
        runs = ((0, near, end), (near, count - near, middle), (count - near, count, end))
        for (colour, shape), (first, last, rgb) in zip(self.parts, runs):
            texture = _floats()
            colour.rgb = rgb
            colour.a = 1
            shape.texture = texture
            shape.pos = (box.x + first * pitch, box.y)
            shape.size = ((last - first) * pitch, box.height)
            repeats = last - first
            shape.tex_coords = (0, 0, repeats, 0, repeats, 1, 0, 1)

    def hide(self) -> None:
        """Draw nothing."""
        for colour, _ in self.parts:
            colour.a = 0


class Swimmers:
    """The swimmers of a lane, a dart each: out on one side, back on the other."""

    OUT = (0, 0, 1, 0, 1, 1, 0, 1)
    BACK = (1, 0, 0, 0, 0, 1, 1, 1)

    def __init__(self, group: InstructionGroup):
        self.group = InstructionGroup()
        group.add(self.group)
        self.colour = Color(0, 0, 0, 0)
        self.group.add(self.colour)
        self.darts: list[Rectangle] = []
        self.drawn: list[tuple[int, bool]] = []
        self.x = self.way = 0.0
        self.out_y = self.back_y = 0
        self.size = (1, 1)

    def lay(self, x: float, right: float, out_y: float, back_y: float, size: tuple[int, int], colour: Rgb) -> None:
        """From the home wall at `x` to the far wall at `right`; darts of `size`, their lower edges at `out_y` and `back_y`."""
        self.x, self.way = x, right - x - size[0]
        self.out_y, self.back_y, self.size = round(out_y), round(back_y), size
        self.colour.rgba = (*colour, 1)
        texture = _dart(*size)
        for dart in self.darts:
            dart.texture = texture
            dart.size = size
        self.drawn = [(-1, False)] * len(self.darts)

    def show(self, places: Sequence[float]) -> None:
        """Swimmers at `places`, as `pacer.face.places` gives them."""
        drawn, darts = self.drawn, self.darts
        if len(darts) != len(places):
            self._count(len(places))
        x, way, queue = self.x, self.way, self.size[0] * 0.62
        home = far = 0
        for k, place in enumerate(places):
            if place >= 0:
                back = place >= 1
                at = int(x + (2 - place if back else place) * way)
            elif place > -1.5:
                back, at = False, int(x + home * queue)
                home += 1
            else:
                back, at = True, int(x + way - far * queue)
                far += 1
            now = (at, back)
            before = drawn[k]
            if now != before:
                drawn[k] = now
                dart = darts[k]
                dart.pos = (at, self.back_y if back else self.out_y)
                if back != before[1] or before[0] < 0:
                    dart.tex_coords = self.BACK if back else self.OUT

    def _count(self, wanted: int) -> None:
        while len(self.darts) < wanted:
            dart = Rectangle(texture=_dart(*self.size), size=self.size)
            self.darts.append(dart)
            self.group.add(dart)
        while len(self.darts) > wanted:
            self.group.remove(self.darts.pop())
        self.drawn[:] = [(-1, False)] * wanted
