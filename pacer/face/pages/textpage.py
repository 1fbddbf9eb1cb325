"""A page of text to read and close: the cautions, or something the coach has to know first."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pacer.face.pages.questionpage import AskingPage
from pacer.face.tiles.board import Board
from pacer.face.tiles.page import PageKey
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.wording.closing import CLOSE


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
        """The whole text, scrolling if it is longer than the page."""
        column = self.column(self.width)
        for heading, text in self.paragraphs:
            column.say(heading, bold=True)
            column.say(text, colour="dim")
            column.skip(0.7)
        self.show_board(self.board, self.x, self.width, column.tiles)
        self.boards = [self.board]

    def press(self, name: str) -> None:
        """Do what a key is for."""
        next(act for named, _, act in self.ways if named == name)()

    def back(self) -> None:
        """Escape: the last answer."""
        self.ways[-1][2]()
