"""All fills and shapes of a figure in one texture, so that the whole figure, except its words, is one draw call."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from kivy.graphics.texture import Texture

from pacer.show.figures.fills import CROSSED, DOTTED, FILLS, LEVEL, PLAIN, SLANT, UPRIGHT, Fill
from pacer.show.measure.theme import Rgb

WIDE = 16  #: a pattern repeats after this many pixels
HIGH = 64  #: a bar is cut from this many rows


class Atlas:
    """The texture of a theme, for patterns of a pitch: 4, 8 or 16 pixels.

    The texture repeats sideways: a bar's pattern has the same size however long the bar is.
    """

    def __init__(self, theme: str, pitch: int):
        fills = FILLS[theme]
        self.rows = {name: place * HIGH for place, name in enumerate(fills)}
        height = 1
        while height < len(fills) * HIGH:
            height *= 2
        data = bytearray()
        for fill in fills.values():
            data += _tile(fill, pitch)
        data += bytes(4 * WIDE * (height - len(fills) * HIGH))
        self.height = height
        self.texture = Texture.create(size=(WIDE, height), colorfmt="rgba")
        self.texture.wrap = "repeat"
        self.texture.min_filter = self.texture.mag_filter = "nearest"
        self.texture.blit_buffer(bytes(data), colorfmt="rgba", bufferfmt="ubyte")

    def block(self, x: float, y: float, right: float, top: float, fill: str) -> tuple[float, ...]:
        """The four corners of a filled rectangle, with their positions in the texture."""
        row = self.rows[fill]
        low, high = row / self.height, (row + min(HIGH, top - y)) / self.height
        wide = (right - x) / WIDE
        return (x, y, 0.0, low, right, y, wide, low, right, top, wide, high, x, top, 0.0, high)

    def corners(self, points: tuple[tuple[float, float], ...], fill: str) -> tuple[float, ...]:
        """Any four corners in the fill's own colour, without its pattern."""
        at = (self.rows[fill] + 0.5) / self.height
        return tuple(value for x, y in points for value in (x, y, 0.5 / WIDE, at))


@lru_cache(4)
def atlas(theme: str, pitch: int) -> Atlas:
    """The atlas of a theme; made once."""
    return Atlas(theme, pitch)


def _tile(fill: Fill, pitch: int) -> bytes:
    """Rows from the bottom up, repeating after `pitch` rows. The lower left pixel has the fill's own colour."""
    marked = _MARKED[fill.pattern]
    one, other = _bytes(fill.colour), _bytes(fill.second)
    rows = (other if marked(column, row, pitch) else one for row in range(pitch) for column in range(WIDE))
    return b"".join(rows) * (HIGH // pitch)


def _bytes(colour: Rgb) -> bytes:
    return bytes((*(round(255 * part) for part in colour), 255))


def _line(at: int, pitch: int) -> bool:
    """Whether a pixel is on one of the lines that are `pitch` apart and a third of it wide."""
    return at % pitch >= pitch - max(1, pitch // 3)


_MARKED: dict[str, Callable[[int, int, int], bool]] = {
    PLAIN: lambda x, y, pitch: False,
    UPRIGHT: lambda x, y, pitch: _line(x, pitch),
    LEVEL: lambda x, y, pitch: _line(y, pitch),
    SLANT: lambda x, y, pitch: _line(x - y + pitch - 1, pitch),
    DOTTED: lambda x, y, pitch: _line(x, pitch) and _line(y, pitch),
    CROSSED: lambda x, y, pitch: _line(x - y + pitch - 1, pitch) or _line(x + y, pitch),
}
