"""A series at a glance: when and how much each focus and drill was swum, what is due, who missed what."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from pacer.face.review.loading import Loading
from pacer.face.review.seriesgrid import columns_for, columns_of, put_grid
from pacer.face.tiles.board import Board, Tile
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.page import CLOSE, Page, PageKey
from pacer.face.tiles.table import say_table
from pacer.language import tr
from pacer.review.logtables import Table
from pacer.review.series.seriestext import due_text, missed_rows
from pacer.review.series.visited import Visited
from pacer.show.after.seriesview import SeriesView
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.measure.typesizes import TITLE


class SeriesPage(Page):
    """Every series of `view`, one at a time; the first shown is the one with a page called `title`.

    `on_review(number)` opens a session, `on_next(number)` the next page after one, `on_close()` closes the page.
    """

    def __init__(
        self,
        view: SeriesView,
        today: date,
        *,
        title: str = "",
        theme: Theme = DARK,
        glass: Glass | None = None,
        on_review: Callable[[int], None] = lambda number: None,
        on_next: Callable[[int], None] = lambda number: None,
        on_close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(theme, glass, on_close, **kwargs)
        self.view, self.today, self.title = view, today, title
        self.on_review, self.on_next = on_review, on_next
        self.chosen = ""  #: the name of the series on show
        self.squad: str | None = None
        self.opened = ""  #: the cell or session shown in full
        self.pages_back = 0  #: how many columns further back than the last ones
        self.loading = Loading(self.view.read_on, self.lay_out)
        self.board = Board(self.press)
        self.boards = [self.board]
        self.add_widget(self.board)
        self.loading.begin()
        self.lay_out()

    def close_down(self) -> None:
        """Stop reading sessions."""
        self.loading.close()

    @property
    def visited(self) -> Visited | None:
        """The series on show; None while there is none."""
        every = self.view.series
        if not every:
            return None
        wanted = self.title.casefold()
        there = [one for one in every if one.name == self.chosen] or [one for one in every if wanted in one.keys]
        swum = [one for one in every if any(page.first_ms is not None for page in one.pages)]
        return self.view.visited((there or swum[-1:] or list(every))[0], self.squad)

    # -- what is shown ----------------------------------------------------------------------------------------

    def pinned(self) -> Sequence[PageKey]:
        """The way out."""
        return (CLOSE,)

    def keys(self) -> Sequence[PageKey]:
        """What can be done with the series, or with the touched cell."""
        made = [PageKey("next", tr("Draft next plan"), self._has_sessions(), main=True)]
        if self._session() is not None:
            made.append(PageKey("review", tr("Review")))
        if self._spare():
            made += [
                PageKey("earlier", tr("Older"), self.pages_back < self._spare()),
                PageKey("later", tr("Newer"), self.pages_back > 0),
            ]
        return tuple(made)

    def _has_sessions(self) -> bool:
        visited = self.visited
        return visited is not None and bool(visited.sessions)

    def _session(self) -> int | None:
        """The session that was touched, or of the touched cell."""
        return int(self.opened.rsplit(" ", 1)[-1]) if self.opened else None

    def _column(self) -> Column:
        gap = self.gap
        return Column(
            self.width - 2 * gap, self.cap, self.padding, gap, self.target, x=gap, top=gap, room=self.board.height
        )

    def _spare(self) -> int:
        """How many columns there is no room for."""
        visited = self.visited
        return 0 if visited is None else max(0, len(columns_of(visited)) - columns_for(self._column()))

    def lay_page(self) -> None:
        """The series above the bar."""
        self.fill_room(self.board)
        self.board.show(self._tiles(), self.cap, self.padding)

    def _tiles(self) -> list[Tile]:
        column, visited = self._column(), self.visited
        self.loading.say(column)
        if visited is None:
            if self.loading.unread == 0:
                column.say(tr("No series yet."), bold=True)
                column.say(
                    tr("To start a series, write the same focus in several plans, or “revisits: …” in the later one."),
                    colour="dim",
                )
            return column.tiles
        self._choices(column, visited)
        said = f"{visited.series.name}, {visited.squad}" if visited.squad else visited.series.name
        column.say(said, bold=True, scale=TITLE, most=2)
        if visited.sessions:
            column.say(due_text(visited, self.today), bold=bool(visited.due_rows(self.today)))
        else:
            column.say(tr("None of these plans has been swum yet. After a session, pacer drafts the next plan."))
        column.skip(0.8)
        if visited.rows:
            every, room = columns_of(visited), columns_for(column)
            end = len(every) - min(self.pages_back, self._spare())
            put_grid(column, visited, every[max(0, end - room) : end], self.today, self.opened)
            column.skip(0.6)
            if visited.sessions:
                column.say(
                    tr("A series has one focus. Distances: the average per swimmer. Tap one for lanes and names."),
                    colour="dim",
                )
        column.skip(1.2)
        if missed := missed_rows(visited):
            column.say(tr("Missed last time"), bold=True)
            say_table(column, Table("", missed, (tr("swimmer"), tr("what"))))
            column.skip(1.2)
        column.say(f"{self.view.gaps.text} {tr('Change it in Settings.')}", colour="dim")
        return column.tiles

    def _choices(self, column: Column, visited: Visited) -> None:
        """Which series and which squad, if there are several."""
        if len(self.view.series) > 1:
            column.flow(
                *(
                    Cell(f"series {one.name}", (one.name,), look="lit" if one == visited.series else "key")
                    for one in self.view.series
                )
            )
        if len(visited.squads) > 1:
            column.flow(
                *(
                    Cell(f"squad {name}", (name or tr("No squad"),), look="lit" if name == visited.squad else "key")
                    for name in visited.squads
                )
            )

    # -- actions -------------------------------------------------------------------------------------------------

    def press(self, name: str) -> None:
        """Do what a tile or key is for."""
        what, _, rest = name.partition(" ")
        visited = self.visited
        match what:
            case "leave":
                self.back()
                return
            case "series":
                self.chosen, self.squad, self.opened, self.pages_back = rest, None, "", 0
            case "squad":
                self.squad, self.opened, self.pages_back = rest, "", 0
            case "cell" | "session":
                self.opened = "" if self.opened == name else name
            case "earlier" | "later":
                step = max(1, columns_for(self._column()) - 1)
                back = self.pages_back + (step if what == "earlier" else -step)
                self.pages_back, self.opened = max(0, min(self._spare(), back)), ""
            case "review":
                number = self._session()
                if number is not None:
                    self.on_review(number)
                return
            case "next":
                if visited is None or not visited.sessions:
                    self.tell(tr("Swim a session of this series first."), tr("nothing swum yet"))
                else:
                    self.on_next(visited.sessions[-1].number)
                return
        self.lay_out()
        if self.opened:
            self._bring_told()

    def _bring_told(self) -> None:
        """Scroll to the details of the touched cell: the first text below it."""
        tiles = self.board.tiles
        place = next((at for at, tile in enumerate(tiles) if tile.name == self.opened), len(tiles))
        told = next((tile for tile in tiles[place:] if len(tile.texts) == 1 and tile.x <= self.gap), None)
        if told is not None:
            self.board.bring(told)

    def back(self) -> None:
        """From the touched cell to the whole; from there close."""
        if self.opened:
            self.opened = ""
            self.lay_out()
        else:
            self.close()
