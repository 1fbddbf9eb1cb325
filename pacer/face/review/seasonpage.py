"""The season: a calendar of what was swum and is planned, totals by week and month, base paces over time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from pacer.face.review.calendargrid import put_month
from pacer.face.review.figurepage import FigurePage
from pacer.face.review.loading import Loading
from pacer.face.review.reviewcolumns import beside
from pacer.face.tiles.board import Tile
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.page import CLOSE, PageKey
from pacer.face.tiles.table import say_table
from pacer.language import tr
from pacer.review.report.historytables import history_tables
from pacer.review.season.calendardays import CalendarEntry, month_of, next_month
from pacer.review.season.season import Visit
from pacer.session.timezone import month_said, weekday_and_date
from pacer.show.after.seasonview import SeasonView
from pacer.show.figures.basetrace import base_trace, converted_said
from pacer.show.figures.figure import Figure
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.measure.typesizes import TITLE

VIEWS = (("calendar", tr("Calendar")), ("totals", tr("Totals")), ("bases", tr("Bases")))


class SeasonPage(FigurePage):
    """The season of `view`. `on_review(number)` leads to a session, `on_plan(name)` to a plan, `on_close()` away."""

    def __init__(
        self,
        view: SeasonView,
        today: date,
        *,
        theme: Theme = DARK,
        glass: Glass | None = None,
        on_review: Callable[[int], None] = lambda number: None,
        on_plan: Callable[[str], None] = lambda name: None,
        on_close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(theme, glass, on_close, **kwargs)
        self.season, self.today, self.on_review, self.on_plan = view, today, on_review, on_plan
        self.view = "calendar"
        self.month = today.year, today.month
        self.opened: date | None = None  #: the day that is told in full
        self.whose = ""  #: whose base is shown: `lane 3`, or `swimmer Kit`
        self.loading = Loading(self.season.read_on, self.lay_out)
        self.loading.begin()
        self.lay_out()

    def close_down(self) -> None:
        """Stop reading sessions."""
        self.loading.close()

    # -- what is shown ----------------------------------------------------------------------------------------

    def pinned(self) -> Sequence[PageKey]:
        """The way out."""
        return (CLOSE,)

    def keys(self) -> Sequence[PageKey]:
        """The views, and other months of the calendar."""
        views = tuple(PageKey(name, label, lit=name == self.view) for name, label in VIEWS)
        months = (PageKey("earlier", tr("Previous month")), PageKey("later", tr("Next month")))
        return (*views, *months) if self.view == "calendar" else views

    def shown_figure(self) -> Figure | None:
        """Base paces over time."""
        if self.view != "bases":
            return None
        name, visits = self._chosen()
        return base_trace(name, visits)

    def _chosen(self) -> tuple[str, tuple[Visit, ...]]:
        """Whose base is shown: by default the first lane's."""
        what, _, who = self.whose.partition(" ")
        if what == "swimmer" and who in self.season.swimmers:
            return who, self.season.swimmers[who]
        lane = who if who in self.season.lanes else next(iter(self.season.lanes), "")
        return tr("Lane {lane}", lane=lane), self.season.lanes.get(lane, ())

    def tiles(self) -> list[Tile]:
        """The open view."""
        gap, width = self.gap, self.width - 2 * self.gap
        column = Column(width, self.cap, self.padding, gap, self.target, x=gap, top=gap, room=self.board.height)
        self.loading.say(column)
        {"calendar": self._calendar, "totals": self._totals, "bases": self._bases}[self.view](column)
        return column.tiles

    def _calendar(self, column: Column) -> None:
        year, month = self.month
        column.say(month_said(year, month), bold=True, scale=TITLE)
        if self.opened is not None:
            self._day(column, self.opened)
        put_month(column, month_of(year, month, self.season.entries), self.today, self.opened)

    def _day(self, column: Column, day: date) -> None:
        """What is on the day that was touched, each with the way to it."""
        column.say(weekday_and_date(day), bold=True)
        for entry in self.season.entries:
            if entry.day == day:
                key = (
                    Cell(f"plan {entry.plan}", (tr("Open"),))
                    if entry.number is None
                    else Cell(f"session {entry.number}", (tr("Review"),))
                )
                beside(column, key, [(_said(entry), False, "ink")])
                column.skip(0.5)

    def _totals(self, column: Column) -> None:
        tables = self.season.tables()
        if not tables and self.loading.unread == 0:
            column.say(tr("No sessions yet."), bold=True)
        for table in tables:
            column.say(table.heading, bold=True)
            say_table(column, table)
            column.skip(1.5)
        if tables:
            column.say(
                tr("Distance and time in water: all swimmers added up. Swimmers: the average per session."),
                colour="dim",
            )

    def _bases(self, column: Column) -> None:
        if not self.season.lanes:
            if self.loading.unread == 0:
                column.say(tr("No sessions yet."), bold=True)
            return
        name, visits = self._chosen()
        column.flow(
            *(self._choice(f"lane {lane}", tr("Lane {lane}", lane=lane), name) for lane in self.season.lanes),
            *(self._choice(f"swimmer {who}", who, name) for who in self.season.swimmers),
        )
        figure = base_trace(name, visits)
        tap = tr("Tap a dot to see the times behind it.") if figure is not None and figure.dots else ""
        column.say(" ".join(filter(None, (tap, converted_said(visits)))), colour="dim")
        column.skip(0.8)
        for table in history_tables(name, visits, ()):
            column.say(table.heading, bold=True)
            say_table(column, table)

    @staticmethod
    def _choice(key: str, said: str, shown: str) -> Cell:
        return Cell(key, (said,), look="lit" if said == shown else "key")

    # -- what is done --------------------------------------------------------------------------------------------

    def press(self, name: str) -> None:
        """Do what a tile or key is for."""
        what, _, rest = name.partition(" ")
        match what:
            case "leave":
                self.back()
                return
            case "calendar" | "totals" | "bases":
                self.view, self.opened = what, None
                self.board.scroller.to(0)
            case "earlier" | "later":
                self.month, self.opened = next_month(*self.month, 1 if what == "later" else -1), None
            case "day":
                day = date.fromisoformat(rest)
                self.opened = None if self.opened == day else day
                self.board.scroller.to(0)
            case "lane" | "swimmer":
                self.whose = name
            case "session":
                self.on_review(int(rest))
                return
            case "plan":
                self.on_plan(rest)
                return
        self.lay_out()

    def back(self) -> None:
        """From a day to the month, from another view to the calendar, from there away."""
        if self.opened is not None:
            self.opened = None
        elif self.view != "calendar":
            self.view = "calendar"
        else:
            self.close()
            return
        self.lay_out()


def _said(entry: CalendarEntry) -> str:
    how = tr("swum") if entry.number is not None else tr("planned")
    return f"{entry.at + ', ' if entry.at else ''}{entry.title}, {how}"
