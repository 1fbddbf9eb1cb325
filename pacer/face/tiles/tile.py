"""The contents of a board: tiles, with words, strips and pictures on them."""

from __future__ import annotations

from typing import NamedTuple

from pacer.show.figures.figure import Figure

CARD = 27  #: least width of a card (a plan, a session, a drill), in character heights
STRIP_LANE = 1.1  #: height of a lane in a strip, in character heights


def cards_across(width: float, cap: float) -> int:
    """How many cards stand side by side: one to three."""
    return max(1, min(3, int(width / (CARD * cap))))


class Text(NamedTuple):
    """Words on a tile: ways to say them (the longest first), and their part of the tile.

    `box` is left, top, width, height from the tile's upper left corner; None: all of it except the padding. `colour`
    is a name of the theme's.
    """

    ways: tuple[str, ...]
    box: tuple[float, float, float, float] | None = None
    bold: bool = False
    colour: str = "ink"
    across: str = "left"
    up: str = "middle"
    lines: int = 1
    cap: float = 1.0  # of the board's character height


class Bar(NamedTuple):
    """A strip on a tile, such as how much of an hour is used.

    Left, top, width, height, and a colour by name. With a `shape` it is drawn as that state's shape.
    """

    box: tuple[float, float, float, float]
    colour: str
    shape: str = ""


class Picture(NamedTuple):
    """A figure on a tile: left, top, width, height, and whether it has words."""

    box: tuple[float, float, float, float]
    figure: Figure
    words: bool = False


class Squares(NamedTuple):
    """Dark and light squares on a tile, such as a QR code: left, top, width, height, and rows of `#` and `.`."""

    box: tuple[float, float, float, float]
    rows: tuple[str, ...]


class Tile(NamedTuple):
    """Something on a board.

    `look`: key (with an edge), main (the page's main action), lit (chosen), row (a band of water), plain (only its
    words).

    A tile that is not `able` is dim; pressing it still says why. A `heading` is never the last thing seen: it is drawn
    only with what it is about.
    """

    name: str
    x: float
    top: float
    width: float
    height: float
    texts: tuple[Text, ...] = ()
    look: str = "key"
    able: bool = True
    bars: tuple[Bar, ...] = ()
    pictures: tuple[Picture, ...] = ()
    squares: tuple[Squares, ...] = ()
    heading: bool = False

    @property
    def bottom(self) -> float:
        """Its lower edge."""
        return self.top + self.height
