"""The shelf: all plans, each with its totals for the squad, found by any word in them."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from pacer.face.editor.writingpane import WritingPane
from pacer.face.kit.clipboard import UNREADABLE, pasted
from pacer.face.kit.keycodes import writes
from pacer.face.kit.textures import measure
from pacer.face.pages.filechooser import Files
from pacer.face.shelf.pastedpage import PastedPage, Pasting
from pacer.face.shelf.planpage import PlanPage
from pacer.face.shelf.shelftotals import ShelfTotals, totals_words
from pacer.face.shelf.shelftrouble import TellingPage
from pacer.face.tiles.board import Board, Picture, Text, Tile
from pacer.face.tiles.column import ROW
from pacer.face.tiles.figurelegend import key_tile
from pacer.face.tiles.page import CLOSE, PageKey
from pacer.face.tiles.tile import cards_across
from pacer.language import tr
from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook
from pacer.plan.library.plancards import Card, found
from pacer.plan.library.shelf import Shelf
from pacer.plan.library.shelforder import ShelfGroup, shelf_groups
from pacer.plan.text.textbuffer import TextBuffer
from pacer.review.exports.lastexchange import came_on
from pacer.session.timesource import wall_ms
from pacer.show.after.origins import origins, with_origin
from pacer.show.editing.plandates import title_of_today, when_said
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.squad.squad import Squad

STRIP, MOST_STRIP = 0.5, 3.6  #: height of a lane in a plan's strip, and greatest height of the strip


class ShelfPage(TellingPage):
    """The plans of `shelf` for a squad.

    `everybody`: also who is absent today; `swum()`: when each plan was last swum (`Shelf.cards`). `on_run(text)`,
    `on_new(name)` (write a new plan), `on_edit(name)` (change the one whose page is open), `on_next(name)` and
    `on_close()` are what the coach wants next; new plans have `pool`, `booking`.
    """

    def __init__(
        self,
        shelf: Shelf,
        squad: Squad,
        *,
        swum: Callable[[], Mapping[tuple[str, bool], int]] = dict,
        everybody: Squad | None = None,
        pool: str,
        booking: str,
        now_ms: Callable[[], int] = wall_ms,
        book: DrillBook = EMPTY_BOOK,
        theme: Theme = DARK,
        glass: Glass | None = None,
        on_run: Callable[[str], None] = lambda text: None,
        on_new: Callable[[str], None] = lambda name: None,
        on_edit: Callable[[str], None] = lambda name: None,
        on_next: Callable[[str], None] = lambda name: None,
        on_close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(theme, glass, **kwargs)
        self.shelf, self.squad, self.swum, self.everybody = shelf, squad, swum, everybody
        self.pool, self.booking, self.now_ms, self.book = pool, booking, now_ms, book
        self.on_run, self.on_new, self.on_edit, self.on_next, self.on_close = on_run, on_new, on_edit, on_next, on_close
        self.pasting = Pasting(shelf, pool)
        self.files = Files(shelf, aside=self.pasting.take)
        self.away = False
        self.card: PlanPage | PastedPage | None = None
        self.search = WritingPane(
            TextBuffer(), single=True, changed=self.lay_out, leave=self.back, done=self._stop_searching
        )
        self.search.hint = tr("Any word in a plan")
        self.searching = False
        self.board = Board(self.press)
        self.boards = [self.board]
        self.counting = ShelfTotals(squad, self.lay_out)
        self.add_widget(self.board, index=len(self.children))
        self.refresh()
        if shelf.told:
            self.tell(*shelf.told)

    def refresh(self) -> None:
        """Read the folder again: plans may have changed meanwhile."""
        self.cards: tuple[Card, ...] = self.shelf.cards(self.swum(), self.away)
        came = came_on(self.shelf.folder)["plans"]
        self._origins = origins([(card.name, card.title) for card in self.cards], came)
        self.counting.want(self.cards)
        self.lay_out()

    # -- what is shown --------------------------------------------------------------------------------------

    def pinned(self) -> Sequence[PageKey]:
        """The way out: of a search, of the hidden plans, or of the app, where Close is on every page."""
        if self.searching or self.away:
            return (CLOSE._replace(name="all" if self.searching else "shelf"),)
        return (PageKey("leave", tr("Close the app")),)

    def keys(self) -> Sequence[PageKey]:
        """What there is to do."""
        if self.searching:
            hidden = (PageKey("found", tr("Show results")),) if self.covered else ()  # by letters
            return (*hidden, *self.letters_key())
        if self.away:
            return (PageKey("search", tr("Search")),)
        return (
            PageKey("new", tr("New")),
            PageKey("search", tr("Search")),
            PageKey("bring in", tr("Import")),
            PageKey("paste", tr("Paste")),
            PageKey("away", tr("Hidden plans")),
        )

    def lay_page(self) -> None:
        """The plans above the bar, below the search while there is one."""
        top = self.top
        if self.searching:
            high = self.target
            self.search.theme, self.search.glass, self.search.cap = self.theme, self.glass, self.cap
            self.search.pos, self.search.size = (
                (self.x + self.gap, self.top - self.gap - high),
                (self.width - 2 * self.gap, high),
            )
            self.search.lay_out()
            top -= high + self.gap
        self.board.pos, self.board.size = (self.x, self.bar.top), (self.width, max(1, top - self.bar.top))
        self.board.show(self._tiles(), self.cap, self.padding)
        if self.card is not None:
            self.card.theme, self.card.glass = self.theme, self.glass
            self.card.pos, self.card.size = self.pos, self.size

    @property
    def words(self) -> str:
        """What is searched for."""
        return self.search.draft.text if self.searching else ""

    def shown(self) -> tuple[Card, ...]:
        """The cards that the search leaves."""
        return found(self.cards, self.words, self.book) if self.words.strip() else self.cards

    def _tiles(self) -> list[Tile]:
        tiles, top = [], self.gap
        if self.away:
            row = round(ROW * self.cap)
            said = Text(
                (tr("Hidden plans. Tap one to bring it back."), tr("Hidden plans.")),
                (0, 0, self.width - 2 * self.gap, row),
                True,
            )
            tiles.append(Tile("", self.gap, top, self.width - 2 * self.gap, row, (said,), "plain"))
            top = tiles[-1].bottom + 0.5 * self.gap
        cards = self.shown()
        if not cards:
            nothing = (
                tr("No plan has all these words.")
                if self.words
                else tr("Nothing is hidden.")
                if self.away
                else tr("No plans yet. Press New, Import or Paste.")
            )
            box = (0, 0, self.width - 2 * self.gap, self.target)
            return [
                *tiles,
                Tile(
                    "",
                    self.gap,
                    top,
                    self.width - 2 * self.gap,
                    self.target,
                    (Text((nothing,), box, colour="dim", lines=2),),
                    "plain",
                ),
            ]
        groups = (ShelfGroup("", cards),) if self.words.strip() or self.away else self._groups(cards)
        for group in groups:
            if group.heading:
                row = round(ROW * self.cap)
                box = (0, 0, self.width - 2 * self.gap, row)
                words = Text((group.heading,), box, True)
                tiles.append(Tile("", self.gap, top, box[2], row, (words,), "plain", heading=True))
                top = tiles[-1].bottom
            tiles += self._grid(group.cards, top)
            top = max(tile.bottom for tile in tiles) + self.gap
        keys = [key for card in cards if (figure := self.counting.strip_of(card)) for key in figure.keys]
        if keys:
            tiles.append(key_tile(keys, self.gap, top, self.width - 2 * self.gap, self.cap))
            top = tiles[-1].bottom
        tiles.append(Tile("", 0, top, self.width, 1, (), "plain"))
        return tiles

    def _groups(self, cards: Sequence[Card]) -> Sequence[ShelfGroup]:
        return shelf_groups(cards, self.now_ms(), self.shelf.as_it_came)

    def _grid(self, cards: Sequence[Card], top: float) -> list[Tile]:
        """Cards side by side in as many columns as there is room for, rows of one height."""
        inner = self.width - 2 * self.gap
        across = cards_across(inner + self.gap, self.cap)
        wide, made = (inner - (across - 1) * self.gap) / across, []
        for first in range(0, len(cards), across):
            row = [
                self._card_tile(card, self.gap + place * (wide + self.gap), top, wide)
                for place, card in enumerate(cards[first : first + across])
            ]
            high = max(tile.height for tile in row)
            made += [tile._replace(height=high) for tile in row]
            top += high + self.gap
        return made

    def _card_tile(self, card: Card, x: float, top: float, width: float) -> Tile:
        """A plan: its title, when it is planned or was swum, its focus and totals, and its strip."""
        row, pad = round(ROW * self.cap), self.inset
        inner = width - 2 * pad
        counted, figure = self.counting.of(card), self.counting.strip_of(card)
        sample = card.swum_ms is None and not card.planned and self.shelf.as_it_came(card)
        said = (tr("sample plan"), tr("sample")) if sample else when_said(card, self.now_ms())
        right = max(measure(said[-1], self.cap), min(measure(said[0], self.cap), 0.4 * inner)) + 2
        about = with_origin(self._origins.get(card.name, ()), card.focus, card.pool)
        ways, bold, colour = totals_words(card, counted, self.shelf.as_it_came(card))
        down = 0.5 * pad
        texts = [
            Text((card.title,), (pad, down, inner - right - pad, row), True),
            Text(said, (width - pad - right, down, right, row), colour="dim", across="right"),
            Text(about, (pad, down + row, inner, row), colour="dim"),
            Text(ways, (pad, down + 2 * row, inner, row), bold, colour),
        ]
        down += 3 * row + 0.3 * pad
        lanes = len(self.squad.lanes)
        high = round(min(MOST_STRIP, STRIP * lanes) * self.cap)
        pictures = (Picture((pad, down, inner, high), figure),) if figure is not None else ()
        whole = max(self.target, down + (high if card.plan is not None else 0) + pad)
        return Tile(f"plan {card.name}", x, top, width, whole, tuple(texts), "key", True, (), pictures)

    # -- actions ------------------------------------------------------------------------------------------------

    def do(self, name: str) -> None:
        """What the tile or key of that name is for. Raises ShelfTrouble."""
        if name.startswith("plan "):
            self.open_card(name.removeprefix("plan "))
        elif name == "new":
            self.on_new(self.shelf.new(self.pool, self.booking, title_of_today(self.now_ms())).name)
        elif name == "search":
            self._search()
        elif name == "letters":
            self.search.focus = True
            self.show_letters(self.search)
        elif name == "found":
            self._stop_searching()
        elif name == "all":
            self.end_search()
        elif name == "bring in":
            self.files.bring_in(self.brought)
        elif name == "paste":
            self._paste()
        elif name in ("away", "shelf"):
            self.away = name == "away"
            self.refresh()
        elif name == "leave":
            self.close_down()
            self.on_close()

    def back(self) -> None:
        """Escape: first the card, the search, the hidden plans, then the page."""
        if self.card is not None:
            self.card.back()
        elif self.searching:
            self.end_search()
        elif self.away:
            self.press("shelf")
        else:
            self.press("leave")

    def close_down(self) -> None:
        """Stop working things out."""
        self.search.focus = False
        self.counting.close()

    def open_card(self, name: str) -> None:
        """Show one plan by itself."""
        card = next((card for card in self.cards if card.name == name), None)
        page = PlanPage(
            self.shelf,
            name,
            self.squad,
            away=self.away,
            everybody=self.everybody,
            swum_ms=card.swum_ms if card else None,
            now_ms=self.now_ms,
            theme=self.theme,
            glass=self.glass,
            on_run=self.on_run,
            on_write=self.on_edit,
            on_next=self.on_next,
            on_close=self.close_card,
        )
        self.search.focus = False
        self.card = page
        self.add_widget(page)
        self.lay_out()

    def close_card(self) -> None:
        """Back to all plans."""
        if self.card is not None:
            self.remove_widget(self.card)
            self.card = None
        self.refresh()
        if self.pasting.waiting:
            self._show_pasted()

    def _search(self) -> None:
        self.searching = True
        if self.search.parent is None:
            self.add_widget(self.search)
        self.lay_out()
        self.search.focus = True
        self.wait_for_keyboard()

    def _stop_searching(self) -> None:
        """Keep the search; hide the keyboard."""
        self.search.focus = False
        if not self.words.strip():
            self.end_search()

    def end_search(self) -> None:
        """Show all plans again."""
        self.search.focus = False
        self.search.draft.choose_all()
        self.search.draft.write("")
        self.remove_widget(self.search)
        self.searching = False
        self.lay_out()

    def brought(self, names: tuple[str, ...], said: str) -> None:
        """Files were put on the shelf; say what there is to say."""
        self.refresh()
        if said:
            self.tell(said)
        if self.pasting.waiting:
            self._show_pasted()
        elif len(names) == 1 and not said:
            self.open_card(names[0])

    def _paste(self) -> None:
        text = pasted()
        if text is None:
            self.tell(*UNREADABLE)
            return
        if not text.strip():
            self.tell(tr("Nothing to paste: copy some text first."), tr("Nothing to paste."))
            return
        data = text.encode("utf-8", "replace")
        if self.pasting.take(data, ""):
            self._show_pasted()
            return
        card = self.shelf.bring_in(data, tr("from the clipboard"))
        self.refresh()
        self.open_card(card.name)

    def _show_pasted(self) -> None:
        """Show the next page that is not a plan yet, over the shelf."""
        self.card = self.pasting.following(self.theme, self.glass, self._kept, self.close_card)
        self.add_widget(self.card)
        self.lay_out()

    def _kept(self, name: str) -> None:
        """A page's plan is on the shelf: show it, after the last of several."""
        last = not self.pasting.waiting
        self.close_card()
        if last:
            self.open_card(name)

    def _on_key(self, window, code: int, scancode: int = 0, text: str = "", modifiers: Sequence[str] = ()) -> bool:
        """While a card is open the keys are its own; a letter begins a search and is its first letter."""
        if self.card is not None or self.get_parent_window() is None:
            return False
        if writes(text, modifiers) and not self.searching and self.written_in() is None:
            self._search()
            return True
        return super()._on_key(window, code, scancode, text, modifiers)
