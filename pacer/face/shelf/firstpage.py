"""The first start: a few answers make the coach's own squad, then a plan is written; or the demo session is tried."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from pacer.face.kit.textures import measure
from pacer.face.pages.askingpage import NEXT_LANE, AskingPage, Following
from pacer.face.tiles.board import Board, Tile
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.numberpad import Pad
from pacer.face.tiles.page import PageKey
from pacer.face.tiles.pagegrid import LARGER
from pacer.language import tr
from pacer.plan.model import POOLS
from pacer.plan.times import text_from_ms
from pacer.show.drive.barsettingchoice import BOOKING_STEP, within
from pacer.show.editing.firstsquad import FASTEST_MS, LANES_OFFERED, SLOWEST_MS, FirstSquad
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.measure.typesizes import TITLE
from pacer.squad.squad import Squad

WIDEST = 44  #: greatest width of the answers below one another, in character heights
TALLER = (1.5, 1.4, 1.3, 1.2, 1.1)  #: what keys are as high as, if there is room

TITLE_SAID = tr("Your lanes")
BOOKED, SWIMMERS = tr("Booked for"), tr("Swimmers per lane")
FASTEST, SLOWEST = tr("Fastest lane"), tr("Slowest lane")
ASKED = BOOKED, SWIMMERS, FASTEST, SLOWEST  #: what has its answer beside it, between less and more
EXPLAINED = tr("Rough answers will do.")
BASE_SAID = tr("Base: the pace per 100 that a lane can hold for 30 minutes, not its interval (turnaround).")


class FirstPage(AskingPage):
    """`on_own(squad, pool, booking_min)` gets the answers, `on_demo()` starts the demo, `on_close()` is for Close."""

    zooms = (1.8, 1.7, 1.6, 1.5, *LARGER)  # few things on a wide page

    def __init__(
        self,
        pool: str,
        booking_min: int,
        *,
        theme: Theme = DARK,
        glass: Glass | None = None,
        on_own: Callable[[Squad, str, int], None] = lambda squad, pool, booking_min: None,
        on_demo: Callable[[], None] = lambda: None,
        on_close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(theme, glass, close=on_close, **kwargs)
        self.given, self.pool, self.booking_min = FirstSquad(), pool, booking_min
        self.tall = 1.0  #: how much taller keys are than they have to be
        self.lane = 0  #: whose base is being typed, by its place
        self.on_own, self.on_demo = on_own, on_demo
        self.board = Board(self.press)
        self.boards = [self.board]
        self.lay_out()

    def keys(self) -> Sequence[PageKey]:
        """Continue with one's own lanes, or with the demo."""
        if self.typing:
            return self.answers()
        return PageKey("own", tr("Write my first plan"), main=True), PageKey("demo", tr("Try the demo session"))

    def lay_out(self) -> None:
        """Lay everything out again, as large as there is room for; no size changes with the number of lanes."""
        given = self.given
        self.given = given.changed("lanes", LANES_OFFERED)
        self.tall = 1.0
        super().lay_out()
        self.tall = next((tall for tall in TALLER if self._foot(tall) <= self.board.height), 1.0)
        self.given = given
        self.lay_at_zoom()

    def _foot(self, tall: float) -> float:
        """The foot of the questions with keys so much taller."""
        self.tall = tall
        return max(tile.bottom for tile in self._questions()) + self.gap

    def roomy(self) -> bool:
        """Whether everything is in sight; among the questions a lane's key may say its number alone."""
        return super().roomy() if self.typing else self.in_sight()

    def lay_page(self) -> None:
        """The questions, or the pad for a base."""
        tiles = self.asking_tiles(self.column(self.width)) if self.typing else self._questions()
        self.show_board(self.board, self.x, self.width, tiles)

    def _questions(self) -> list[Tile]:
        """The questions, one row each, and each lane's base; side by side if there is room."""
        gap, cap = self.gap, self.cap
        whole = self.width - 2 * gap
        half = (whole - 3 * gap) / 2
        across = not self.upright and half >= max(measure(label, cap) for label in ASKED) + self._stepped()
        wide = half if across else whole if self.upright else min(whole, WIDEST * cap)
        high = self.tall * self.target
        first = Column(whole, cap, self.padding, gap, high, x=gap, top=gap)
        first.say(TITLE_SAID, bold=True, scale=TITLE)
        first.say(EXPLAINED, colour="dim")
        first.skip(0.7)
        first.width, top = wide, first.top
        self._ask_session(first)
        second = Column(wide, cap, self.padding, gap, high, x=4 * gap + wide, top=top) if across else first
        self._ask_bases(second)
        return [*first.tiles, *(second.tiles if across else ())]

    def _ask_session(self, column: Column) -> None:
        """The pool, for how long, how many lanes and swimmers."""
        answers = self.given
        pools = list(dict.fromkeys((*POOLS, self.pool)))
        column.say(tr("Pool"))
        column.row(*(Cell(f"pool {pool}", (pool,), look="lit" if pool == self.pool else "key") for pool in pools))
        self._steps(column, "booking", BOOKED, tr("{n} min", n=self.booking_min))
        column.say(tr("Lanes"))
        fit = (column.width + column.gap) // (self.target + column.gap)
        cells = [
            Cell(f"lanes {n}", (str(n),), look="lit" if n == answers.lanes else "key")
            for n in range(1, LANES_OFFERED + 1)
        ]
        column.grid(cells, LANES_OFFERED if fit >= LANES_OFFERED else LANES_OFFERED // 2)
        self._steps(column, "swimmers", SWIMMERS, str(answers.swimmers))

    def _ask_bases(self, column: Column) -> None:
        """The fastest and the slowest lane, and a key for each lane between them."""
        answers = self.given
        column.say(BASE_SAID, colour="dim")
        column.skip(0.5)
        self._steps(column, "fast", FASTEST, text_from_ms(answers.fast_ms))
        if answers.lanes > 1:
            self._steps(column, "slow", SLOWEST, text_from_ms(answers.slow_ms))
        column.say(tr("Or type each lane's:"))
        column.skip(0.3)
        cells = [
            Cell(f"base {n}", (text_from_ms(ms),), label=(tr("lane {number}", number=n + 1), str(n + 1)))
            for n, ms in enumerate(answers.paces())
        ]
        column.grid(cells, min(5, max(3, len(cells))))

    def _steps(self, column: Column, name: str, label: str, value: str) -> None:
        """A question, and its answer between less and more; below it if there is no room beside."""
        less = Cell(f"{name} -1", ("–",), width=1.2 * self.target)
        more = Cell(f"{name} 1", ("+",), width=1.2 * self.target)
        said = Cell(ways=(value,), look="plain", width=self._value_wide())
        if measure(label, column.cap) > column.width - self._stepped():
            column.say(label)
            column.row(less, said._replace(width=0.0), more)
        else:
            column.row(Cell(ways=(label,), look="plain", across="left", bold=False), less, said, more)

    def _value_wide(self) -> float:
        """The width of an answer between less and more."""
        return measure(tr("{n} min", n=100), self.cap, True) + self.padding

    def _stepped(self) -> float:
        """The width of less, answer and more, with the gap before them."""
        return 2 * 1.2 * self.target + self._value_wide() + 3 * self.gap

    def press(self, name: str) -> None:
        """Take an answer, or continue."""
        if self.press_typing(name):
            return
        what, _, value = name.partition(" ")
        if name == "leave":
            self.close()
        elif name == "own":
            self.on_own(self.given.squad(), self.pool, self.booking_min)
        elif name == "demo":
            self.on_demo()
        elif what == "base":
            if self.keep_typed():
                self._ask_base(int(value))
        else:
            if what == "pool":
                self.pool = value
            elif what == "booking":
                self.booking_min = within("booking_min", self.booking_min + int(value) * BOOKING_STEP)
            else:
                self.given = self.given.changed(what, int(value))
            self.lay_out()

    def _ask_base(self, place: int, after: bool = False) -> None:
        """Type the base of a lane, then those of the lanes after it; `after`: the lane before was just typed."""

        def take(ms: int | None) -> bool:
            if ms is None or not FASTEST_MS <= ms <= SLOWEST_MS:
                least, most = text_from_ms(FASTEST_MS), text_from_ms(SLOWEST_MS)
                self.tell(tr("A base is from {least} to {most} per 100.", least=least, most=most))
                return False
            self.given = self.given.with_base(place, ms)
            return True

        paces, last, before = self.given.paces(), place + 1 == self.given.lanes, None
        ask_next = None if last else partial(self._ask_base, place + 1, after=True)
        following = Following(NEXT_LANE, ask_next, by_itself=True) if self.given.lanes > 1 else None
        if after:
            typed = text_from_ms(paces[place - 1])
            note = tr("Lane {number} is {base}, saved. Now lane {next}.", number=place, base=typed, next=place + 1)
            before = partial(self._ask_base, place - 1)
        elif last:
            note = ""
        else:
            note = tr("Type 135 for 1:35. Lane {number} comes next by itself.", number=place + 2)
        self.lane = place
        self.ask_pad(
            Pad(tr("Base of lane {number}, per 100", number=place + 1), paces[place], most=SLOWEST_MS),
            take,
            following,
            note=note,
            note_typed=tr("That was the last lane: tap Save.") if last else "",
            before=before,
            guessed=place not in self.given.said,
        )

    def others(self) -> Sequence[Cell]:
        """Each lane's base while they are typed: the one in hand lit, one that is only guessed dim."""
        pad, said = self.pad, self.given.said
        if pad is None:
            return ()
        cells = []
        for n, ms in enumerate(self.given.paces()):
            typing, number = n == self.lane, n + 1
            cells.append(
                Cell(
                    f"base {n}",
                    ((pad.shown or "–") if typing else text_from_ms(ms),),
                    label=(tr("lane {number}", number=number),),
                    look="lit" if typing else "key",
                    bold=typing or n in said,
                    colour="ink" if n in said else "dim",
                )
            )
        return cells
