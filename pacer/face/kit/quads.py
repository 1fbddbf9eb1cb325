"""Rectangles drawn in one call: on a tablet every draw call costs, however small."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from itertools import product

from kivy.graphics import Color, InstructionGroup, Mesh
from kivy.graphics.texture import Texture

from pacer.show.measure.theme import Rgb


class Quads:
    """Rectangles that share a texture and a colour."""

    def __init__(self, group: InstructionGroup):
        self.colour = Color(0, 0, 0, 0)
        self.mesh = Mesh(mode="triangles")
        group.add(self.colour)
        group.add(self.mesh)

    def put(self, vertices: list[float], texture: Texture, colour: Rgb) -> None:
        """Draw rectangles: four corners for each, from the lower left one around: x, y, and the position in the
        texture.
        """
        self.colour.rgba = (*colour, 1)
        self.mesh.texture = texture
        self.move(vertices)

    def move(self, vertices: list[float]) -> None:
        """Move them; their number may change."""
        count = len(vertices) // 16
        if len(self.mesh.indices) != 6 * count:
            self.mesh.indices = [4 * quad + corner for quad in range(count) for corner in (0, 1, 2, 2, 3, 0)]
        self.mesh.vertices = vertices


def covered(width: int, height: int, cover: Callable[[float, float], float]) -> Texture:
    """A white texture, as opaque as `cover(x, y)` says at the middle of each pixel."""
    data = bytearray()
    for row in range(height):
        for column in range(width):
            data += bytes((255, 255, 255, round(255 * min(1.0, max(0.0, cover(column + 0.5, row + 0.5))))))
    made = Texture.create(size=(width, height), colorfmt="rgba")
    made.blit_buffer(bytes(data), colorfmt="rgba", bufferfmt="ubyte")
    return made


@lru_cache(32)
def rounded(radius: int, stroke: float = 0) -> Texture:
    """A disc, or a ring `stroke` wide.

    Its quarters are the round corners of a rectangle, its middle lines the straight parts.
    """

    def cover(x: float, y: float) -> float:
        away = ((x - radius) ** 2 + (y - radius) ** 2) ** 0.5
        return min(radius - away, away - radius + stroke if stroke else 1.0) + 0.5

    made = covered(2 * radius, 2 * radius, cover)
    made.min_filter = made.mag_filter = "nearest"  # drawn pixel for pixel
    return made


def rounded_vertices(x: float, y: float, right: float, top: float, radius: int, hollow: bool = False) -> list[float]:
    """The corners of the nine parts of a rectangle with a texture of `rounded`.

    `hollow`: without the one in the middle.
    """
    across, up = (
        ((x, 0.0), (x + radius, 0.5), (right - radius, 0.5), (right, 1.0)),
        ((y, 0.0), (y + radius, 0.5), (top - radius, 0.5), (top, 1.0)),
    )
    vertices: list[float] = []
    for row, column in product(range(3), range(3)):
        if hollow and row == column == 1:
            continue
        (left, u), (end, u_end) = across[column], across[column + 1]
        (low, v), (high, v_high) = up[row], up[row + 1]
        vertices += (left, low, u, v, end, low, u_end, v, end, high, u_end, v_high, left, high, u, v_high)
    return vertices
