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
LEAST_COLUMN = 28  #: least width of one of two columns, in character heights

TITLE_SAID = tr("Your lanes")
EXPLAINED = tr("Rough answers will do.")
BASE_SAID = tr("Base: the pace per 100 that a lane can hold for 30 minutes, not the interval.")


class FirstPage(AskingPage):
    """`on_own(squad, pool, booking_min)` gets the answers, `on_demo()` starts the demo, `on_close()` is for Close."""

    zooms = LARGER

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
        super().lay_out()
        self.given = given
        self.lay_at_zoom()

    def roomy(self) -> bool:
        """Whether everything is in sight: a lane's key may say its number alone."""
        return self.in_sight()

    def lay_page(self) -> None:
        """The questions, or the pad for a base."""
        tiles = self.asking_tiles(self.column(self.width)) if self.typing else self._questions()
        self.show_board(self.board, self.x, self.width, tiles)

    def _questions(self) -> list[Tile]:
        """The questions, one row each, and each lane's base; side by side if there is room."""
        gap, cap = self.gap, self.cap
        across = self.width >= 2 * LEAST_COLUMN * cap
        whole = self.width - 2 * gap
        wide = (whole - 3 * gap) / 2 if across else whole if self.upright else min(whole, WIDEST * cap)
        first = Column(whole, cap, self.padding, gap, self.target, x=gap, top=gap)
        first.say(TITLE_SAID, bold=True, scale=TITLE)
        first.say(EXPLAINED, colour="dim")
        first.skip(0.7)
        first.width, top = wide, first.top
        self._ask_session(first)
        second = Column(wide, cap, self.padding, gap, self.target, x=4 * gap + wide, top=top) if across else first
        self._ask_bases(second)
        return [*first.tiles, *(second.tiles if across else ())]

    def _ask_session(self, column: Column) -> None:
        """The pool, for how long, how many lanes and swimmers."""
        answers = self.given
        pools = list(dict.fromkeys((*POOLS, self.pool)))
        column.say(tr("Pool"))
        column.row(*(Cell(f"pool {pool}", (pool,), look="lit" if pool == self.pool else "key") for pool in pools))
        self._steps(column, "booking", tr("Booked for"), tr("{n} min", n=self.booking_min))
        column.say(tr("Lanes"))
        fit = (column.width + column.gap) // (column.target + column.gap)
        cells = [
            Cell(f"lanes {n}", (str(n),), look="lit" if n == answers.lanes else "key")
            for n in range(1, LANES_OFFERED + 1)
        ]
        column.grid(cells, LANES_OFFERED if fit >= LANES_OFFERED else LANES_OFFERED // 2)
        self._steps(column, "swimmers", tr("Swimmers per lane"), str(answers.swimmers))

    def _ask_bases(self, column: Column) -> None:
        """The fastest and the slowest lane, and a key for each lane between them."""
        answers = self.given
        column.say(BASE_SAID, colour="dim")
        column.skip(0.5)
        self._steps(column, "fast", tr("Fastest lane"), text_from_ms(answers.fast_ms))
        if answers.lanes > 1:
            self._steps(column, "slow", tr("Slowest lane"), text_from_ms(answers.slow_ms))
        column.say(tr("Or type each lane's:"))
        column.skip(0.3)
        cells = [
            Cell(f"base {n}", (text_from_ms(ms),), label=(tr("lane {number}", number=n + 1), str(n + 1)))
            for n, ms in enumerate(answers.paces())
        ]
        column.grid(cells, min(5, max(3, len(cells))))

    def _steps(self, column: Column, name: str, label: str, value: str) -> None:
        """A question, and its answer between less and more; below it if there is no room beside."""
        less = Cell(f"{name} -1", ("–",), width=1.2 * column.target)
        more = Cell(f"{name} 1", ("+",), width=1.2 * column.target)
        said = Cell(ways=(value,), look="plain", width=measure(tr("{n} min", n=100), column.cap, True) + column.padding)
        if measure(label, column.cap) > column.width - less.width - more.width - said.width - 3 * column.gap:
            column.say(label)
            column.row(less, said._replace(width=0.0), more)
        else:
            column.row(Cell(ways=(label,), look="plain", across="left", bold=False), less, said, more)

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

        paces, last, note, before = self.given.paces(), place + 1 == self.given.lanes, "", None
        following = None if last else Following(NEXT_LANE, lambda: self._ask_base(place + 1, after=True), True)
        if after:
            typed = text_from_ms(paces[place - 1])
            note = tr("Lane {number} is {base}. To correct it, tap Erase.", number=place, base=typed)
            before = partial(self._ask_base, place - 1)
        elif not last:
            note = tr("Type 135 for 1:35; lane {number} follows.", number=place + 2)
        asked = tr("Base of lane {number}, per 100", number=place + 1)
        self.ask_pad(Pad(asked, paces[place], most=SLOWEST_MS), take, following, note=note, before=before)
