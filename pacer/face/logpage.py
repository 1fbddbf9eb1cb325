"""The log: the sessions that were swum, the latest first, and one of them in full. By places, not by names."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pacer.face.board import Board
from pacer.face.column import Cell, Column
from pacer.face.legibility import Glass
from pacer.face.page import CLOSE, Page, PageKey
from pacer.face.theme import DARK, Theme
from pacer.plan.times import text_from_ms
from pacer.review.log import session_blocks
from pacer.session.kept import Listed
from pacer.session.store import Store, StoreTrouble
from pacer.session.zone import day_and_time


class LogPage(Page):
    """Lists the sessions in `store`; a touch opens one. `on_close()` leads away."""

    def __init__(self, store: Store, *, theme: Theme = DARK, glass: Glass | None = None, on_close: Callable[[], None] = lambda: None, **kwargs):
        super().__init__(theme, glass, on_close, **kwargs)
        self.store = store
        self.sessions, self.trouble = self._listed()
        self.blocks: tuple[tuple[str, ...], ...] = ()     #: of the session that is open
        self.board = Board(self.press)
        self.boards = [self.board]
        self.add_widget(self.board)
        self.lay_out()

    def _listed(self) -> tuple[tuple[Listed, ...], str]:
        try:
            return tuple(one for one in self.store.sessions() if one.begun_ms is not None), ""
        except StoreTrouble as trouble:
            return (), str(trouble)

    def pinned(self) -> Sequence[PageKey]:
        """The way out: of the session that is open, or of the log."""
        return (CLOSE,)

    def keys(self) -> Sequence[PageKey]:
        """There is only to read."""
        return ()

    def lay_page(self) -> None:
        """The list, or the session that is open."""
        gap = self.gap
        column = Column(self.width - 2 * gap, self.cap, self.padding, gap, self.target, x=gap, top=gap)
        if self.blocks:
            self._session(column)
        else:
            self._list(column)
        self.board.pos, self.board.size = (self.x, self.bar.top), (self.width, max(1, self.top - self.bar.top))
        self.board.show(column.tiles, self.cap, self.padding)

    def _list(self, column: Column) -> None:
        if not self.sessions:
            column.say(self.trouble or "No session has been swum yet.", bold=True)
        for one in self.sessions:
            begun, title = day_and_time(one.begun_ms, one.zone), one.title or "without a title"
            took = "not ended" if one.ended_ms is None else text_from_ms(max(0, one.ended_ms - one.begun_ms) // 1000 * 1000)
            column.row(Cell(f"session {one.number}", (title,), label=(f"{begun}  {took}", begun), across="left"))

    def _session(self, column: Column) -> None:
        for rows in self.blocks:
            column.say(f"{rows[0][0].upper()}{rows[0][1:]}", bold=True)
            for row in rows[1:]:
                column.say(" ".join(row.split()), colour="dim")
            column.skip()

    def press(self, name: str) -> None:
        """Open a session, or go back."""
        if name == "leave":
            self.back()
            return
        try:
            self.blocks = session_blocks(self.store.session(int(name.removeprefix("session "))))
        except StoreTrouble as trouble:
            self.tell(str(trouble))
            return
        self.board.scroller.to(0)
        self.lay_out()

    def back(self) -> None:
        """From a session to the list, from the list away."""
        if self.blocks:
            self.blocks = ()
            self.board.scroller.to(0)
            self.lay_out()
        else:
            self.close()
