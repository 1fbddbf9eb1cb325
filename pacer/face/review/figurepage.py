"""A page with a figure above its tiles while there is one to show."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pacer.face.figures.figureview import FigureView
from pacer.face.tiles.board import Board, Tile
from pacer.face.tiles.page import Page
from pacer.show.figures.figure import Figure
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import Theme

LEAST_FIGURE = 14.0  #: height of a figure at least, in character heights: its words alone take half of that,
MOST_FIGURE = 0.6  #: but no more than this share of the page


class FigurePage(Page):
    """A subclass gives `tiles()`, `shown_figure()` and the figure's share of the height."""

    figure_share = 0.5

    def __init__(self, theme: Theme, glass: Glass | None, close: Callable[[], None], **kwargs):
        super().__init__(theme, glass, close, **kwargs)
        self.board = Board(self.press)
        self.figure = FigureView(theme)
        self.boards = [self.board]
        self.add_widget(self.board)

    def shown_figure(self) -> Figure | None:
        """The figure of the open view; None if it has none."""
        raise NotImplementedError

    def tiles(self) -> Sequence[Tile]:
        """What is shown below it."""
        raise NotImplementedError

    def lay_page(self) -> None:
        """The open view, with its figure above if it has one."""
        gap, foot, top = self.gap, self.bar.top, self.top
        figure = self.shown_figure()
        room = top - foot
        high = (
            round(min(MOST_FIGURE * room, max(self.figure_share * room, LEAST_FIGURE * self.cap)))
            if figure is not None
            else 0
        )
        if figure is not None:
            self.figure.look(self.theme, self.cap)
            self.figure.show(figure)
            self.figure.pos, self.figure.size = (self.x + gap, top - high), (self.width - 2 * gap, high - gap)
            if self.figure.parent is None:
                self.add_widget(self.figure)
        elif self.figure.parent is not None:
            self.remove_widget(self.figure)
        self.board.pos, self.board.size = (self.x, foot), (self.width, max(1, top - foot - high))
        self.board.show(self.tiles(), self.cap, self.padding)

    def on_touch_down(self, touch) -> bool:
        """A touch on the figure tells what it rests on: who, when, how much."""
        said = self.figure.said_at(touch.x, touch.y, self.mm)
        if said:
            self.tell(said)
        return said is not None or bool(super().on_touch_down(touch))
