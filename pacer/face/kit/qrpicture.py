"""A picture of dark and light squares, such as a QR code: one texture, whatever the theme."""

from __future__ import annotations

from functools import lru_cache

from kivy.graphics import Color, InstructionGroup, Rectangle
from kivy.graphics.texture import Texture

from pacer.face.kit.ink import Box


def draw_squares(group: InstructionGroup, rows: tuple[str, ...], box: Box) -> None:
    """Draw rows of `#` (dark) and `.` (light) into a box."""
    group.add(Color(1, 1, 1, 1))
    group.add(Rectangle(texture=_texture(rows), pos=(round(box.x), round(box.y)), size=(box.width, box.height)))


@lru_cache(4)
def _texture(rows: tuple[str, ...]) -> Texture:
    made = Texture.create(size=(len(rows[0]), len(rows)), colorfmt="rgb")
    data = b"".join(b"\0\0\0" if square == "#" else b"\xff\xff\xff" for row in reversed(rows) for square in row)
    made.blit_buffer(data, colorfmt="rgb", bufferfmt="ubyte")
    made.min_filter = made.mag_filter = "nearest"
    return made
