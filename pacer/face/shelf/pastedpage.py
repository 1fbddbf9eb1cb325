"""A page that was pasted or imported: its lines beside how they were understood, and open questions."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pacer.face.kit.wrapasdrawn import rows_of
from pacer.face.tiles.board import Board, Tile
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.page import CLOSE, Page, PageKey
from pacer.language import tr, tr_n
from pacer.plan.filetext import text_from_bytes
from pacer.plan.layout.pastedline import Kind
from pacer.plan.library.shelf import Shelf, ShelfTrouble
from pacer.plan.pasted.linequestions import Question
from pacer.plan.pasted.understood import Line, Understood, understand
from pacer.plan.problem import Unreadable
from pacer.plan.sentence import capital
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.wording.commonkeys import SAVE, UNDO

WRITTEN = 0.42  #: share of the width for the page's own lines


class PastedPage(Page):
    """`page` is what was understood so far.

    `on_save(text)` gets the plan's text; `on_close()` is called if it is not saved.
    """

    def __init__(
        self,
        page: Understood,
        *,
        theme: Theme = DARK,
        glass: Glass | None = None,
        on_save: Callable[[str], None] = lambda text: None,
        on_close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(theme, glass, close=on_close, over=True, **kwargs)
        self.page, self.on_save = page, on_save
        self.before: list[Understood] = []  #: the page before each answer
        self._asked: dict[int, float] = {}  #: how far down each question is
        self.board = Board(self.press)
        self.boards = [self.board]
        self.add_widget(self.board, index=len(self.children))

    # -- what the bar shows -------------------------------------------------------------------------------

    def pinned(self) -> Sequence[PageKey]:
        """The way out, without saving."""
        return (CLOSE,)

    def keys(self) -> Sequence[PageKey]:
        """What there is to do."""
        asked = bool(self.page.questions)
        return (
            PageKey("save", SAVE, main=not asked),
            *((PageKey("next", tr("Next question"), main=True),) if asked else ()),
            *((PageKey("undo", UNDO),) if self.before else ()),
        )

    def lay_page(self) -> None:
        """The lines, from the bar to the top of the page."""
        self.board.theme, self.board.glass = self.theme, self.glass
        self.fill_room(self.board)
        self.board.show(self._tiles(), self.cap, self.padding)

    @property
    def summary(self) -> str:
        """How much of the page is understood."""
        count = len(self.page.questions)
        if count:
            return tr_n("{n} question: tap an answer", "{n} questions: tap an answer", count)
        differ = sum(1 for line in self.page.lines if line.differs)
        if not differ:
            return tr("All lines understood")
        return tr_n(
            "All lines understood, {n} total doesn't add up", "All lines understood, {n} totals don't add up", differ
        )

    def _tiles(self) -> list[Tile]:
        column = Column(
            self.width - 2 * self.gap, self.cap, self.padding, self.gap, self.target, x=self.gap, top=self.gap
        )
        column.say(self.summary, bold=True, colour="warn" if self.page.questions else "ink")
        column.skip(0.5)
        self._asked = {}
        for place, line in enumerate(self.page.lines):
            if line.written or line.question or line.understood:
                self._line(column, line)
            if line.question:
                self._asked[place] = column.top
                self._ask(column, place, line.question)
            column.skip(0.3)
        column.tiles.append(Tile("", 0, column.top, self.width, 0.5 * self.gap, (), "plain"))
        return column.tiles

    def _line(self, column: Column, line: Line) -> None:
        """What is written, beside it how it was understood and what else there is to say about it."""
        split = round(column.width * WRITTEN)
        written = self._side(column, 0, split)
        written.say(" ".join(line.written.split()), colour="dim")
        top = column.top
        said = []
        for text in line.understood:
            remark = text.lstrip().startswith("#")
            bold = line.kind in (Kind.SECTION, Kind.SET) and not text.startswith(" ") and not remark
            note = tr("Comment: {text}", text=text.lstrip().removeprefix("# ")) if remark else text
            said.append((note, "dim" if remark else "ink", bold))
        if line.told:
            said.append((capital(line.told), "warn" if line.differs else "dim", False))
        for text, colour, bold in said:
            inset = split + self.gap + round(0.6 * self.cap * (len(text) - len(text.lstrip())))
            beside = self._side(column, inset, column.width - inset, top)
            beside.say(text.strip(), colour=colour, bold=bold)
            top = beside.top
        column.top = max(written.top, top)

    def _side(self, column: Column, inset: float, width: float, top: float | None = None) -> Column:
        """A part of the column, `inset` from its left edge; its tiles are the column's."""
        side = Column(
            width,
            self.cap,
            self.padding,
            self.gap,
            self.target,
            x=column.x + inset,
            top=column.top if top is None else top,
        )
        side.tiles = column.tiles
        return side

    def _ask(self, column: Column, place: int, question: Question) -> None:
        """The question, with a key for each answer."""
        column.say(capital(question.text), colour="warn", bold=True)
        if more := len(self.page.like(place)):
            column.say(tr_n("Answers {n} more line like it", "Answers {n} more lines like it", more), colour="dim")
        column.skip(0.3)
        cells = [Cell(f"answer {place} {n}", (answer.label,)) for n, answer in enumerate(question.answers)]
        if all(column.least(cell) <= column.width for cell in cells):
            column.flow(*cells)
        else:
            wide = column.width - 2 * self.padding
            for cell in cells:
                column.row(cell._replace(lines=len(rows_of(cell.ways[0], wide, self.cap, True))))

    # -- actions ------------------------------------------------------------------------------------------

    def press(self, name: str) -> None:
        """Do what a tile or key is for."""
        if name == "save":
            try:
                self.on_save(self.page.text)
            except ShelfTrouble as error:
                self.tell(str(error))  # the page stays, with all its answers
        elif name == "leave":
            self.close()
        elif name == "undo" and self.before:
            self.page = self.before.pop()
            self.lay_out()
        elif name == "next":
            self._show_next()
        elif name.startswith("answer "):
            _, place, choice = name.split()
            self.before.append(self.page)
            self.page = self.page.answered(int(place), int(choice))
            self.lay_out()
            if self.page.questions and not self._any_seen():
                self._show_next()

    def _any_seen(self) -> bool:
        """Whether a question is in view, with the first of its answers."""
        top = self.board.scroller.offset
        bottom = top + self.board.height - 2.5 * self.target
        return any(top <= asked < bottom for asked in self._asked.values())

    def _show_next(self) -> None:
        """Move to the next question below, after the last one to the first."""
        seen = self.board.scroller.offset + self.gap
        tops = [self._asked[place] for place in self.page.questions]
        top = next((top for top in tops if top - 2 * self.target > seen), tops[0])
        self.board.scroller.to(top - 2 * self.target)


class Pasting:
    """Pages that are not plans yet, shown one after the other before they go on `shelf`.

    `pool` is the likeliest. `take` keeps a page, `following` gives the view of the next.
    """

    def __init__(self, shelf: Shelf, pool: str):
        self.shelf, self.pool = shelf, pool
        self.waiting: list[tuple[str, Understood]] = []

    def take(self, data: bytes, name: str) -> bool:
        """Keep the content of a file or the clipboard to show it; False for a plan, and for what is neither."""
        try:
            page = understand(text_from_bytes(data), self.shelf.gear, self.pool)
        except Unreadable:
            return False  # the shelf says why
        if page.as_written or not page.swum:
            return False
        self.waiting.append((name, page))
        return True

    def following(
        self, theme: Theme, glass: Glass, kept: Callable[[str], None], close: Callable[[], None]
    ) -> PastedPage:
        """The view of the next page; `kept` is told under which name it went on the shelf."""
        name, page = self.waiting.pop(0)

        def save(text: str) -> None:
            kept(self.shelf.bring_in(text.encode("utf-8", "replace"), name).name)

        return PastedPage(page, theme=theme, glass=glass, on_save=save, on_close=close)
