"""The list of squads, and what can be done with each as a file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from pacer.face.pages.filechooser import Files
from pacer.face.pages.rosterpage import SquadActs
from pacer.face.tiles.board import Tile
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.page import PageKey
from pacer.plan.library.shelf import ShelfTrouble
from pacer.show.measure.typesizes import TITLE
from pacer.squad.register import roster as edit
from pacer.squad.register.squadfolder import SUFFIX, Squads, SquadsTrouble

if TYPE_CHECKING:
    from pathlib import Path


class SquadList:
    """The list of squads of `page`."""

    def __init__(self, page: SquadActs):
        self.page = page
        self.asks_names = False  #: whether it is asking if an export includes names

    def keys(self) -> Sequence[PageKey]:
        """What can be done with the current squad."""
        if self.asks_names:
            return (
                PageKey("without names", "Without names"),
                PageKey("with names", "With names"),
                PageKey("leave out", "Cancel"),
            )
        return (
            PageKey("new squad", "New"),
            PageKey("copy squad", "Copy"),
            PageKey("rename squad", "Rename"),
            PageKey("put away", "Hide"),
            PageKey("bring in", "Import"),
            PageKey("give out", "Export"),
        )

    def tiles(self, column: Column) -> list[Tile]:
        """All squads, and the hidden ones."""
        squads = self.page.squads
        if self.asks_names:
            column.say("Swimmers' names are personal data, often a child's. Include them?", bold=True)
            return column.tiles
        column.say("Squads", bold=True, scale=TITLE)
        column.skip(0.3)
        for card in squads.cards():
            lanes = f"{card.lanes} lane{'s' if card.lanes > 1 else ''}"
            swimmers = f"{card.swimmers} swimmer{'s' if card.swimmers > 1 else ''}"
            column.row(
                Cell(
                    f"squad {card.name}",
                    (f"{card.title}: {lanes}, {swimmers}", f"{card.title}: {swimmers}", card.title),
                    across="left",
                    look="lit" if card.name == squads.current else "key",
                )
            )
        away = squads.put_away_names()
        if away:
            column.say("Hidden:", colour="dim")
            column.skip(0.3)
        for name in away:
            column.row(Cell(f"back {name}", (f"{name}: show again", name), across="left", bold=False))
        return column.tiles

    def press(self, name: str) -> bool:
        """Do what a tile or key is for; False if it is neither."""
        page, squads = self.page, self.page.squads
        what, _, rest = name.partition(" ")
        try:
            match name:
                case "new squad":
                    squads.new()
                    self._taken()
                    self._ask_name()
                case "copy squad":
                    squads.copy(squads.current)
                    self._taken()
                case "rename squad":
                    self._ask_name()
                case "put away":
                    squads.put_away(squads.current)
                    self._taken()
                case "bring in":
                    Files(
                        _Shelf(squads, True),
                        SUFFIX,
                        "Choose a squad",
                        "save it on this device first, then choose it from there",
                    ).bring_in(self._brought)
                case "give out":
                    self.asks_names = True
                case "without names" | "with names":
                    self.asks_names = False
                    Files(_Shelf(squads, name == "with names"), SUFFIX, "Choose a squad").give_out(
                        squads.current, lambda said: page.tell(said) if said else None
                    )
                case "leave out":
                    self.asks_names = False
                case _ if what == "squad":
                    squads.choose(rest)
                    self._taken()
                case _ if what == "back":
                    squads.choose(squads.bring_back(rest))
                    self._taken()
                case _:
                    return False
        except SquadsTrouble as error:
            page.tell(str(error))
        return True

    def _taken(self) -> None:
        """Another squad is now the current one."""
        page = self.page
        page.roster = page.squads.roster(page.day)
        page.lane = None if page.narrow else 0
        page.forget()

    def _ask_name(self) -> None:
        """Ask for the name of the current squad, then show it."""
        page = self.page
        page.ask_text(
            "What is the squad called?",
            page.roster.squad.name,
            lambda text: page.change(lambda roster: edit.named(roster, text)),
        )

    def _brought(self, names: tuple[str, ...], said: str) -> None:
        if names:
            self._taken()
        if said:
            self.page.tell(said)
        self.page.lay_out()


class _Named(NamedTuple):
    name: str


class _Shelf:
    """The squads as `Files` wants them."""

    def __init__(self, squads: Squads, names: bool):
        self.squads, self.names, self.folder = squads, names, squads.folder

    def bring_in(self, data: bytes, name: str = "") -> _Named:
        """Import a squad's file."""
        try:
            return _Named(self.squads.bring_in(data, name))
        except SquadsTrouble as error:
            raise ShelfTrouble(str(error)) from None

    def give_out(self, name: str, path: Path) -> None:
        """Export a squad."""
        try:
            self.squads.give_out(name, path, self.names)
        except SquadsTrouble as error:
            raise ShelfTrouble(str(error)) from None
