"""The measures of a page: how large its words are, and what is touched, and how far apart.

One with few things on it is as large as leaves everything in sight, and said in full.
"""

from __future__ import annotations

from collections.abc import Hashable

from kivy.uix.widget import Widget

from pacer.face.kit.textures import measure
from pacer.face.tiles.board import Board, Text, Tile
from pacer.show.measure.fitting import fit
from pacer.show.measure.keyrows import GAP_MM, LEAST_SHARE, PADDING_MM, TARGET_MM
from pacer.show.measure.legibility import WET, Glass
from pacer.show.measure.theme import DARK, Theme

INSET_MM = 2.4  #: between the edge of a tile and words that begin at it
AS_IT_IS = (1.0,)  #: for pages that are looked through
LARGER = (1.4, 1.3, 1.2, 1.1, 1.0)  #: for a question, a pad, a few choices: the first with room for everything


class PageGrid(Widget):
    """A page's measures, in pixels, for its theme, its screen and its size.

    `zoom`: how much larger everything is on a page with few things on it.
    """

    zoom = 1.0

    def __init__(self, theme: Theme = DARK, glass: Glass | None = None, **kwargs):
        super().__init__(**kwargs)
        self.theme, self.glass = theme, glass or Glass()

    @property
    def upright(self) -> bool:
        """Whether it is higher than wide."""
        return self.height > self.width

    @property
    def mm(self) -> float:
        """Pixels of a millimetre of the grid: more of them on a large screen, fewer for dry hands."""
        least = LEAST_SHARE * min(self.width, self.height) / TARGET_MM
        return max(self.glass.px_per_mm, least) * self.glass.hands * self.zoom

    @property
    def cap(self) -> float:
        """The character height of all words: the coach's."""
        return self.glass.unit_px(self.width, self.height) * self.zoom

    @property
    def target(self) -> float:
        """The least side of anything to touch."""
        return TARGET_MM * self.mm

    @property
    def gap(self) -> float:
        """The least distance between two such things."""
        return GAP_MM * self.mm

    @property
    def padding(self) -> float:
        """Between the edge of a tile and its words."""
        return PADDING_MM * self.mm

    @property
    def inset(self) -> float:
        """The same for words that begin at that edge."""
        return INSET_MM * self.mm


class ZoomedPage(PageGrid):
    """A page laid out at the first of its `zooms` at which nothing has to be scrolled or is said shorter.

    Once that is chosen it gets no larger, so that nothing moves under a finger, until `zoomed_for` changes.
    """

    boards: list[Board]
    bar_pages: tuple
    covered: float
    _zoomed: Hashable = None  # what the zoom was chosen for
    _shortened = 0  # how much was said shorter at the last zoom

    @property
    def asks(self) -> bool:
        """Whether it is a question, left by answering it: there is little on it."""
        return False

    @property
    def zooms(self) -> tuple[float, ...]:
        """What to try, the largest first."""
        return LARGER if self.asks else AS_IT_IS

    @property
    def zoomed_for(self) -> Hashable:
        """What the zoom is chosen for: another question may be larger."""
        return self.width, self.height, self.covered > 0, self.theme, self.glass

    def lay_out(self) -> None:
        """Lay everything out again."""
        zooms = AS_IT_IS if self.glass.hands >= WET else self.zooms
        largest, asked = self.zoom, (self.zoomed_for, zooms)
        if asked != self._zoomed:
            largest, self.zoom = zooms[0], zooms[-1]
            if len(zooms) > 1:
                self.lay_at_zoom()
                self._shortened = self._said_shorter()
            self._zoomed = asked
        for zoom in (each for each in zooms if each <= largest):
            self.zoom = zoom
            self.lay_at_zoom()
            if zoom == zooms[-1] or self.roomy():
                break

    def lay_at_zoom(self) -> None:
        """Lay everything out as large as `zoom` says."""
        raise NotImplementedError

    def roomy(self) -> bool:
        """Whether everything is in sight, and no more said shorter than at the last of the zooms."""
        return self.in_sight() and self._said_shorter() <= self._shortened

    def in_sight(self) -> bool:
        """Whether nothing has to be scrolled, and all keys are on the bar."""
        seen = all(board.content_height <= board.height + 1 for board in self._boards_in_front())
        return seen and len(self.bar_pages) <= 1

    def _boards_in_front(self) -> list[Board]:
        return [board for board in self.boards if board.parent is not None]

    def _said_shorter(self) -> int:
        """How much is not said the longest way, or in letters too small."""
        return sum(
            not _said_whole(tile, text, board)
            for board in self._boards_in_front()
            for tile in board.tiles
            for text in tile.texts
        )


def _said_whole(tile: Tile, text: Text, board: Board) -> bool:
    wide, high = (tile.width - 2 * board.padding, tile.height) if text.box is None else text.box[2:]
    cap = text.cap * board.cap
    said = fit(text.ways, wide, high, cap, cap, measure, bold=text.bold, lines=text.lines)
    return not said.small and " ".join(said.lines) == text.ways[0]
