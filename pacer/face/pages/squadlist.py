"""The list of squads, and what can be done with each as a file."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple

from pacer.face.pages.columnquestions import ColumnQuestions
from pacer.face.pages.filechooser import INSTEAD, Files
from pacer.face.pages.squadchangepage import SquadActs
from pacer.face.tiles.board import Tile
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.page import PageKey
from pacer.language import tr, tr_n
from pacer.plan.library.shelf import ShelfTrouble
from pacer.plan.notation.planreader import pool_from_text
from pacer.plan.problem import Unreadable
from pacer.review.exports.lastexchange import came_on
from pacer.show.after.exportnames import squad_file
from pacer.show.after.origins import origins
from pacer.show.measure.typesizes import TITLE
from pacer.show.wording.commonkeys import CANCEL
from pacer.squad.files.csvcolumns import UnknownColumns
from pacer.squad.files.swimmerlist import SWIMMERS, swimmers_from_bytes, swimmers_from_csv
from pacer.squad.refusal import Refused
from pacer.squad.register import roster as edit
from pacer.squad.register.columnmemory import ColumnMemory
from pacer.squad.register.squadfolder import SUFFIX, SquadFolder, SquadsTrouble
from pacer.squad.squad import DEFAULT_SPACING_MS
from pacer.squad.trials.laneproposal import propose_lanes

CSV = ".csv"
#: Test swims that a column may be, besides those that its name says.
TESTS = tuple((str(far), tr("a {far}, all out", far=far)) for far in (50, 100, 200, 400, 800, 1500))


class SquadList:
    """The list of squads of `page`."""

    def __init__(self, page: SquadActs):
        self.page = page
        self.asks_names = False  #: whether it is asking if an export includes names
        self.columns: ColumnQuestions | None = None  #: while columns of a list of swimmers are asked about
        self._chosen: tuple[bytes, str] = (b"", "")  #: that list, and its name

    def keys(self) -> Sequence[PageKey]:
        """What can be done with the current squad."""
        if self.columns is not None:
            return self.columns.keys()[:1]
        if self.asks_names:
            return (
                PageKey("without names", tr("Without names")),
                PageKey("with names", tr("With names")),
                PageKey("leave out", CANCEL),
            )
        return (
            PageKey("new squad", tr("New")),
            PageKey("copy squad", tr("Duplicate")),
            PageKey("rename squad", tr("Rename")),
            PageKey("put away", tr("Hide")),
            PageKey("bring in", tr("Import")),
            PageKey("give out", tr("Export")),
        )

    def tiles(self, column: Column) -> list[Tile]:
        """All squads, and the hidden ones."""
        squads = self.page.squads
        if self.columns is not None:
            self.columns.say(column)
            return column.tiles
        if self.asks_names:
            column.say(tr("Swimmers' names are personal data, often children's. Include them?"), bold=True)
            return column.tiles
        column.say(tr("Squads"), bold=True, scale=TITLE)
        column.skip(0.3)
        cards = squads.cards()
        apart = origins([(card.name, card.title) for card in cards], came_on(squads.folder)["squads"])
        for card in cards:
            titles = [f"{card.title}, {way}" for way in apart.get(card.name, ())] or [card.title]
            lanes = tr_n("{n} lane", "{n} lanes", card.lanes)
            swimmers = tr_n("{n} swimmer", "{n} swimmers", card.swimmers)
            column.row(
                Cell(
                    f"squad {card.name}",
                    (f"{titles[0]}: {lanes}, {swimmers}", *(f"{title}: {swimmers}" for title in titles), *titles),
                    across="left",
                    look="lit" if card.name == squads.current else "key",
                )
            )
        away = squads.put_away_names()
        if away:
            column.say(tr("Hidden:"), colour="dim")
            column.skip(0.3)
        for name in away:
            column.row(Cell(f"back {name}", (tr("{name}: show again", name=name), name), across="left", bold=False))
        return column.tiles

    def press(self, name: str) -> bool:
        """Do what a tile or key is for; False if it is neither."""
        page, squads = self.page, self.page.squads
        if self.columns is not None and (name == "leave it" or self.columns.press(name)):
            self._answered(name != "leave it")
            return True
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
                        tr("Choose a squad"),
                        INSTEAD,
                        aside=self.take_list,
                    ).bring_in(self._brought)
                case "give out":
                    self.asks_names = True
                case "without names" | "with names":
                    self.asks_names, names = False, name == "with names"
                    Files(_Shelf(squads, names), SUFFIX, tr("Choose a squad")).give_out(
                        squads.current,
                        lambda said: page.tell(said) if said else None,
                        squad_file(squads.current, names),
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
            tr("What is the squad called?"),
            page.roster.squad.name,
            lambda text: page.change(lambda roster: edit.named(roster, text)),
        )

    # -- a list of swimmers ---------------------------------------------------------------------------------

    def take_list(self, data: bytes, name: str) -> bool:
        """Take a CSV file of swimmers aside; False for any other file."""
        if not name.lower().endswith(CSV):
            return False
        self._chosen = data, name
        self._read_list()
        return True

    def _read_list(self) -> None:
        """Make a squad of the list: as many lanes as the current squad has, sorted by pace."""
        page, (data, name) = self.page, self._chosen
        known = ColumnMemory(page.squads.folder).known(SWIMMERS)
        try:
            listed = swimmers_from_bytes(data, lambda text: swimmers_from_csv(text, known=known))
            lanes = min(len(page.roster.squad.lanes), len(listed.swimmers))
            squad = propose_lanes(listed.swimmers, lanes, pool_from_text(page.pool), spacings_ms=(DEFAULT_SPACING_MS,))
            page.squads.add(replace(squad, name=Path(name).stem[:60]))
        except UnknownColumns as unknown:
            self.columns = ColumnQuestions(SWIMMERS, unknown.columns, TESTS)
        except Unreadable as error:
            problem = error.problems[0]
            page.tell(problem.said_of(name), problem.message)
        except (Refused, SquadsTrouble) as wrong:
            page.tell(str(wrong))
        else:
            self._taken()
            taken = tr_n(
                "{swimmers} swimmers in {n} lane, fastest first",
                "{swimmers} swimmers in {n} lanes, fastest first",
                lanes,
                swimmers=len(listed.swimmers),
            )
            page.tell(f"{taken}. {listed.untimed_said}" if listed.untimed else taken)
        page.lay_out()

    def _answered(self, taken: bool) -> None:
        """A column was answered, or all of it was cancelled."""
        asked = self.columns
        if asked is None or not taken:
            self.columns = None
        elif asked.done:
            self.columns = None
            try:
                ColumnMemory(self.page.squads.folder).learn(SWIMMERS, asked.answers)
            except OSError as error:
                self.page.tell(tr("The answers can't be saved: {strerror}", strerror=error.strerror))
                return
            self._read_list()

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

    def __init__(self, squads: SquadFolder, names: bool):
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
