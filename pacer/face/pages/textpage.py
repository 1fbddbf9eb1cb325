"""A page of text to read and close: the cautions, or something the coach has to know first."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pacer.face.pages.questionpage import AskingPage
from pacer.face.tiles.board import Board, Tile
from pacer.face.tiles.column import Column
from pacer.face.tiles.page import PageKey
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.wording.closing import CLOSE

SHORT = 0.5  #: of the page's height: a text up to that is short
SHORT_SHARE = 0.7  #: of the width, that a short one has
ABOVE = 0.36  #: of the free height, above a short one


class TextPage(AskingPage):
    """`paragraphs` are headings and texts.

    `answers`: names of keys, their labels and what they do, the last one for going back.
    """

    def __init__(
        self,
        paragraphs: Sequence[tuple[str, str]],
        answers: Sequence[tuple[str, str, Callable[[], None]]],
        *,
        theme: Theme = DARK,
        glass: Glass | None = None,
        **kwargs,
    ):
        super().__init__(theme, glass, **kwargs)
        self.paragraphs, self.ways = tuple(paragraphs), tuple(answers)
        self.board = Board(self.press)

    def keys(self) -> Sequence[PageKey]:
        """What can be done after reading."""
        return tuple(PageKey(name, label) for name, label, _ in self.ways if label != CLOSE)

    def pinned(self) -> Sequence[PageKey]:
        """The way out, if one of the answers is just that."""
        return tuple(PageKey(name, label) for name, label, _ in self.ways if label == CLOSE)

    def lay_page(self) -> None:
        """The whole text, scrolling if it is longer than the page; a short one is in the middle."""
        high, side = self.top - self.bar.top, (1 - SHORT_SHARE) / 2 * self.width
        tiles = self._tiles(self.column(self.width - 2 * side, side))
        foot = max((tile.bottom for tile in tiles), default=0.0)
        if foot <= SHORT * high:
            down = ABOVE * (high - foot)
            tiles = [tile._replace(top=tile.top + down) for tile in tiles]
        else:
            tiles = self._tiles(self.column(self.width))
        self.show_board(self.board, self.x, self.width, tiles)
        self.boards = [self.board]

    def _tiles(self, column: Column) -> list[Tile]:
        for heading, text in self.paragraphs:
            column.say(heading, bold=True)
            column.say(text, colour="dim")
            column.skip(0.7)
        return column.tiles

    def press(self, name: str) -> None:
        """Do what a key is for."""
        next(act for named, _, act in self.ways if named == name)()

    def back(self) -> None:
        """Escape: the last answer."""
        self.ways[-1][2]()
