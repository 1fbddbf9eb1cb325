"""A page of text to read and close: the cautions, or something the coach has to know first."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pacer.face.kit.textures import measure
from pacer.face.pages.askingpage import AskingPage
from pacer.face.tiles.board import Board, Tile
from pacer.face.tiles.column import Column
from pacer.face.tiles.page import PageKey
from pacer.face.tiles.pagegrid import LARGER
from pacer.face.tiles.questionlayout import ABOVE, SHORT, aside
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.measure.typesizes import TITLE
from pacer.show.wording.commonkeys import CLOSE


class TextPage(AskingPage):
    """`paragraphs` are headings and texts.

    `answers`: names of keys, their labels and what they do, the last one for going back; `main` names the way on after
    reading. `large`: in large type from the top, headings beside their texts if there is room.
    """

    def __init__(
        self,
        paragraphs: Sequence[tuple[str, str]],
        answers: Sequence[tuple[str, str, Callable[[], None]]],
        *,
        title: str = "",
        main: str = "",
        large: bool = False,
        theme: Theme = DARK,
        glass: Glass | None = None,
        **kwargs,
    ):
        super().__init__(theme, glass, **kwargs)
        self.paragraphs, self.ways, self.title = tuple(paragraphs), tuple(answers), title
        self.main, self.large = main, large
        self.board = Board(self.press)

    @property
    def asks(self) -> bool:
        """Whether it is left by an answer."""
        return not self.pinned()

    @property
    def zooms(self) -> tuple[float, ...]:
        """A large text is as large as there is room for."""
        return LARGER if self.large else super().zooms

    def keys(self) -> Sequence[PageKey]:
        """What can be done after reading."""
        return tuple(PageKey(name, label, main=name == self.main) for name, label, _ in self.ways if label != CLOSE)

    def pinned(self) -> Sequence[PageKey]:
        """The way out, if one of the answers is just that."""
        return tuple(PageKey(name, label) for name, label, _ in self.ways if label == CLOSE)

    def lay_page(self) -> None:
        """The whole text, scrolling if it is longer than the page; a short one is in the middle if it isn't large."""
        high, side = self.top - self.bar.top, 0 if self.large else aside(self)
        tiles = self._tiles(self.column(self.width if self.asks else self.width - 2 * side, 0 if self.asks else side))
        foot = max((tile.bottom for tile in tiles), default=0.0)
        if not self.asks and not self.large and foot <= SHORT * high:
            tiles = [tile._replace(top=tile.top + ABOVE * (high - foot)) for tile in tiles]
        elif side and not self.asks:
            tiles = self._tiles(self.column(self.width))
        self.show_board(self.board, self.x, self.width, tiles)
        self.boards = [self.board]

    def _tiles(self, column: Column) -> list[Tile]:
        if self.title:
            column.say(self.title, bold=True, scale=TITLE)
            column.skip(0.5)
        if self.large:
            self._say_large(column)
            return column.tiles
        for heading, text in self.paragraphs:
            column.say(heading, bold=True)
            column.say(text, colour="dim")
            column.skip(0.7 if (heading, text) != self.paragraphs[-1] else 0.0)
        return column.tiles

    def _say_large(self, column: Column) -> None:
        """Headings beside their texts, or above them if there is no room."""
        x, whole = column.x, column.width
        beside = max(measure(heading, TITLE * self.cap, True) for heading, _ in self.paragraphs) + 2 * self.gap
        if self.upright:
            beside = 0.0
        for heading, text in self.paragraphs:
            top = column.top
            column.say(heading, bold=True, scale=TITLE)
            if beside:
                column.x, column.width, column.top = x + beside, whole - beside, top
            column.say(text, scale=TITLE)
            column.x, column.width = x, whole
            column.skip(1.2)

    def press(self, name: str) -> None:
        """Do what a key is for."""
        next(act for named, _, act in self.ways if named == name)()

    def back(self) -> None:
        """Escape: the last answer."""
        self.ways[-1][2]()
