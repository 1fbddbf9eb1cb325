"""The log: the sessions that were swum, the latest first, and one of them in full. By places, not by names."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pacer.face.kit.textures import measure
from pacer.face.kit.wrap import rows_of
from pacer.face.tiles.board import Board, Text, Tile
from pacer.face.tiles.column import ROW, Cell, Column
from pacer.face.tiles.page import CLOSE, Page, PageKey
from pacer.review.tables import Table, about, session_tables
from pacer.session.storage.kept import Listed
from pacer.session.storage.store import Store, StoreTrouble
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme


class LogPage(Page):
    """Lists the sessions in `store`.

    A touch opens one, or it is opened at session `number`. `on_squad(number)` leads to the squad, where new bases come
    from, `on_close()` away. A session that `reopens()` gives can be resumed: `on_resume(number)`. `on_review(number)`
    leads to what it came to.
    """

    def __init__(
        self,
        store: Store,
        number: int | None = None,
        *,
        theme: Theme = DARK,
        glass: Glass | None = None,
        on_squad: Callable[[int], None] = lambda number: None,
        on_close: Callable[[], None] = lambda: None,
        on_review: Callable[[int], None] = lambda number: None,
        reopens: Callable[[], Listed | None] = lambda: None,
        on_resume: Callable[[int], None] = lambda number: None,
        **kwargs,
    ):
        super().__init__(theme, glass, on_close, **kwargs)
        self.store, self.number, self.on_squad = store, number, on_squad
        self.reopens, self.on_resume, self.on_review = reopens, on_resume, on_review
        self.sessions, self.trouble = self._listed()
        self.tables: tuple[Table, ...] = ()  #: of the session that is open
        self.board = Board(self.press)
        self.boards = [self.board]
        self.add_widget(self.board)
        if number is not None:
            self.press(f"session {number}")
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
        """From a session to where new bases come from; the one that was ended just now can be resumed."""
        ended = self._ended() if self.tables else None
        resume = (PageKey("resume", "Resume session"),) if ended is not None and ended.number == self.number else ()
        review = PageKey("review", "Review", main=True)
        return (review, PageKey("bases", "New bases"), *resume) if self.tables else ()

    def _ended(self) -> Listed | None:
        try:
            return self.reopens()
        except StoreTrouble:
            return None

    def lay_page(self) -> None:
        """The list, or the session that is open."""
        gap = self.gap
        column = Column(self.width - 2 * gap, self.cap, self.padding, gap, self.target, x=gap, top=gap)
        if self.tables:
            self._session(column)
        else:
            self._list(column)
        self.board.pos, self.board.size = (self.x, self.bar.top), (self.width, max(1, self.top - self.bar.top))
        self.board.show(column.tiles, self.cap, self.padding)

    def _list(self, column: Column) -> None:
        if not self.sessions:
            column.say(self.trouble or "No sessions yet.", bold=True)
        for one in self.sessions:
            column.row(Cell(f"session {one.number}", (one.title or "Untitled",), label=about(one), across="left"))

    def _session(self, column: Column) -> None:
        for number, table in enumerate(self.tables):
            column.say(table.heading, bold=True, scale=1.0 if number else 1.3)
            self._table(column, table)
            column.skip(1.5)

    def _table(self, column: Column, table: Table) -> None:
        """Rows in columns, each as wide as what stands in it.

        The last has what is left, in as many rows as it needs.
        """
        cap, row, between = column.cap, round(ROW * column.cap), 0.8 * column.cap
        last = len(table.rows[0]) - 1
        wide = [
            max(measure(cells[place], cap) for cells in (*table.rows, *([table.heads] if table.heads else ())))
            for place in range(last)
        ]
        left = sum(wide) + between * last
        for cells, colour in (
            *([(table.heads, "dim")] if table.heads else ()),
            *((cells, "ink") for cells in table.rows),
        ):
            room = max(column.width - left, 1.0)
            rows = rows_of(cells[last], room, cap)
            texts, x = [], 0.0
            for cell, width in zip(cells, wide):
                texts.append(Text((cell,), (x, 0, width + 2, row), colour=colour, across="right"))
                x += width + between
            high = len(rows) * row
            texts.append(
                Text(
                    (cells[last],),
                    (x, 0, room + 1, high),
                    colour=colour,
                    up="top" if len(rows) > 1 else "middle",
                    lines=len(rows),
                )
            )
            column.tiles.append(Tile("", column.x, column.top, column.width, len(rows) * row, tuple(texts), "plain"))
            column.top += len(rows) * row

    def press(self, name: str) -> None:
        """Open a session, or go back."""
        if name == "leave":
            self.back()
            return
        if name == "bases":
            self.on_squad(self.number)
            return
        if name == "review":
            self.on_review(self.number)
            return
        if name == "resume":
            self.on_resume(self.number)
            return
        number = int(name.removeprefix("session "))
        try:
            self.tables, self.number = session_tables(self.store.session(number)), number
        except StoreTrouble as trouble:
            self.tell(str(trouble))
            return
        self.board.scroller.to(0)
        self.lay_out()

    def back(self) -> None:
        """From a session to the list, from the list away."""
        if self.tables:
            self.tables = ()
            self.board.scroller.to(0)
            self.lay_out()
        else:
            self.close()
