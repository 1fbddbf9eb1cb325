"""Rectangles drawn at once: on a tablet each stroke of the brush costs, however small it is."""

from __future__ import annotations

from kivy.graphics import Color, InstructionGroup, Mesh
from kivy.graphics.texture import Texture

from pacer.face.theme import Rgb


class Quads:
    """Rectangles that share a texture and a colour."""

    def __init__(self, group: InstructionGroup):
        self.colour = Color(0, 0, 0, 0)
        self.mesh = Mesh(mode="triangles")
        group.add(self.colour)
        group.add(self.mesh)

    def put(self, vertices: list[float], texture: Texture, colour: Rgb) -> None:
        """Four corners for each, from the lower left one around: x, y, and the place in the texture."""
        self.colour.rgba = (*colour, 1)
        self.mesh.texture = texture
        self.move(vertices)

    def move(self, vertices: list[float]) -> None:
        """Other places, and as many of them."""
        count = len(vertices) // 16
        if len(self.mesh.indices) != 6 * count:
            self.mesh.indices = [4 * quad + corner for quad in range(count) for corner in (0, 1, 2, 2, 3, 0)]
        self.mesh.vertices = vertices
