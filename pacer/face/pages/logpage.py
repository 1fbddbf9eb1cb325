"""The log: the sessions that were swum, the latest first, and one of them in full. By places, not by names."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType

from pacer.face.pages.logstrips import LogStrips
from pacer.face.tiles.board import Board, Picture, Text, Tile
from pacer.face.tiles.column import ROW, Column
from pacer.face.tiles.page import CLOSE, Page, PageKey
from pacer.face.tiles.table import say_table
from pacer.review.logtables import Table, about, session_tables
from pacer.session.storage.savedsession import Listed
from pacer.session.storage.store import Store, StoreTrouble
from pacer.show.figures.drawing import height_for
from pacer.show.figures.figure import Figure
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.measure.typesizes import SMALL, TITLE

CARD = 27  #: the least width of a session's tile, in character heights
STRIP = 3.2  #: height of its strip, likewise


class LogPage(Page):
    """Lists the sessions in `store`.

    A tap opens one; with `number` that session is open from the start. `on_squad(number)` goes to the squad, where new
    bases come from, `on_close()` closes. A session that `reopens()` returns can be resumed: `on_resume(number)`.
    `on_review(number)` opens its review. `ways` open pages about many sessions, by the words on their keys.
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
        on_enter: Callable[[int], None] = lambda number: None,
        ways: Mapping[str, Callable[[], None]] = MappingProxyType({}),
        **kwargs,
    ):
        super().__init__(theme, glass, on_close, **kwargs)
        self.store, self.number, self.on_squad = store, number, on_squad
        self.reopens, self.on_resume, self.on_review, self.ways = reopens, on_resume, on_review, ways
        self.on_enter = on_enter
        self.sessions, self.trouble = self._listed()
        self.tables: tuple[Table, ...] = ()  #: of the open session
        self.figure: Figure | None = None  #: how it went
        self.strips = LogStrips(store, self._strip_came)
        self.strips.want([one.number for one in self.sessions])
        self.board = Board(self.press)
        self.boards = [self.board]
        self.add_widget(self.board)
        if number is not None:
            self.press(f"session {number}")
        self.lay_out()

    def _strip_came(self) -> None:
        if not self.tables:
            self.lay_out()

    def close_down(self) -> None:
        """Make no more strips."""
        self.strips.close()

    def _listed(self) -> tuple[tuple[Listed, ...], str]:
        try:
            return tuple(one for one in self.store.sessions() if one.begun_ms is not None), ""
        except StoreTrouble as trouble:
            return (), str(trouble)

    def pinned(self) -> Sequence[PageKey]:
        """The way out: of the open session, or of the log."""
        return (CLOSE,)

    def keys(self) -> Sequence[PageKey]:
        """For the list: pages about many sessions; for an open session: review, new bases, and Resume if just ended."""
        ended = self._ended() if self.tables else None
        resume = (PageKey("resume", "Resume session"),) if ended is not None and ended.number == self.number else ()
        review = PageKey("review", "Review", main=True)
        if not self.tables:
            return tuple(PageKey(words, words) for words in self.ways)
        return (review, PageKey("enter", "Enter times"), PageKey("bases", "New bases"), *resume)

    def _ended(self) -> Listed | None:
        try:
            return self.reopens()
        except StoreTrouble:
            return None

    def lay_page(self) -> None:
        """The list, or the open session."""
        gap = self.gap
        column = Column(self.width - 2 * gap, self.cap, self.padding, gap, self.target, x=gap, top=gap)
        if self.tables:
            self._session(column)
        else:
            self._list(column)
        self.board.pos, self.board.size = (self.x, self.bar.top), (self.width, max(1, self.top - self.bar.top))
        self.board.show(column.tiles, self.cap, self.padding)

    def _list(self, column: Column) -> None:
        """A tile for each session, in as many columns as there is room for: what it was, when, and how it went."""
        if not self.sessions:
            column.say(self.trouble or "No sessions yet.", bold=True)
        across = max(1, min(3, int((column.width + self.gap) // (CARD * self.cap))))
        wide, row, pad = (column.width - (across - 1) * self.gap) / across, round(ROW * self.cap), self.inset
        inner, strip = wide - 2 * pad, round(STRIP * self.cap)
        for number, one in enumerate(self.sessions):
            down, right = divmod(number, across)
            high = max(self.target, 2 * row + strip + 1.5 * pad)
            texts = (
                Text((one.title or "Untitled",), (pad, 0.5 * pad, inner, row), True),
                Text(about(one), (pad, 0.5 * pad + row, inner, row), colour="dim"),
            )
            figure, box = self.strips.of(one.number), (pad, 0.7 * pad + 2 * row, inner, strip)
            tiles = Tile(
                f"session {one.number}",
                column.x + right * (wide + self.gap),
                column.top + down * (high + self.gap),
                wide,
                high,
                texts,
                pictures=(Picture(box, figure),) if figure is not None else (),
            )
            column.tiles.append(tiles)

    def _session(self, column: Column) -> None:
        for number, table in enumerate(self.tables):
            column.say(table.heading, bold=True, scale=1.0 if number else TITLE)
            say_table(column, table)
            column.skip(1.5)
            if not number and self.figure is not None:
                self._strip(column, self.figure)

    def _strip(self, column: Column, figure: Figure) -> None:
        """How the session went."""
        lanes = max(1, round(figure.y.low))
        high = round(height_for(lanes, SMALL * self.cap, self.cap, heads=2))
        box = (0, 0, column.width, high)
        column.tiles.append(
            Tile("", column.x, column.top, column.width, high, (), "plain", pictures=(Picture(box, figure, True),))
        )
        column.top += high + self.gap

    def press(self, name: str) -> None:
        """Open a session, or go back."""
        if name == "leave":
            self.back()
            return
        if name in self.ways:
            self.ways[name]()
            return
        if name == "bases" and self.number is not None:
            self.on_squad(self.number)
            return
        if name == "review" and self.number is not None:
            self.on_review(self.number)
            return
        if name == "enter" and self.number is not None:
            self.on_enter(self.number)
            return
        if name == "resume" and self.number is not None:
            self.on_resume(self.number)
            return
        number = int(name.removeprefix("session "))
        try:
            self.tables, self.number = session_tables(self.store.session(number)), number
            self.figure = self.strips.made(number)
        except StoreTrouble as trouble:
            self.tell(str(trouble))
            return
        self.board.scroller.to(0)
        self.lay_out()

    def back(self) -> None:
        """From a session to the list; from the list, close."""
        if self.tables:
            self.tables = ()
            self.board.scroller.to(0)
            self.lay_out()
        else:
            self.close()
