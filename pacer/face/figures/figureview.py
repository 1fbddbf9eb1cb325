"""A figure on the screen: one mesh for everything that is filled, and its words."""

from __future__ import annotations

from collections.abc import Iterator
from math import cos, hypot, pi, sin

from kivy.graphics import Color, InstructionGroup, Mesh, Rectangle
from kivy.uix.widget import Widget

from pacer.face.figures.fillatlas import Atlas, atlas
from pacer.face.kit.textures import STORE, below_base, font_size, measure
from pacer.show.figures.drawing import Blob, Block, Drawing, Lettering, Line, drawn
from pacer.show.figures.figure import Bar, Dot, Figure, Spot
from pacer.show.measure.theme import DARK, Theme

#: Most rectangles in one mesh: an index has 16 bits.
MOST_QUADS = 16_000
RING, THIN = 2.1, 0.4  #: radius and thickness of the ring around a touched dot, in the dot's radii
DOT_REACH_MM = 8.0  #: a finger within this of a dot means the dot


class FigureView(Widget):
    """Draws a figure at its own size. `bare` leaves words out; `lit` highlights some bars.

    A figure is laid out again only when it, its size or the theme changes.
    """

    def __init__(self, theme: Theme = DARK, cap: float = 12, bare: bool = False, pitch: int = 4, **kwargs):
        super().__init__(**kwargs)
        self.theme, self.cap, self.bare, self.pitch = theme, cap, bare, pitch
        self.figure: Figure | None = None
        self.lit: Spot | None = None
        self.touched: Bar | Dot | None = None  #: what a finger was on last: it gets a ring, or a line below
        self.drawing: Drawing | None = None
        self.words = InstructionGroup()
        self._mesh = Mesh(mode="triangles")
        for instruction in (Color(1, 1, 1, 1), self._mesh, self.words):
            self.canvas.add(instruction)
        self.bind(size=self._draw, pos=self._draw)

    def show(self, figure: Figure | None, lit: Spot | None = None) -> None:
        """Draw another figure; `lit` names the bars to highlight by those of its values that are not None."""
        if figure is not self.figure or lit != self.lit:
            if figure != self.figure:
                self.touched = None
            self.figure, self.lit = figure, lit
            self._draw()

    def look(self, theme: Theme, cap: float) -> None:
        """Set other colours and another size of words."""
        if (theme, cap) != (self.theme, self.cap):
            self.theme, self.cap = theme, cap
            self._draw()

    def mark_at(self, x: float, y: float, reach: float) -> Bar | Dot | None:
        """The mark under a finger at window coordinates, within `reach` pixels."""
        return None if self.drawing is None else self.drawing.mark_at(x - self.x, y - self.y, reach)

    def said_at(self, x: float, y: float, mm: float) -> str | None:
        """What the mark under a finger says, "" where there is none; None for a finger beside the figure.

        `mm` are the pixels of a millimetre.
        """
        if self.parent is None or not self.collide_point(x, y):
            return None
        mark = self.mark_at(x, y, DOT_REACH_MM * mm)
        if mark != self.touched:
            self.touched = mark
            self._draw()
        return mark.said if mark is not None else ""

    def _draw(self, *_args) -> None:
        self.words.clear()
        self.drawing = None
        if self.figure is None or self.width < 2 or self.height < 2:
            self._mesh.vertices, self._mesh.indices = [], []
            return
        self.drawing = drawn(self.figure, self.width, self.height, self.cap, measure, bare=self.bare)
        self._fill(self.drawing)
        for one in self.drawing.letterings:
            self._write(one)

    def _fill(self, drawing: Drawing) -> None:
        cells = atlas(self.theme.name, self.pitch)
        self._mesh.texture = cells.texture
        vertices: list[float] = []
        for corners in self._quads(drawing, cells):
            vertices += corners
        count = min(MOST_QUADS, len(vertices) // 16)
        self._mesh.vertices = vertices[: 16 * count]
        self._mesh.indices = [4 * quad + corner for quad in range(count) for corner in (0, 1, 2, 2, 3, 0)]

    def _quads(self, drawing: Drawing, cells: Atlas) -> Iterator[tuple[float, ...]]:
        left, low = round(self.x), round(self.y)
        for block in drawing.blocks:
            x, right = _snapped(block)
            y, top = round(block.y), max(round(block.y) + 1, round(block.y + block.height))
            yield cells.block(left + x, low + y, left + right, low + top, block.fill)
            lit = self.lit is not None and block.mark is not None and _is(block.mark.spot, self.lit)
            if lit or (block.mark is not None and block.mark == self.touched):
                room = max(2, (top - y) // 5)
                yield cells.block(left + x, low + y - room, left + right, low + y, "ink")
        for line in drawing.lines:
            for corners in _line_corners(line):
                yield cells.corners(tuple((left + x, low + y) for x, y in corners), line.colour)
        for blob in drawing.blobs:
            for corners in _blob_corners(blob):
                around = tuple((left + blob.x + x * blob.radius, low + blob.y + y * blob.radius) for x, y in corners)
                yield cells.corners(around, blob.fill)
            if blob.mark is not None and blob.mark == self.touched:
                radius = RING * blob.radius
                for corners in _ring(THIN / RING):
                    around = tuple((left + blob.x + x * radius, low + blob.y + y * radius) for x, y in corners)
                    yield cells.corners(around, "ink")

    def _write(self, one: Lettering) -> None:
        size = font_size(one.cap)
        texture = STORE.texture(one.text, size, one.bold)
        x = one.x - {"left": 0, "middle": texture.width / 2, "right": texture.width}[one.across]
        self.words.add(Color(*getattr(self.theme, one.colour), 1))
        place = round(self.x + x), round(self.y + one.y) - below_base(size)
        self.words.add(Rectangle(texture=texture, pos=place, size=texture.size))


def _snapped(block: Block) -> tuple[int, int]:
    """Left and right in whole pixels; a bar is at least a pixel wide and leaves a pixel's gap before the next."""
    x, right = round(block.x), round(block.x + block.width)
    if right <= x:
        return x, x + 1
    return x, right


def _is(spot: Spot, wanted: Spot) -> bool:
    return all(want is None or has == want for has, want in zip(spot, wanted))


def _line_corners(line: Line) -> Iterator[tuple[tuple[float, float], ...]]:
    half = max(1.0, line.width) / 2
    for (x0, y0), (x1, y1) in zip(line.points, line.points[1:]):
        long = hypot(x1 - x0, y1 - y0)
        if not long:
            continue
        ux, uy = (x1 - x0) / long, (y1 - y0) / long
        dx, dy = -uy * half, ux * half
        dash = max(3.0, 4 * line.width) if line.dashed else long
        at = 0.0
        while at < long:
            end = min(at + dash, long)
            ax, ay, bx, by = x0 + at * ux, y0 + at * uy, x0 + end * ux, y0 + end * uy
            yield (ax - dx, ay - dy), (bx - dx, by - dy), (bx + dx, by + dy), (ax + dx, ay + dy)
            at = end + dash if line.dashed else long


def _blob_corners(blob: Blob) -> Iterator[tuple[tuple[float, float], ...]]:
    """A dot's shape around its middle, in radii, in four-cornered pieces."""
    if blob.corners:
        yield (*blob.corners, blob.corners[-1])[:4]
    elif blob.shape == "open":
        yield from _ring(0.5)
    else:
        for one, two, three in zip(_ROUND[::2], _ROUND[1::2], (*_ROUND[2::2], _ROUND[0])):
            yield (0.0, 0.0), one, two, three


def _ring(thick: float) -> Iterator[tuple[tuple[float, float], ...]]:
    """A ring of radius 1, so thick."""
    inner = 1 - thick
    for (a, b), (c, d) in zip(_ROUND, (*_ROUND[1:], _ROUND[0])):
        yield (inner * a, inner * b), (a, b), (c, d), (inner * c, inner * d)


#: A circle in sixteen corners.
_ROUND = tuple((cos(pi * part / 8), sin(pi * part / 8)) for part in range(16))
