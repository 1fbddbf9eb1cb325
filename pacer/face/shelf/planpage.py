"""One plan of the shelf: its contents and totals, and what can be done with it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from pacer.face.editor.writingpane import WritingPane
from pacer.face.kit.wrapasdrawn import rows_of
from pacer.face.pages.filechooser import OUT, Files
from pacer.face.pages.planprinting import Printing
from pacer.face.shelf.shelftrouble import TellingPage
from pacer.face.tiles.board import Board, Picture, Text, Tile
from pacer.face.tiles.column import ROW, Cell, Column
from pacer.face.tiles.letters import Letters
from pacer.face.tiles.page import CLOSE, PageKey
from pacer.face.tiles.questionlayout import aside, asked
from pacer.face.tiles.tile import STRIP_LANE
from pacer.face.tiles.totalsboard import totals_tiles
from pacer.language import tr, tr_n
from pacer.plan.filetext import lines_of
from pacer.plan.library.plancards import Card
from pacer.plan.library.shelf import Shelf
from pacer.plan.model import POOLS
from pacer.plan.notation.planreader import pool_from_text
from pacer.plan.problem import Unreadable
from pacer.plan.text.linename import line_said
from pacer.plan.text.standardform import write_plan
from pacer.plan.text.textbuffer import TextBuffer
from pacer.session.timesource import wall_ms
from pacer.shippedfiles import DRILLS
from pacer.show.after.origins import plan_origin
from pacer.show.after.tabletexports import has_a_name, rename_plan
from pacer.show.drive.preparation import stopped_ways, unread_ways
from pacer.show.editing.linenotes import alike_once
from pacer.show.editing.plandates import when_said
from pacer.show.figures.drawing import height_for
from pacer.show.figures.figure import Figure
from pacer.show.figures.planstrip import strip
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.measure.typesizes import SMALL, TITLE
from pacer.show.wording.commonkeys import CANCEL, SAVE
from pacer.squad.lanenumbers import lane_numbers
from pacer.squad.register.drillfile import DrillFile
from pacer.squad.squad import Squad
from pacer.timeline.rewrite.otherpool import for_pool
from pacer.timeline.summary.totals import Totals, totals

ERRORS_SHOWN = 3  #: errors shown in full
TEXT_SHARE = 0.5  #: share of the width for the text, if it is beside the rest


class PlanPage(TellingPage):
    """The plan `name` of `shelf`; `away` if it is hidden. The register has `everybody`, also who is absent today.

    `on_run(text)`, `on_write(name)`, `on_next(name)` (the next page of its series) and `on_close()` are what the coach
    wants next; `on_close` is also called when the plan has left the shelf.
    """

    def __init__(
        self,
        shelf: Shelf,
        name: str,
        squad: Squad,
        *,
        away: bool = False,
        everybody: Squad | None = None,
        swum_ms: int | None = None,
        now_ms: Callable[[], int] = wall_ms,
        theme: Theme = DARK,
        glass: Glass | None = None,
        on_run: Callable[[str], None] = lambda text: None,
        on_write: Callable[[str], None] = lambda name: None,
        on_next: Callable[[str], None] = lambda name: None,
        on_close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(theme, glass, over=True, **kwargs)
        self.everybody = everybody or squad
        self.shelf, self.squad, self.away, self.swum_ms, self.now_ms = shelf, squad, away, swum_ms, now_ms
        self.on_run, self.on_write, self.on_next, self.on_close = on_run, on_write, on_next, on_close
        self.files = Files(shelf)
        self.printing: Printing | None = None
        self.board = Board(self.press)
        self.boards = [self.board]
        self.asked = ""  #: the question: title, pool; alter for a plan rewritten for another pool
        self.field: WritingPane | None = None
        self.letters = Letters()
        self._altered, self._named = "", False
        self._alterations: Sequence = ()
        self.add_widget(self.board, index=len(self.children))
        self.read(name)

    def read(self, name: str) -> None:
        """Read a plan's card again."""
        self.card: Card = replace(self.shelf.card(name, self.away), swum_ms=self.swum_ms)
        self.origin = plan_origin(self.shelf.folder, self.card.name)
        plan = self.card.plan
        self.totals: Totals | None = None if plan is None else totals(plan, self.squad)
        timeline = None if self.totals is None else self.totals.timeline
        self.figure: Figure | None = None if timeline is None else strip(timeline)
        self.lay_out()

    # -- what is shown --------------------------------------------------------------------------------------

    @property
    def asks(self) -> bool:
        """Whether a question is there instead of the plan."""
        return bool(self.asked)

    def pinned(self) -> Sequence[PageKey]:
        """The way out."""
        return () if self.asked else (CLOSE,)

    def keys(self) -> Sequence[PageKey]:
        """What can be done."""
        if self.asked == "alter":
            return PageKey("keep", tr("Save changes"), main=True), PageKey("leave it", CANCEL)
        if self.asked:
            keep = tr("Rename") if self.asked == "title" else SAVE
            return PageKey("keep", keep, main=True), PageKey("leave it", CANCEL)
        if self.away:
            return (PageKey("bring back", tr("Show again"), main=True),)
        fine = self.card.plan is not None and not (self.totals and self.totals.stops)
        return (
            PageKey("run", tr("Get ready"), fine, main=True),
            PageKey("write", tr("Edit")),
            PageKey("next", tr("Draft next plan"), self.card.plan is not None),
            PageKey("copy", tr("Duplicate")),
            PageKey("title", tr("Rename")),
            PageKey("pool", tr("Change pool"), self.card.plan is not None),
            PageKey("give", tr("Export")),
            PageKey("print", tr("PDF sheets"), fine),
            PageKey("put away", tr("Hide")),
        )

    def lay_page(self) -> None:
        """The card, or a question with the bar below it."""
        tiles = {
            "": self._card_tiles,
            "title": self._question_tiles,
            "pool": self._question_tiles,
            "alter": self._altered_tiles,
        }[self.asked]()
        if self.field is not None:
            self.draw_up_bar(max(tile.bottom for tile in tiles) + self.gap)
        elif self.asked:
            tiles = list(asked(self, tiles))
        self.board.pos, self.board.size = (self.x, self.bar.top), (self.width, self.top - self.bar.top)
        self.board.show(tiles, self.cap, self.padding)
        if self.field is not None:
            self.field.theme, self.field.glass, self.field.cap = self.theme, self.glass, self.cap
            high = self.target
            size = (self.width - 2 * self.gap, high)
            self.field.pos = (self.x + self.gap, self.top - self.gap - round(ROW * self.cap) - high)
            self.field.size = size
            self.field.lay_out()

    def _line(
        self,
        text: str,
        top: float,
        bold: bool = False,
        colour: str = "ink",
        scale: float = 1.0,
        x: float | None = None,
        width: float = 0.0,
    ) -> Tile:
        inner = width or self.width - 2 * self.gap
        rows = rows_of(text, inner, self.cap * scale, bold)
        high = len(rows) * round(ROW * self.cap * scale)
        return Tile(
            "",
            self.gap if x is None else x,
            top,
            inner,
            high,
            (Text((text,), (0, 0, inner, high), bold, colour, up="top", lines=len(rows), cap=scale),),
            "plain",
            heading=bold,
        )

    def _card_tiles(self) -> list[Tile]:
        """The plan's title and strip; then its text, and beside or below it what its lanes swim and the checks."""
        card, gap, inner = self.card, self.gap, self.width - 2 * self.gap
        tiles, written = [], lines_of(card.text)
        top = gap
        about = ", ".join(filter(None, (card.focus, card.pool, when_said(card, self.now_ms())[0])))
        head = ((card.title, True, "ink", TITLE), (about, False, "dim", 1.0), (self.origin, False, "dim", 1.0))
        for text, bold, colour, scale in head:
            if text:
                tiles.append(self._line(text, top, bold, colour, scale))
                top = tiles[-1].bottom
        if self.figure is not None:
            rows = len(self.squad.lanes)
            high = round(height_for(rows, SMALL * self.cap, STRIP_LANE * self.cap))
            box = (0, 0, inner, high)
            tiles.append(
                Tile("", gap, top + 0.3 * gap, inner, high, (), "plain", pictures=(Picture(box, self.figure, True),))
            )
            top = tiles[-1].bottom + gap
        if self.upright or self.figure is None:
            top = self._facts(tiles, gap, top, inner, written) + gap
            self._text(tiles, gap, top, inner, written)
        else:
            left = round(TEXT_SHARE * inner)
            self._text(tiles, gap, top, left, written)
            self._facts(tiles, gap + left + 2 * gap, top, inner - left - 2 * gap, written)
        tiles.append(Tile("", 0, max(tile.bottom for tile in tiles) + 0.5 * gap, self.width, 1, (), "plain"))
        return tiles

    def _text(self, tiles: list[Tile], x: float, top: float, width: float, written: Sequence[str]) -> None:
        """The plan as written, without its header's title and comments; indented as on its page."""
        for text in written:
            said = text.strip()
            if not said:
                top += 0.4 * self.cap
            elif not said.startswith(("#", "title:")):
                head = not text[:1].isspace()
                indent = 0.0 if head else min(3, (len(text) - len(text.lstrip())) // 2) * self.cap
                bold = head and ":" not in said.split(",")[0]
                colour = "dim" if head and not bold else "ink"
                tiles.append(self._line(said, top, bold, colour, x=x + indent, width=width - indent))
                top = tiles[-1].bottom

    def _facts(self, tiles: list[Tile], x: float, top: float, width: float, written: Sequence[str]) -> float:
        """What can't be read, or the totals and what to check."""
        card = self.card
        said = [
            (f"{line_said(written, problem.line)}: {problem.message}", "warn")
            for problem in card.problems[:ERRORS_SHOWN]
        ]
        if len(card.problems) > ERRORS_SHOWN:
            said.append((tr_n("And {n} more error", "And {n} more errors", len(card.problems) - ERRORS_SHOWN), "warn"))
        if self.totals is not None:
            tiles += totals_tiles(self.totals, 0, x, width, self.cap, top=top)
            top = tiles[-1].bottom + self.gap
            for each, message in alike_once(self.totals.findings):
                lanes = lane_numbers(each.lanes, len(self.squad.lanes))
                place = line_said(written, each.line) if each.line else tr("Whole session")
                head = f"{place}, {lanes}: " if lanes else f"{place}: "
                said.append((head + message, "warn" if each.severity <= 2 else "dim"))
        for text, colour in said:
            tiles.append(self._line(text, top, False, colour, x=x, width=width))
            top = tiles[-1].bottom + 0.4 * self.gap
        return top

    def _question_tiles(self) -> list[Tile]:
        asked = {"title": tr("What is the plan called?"), "pool": tr("How long is the pool?")}[self.asked]
        line = self._line(asked, self.gap, True)
        column = Column(
            self.width - 2 * self.gap,
            self.cap,
            self.padding,
            self.gap,
            self.target,
            x=self.gap,
            top=line.bottom + self.target + 2 * self.gap,
        )
        if self.asked == "pool":
            column.row(*(Cell(f"pool {pool}", (pool,)) for pool in POOLS))
        if self.letters_wanted:
            self.letters.put(column)
        return [line, *column.tiles]

    def _altered_tiles(self) -> list[Tile]:
        written, side = lines_of(self.card.text), self.gap + aside(self)
        wide = self.width - 2 * side
        tiles, top = [self._line(tr("Changes for this pool:"), self.gap, True, x=side, width=wide)], 0.0
        top = tiles[0].bottom + self.gap
        for each in self._alterations:
            said = tr("{now} instead of {was} ({why})", was=each.was, now=each.now, why=each.why)
            place = f"{line_said(written, each.line)}: " if each.line else ""
            tiles.append(self._line(f"{place}{said}", top, x=side, width=wide))
            top = tiles[-1].bottom + 0.5 * self.gap
        return tiles

    # -- actions -----------------------------------------------------------------------------------------------

    def do(self, name: str) -> None:
        """What the tile or key of that name is for. Raises ShelfTrouble."""
        shelf, card = self.shelf, self.card
        if self.field is not None and self.letters.press(name, self.field):
            self.lay_out()
        elif name.startswith("pool "):
            self._ask_pool(name.removeprefix("pool "))
        elif name == "run":
            self._run()
        elif name == "write":
            self.on_write(card.name)
        elif name == "next":
            if card.plan is None:
                self.tell(tr("Fix the errors first"))
            else:
                self.on_next(card.name)
        elif name == "copy":
            self.on_write(shelf.copy(card.name).name)
        elif name in ("title", "pool"):
            if name == "pool" and card.plan is None:
                self.tell(tr("Fix the errors first"))
            else:
                self._ask(name, card.title if name == "title" else card.pool)
        elif name == "keep":
            self._answer()
        elif name == "leave it":
            self._ask("")
        elif name == "give":
            self._give()
        elif name == "print":
            self._print()
        elif name == "put away":
            shelf.put_away(card.name)
            self.on_close()
        elif name == "bring back":
            shelf.bring_back(card.name)
            self.on_close()
        elif name == "leave":
            self.on_close()

    def back(self) -> None:
        """Escape: the question first, then the card."""
        if self.asked:
            self._ask("")
        else:
            self.on_close()

    def _give(self) -> None:
        """Export the plan; if a swimmer's name is in it, only when the key is pressed again."""
        if not self._named and has_a_name(self.shelf.folder, self.card.text):
            self._named = True
            self.tell(tr("A swimmer's name is in this plan. To export it with the name, press Export again."))
        else:
            self.files.give_out(self.card.name, lambda said: self.tell(said) if said else None)

    def _print(self) -> None:
        """Write the coach's sheet, the lanes' sheets and the register as PDF files."""
        if self.card.plan is None:
            return
        if self.printing is None:
            self.printing = Printing(self.files.folder / OUT)
        book = DrillFile(self.shelf.folder, DRILLS).book
        self.tell(tr("Making the sheets …"))
        self.printing.write(self.card.plan, self.squad, book, self.everybody, self.tell)

    def _run(self) -> None:
        if self.card.problems:
            self.tell(*unread_ways(lines_of(self.card.text), self.card.problems[0]))
        elif self.totals is not None and self.totals.stops:
            self.tell(*stopped_ways(self.totals.findings[0]))
        else:
            self.on_run(self.card.text)

    def _ask(self, what: str, text: str = "") -> None:
        if self.field is not None:
            self.field.focus = False
            self.remove_widget(self.field)
            self.field = None
        self.asked = what
        if what in ("title", "pool"):
            draft = TextBuffer(text)
            self.letters = Letters("capitals" if what == "title" else "marks")
            self.field = WritingPane(draft, single=True, done=lambda: self.press("keep"), leave=self.back)
            self.add_widget(self.field)
            draft.choose_all()
        self.lay_out()
        if self.field is not None:
            self.field.focus = True
            self.wait_for_keyboard()

    def _answer(self) -> None:
        typed = self.field.draft.text if self.field is not None else ""
        if self.asked == "title":
            name = rename_plan(self.shelf, self.card.name, typed).name
            self._ask("")
            self.read(name)
        elif self.asked == "pool":
            self._ask_pool(typed)
        elif self.asked == "alter":
            self.shelf.open(self.card.name)
            self.shelf.keep(self.card.name, self._altered)
            self._ask("")
            self.read(self.card.name)

    def _ask_pool(self, text: str) -> None:
        try:
            pool = pool_from_text(text)
        except Unreadable as error:
            problem = error.problems[0]
            self.tell(f"{problem.message}; {problem.hint}", problem.message)
            return
        assert self.card.plan is not None, "only a plan that can be read is rewritten"
        plan, self._alterations = for_pool(self.card.plan, pool)
        if not self._alterations:
            self.tell(tr("the pool is already {pool}", pool=pool))
            return
        self._altered = write_plan(plan)
        self._ask("alter")
