"""A session that ran without pacer: which plan, on which day, at what time."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from datetime import date, datetime, timedelta

from pacer.face.pages.askingpage import AskingPage
from pacer.face.tiles.board import Board
from pacer.face.tiles.column import Cell
from pacer.face.tiles.numberpad import Pad
from pacer.face.tiles.page import PageKey
from pacer.face.tiles.tile import cards_across
from pacer.language import tr
from pacer.plan.library.plancards import Card
from pacer.plan.problem import Unreadable
from pacer.session.storage.store import Store, StoreTrouble
from pacer.session.timezone import date_said, weekday_short
from pacer.show.after.enteringtimes import session_without, timeline_of
from pacer.show.measure.typesizes import TITLE
from pacer.squad.squad import Squad
from pacer.timeline.findings import CannotRun

DAYS = 8  #: days offered as keys
USUAL = 1800  #: six in the evening


class EnterSessionPage(AskingPage):
    """Puts one of `cards` into the log as swum by `squad`. `on_made(number)` gets the session, `on_close()` goes back.

    `now_ms()` is the time of day.
    """

    def __init__(
        self,
        store: Store,
        cards: Sequence[Card],
        squad: Squad,
        now_ms: Callable[[], int],
        *,
        on_made: Callable[[int], None] = lambda number: None,
        on_close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(close=on_close, **kwargs)
        self.store, self.cards, self.squad, self.now_ms = store, tuple(cards), squad, now_ms
        self.on_made = on_made
        self.chosen: Card | None = None
        self.day = 0  #: days ago
        self.clock = USUAL  #: hours and minutes, as typed
        self.board = Board(self.press)

    # -- what the bar shows -------------------------------------------------------------------------------

    def keys(self) -> Sequence[PageKey]:
        """Save it, once there is a plan."""
        if self.typing:
            return self.answers()
        return (PageKey("keep", tr("Save session"), main=True),) if self.chosen is not None else ()

    def lay_page(self) -> None:
        """The plans, then the day and the time."""
        column = self.column(self.width)
        if self.typing:
            self.asking_tiles(column)
        elif self.chosen is None:
            column.say(tr("Which plan was swum without pacer?"), bold=True, scale=TITLE)
            column.skip(0.4)
            if not self.cards:
                column.say(tr("You have no plans yet."))
            across = cards_across(column.width, self.cap)
            column.grid(
                [Cell(f"plan {number}", (card.title,), across="left") for number, card in enumerate(self.cards)], across
            )
        else:
            column.say(self.chosen.title, bold=True, scale=TITLE)
            column.say(
                tr(
                    "Saves the plan as swum, for everyone now marked as here. If others came that day, mark them under "
                    "Squad first. You can enter times next."
                ),
                colour="dim",
            )
            column.skip(0.6)
            column.flow(
                *(Cell(f"day {ago}", (_said(self._date(ago), ago),), look=_lit(ago == self.day)) for ago in range(DAYS))
            )
            column.skip(0.4)
            column.row(Cell("clock", (self._clock_said(),), label=(tr("started at"),)), Cell(look="plain"))
        self.show_board(self.board, self.x, self.width, column.tiles)
        self.boards = [self.board]
        self.lay_field()

    def _date(self, ago: int) -> date:
        return (datetime.fromtimestamp(self.now_ms() // 1000) - timedelta(days=ago)).date()

    def _clock_said(self) -> str:
        return f"{self.clock // 100}:{self.clock % 100:02d}"

    # -- actions ----------------------------------------------------------------------------------------------

    def press(self, name: str) -> None:
        """Do what a tile or key is for."""
        if self.press_typing(name):
            return
        what, _, rest = name.partition(" ")
        match what:
            case "leave":
                self.back()
                return
            case "plan":
                self.chosen = self.cards[int(rest)]
            case "day":
                self.day = int(rest)
            case "clock":
                asked = tr("When did it start? Type 1830 for half past six in the evening")
                self.ask_pad(Pad(asked, self.clock, time=False, step=5), self._typed)
                return
            case "keep" if self.chosen is not None:
                self._keep(self.chosen)
                return
        self.lay_out()

    def _typed(self, clock: int | None) -> bool:
        if clock is None or clock // 100 > 23 or clock % 100 > 59:
            self.tell(tr("Hours go from 0 to 23, minutes from 00 to 59."))
            return False
        self.clock = clock
        return True

    def _keep(self, card: Card) -> None:
        day = self._date(self.day)
        clock = (day.year, day.month, day.day, self.clock // 100, self.clock % 100, 0, 0, 0, -1)
        begun_ms = int(time.mktime(clock)) * 1000
        if begun_ms > self.now_ms():
            self.tell(tr("That is in the future: choose an earlier day or time."))
            return
        try:
            number = session_without(self.store, timeline_of(card.text, self.squad), card.text, begun_ms)
        except Unreadable as error:
            self.tell(tr("Fix the plan first: {message}", message=error.problems[0].message), tr("Fix the plan first."))
        except CannotRun as error:
            self.tell(*error.findings[0].ways, tr("That plan can't run with this squad."))
        except StoreTrouble as trouble:
            self.tell(str(trouble))
        else:
            self.on_made(number)

    def step_back(self) -> None:
        """To the plans, then off the page."""
        if self.chosen is not None:
            self.chosen = None
            self.lay_out()
        else:
            self.close()


def _said(day: date, ago: int) -> str:
    return (
        (tr("Today"), tr("Yesterday"))[ago]
        if ago < 2
        else f"{weekday_short(day)} {date_said(day, short=True).rpartition(' ')[0]}"
    )


def _lit(chosen: bool) -> str:
    return "lit" if chosen else "key"
