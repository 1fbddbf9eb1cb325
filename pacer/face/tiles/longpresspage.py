"""A page with some keys to keep pressed.

Whatever begins a session needs a deliberate press, and meanwhile says what it will do.
"""

from __future__ import annotations

from collections.abc import Callable, Collection

from kivy.clock import Clock

from pacer.face.tiles.board import Board, Text, Tile
from pacer.face.tiles.longpressboard import HeldBoard
from pacer.face.tiles.page import Page
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme


class HeldPage(Page):
    """`held` are the names of those keys.

    A subclass gives `would(name)`, which is shown above the bar while one of them fills.
    """

    def __init__(
        self,
        held: Collection[str],
        now_ms: Callable[[], int],
        theme: Theme = DARK,
        glass: Glass | None = None,
        **kwargs,
    ):
        super().__init__(theme, glass, **kwargs)
        self.remove_widget(self.bar)
        self.bar = HeldBoard(
            self._press,
            lambda _name: self.tell("Keep pressing"),
            held,
            now_ms,
            began=lambda _name: self._foretell(),
        )
        self.add_widget(self.bar)
        self.foretold = Board()  #: what the filling key will do; on the page only meanwhile
        self._following = Clock.schedule_interval(lambda _dt: self._foretell(), 0)
        self._following.cancel()

    def would(self, name: str) -> tuple[str, ...]:
        """What a key would do now, the longest way first."""
        raise NotImplementedError

    def _foretell(self) -> None:
        """Say it while the key is pressed, always for the current instant."""
        board, bar = self.foretold, self.bar
        if bar.pressed not in bar.held or bar.parent is None:
            self._following.cancel()
            self.remove_widget(board)
            return
        if board.parent is None:
            self.add_widget(board)
            self._following()
        board.theme, board.glass = self.theme, self.glass
        board.pos, board.size = (self.x, bar.top), (self.width, self.target + 2 * self.gap)
        wide = self.width - 2 * self.gap
        text = Text(
            self.would(bar.pressed),
            (self.padding, 0, wide - 2 * self.padding, self.target),
            True,
            across="middle",
            lines=2,
        )
        board.show([Tile("", self.gap, self.gap, wide, self.target, (text,), "lit")], self.cap, self.padding)
