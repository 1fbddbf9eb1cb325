"""A look back on one session: the worst news first, what it offers, every timed set, and swimmers' histories."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence

from kivy.clock import Clock

from pacer.face.review.figurepage import FigurePage
from pacer.face.review.loading import Loading
from pacer.face.review.reviewcolumns import (
    RATES,
    offers_column,
    session_column,
    sets_column,
    summary_column,
    swimmers_column,
)
from pacer.face.tiles.board import Tile
from pacer.face.tiles.column import Column
from pacer.face.tiles.page import CLOSE, PageKey
from pacer.language import tr
from pacer.review.report.newskinds import RATE
from pacer.review.swum.timedsets import TimedSet
from pacer.show.after.pastsession import PastSession
from pacer.show.drive.asidethread import Answers
from pacer.show.figures.activitybars import distance_by_activity
from pacer.show.figures.figure import Figure
from pacer.show.figures.ratespeed import rate_against_speed
from pacer.show.figures.repeattimes import repeat_times
from pacer.show.figures.swumstrip import swum_strip
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme

log = logging.getLogger(__name__)

VIEWS = (("summary", tr("Summary")), ("sets", tr("Sets")), ("session", tr("Session")), ("swimmers", tr("Swimmers")))


class ReviewPage(FigurePage):
    """The review of the session that `lookback` has open.

    `on_next()` leads to the next page of its series, `on_close()` goes back to the log.
    """

    figure_share = 0.4

    def __init__(
        self,
        lookback: PastSession,
        *,
        theme: Theme = DARK,
        glass: Glass | None = None,
        on_next: Callable[[], None] = lambda: None,
        on_close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(theme, glass, on_close, **kwargs)
        self.lookback, self.on_next = lookback, on_next
        self.view = "summary"
        self.lane = self.set = 0  #: by place among the lanes with timed sets, and among that lane's sets
        self.picture = 0  #: which of the session's figures is shown
        self.swimmer = ""  #: whose history is open
        self._answers: Answers[str] = Answers("offers")
        self._saves = 0
        self._next_look = Clock.create_trigger(self._look, 0)
        self.loading = Loading(lookback.read_on, self._came)  #: begun where histories are first shown
        self.lay_out()

    def _came(self) -> None:
        if self.view == "swimmers":
            self.lay_out()

    def close_down(self) -> None:
        """Stop reading sessions; what is being saved is saved."""
        self._next_look.cancel()
        self.loading.close()

    # -- what is shown ----------------------------------------------------------------------------------------

    def pinned(self) -> Sequence[PageKey]:
        """The way out: of a swimmer's history, or of the review."""
        return (CLOSE,)

    def keys(self) -> Sequence[PageKey]:
        """The views; the open one is highlighted. From the summary the coach goes on to the next page."""
        views = tuple(PageKey(name, label, lit=name == self.view) for name, label in VIEWS)
        return (*views, PageKey("next", tr("Draft next plan"))) if self.view == "summary" else views

    def shown_figure(self) -> Figure | None:
        """Of a set, its times; of the session, the one chosen."""
        if self.view == "sets" and self._sets():
            return repeat_times(self._sets()[self.set], self.lookback.reading.called, self.lookback.reading.out)
        return self._pictures()[self.picture][1] if self.view == "session" and self._pictures() else None

    def _pictures(self) -> tuple[tuple[str, Figure], ...]:
        """The figures of the session: how it went, how far, and stroke rates if any were taken."""
        reading = self.lookback.reading
        if not reading.review.strip:
            return ()
        rates = rate_against_speed(reading.called)
        return (
            (tr("What was swum"), swum_strip(reading.review)),
            (tr("Distance"), distance_by_activity(reading.review)),
            *(((tr("Stroke rates"), rates),) if rates is not None else ()),
        )

    def _column(self, share: float = 1.0, x: float = 0.0) -> Column:
        gap, width = self.gap, self.width - 2 * self.gap
        return Column(
            share * width, self.cap, self.padding, gap, self.target, x=gap + x * width, top=gap, room=self.board.height
        )

    def tiles(self) -> list[Tile]:
        """What the open view says."""
        if self.view == "sets":
            return sets_column(self._column(), self.lookback, self._lanes(), self.lane, self._sets(), self.set)
        if self.view == "session":
            names = [name for name, _ in self._pictures()]
            return session_column(self._column(), self.lookback, names, self.picture)
        if self.view == "swimmers":
            return swimmers_column(self._column(), self.lookback, self.swimmer, self.loading)
        if self.upright:
            return offers_column(summary_column(self._column(), self.lookback), self.lookback).tiles
        left = summary_column(self._column(0.44), self.lookback)
        return [*left.tiles, *offers_column(self._column(0.53, 0.47), self.lookback).tiles]

    def _lanes(self) -> tuple[int, ...]:
        """The lanes (by index) with times."""
        return tuple(dict.fromkeys(table.lane for table in self.lookback.reading.review.sets))

    def _sets(self) -> tuple[TimedSet, ...]:
        """The timed sets of the chosen lane."""
        lanes = self._lanes()
        return tuple(table for table in self.lookback.reading.review.sets if lanes and table.lane == lanes[self.lane])

    # -- actions -------------------------------------------------------------------------------------------------

    def press(self, name: str) -> None:
        """Do what a tile or key is for."""
        what, _, rest = name.partition(" ")
        match what:
            case "leave":
                self.back()
                return
            case "next":
                self.on_next()
                return
            case "summary" | "sets" | "session" | "swimmers":
                self._open(what)
            case "lane":
                self.lane, self.set = int(rest), 0
            case "set":
                self.set = int(rest)
            case "picture":
                self.picture = int(rest)
            case "take" | "undo" | "turn":
                self._save(what, rest)
                return
            case "news":
                self._go_to(int(rest))
            case "swimmer":
                self.swimmer = rest
                self.board.scroller.to(0)
        self.lay_out()

    def _save(self, what: str, which: str) -> None:
        """Accept a suggestion, undo that, or turn a time over, on another thread; one at a time."""
        if self._next_look.is_triggered:
            return
        self._saves += 1
        self._answers.ask(self._saves, lambda: self._saved(what, which))
        self.tell(tr("Saving"))
        self._next_look()

    def _saved(self, what: str, which: str) -> str:
        try:
            if what == "take":
                return self.lookback.take(which) or self.lookback.accepted
            if what == "undo":
                return self.lookback.undo(which) or tr("Undone")
            return self.lookback.turn(int(which))
        except Exception:  # nobody hears a thread that fails
            log.exception("Saving in a review failed")
            return tr("That could not be saved.")

    def _look(self, _dt: float) -> None:
        """Show what was saved once it is."""
        if (said := self._answers.ask(self._saves, str)) is None:
            self._next_look()
            return
        self.lay_out()
        if said:
            self.tell(said)
        else:
            self.hush()

    def _open(self, view: str) -> None:
        self.view, self.swimmer = view, ""
        self.board.scroller.to(0)
        if view == "swimmers" and self.loading.unread is None:
            self.loading.begin()

    def _go_to(self, number: int) -> None:
        """From a piece of news to the set that it is about, from a stroke rate to all rates."""
        one = self.lookback.reading.news[number]
        if one.kind == RATE:
            self._open("session")
            self.picture = max(0, len(self._pictures()) - 1)  # the rates come last
            self.lay_out()
            self.board.scroll_to(RATES)
            return
        lanes = self._lanes()
        if one.lane not in lanes:
            return
        self._open("sets")
        self.lane = lanes.index(one.lane)
        here = (at for at, table in enumerate(self._sets()) if (table.section, table.line) == (one.section, one.line))
        self.set = next(here, 0)
        self.lay_out()
        self.board.scroll_to(f"set {self.set}")

    def back(self) -> None:
        """From a swimmer's history to all of them, from another view to the summary, from there close."""
        if self.swimmer:
            self.swimmer = ""
        elif self.view != "summary":
            self.view = "summary"
        else:
            self.close()
            return
        self.board.scroller.to(0)
        self.lay_out()
