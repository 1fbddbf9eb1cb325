"""Home: the shelf of plans, and above it the ways to everything else."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from kivy.clock import Clock

from pacer.face.pages.squadtiles import heads_said
from pacer.face.shelf.shelfpage import ShelfPage
from pacer.face.tiles.board import Tile
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.page import PageKey
from pacer.face.tiles.questionlayout import aside, asked
from pacer.language import tr
from pacer.show.measure.typesizes import TITLE
from pacer.show.wording.commonkeys import CANCEL
from pacer.squad.register.roster import Roster


class HomePage(ShelfPage):
    """The shelf, for `roster`.

    `ways`: names and what they open: line, squad, settings, log, cautions; `on` if a session is running, `test` if
    test swims are unfinished.
    """

    def __init__(self, *args, roster: Roster, ways: dict[str, Callable[[], None]], **kwargs):
        self.roster, self.ways = roster, ways
        self.closing = False  #: whether it is asking if the app should close
        self._ending = Clock.create_trigger(lambda _dt: super(HomePage, self).do("leave"), 0)
        super().__init__(*args, everybody=roster.squad, **kwargs)

    def pinned(self) -> Sequence[PageKey]:
        """The way out, unless it is asked about."""
        return () if self.closing else super().pinned()

    def keys(self) -> Sequence[PageKey]:
        """The shelf's keys, with the log and the cautions among the first."""
        if self.closing:
            return PageKey("quit", tr("Close the app")), PageKey("stay", CANCEL, main=True)
        keys = list(super().keys())
        if not self.away and not self.searching:
            keys[2:2] = [PageKey("log", tr("Log")), PageKey("cautions", tr("Cautions"))]
            keys.insert(-1, PageKey("drills", tr("Drills")))
        return keys

    def _tiles(self) -> list[Tile]:
        if self.closing:
            return self._closing_tiles()
        tiles = super()._tiles()
        if self.away or self.searching:
            return tiles
        column = Column(
            self.width - 2 * self.gap, self.cap, self.padding, self.gap, self.target, x=self.gap, top=self.gap
        )
        squad = self.roster.squad
        heads = heads_said(self.roster.heads, sum(len(lane.swimmers) for lane in squad.lanes))
        on = [Cell("on", (tr("Open the running session"), tr("Running session"), tr("Session")), look="lit", share=1.8)]
        on *= "on" in self.ways
        if self.upright and on:
            column.row(*on)
        if "test" in self.ways:
            column.row(Cell("test", (tr("Finish the test swims"), tr("Test swims")), look="lit"))
        line, settings = (
            Cell("line", (tr("Quick set"), tr("Quick set")), share=1.2),
            Cell("settings", (tr("Settings"),)),
        )
        label = *(tr("Squad, {said}", said=said) for said in heads), tr("Squad")
        named = Cell("squad", (squad.name or tr("no name"),), label=label, share=2.2)
        if self.upright:
            column.row(line, settings)
            column.row(named)
        else:
            column.row(*on, line, named, settings)
        down = column.top - self.gap
        return [*column.tiles, *(tile._replace(top=tile.top + down) for tile in tiles)]

    @property
    def asks(self) -> bool:
        """Whether it asks if the app should close."""
        return self.closing

    def _closing_tiles(self) -> list[Tile]:
        """The question, far from the key that asked: a second tap there does not close the app."""
        side = aside(self) + self.gap
        column = Column(self.width - 2 * side, self.cap, self.padding, self.gap, self.target, x=side, top=self.gap)
        column.say(tr("Close the app?"), bold=True, scale=TITLE)
        column.say(tr("Everything is saved."), colour="dim")
        column.skip(0.5)
        return column.tiles

    def lay_page(self) -> None:
        """The shelf, or the question in its middle."""
        super().lay_page()
        if self.closing:
            tiles = asked(self, self.board.tiles)
            self.fill_room(self.board)
            self.board.show(tiles, self.cap, self.padding)

    def back(self) -> None:
        """Escape: the question first."""
        if self.closing:
            self.press("stay")
        else:
            super().back()

    def do(self, name: str) -> None:
        if name in ("leave", "stay"):
            self.closing = name == "leave"
            self.lay_out()
        elif name == "quit":
            self.tell(tr("closing …"))  # it takes a moment: show that first
            self._ending()
        elif name in self.ways:
            self.close_down()
            self.ways[name]()
        else:
            super().do(name)
