"""How a question is laid out: its words, and directly below them the keys that answer it.

A short one is a little above the middle of the page, with free space on both sides if the page is wide.
"""

from __future__ import annotations

from collections.abc import Sequence

from pacer.face.tiles.page import Page
from pacer.face.tiles.tile import Tile

WIDE = 44.0  #: greatest width of a question, in character heights of a page that is not zoomed
SHORT = 0.5  #: of the page's height: a question up to that, with its keys, is short
ABOVE = 0.36  #: of the free height, above a short one


def aside(page: Page) -> float:
    """The space on either side of a question."""
    return round(max(0.0, page.width - WIDE * page.cap / page.zoom) / 2)


def asked(page: Page, tiles: Sequence[Tile]) -> tuple[Tile, ...]:
    """A question's tiles in their place, and the bar below them."""
    foot, room = max((tile.bottom for tile in tiles), default=0.0), page.top - page.bar.y
    down = round(ABOVE * (room - foot - page.bar.height)) if foot + page.bar.height <= SHORT * room else 0
    page.draw_up_bar(down + foot + page.gap, aside(page), aside(page))
    return tuple(tile._replace(top=tile.top + down) for tile in tiles)
