"""The log: the sessions that were swum, the latest first, and one of them in full. By places, not by names."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from kivy.clock import Clock

from pacer.face.pages.logstrips import LogStrips
from pacer.face.tiles.board import Board, Picture, Text, Tile
from pacer.face.tiles.column import ROW, Cell, Column
from pacer.face.tiles.page import CLOSE, Page, PageKey
from pacer.face.tiles.table import say_table
from pacer.face.tiles.tile import cards_across
from pacer.language import tr
from pacer.plan.titles import titled
from pacer.review.logtables import about, card_said
from pacer.session.storage.savedsession import Listed
from pacer.session.storage.store import Store, StoreTrouble
from pacer.show.after.loglist import DELETES, LogList
from pacer.show.after.openedsession import OpenedSession, Twin, opened_session
from pacer.show.drive.asidethread import Answers
from pacer.show.figures.drawing import height_for
from pacer.show.figures.figure import Figure
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.measure.typesizes import SMALL, TITLE
from pacer.show.wording.commonkeys import CANCEL, DELETE, UNDO
from pacer.signal.slowcalls import CALL_WAITS_S

STRIP = 3.2  #: height of its strip, likewise


class LogActs(Protocol):
    """What the log acts through. All but `resumable` lead to other pages."""

    def resumable(self) -> Listed | None:
        """The session that ended just now and can still be resumed."""

    def resume(self, number: int) -> None:
        """Resume it."""

    def review(self, number: int) -> None:
        """The review of a session."""

    def enter(self, number: int) -> None:
        """Enter times of a session."""

    def new_bases(self, number: int) -> None:
        """The squad, and back to the session."""

    def series(self) -> None:
        """All series."""

    def season(self) -> None:
        """The season."""

    def enter_session(self) -> None:
        """Enter a session that ran without pacer."""

    def home(self) -> None:
        """Close the log."""


class LogPage(Page):
    """Lists the sessions in `store`. A tap opens one; with `number` that session is open from the start.

    A session can be hidden, and shown again; a hidden one can be deleted for good.
    """

    def __init__(
        self,
        store: Store,
        acts: LogActs,
        number: int | None = None,
        *,
        theme: Theme = DARK,
        glass: Glass | None = None,
        **kwargs,
    ):
        super().__init__(theme, glass, acts.home, **kwargs)
        self.store, self.acts = store, acts
        self.number: int | None = None  #: the open session, None for the list
        self.list = LogList(store)
        self.opened: OpenedSession | None = None  #: what it is, None until it is read
        self._reading: Answers[OpenedSession] = Answers("sessions")
        self._asked = 0  #: goes up with every session that is opened: one may have changed since
        self._look = Clock.create_trigger(lambda _dt: self._come(), 0)
        self.deleting = False  #: whether the coach is asked if the open session shall be deleted
        self.strips = LogStrips(store, self._strip_came)
        self.strips.want([one.number for one in self.list.sessions])
        self.board = Board(self.press)
        self.boards = [self.board]
        self.add_widget(self.board)
        if number is not None:
            self._open(number)
        self.lay_out()

    def _strip_came(self) -> None:
        if self.number is None:
            self.lay_out()

    def close_down(self) -> None:
        """Stop reading."""
        self.strips.close()
        self._stop_reading()

    def pinned(self) -> Sequence[PageKey]:
        """The way out: of the open session, or of the log."""
        return (CLOSE,)

    def keys(self) -> Sequence[PageKey]:
        """For the list: pages about many sessions; for an open session: review, new bases, and Resume if just ended."""
        here = self.list
        undo = (PageKey("undo", UNDO),) if here.can_undo else ()
        if here.away and self.deleting:
            return PageKey("delete", tr("Delete for good")), PageKey("cancel", CANCEL)
        if here.away:
            return (
                (PageKey("show", tr("Show again"), main=True), PageKey("ask", DELETE))
                if self.number is not None
                else undo
            )
        if self.number is None:
            hidden = (PageKey("away", tr("Hidden sessions")),) if here.hidden else ()
            many = (
                PageKey("series", tr("Series")),
                PageKey("season", tr("Season")),
                PageKey("enter session", tr("Add past session")),
            )
            return (*undo, *many, *hidden)
        ended = self._ended()
        resume = (PageKey("resume", tr("Resume session")),) if ended is not None and ended.number == self.number else ()
        keep = (PageKey("keep", tr("Merge into this")),) if self.number in here.doubles else ()
        review = PageKey("review", tr("Review"), main=True)
        enter, bases = PageKey("enter", tr("Enter times")), PageKey("bases", tr("Squad"))
        return (review, *undo, *keep, enter, bases, *resume, PageKey("hide", tr("Hide")))

    def _ended(self) -> Listed | None:
        try:
            return self.acts.resumable()
        except StoreTrouble:
            return None

    def lay_page(self) -> None:
        """The list, or the open session."""
        gap = self.gap
        column = Column(self.width - 2 * gap, self.cap, self.padding, gap, self.target, x=gap, top=gap)
        if self.number is None:
            self._list(column)
        else:
            self._session(column)
        self.fill_room(self.board)
        self.board.show(column.tiles, self.cap, self.padding)

    def _list(self, column: Column) -> None:
        """A tile for each session, in as many columns as there is room for: what it was, when, and how it went."""
        sessions, doubles = self.list.sessions, self.list.doubles
        if self.list.away and sessions:
            column.say(tr("Hidden sessions aren't counted. Tap one to show it again."), bold=True)
            column.skip(0.5)
        elif not self.list.away:
            column.say(tr("Log"), bold=True, scale=TITLE)
            column.skip(0.5)
        if not sessions:
            nothing = tr("Nothing is hidden.") if self.list.away else tr("No sessions yet.")
            column.say(self.list.trouble or nothing, bold=True)
        across = cards_across(column.width + self.gap, self.cap)
        wide, row, pad = (column.width - (across - 1) * self.gap) / across, round(ROW * self.cap), self.inset
        inner, strip = wide - 2 * pad, round(STRIP * self.cap)
        for number, one in enumerate(sessions):
            down, right = divmod(number, across)
            high = max(self.target, 2 * row + strip + 1.5 * pad)
            twice = one.number in doubles
            ways = card_said(one)
            if twice:  # its card's strip and title say which; nothing of this is ever cut
                ways = *(tr("Possible duplicate: {session}", session=way) for way in ways), tr("Possible duplicate")
            texts = (
                Text((titled(one.title),), (pad, 0.5 * pad, inner, row), True),
                Text(ways, (pad, 0.5 * pad + row, inner, row), colour="warn" if twice else "dim"),
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
        if self.deleting:
            column.say(DELETES, bold=True, colour="warn")
            column.skip(1.0)
        if self.opened is None:
            self._loading(column)
            return
        for number, table in enumerate(self.opened.tables):
            column.say(table.heading, bold=True, scale=1.0 if number else TITLE)
            say_table(column, table)
            column.skip(1.5)
            if not number:
                self._say_twins(column, self.opened.twins)
            if not number and self.opened.figure is not None:
                self._strip(column, self.opened.figure)

    def _loading(self, column: Column) -> None:
        """What is known of the open session until it is read."""
        for one in self.list.sessions:
            if one.number == self.number:
                column.say(titled(one.title), bold=True, scale=TITLE)
                column.say(about(one)[0])
                column.skip(1.0)
        column.say(tr("Loading"), colour="dim")

    def _say_twins(self, column: Column, twins: Sequence[Twin]) -> None:
        """Which other sessions are perhaps the same as the open one."""
        for one in twins:
            column.say(one.said, colour="warn")
            column.row(Cell(f"session {one.number}", (tr("Open the other one"),)), Cell(look="plain"))
        if twins:
            column.say(
                tr(
                    "“Merge into this” adds the other one's times, stroke rates and notes, then hides the other one. "
                    "Until you choose, both count."
                ),
                colour="dim",
            )
            column.skip(1.0)

    def _strip(self, column: Column, figure: Figure) -> None:
        """How the session went."""
        lanes = max(1, round(figure.y.low))
        high = round(height_for(lanes, SMALL * self.cap, self.cap))
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
        acts = self.acts
        many = {"series": acts.series, "season": acts.season, "enter session": acts.enter_session}
        one = {"bases": acts.new_bases, "review": acts.review, "enter": acts.enter, "resume": acts.resume}
        if name in many:
            many[name]()
        elif name in one and self.number is not None:
            one[name](self.number)
        elif name in ("ask", "cancel"):
            self.deleting = name == "ask"
            self.board.scroller.to(0)
            self.lay_out()
        elif name in ("away", "hide", "keep", "show", "undo", "delete"):
            self._choose(name)
        else:
            self._open(int(name.removeprefix("session ")))

    def _open(self, number: int) -> None:
        """Open a session: it is read on another thread, and the page is laid out again when it is there."""
        self.number, self.opened = number, None
        self._asked += 1
        self._ask()
        self._reading.wait(CALL_WAITS_S)
        self.board.scroller.to(0)
        self._come()
        if self.opened is None:
            self.lay_out()

    def _ask(self) -> OpenedSession | None:
        number = self.number
        assert number is not None
        return self._reading.ask((self._asked, number), lambda: opened_session(self.list, number))

    def _come(self) -> None:
        """Show the session if it is read; if it can't be, say why and go back to the list."""
        found = self._ask()
        if found is None:
            self._look()
        elif found.trouble:
            self._to_list()
            self.lay_out()
            self.tell(found.trouble)
        else:
            self.opened = found
            self.lay_out()

    def _stop_reading(self) -> None:
        self._look.cancel()
        self._reading.drop()

    def _choose(self, name: str) -> None:
        """Hide the open session or its doubles, show one again, undo that, or list the hidden ones."""
        said: tuple[str, ...] = ()
        try:
            match name, self.number:
                case "away", _:
                    self.list.turn(away=True)
                case "undo", _:
                    self.list.undo()
                case "hide", int(number):
                    self.list.hide(number)
                    said = tr("Hidden: left out of all totals. Undo shows it again."), tr("Hidden")
                case "show", int(number):
                    self.list.show_again(number)
                    said = (tr("It is in the log again."),)
                case "delete", int(number):
                    self.list.delete(number)
                    said = tr("Deleted for good."), tr("Deleted")
                case "keep", int(number):
                    said = self.list.kept_said(self.list.keep(number)), tr("The other one is hidden")
                    self._open(number)
        except StoreTrouble as trouble:
            said = (str(trouble),)
        if name != "keep":
            self._to_list()
        self.lay_out()
        if said:
            self.tell(*said)

    def _to_list(self) -> None:
        self._stop_reading()
        self.number, self.opened, self.deleting = None, None, False
        self.strips.want([one.number for one in self.list.sessions])
        self.board.scroller.to(0)

    def back(self) -> None:
        """From a session to the list; from the hidden ones to the log; from there, close."""
        if self.deleting:
            self.deleting = False
        elif self.number is not None:
            self._to_list()
        elif self.list.away:
            self.list.turn(away=False)
            self._to_list()
        else:
            self.close()
            return
        self.lay_out()
