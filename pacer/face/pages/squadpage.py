"""The squad: lanes and swimmers as a table edited by touch, who is here today, and which squad it is.

Swimmers' names are only here and in their test swims, never on a screen that is propped up.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pacer.face.kit.textures import measure
from pacer.face.pages.squadchangepage import SquadChangePage
from pacer.face.pages.squadinput import OF_LANE, ask_base, ask_name, ask_of_lane
from pacer.face.pages.squadlist import SquadList
from pacer.face.pages.squadtiles import (
    lane_sheet_tiles,
    lane_tiles,
    lanes_tiles,
    proposal_tiles,
    swimmer_tiles,
)
from pacer.face.pages.typedtestswims import TypedTests
from pacer.face.tiles.board import Board, Tile
from pacer.face.tiles.column import Column
from pacer.face.tiles.orderboard import OrderBoard
from pacer.face.tiles.page import CLOSE, PageKey
from pacer.language import tr
from pacer.plan.notation.planreader import pool_from_text
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.wording.commonkeys import CANCEL, UNDO
from pacer.squad.refusal import Refused
from pacer.squad.register import roster as edit
from pacer.squad.register.roster import Roster
from pacer.squad.register.squadfolder import SquadFolder

LANES_SHARE = 0.42  #: share of the width for the list, if list and lane are side by side


class SquadPage(SquadChangePage):
    """Edits the current squad of `squads`; `day` is today's date (`2026-03-02`), `pool` the one to sort lanes for.

    Opened at a `lane`, it is there to correct that lane: then Close closes the page at once. `on_test(lane)` takes
    test swims of a lane, `on_close(roster)` gets the result.
    """

    def __init__(
        self,
        squads: SquadFolder,
        day: str,
        pool: str,
        *,
        lane: int | None = None,
        theme: Theme = DARK,
        glass: Glass | None = None,
        on_test: Callable[[int], None] = lambda lane: None,
        on_close: Callable[[Roster], None] = lambda roster: None,
        **kwargs,
    ):
        super().__init__(squads, day, theme, glass, **kwargs)
        self.pool = pool
        self.on_test, self.on_close = on_test, on_close
        self.lane: int | None = lane  #: the lane shown; None: only the list, on a narrow screen
        self._came_for = lane
        self.swimmer = 0
        self.typed: TypedTests | None = None
        self.list: SquadList | None = None
        self._lanes_wanted = len(self.roster.squad.lanes)
        self._dragged: tuple[str, int, int] | None = None  # lane or swimmer, which, to which place
        self._over: int | None = None  # the lane that a swimmer is dragged onto
        self.lanes = OrderBoard(self.press, self._lane_lifted, self._lane_dropped)
        self.one = OrderBoard(self._press_one, self._swimmer_lifted, self._swimmer_dropped)
        if squads.told:
            self.tell(*squads.told)
            squads.told = ()

    # -- what the bar shows -------------------------------------------------------------------------------

    @property
    def narrow(self) -> bool:
        """Whether there is no room for the list of lanes beside the chosen lane.

        A swimmer's row has a name, a pace, and two things to touch.
        """
        row = 2 * self.target + 4 * self.gap + measure(tr("swimmer 10 0:00.0"), self.cap, True) + 6 * self.padding
        return self.upright or (1 - LANES_SHARE) * self.width < row

    @property
    def _below_the_list(self) -> bool:
        """Whether a lane is shown that Close leaves for the list."""
        return self.narrow and self.lane is not None and self.lane != self._came_for

    def keys(self) -> Sequence[PageKey]:
        """What there is to do."""
        if self.typing:
            return self.answers()
        if self.asked == "propose":
            return (PageKey("take", tr("Use these lanes"), self._proposal()[0] is not None, main=True),)
        if self.asked == "tests" and self.typed is not None:
            return self.typed.keys()
        if self.asked == "squads" and self.list is not None:
            return self.list.keys()
        undo = PageKey("undo", UNDO, self.can_undo)
        if self.asked:
            return (undo,)
        of_lane = PageKey("test", tr("Test swims")), PageKey("pace", tr("Sort fastest first"))
        squad = PageKey("propose", tr("Sort into lanes")), PageKey("squads", tr("Squads")), undo
        return squad if self.lane is None else (*of_lane, *squad)

    @property
    def asks(self) -> bool:
        """Whether something is asked that stays where it is while it is answered."""
        return self.typing or self.apart or bool(self.pad_key())

    @property
    def apart(self) -> bool:
        """Whether names or a doubtful time are asked about."""
        doubts = self.asked == "tests" and self.typed is not None and bool(self.typed.doubts)
        return doubts or (self.asked == "squads" and self.list is not None and self.list.asks_names)

    def pinned(self) -> Sequence[PageKey]:
        """The way out: of what is shown over the page, of a lane shown without the list, or of the page."""
        if self.asked == "propose":  # a whole page: where Close is on every other page, nothing is changed either
            return (PageKey("leave it", CANCEL),)
        if self.asked == "tests" and self.typed is not None:
            return self.typed.pinned()
        if self.typing or self.apart:
            return ()
        if self.asked:
            return (CLOSE._replace(name="leave it"),)
        return (CLOSE._replace(name="all lanes") if self._below_the_list else CLOSE,)

    @property
    def at(self) -> int:
        """The lane shown, for what is asked of a lane alone."""
        assert self.lane is not None, "a lane is shown"
        return self.lane

    def lay_at_zoom(self) -> None:
        """Lay everything out.

        If there is a list, one lane is always chosen beside it, and no question is about a swimmer who has gone.
        """
        if self.lane is not None:
            self.lane = min(self.lane, len(self.roster.squad.lanes) - 1)
        elif not self.narrow:
            self.lane = 0
        if self.asked == "swimmer" and self.swimmer >= len(self.roster.squad.lanes[self.at].swimmers):
            self.asked = ""
        super().lay_at_zoom()

    def lay_page(self) -> None:
        """The list beside the chosen lane; on a narrow screen one of the two; or what is asked."""
        left = self.width if self.narrow else round(self.width * LANES_SHARE)
        shown = (
            {self.sheet}
            if self.asked
            else {self.one if self.lane is not None else self.lanes}
            if self.narrow
            else {self.lanes, self.one}
        )
        for board, x, wide in (
            (self.lanes, self.x, left),
            (self.one, self.x + (0 if self.narrow else left), self.width - (0 if self.narrow else left)),
            (self.sheet, self.x, self.width),
        ):
            if board in shown:
                self.show_board(board, x, wide, self._tiles_of(board, wide))
            else:
                self.remove_widget(board)
        self.boards = [board for board in (self.lanes, self.one, self.sheet) if board in shown]
        self.lay_field()

    def _tiles_of(self, board: Board, width: float) -> list[Tile]:
        column = self.column(width)
        if board is self.lanes:
            return lanes_tiles(
                self.roster,
                self._order("lane", len(self.roster.squad.lanes)),
                None if self.narrow else self.lane,
                self._over,
                column,
            )
        if board is self.one:
            count = len(self.roster.squad.lanes[self.at].swimmers)
            lifted = self._dragged[1] if self._dragged and self._dragged[0] == "swimmer" else None
            if self.narrow:
                column.say(
                    tr(
                        "{name}, lane {number}",
                        name=self.roster.squad.name or tr("The squad"),
                        number=self.roster.squad.lanes[self.at].number,
                    ),
                    bold=True,
                    most=1,
                )
            return lane_tiles(
                self.roster, self.at, self._order("swimmer", count), lifted, column, pool_from_text(self.pool).unit
            )
        return self._sheet_tiles(column)

    def _order(self, what: str, count: int) -> list[int]:
        order = list(range(count))
        if self._dragged and self._dragged[0] == what and self._dragged[1] < count:
            order.insert(self._dragged[2], order.pop(self._dragged[1]))
        return order

    def _sheet_tiles(self, column: Column) -> list[Tile]:
        match self.asked:
            case "pad" | "text":
                return self.asking_tiles(column)
            case "swimmer":
                return swimmer_tiles(self.roster, self.at, self.swimmer, column)
            case "lane":
                return lane_sheet_tiles(self.roster, self.at, column, pool_from_text(self.pool).unit)
            case "propose":
                proposal, refused = self._proposal()
                return proposal_tiles(self.roster, proposal, refused, self._lanes_wanted, self.pool, column)
            case "tests" if self.typed is not None:
                return self.typed.tiles(column, self.upright)
        return [] if self.list is None else self.list.tiles(column)

    # -- lanes proposed ------------------------------------------------------------------------------------

    def _proposal(self) -> tuple[Roster | None, str]:
        try:
            return edit.proposed(self.roster, self._lanes_wanted, pool_from_text(self.pool)), ""
        except Refused as wrong:
            return None, f"{wrong.message}: {wrong.hint}"

    # -- dragging -------------------------------------------------------------------------------------------------

    def _lane_lifted(self, lane: int, _x: float, y: float) -> None:
        self._drag(("lane", lane, self.lanes.slot_at(y)))

    def _lane_dropped(self, lane: int, _x: float, y: float) -> None:
        place, self._dragged = self.lanes.slot_at(y), None
        if place != lane:
            self.lane = None if self.narrow else place
            self.change(lambda roster: edit.lane_moved(roster, lane, place))
        self.lay_out()

    def _swimmer_lifted(self, swimmer: int, x: float, y: float) -> None:
        over = self._lane_under(x, y)
        if over != self._over:
            self._over = over
            self.lay_out()
        self._drag(("swimmer", swimmer, swimmer if over is not None else self.one.slot_at(y)))

    def _swimmer_dropped(self, swimmer: int, x: float, y: float) -> None:
        over, place = self._lane_under(x, y), self.one.slot_at(y)
        self._dragged = self._over = None
        if over is not None and over != self.lane:
            self._to_lane(swimmer, over)
        elif over is None and place != swimmer:
            self.change(lambda roster: edit.swimmer_moved(roster, self.at, swimmer, self.at, place))
        self.lay_out()

    def _drag(self, dragged: tuple[str, int, int]) -> None:
        if dragged != self._dragged:
            self._dragged = dragged
            self.lay_out()

    def _lane_under(self, x: float, y: float) -> int | None:
        """The lane of the list at that point, if the list is shown beside the lane."""
        if self.narrow or not self.lanes.collide_point(x, y):
            return None
        names = [
            name for name, box in self.lanes.placed() if box.y <= y < box.top and name.startswith(("lane ", "grip "))
        ]
        return int(names[0].split()[1]) if names else None

    def _to_lane(self, swimmer: int, lane: int) -> None:
        self.change(lambda roster: edit.swimmer_moved(roster, self.at, swimmer, lane))

    def pad_key(self) -> str:
        """The key that saves what is typed on the page's pad, or on that of a typed test."""
        return (
            "take time"
            if self.typed is not None and self.asked == "tests" and self.typed.pad is not None
            else super().pad_key()
        )

    # -- actions -----------------------------------------------------------------------------------------------------

    def _press_one(self, name: str) -> None:
        """A tile of the chosen lane: its grips are swimmers'."""
        self.press(name.replace("grip ", "swimmer "))

    def press(self, name: str) -> None:
        """Do what a tile or key is for."""
        what, _, number = name.partition(" ")
        asked = {"tests": self.typed, "squads": self.list}.get(self.asked)
        if asked is not None and asked.press(name):
            self.lay_out()
        elif what in ("lane", "grip", "here", "name", "base", "swimmer", "to", "lanes") and number.isdigit():
            self._press_numbered(what, int(number))
        elif what == "factor":
            place = self.swimmer if self.asked == "swimmer" else None
            self.change(lambda roster: edit.with_factor(roster, self.at, place, name.partition(" ")[2], None))
            self.lay_out()
        elif not self.press_typing(name):
            self._press_named(name)

    def _press_numbered(self, what: str, number: int) -> None:
        match what:
            case "lane":
                self.lane = number
            case "grip":
                self.lane, self.asked = number, "lane"
            case "here":
                self.change(lambda roster: edit.turned(roster, self.at, number))
            case "swimmer":
                self.swimmer, self.asked = number, "swimmer"
            case "name":
                ask_name(self, self.at, number)
            case "base":
                ask_base(self, self.at, number)
            case "to":
                swimmer, self.asked = self.swimmer, ""
                self._to_lane(swimmer, number)
            case "lanes":
                self._lanes_wanted = number
        self.lay_out()

    def _press_named(self, name: str) -> None:
        match name:
            case "leave":
                self.on_close(self.roster)
                return
            case "all lanes":
                self.lane = None
            case "take":
                self._take_proposal()
            case "undo":
                self.undo()
            case "test":
                self.on_test(self.at)
                return
            case "pace":
                self.change(lambda roster: edit.in_order_of_pace(roster, self.at))
            case "propose":
                self._lanes_wanted = min(10, len(self.roster.squad.lanes))
                self.asked = "propose"
            case "squads":
                self.list, self.asked = SquadList(self), "squads"
            case "add lane":
                if self.change(edit.lane_added) and not self.narrow:
                    self.lane = len(self.roster.squad.lanes) - 1
            case "add swimmer":
                self.change(lambda roster: edit.swimmer_added(roster, self.at))
            case "all here":
                self.change(lambda roster: edit.all_here(roster, self.at))
            case "up" | "down":
                self._step(-1 if name == "up" else 1)
            case "out":
                if self.change(lambda roster: edit.swimmer_gone(roster, self.at, self.swimmer)):
                    self.asked = ""
            case "lane out":
                if self.change(lambda roster: edit.lane_gone(roster, self.at)):
                    self.asked = ""
                    self.lane = None if self.narrow else 0
            case "typed tests":
                self.typed, self.asked = (
                    TypedTests(self, self.roster.squad.lanes[self.at].swimmers[self.swimmer].tests),
                    "tests",
                )
            case _ if name in OF_LANE:
                ask_of_lane(self, self.at, name)
        self.lay_out()

    def _step(self, step: int) -> None:
        """A lane or swimmer one place up or down."""
        if self.asked == "swimmer":
            place = self.swimmer + step
            if 0 <= place < len(self.roster.squad.lanes[self.at].swimmers) and self.change(
                lambda roster: edit.swimmer_moved(roster, self.at, self.swimmer, self.at, place)
            ):
                self.swimmer = place
        elif 0 <= self.at + step < len(self.roster.squad.lanes) and self.change(
            lambda roster: edit.lane_moved(roster, self.at, self.at + step)
        ):
            self.lane = self.at + step

    def _take_proposal(self) -> None:
        proposal, _ = self._proposal()
        if proposal is not None and self.change(lambda _: proposal):
            self.lane = None if self.narrow else 0
            self.close_sheet()

    def step_back(self) -> None:
        """The lane, then the page."""
        if self._below_the_list:
            self.press("all lanes")
        else:
            self.press("leave")
