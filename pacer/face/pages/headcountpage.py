"""Head count before the start: how many of each lane are here, counted as they get in.

Nobody is named here. Each lane's number opens its swimmers, where the coach says who is absent.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pacer.face.pages.squadchangepage import SquadChangePage
from pacer.face.tiles.board import Board, Tile
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.numberpad import Pad
from pacer.face.tiles.page import PageKey
from pacer.face.tiles.pagegrid import LARGER
from pacer.language import tr
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.measure.typesizes import TITLE
from pacer.show.wording.commonkeys import UNDO
from pacer.squad.register import roster as edit
from pacer.squad.register.squadfolder import SquadFolder

BETWEEN = 3  #: gaps between two columns of lanes
ROW_TARGETS = 4.8  #: the least width of a lane's row, in key heights


class HeadCountPage(SquadChangePage):
    """The heads of the current squad of `squads` on `day`. `counted`: how many were counted before; None: not yet.

    `on_count(heads)` is called with how many went into the water, `on_lane(lane)` opens a lane's swimmers,
    `on_close()` goes back.
    """

    zooms = LARGER

    def __init__(
        self,
        squads: SquadFolder,
        day: str,
        counted: int | None = None,
        *,
        theme: Theme = DARK,
        glass: Glass | None = None,
        on_count: Callable[[int], None] = lambda heads: None,
        on_lane: Callable[[int], None] = lambda lane: None,
        on_close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(squads, day, theme, glass, **kwargs)
        self.counted = counted
        self.on_count, self.on_lane, self.on_close = on_count, on_lane, on_close
        self.board = Board(self.press)
        self.lay_out()

    # -- what the bar shows -------------------------------------------------------------------------------

    def keys(self) -> Sequence[PageKey]:
        """The key that saves the count."""
        if self.typing:
            return self.answers()
        heads = self.roster.heads
        return (
            PageKey("went", tr("Save count: {heads}", heads=heads), heads > 0, main=True),
            PageKey("other", tr("Type the number")),
            PageKey("undo", UNDO, self.can_undo),
        )

    def lay_page(self) -> None:
        """The lanes, or the count being typed."""
        column = self.column(self.width)
        self.remove_widget(self.board if self.typing else self.sheet)
        board = self.sheet if self.typing else self.board
        self.show_board(board, self.x, self.width, self.asking_tiles(column) if self.typing else self._tiles(column))
        self.boards = [board]

    def _tiles(self, column: Column) -> list[Tile]:
        lanes, heads = self.roster.squad.lanes, self.roster.heads
        away = sum(len(lane.swimmers) for lane in lanes) - heads
        column.say(
            tr("{heads} here, {away} absent", heads=heads, away=away) if away else tr("{heads} here", heads=heads),
            bold=True,
            scale=TITLE,
            most=1,
        )
        if self.counted is not None:
            column.say(
                tr("{counted} counted", counted=self.counted),
                bold=True,
                colour="ink" if self.counted == heads else "warn",
            )
        column.say(tr("Press – if one is absent, + if one more is here. Tap a lane to say who."), colour="dim")
        column.skip(0.5)
        between = BETWEEN * self.gap
        across = 2 if len(lanes) > 1 and (column.width - between) / 2 >= ROW_TARGETS * self.target + 3 * self.gap else 1
        down = -(-len(lanes) // across)
        wide = (column.width - (across - 1) * between) / across
        for first in range(0, len(lanes), down):
            rows = Column(
                wide,
                self.cap,
                column.padding,
                self.gap,
                self.target,
                x=column.x + first // down * (wide + between),
                top=column.top,
            )
            for lane in range(first, min(first + down, len(lanes))):
                self._row(lane, rows)
            column.tiles += rows.tiles
        return column.tiles

    def _row(self, lane: int, rows: Column) -> None:
        """A lane's number, fewer and more, and its heads in between."""
        told, here = self.roster.squad.lanes[lane], self.roster.here(lane)
        heads = (
            (tr("{here} of {swimmers}", here=here, swimmers=len(told.swimmers)), str(here))
            if here < len(told.swimmers)
            else (str(here),)
        )
        rows.row(
            Cell(f"lane {lane}", (tr("Lane {number}", number=told.number), str(told.number)), share=1.5),
            Cell(f"less {lane}", ("–",), able=here > 0),
            Cell("", heads, look="plain", share=1.3, colour="warn" if here < len(told.swimmers) else "ink"),
            Cell(f"more {lane}", ("+",)),
        )

    # -- actions --------------------------------------------------------------------------------------------

    def press(self, name: str) -> None:
        """Do what a tile or key is for."""
        what, _, number = name.partition(" ")
        if self.press_typing(name):
            return
        match what:
            case "less":
                self.change(lambda roster: edit.one_fewer(roster, int(number)))
            case "more" if number:
                self.change(lambda roster: edit.one_more(roster, int(number)))
            case "lane":
                self.on_lane(int(number))
            case "went":
                self._count(self.roster.heads)
            case "other":
                self.ask_pad(Pad(tr("How many did you count?"), self.roster.heads, time=False, step=1), self._count)
            case "undo":
                self.undo()
            case "leave":
                self.on_close()

    def _count(self, heads: int | None) -> bool:
        """Save that many; if nobody is here there is nothing to count."""
        if heads is None or heads <= 0:
            self.tell(tr("nobody is marked as here yet"))
            return False
        self.on_count(heads)
        return True

    def step_back(self) -> None:
        """Leave the page."""
        self.on_close()
