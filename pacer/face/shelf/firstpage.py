"""The first start: a few answers make the coach's own squad, then a plan is written; or the demo session is tried."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pacer.face.kit.textures import measure
from pacer.face.tiles.board import Board
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.page import CLOSE, Page, PageKey
from pacer.language import tr
from pacer.plan.model import POOLS
from pacer.plan.times import text_from_ms
from pacer.show.editing.firstsquad import FirstSquad
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.measure.typesizes import TITLE
from pacer.squad.squad import Squad

MOST_LANES = 10  #: offered here; the squad's own page can add more
WIDEST = 44  #: greatest width of the answers, in character heights

TITLE_SAID = tr("Your lanes")
EXPLAINED = tr("Rough answers are fine: you can change everything later.")
BASE_SAID = tr("Base: the pace per 100 that the lane could hold for about 30 minutes.")


class FirstPage(Page):
    """`on_own(squad, pool)` gets the squad, `on_demo()` starts the demo, `on_close()` opens the shelf."""

    def __init__(
        self,
        pool: str = "25 m",
        *,
        theme: Theme = DARK,
        glass: Glass | None = None,
        on_own: Callable[[Squad, str], None] = lambda squad, pool: None,
        on_demo: Callable[[], None] = lambda: None,
        on_close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(theme, glass, on_close, **kwargs)
        self.answers, self.pool = FirstSquad(), pool
        self.on_own, self.on_demo = on_own, on_demo
        self.board = Board(self.press)
        self.boards = [self.board]
        self.add_widget(self.board, index=len(self.children))
        self.lay_out()

    def pinned(self) -> Sequence[PageKey]:
        """The way to the shelf."""
        return (CLOSE,)

    def keys(self) -> Sequence[PageKey]:
        """Continue with one's own lanes, or with the demo."""
        return PageKey("own", tr("Write my first plan"), main=True), PageKey("demo", tr("Try the demo session"))

    def lay_page(self) -> None:
        """The questions, one row each, and the resulting lanes."""
        gap, answers = self.gap, self.answers
        wide = min(self.width - 2 * gap, WIDEST * self.cap)
        column = Column(wide, self.cap, self.padding, gap, self.target, x=gap, top=gap)
        column.say(TITLE_SAID, bold=True, scale=TITLE)
        column.say(EXPLAINED, colour="dim")
        column.skip(0.7)
        pools = list(dict.fromkeys((*POOLS, self.pool)))
        column.say(tr("Pool"))
        column.row(*(Cell(f"pool {pool}", (pool,), look="lit" if pool == self.pool else "key") for pool in pools))
        column.say(tr("Lanes"))
        across = max(5, min(MOST_LANES, int((column.width + gap) // (column.target + gap))))
        cells = [
            Cell(f"lanes {n}", (str(n),), look="lit" if n == answers.lanes else "key") for n in range(1, MOST_LANES + 1)
        ]
        column.grid(cells, across)
        self._steps(column, "swimmers", tr("Swimmers in each lane"), str(answers.swimmers))
        column.say(BASE_SAID, colour="dim")
        self._steps(column, "fast", tr("Base of the fastest lane, per 100"), text_from_ms(answers.fast_ms))
        if answers.lanes > 1:
            self._steps(column, "slow", tr("Base of the slowest lane, per 100"), text_from_ms(answers.slow_ms))
        column.skip(0.5)
        column.say(answers.said()[:1].upper() + answers.said()[1:], bold=True)
        self.board.pos, self.board.size = (self.x, self.bar.top), (self.width, max(1, self.top - self.bar.top))
        self.board.show(column.tiles, self.cap, self.padding)

    def _steps(self, column: Column, name: str, label: str, value: str) -> None:
        """A question, and its answer between less and more; below it if there is no room beside."""
        less = Cell(f"{name} -1", ("–",), width=1.4 * column.target)
        more = Cell(f"{name} 1", ("+",), width=1.4 * column.target)
        said = Cell(ways=(value,), look="plain", width=measure("10:00", column.cap, True) + 2 * column.padding)
        if measure(label, column.cap) > column.width - less.width - more.width - said.width - 3 * column.gap:
            column.say(label)
            column.row(less, said._replace(width=0.0), more)
        else:
            column.row(Cell(ways=(label,), look="plain", across="left", bold=False), less, said, more)

    def press(self, name: str) -> None:
        """Take an answer, or continue."""
        what, _, value = name.partition(" ")
        if name == "leave":
            self.close()
        elif name == "own":
            self.on_own(self.answers.squad(), self.pool)
        elif name == "demo":
            self.on_demo()
        else:
            if what == "pool":
                self.pool = value
            else:
                self.answers = self.answers.changed(what, int(value))
            self.lay_out()
