"""The strip along a board's foot that says which way there is more, and what is seen above it: no tile cut, no heading
alone.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from itertools import islice

from kivy.graphics import InstructionGroup

from pacer.face.kit.ink import Arrow, Box, Plate, RoundPlate, Words
from pacer.face.kit.scroller import Scroller
from pacer.face.tiles.tile import Tile
from pacer.language import tr
from pacer.show.measure.theme import Theme

ROW = 1.9  #: its height, in character heights
ARROW_MM = 2.4  #: side of an arrow where there is no strip
ABOVE, BELOW = tr("More above"), tr("More below")


class Stops:
    """Where a board of `tiles` may rest: `offsets` at which one, or a row of its words, begins at the upper edge.

    `under` leads from each heading to the next thing below it, `beside` from a key to the heading that it goes with,
    all by their place.
    """

    def __init__(self, tiles: Sequence[Tile] = (), padding: float = 0.0):
        stops = {0.0}
        seen = [tile for tile in tiles if tile.height > 1 or tile.texts]
        first = min((tile.top for tile in seen), default=0.0)  # above it is only margin, which is no step
        for tile in seen:
            stops.add(max(0.0, tile.top - padding) if tile.top > first else 0.0)
            for text in tile.texts if tile.look == "plain" else ():
                if text.lines > 1 and text.box is not None:
                    row = text.box[3] / text.lines
                    stops |= {tile.top + text.box[1] + row * number for number in range(1, text.lines)}
        self.offsets = sorted(stops)
        self.under, self.beside = _under(tiles), _beside(tiles)
        self._tiles = tiles

    def from_(self, offset: float) -> float:
        """The first one not less, or the last."""
        return self.offsets[min(bisect_left(self.offsets, offset), len(self.offsets) - 1)]

    def to(self, offset: float) -> float:
        """The last one not more, or the first."""
        return self.offsets[max(0, bisect_right(self.offsets, offset) - 1)]

    def followed(self, place: int, seen: Callable[[Tile], bool]) -> bool:
        """Whether what is below a heading is seen too; so is everything that is no heading, and no key beside one."""
        place = self.beside.get(place, place)
        while place in self.under:
            place = self.under[place]
            if not seen(self._tiles[place]):
                return False
        return True

    def nearest(self, offset: float) -> float:
        """The nearest."""
        return min(self.offsets, key=lambda stop: abs(stop - offset))


def _under(tiles: Sequence[Tile]) -> dict[int, int]:
    """The place of what is next below each heading, if anything is."""
    filled = sorted((tile.top, place) for place, tile in enumerate(tiles) if tile.texts or tile.pictures or tile.name)
    under = {}
    for at, heading in enumerate(tiles):
        if not heading.heading:
            continue
        below = islice(filled, bisect_left(filled, (heading.bottom - 1, -1)), None)
        nearest = next((place for _, place in below if _meet_across(heading, tiles[place])), None)
        if nearest is not None:
            under[at] = nearest
    return under


def _meet_across(one: Tile, other: Tile) -> bool:
    return other.x < one.x + one.width and one.x < other.x + other.width


def _beside(tiles: Sequence[Tile]) -> dict[int, int]:
    """The place of the heading that each key at its right goes with, if there is one."""
    headings = [(place, tile) for place, tile in enumerate(tiles) if tile.heading]
    beside = {}
    for at, key in enumerate(tiles):
        heads = (
            place
            for place, tile in headings
            if tile.top - 1 <= key.top < tile.bottom and tile.x + tile.width <= key.x + 1
        )
        head = next(heads, None) if key.name else None
        if head is not None:
            beside[at] = head
    return beside


def more_height(cap: float) -> int:
    """The height of the strip."""
    return round(ROW * cap)


def draw_mark(
    group: InstructionGroup, scroller: Scroller, box: Box, more: tuple[bool, bool], mm: float, theme: Theme
) -> None:
    """At the side of a board in `box` that has no strip: which part of it is seen, and which way there is `more`."""
    side = ARROW_MM * mm
    mark = scroller.mark(box.inset(0, side), mm)
    if mark is None:
        return
    RoundPlate(group).put(mark, theme.dim, mark.width / 2)
    left = mark.x + (mark.width - side) / 2
    for there, y in zip(more, (box.top - side, box.y)):
        if there:
            Arrow(group).put(Box(left, y, side, side), theme.ink, up=y > box.y)


def draw_more(group: InstructionGroup, box: Box, more: tuple[bool, bool], cap: float, theme: Theme) -> None:
    """Which way there is `more` (above, below): in words, with an arrow."""
    Plate(group).put(Box(box.x, box.top - 1, box.width, 1), theme.line)
    for number, (there, words) in enumerate(zip(more, (ABOVE, BELOW))):
        if not there:
            continue
        half = box.part(0, 0.5) if number == 0 else box.part(0.5, 1)
        side = 0.7 * cap
        arrow = Box(half.x + 0.06 * half.width, half.y + (half.height - side) / 2, side, side)
        Arrow(group).put(arrow, theme.ink, up=number == 0)
        left = arrow.right + 0.6 * cap
        Words(group, "more").put((words,), Box(left, half.y, half.right - left, half.height), cap, cap, theme.dim)
