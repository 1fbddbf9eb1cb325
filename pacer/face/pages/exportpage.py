"""Everything on this tablet as one file, and importing such a file from another tablet."""

from __future__ import annotations

import logging
from collections.abc import Callable, Sequence

from kivy.clock import Clock

from pacer.face.pages.askingpage import AskingPage
from pacer.face.pages.filechooser import INSTEAD, Files, OneFile
from pacer.face.tiles.board import Board
from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.page import CLOSE, PageKey
from pacer.language import tr
from pacer.plan.library.shelf import ShelfTrouble
from pacer.plan.sentence import sentence
from pacer.review.exports.archivezip import MOST_PACKED
from pacer.session.storage.store import Store, StoreTrouble
from pacer.session.timesource import wall_ms
from pacer.show.after.exportnames import tablet_file
from pacer.show.after.tabletexports import AskFirst, archive_told, calendar, imported, leaving
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme
from pacer.show.measure.typesizes import TITLE
from pacer.signal.slowcalls import Worker

log = logging.getLogger(__name__)

ARCHIVE, CALENDAR = ".zip", ".ics"
NAMES = (tr("Names: left out"), tr("Names: included"))


class ExportPage(AskingPage):
    """Exports everything on `store`'s tablet, and imports. `day()` is today, for a file's name, `now_ms()` the time of
    day; `on_import()` is called after an import and returns what else there is to say; `on_close()` closes the page.
    """

    def __init__(
        self,
        store: Store,
        day: Callable[[], str] = lambda: "",
        *,
        now_ms: Callable[[], int] = wall_ms,
        theme: Theme = DARK,
        glass: Glass | None = None,
        on_import: Callable[[], tuple[str, ...]] = lambda: (),
        on_close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(theme, glass, close=on_close, **kwargs)
        self.store, self.day, self.now_ms, self.on_import = store, day, now_ms, on_import
        self.names = False  #: whether swimmers' names are included
        self.said: tuple[str, ...] = ()  #: the result of the last export or import
        self.pressed = ""  #: the key that began it
        self.stays: tuple[str, ...] = ()  #: what was not exported, because a name is in it
        self.waiting = b""  #: an archive that would delete sessions here, until the coach has agreed
        self.busy = ""  #: what is going on at the moment
        self.board = Board(self.press)
        self._worker = Worker("moving")

    def close_down(self) -> None:
        """Stop all work."""
        self._worker.close()

    # -- what the bar shows -------------------------------------------------------------------------------

    def pinned(self) -> Sequence[PageKey]:
        """The way out."""
        return (CLOSE,)

    def keys(self) -> Sequence[PageKey]:
        """Nothing: each key is with what it is about."""
        return ()

    def lay_page(self) -> None:
        """What is exported and imported, each with its keys and its result; side by side if there is room."""
        half = self.width / 2
        column = self.column(self.width if self.upright else half)
        self._say_export(column)
        column.skip(1.2)
        self._say_calendar(column)
        column.skip(1.2)
        second = column if self.upright else self.column(half, half)
        self._say_import(second)
        self.show_board(self.board, self.x, self.width, [*column.tiles, *(() if second is column else second.tiles)])
        self.boards = [self.board]

    def _say_export(self, column: Column) -> None:
        column.say(tr("Export"), bold=True, scale=TITLE)
        for said in self._leaving():
            column.say(said)
        column.say(tr("Other programs can read it: it holds plain text, and tables as CSV and JSON."), colour="dim")
        column.skip(0.6)
        column.row(
            Cell("export", (tr("Export"),), look="main", able=not self.busy),
            Cell("names", (NAMES[self.names],), look="lit" if self.names else "key"),
        )
        if self.names:
            warning = tr(
                "Swimmers' names are personal data, often children's. Keep the file as you would keep a register."
            )
            column.say(warning, colour="warn")
        else:
            column.say(tr("Swimmers' names, notes, and comments in plans are not in the file."), colour="dim")
        self._say_result("export", column)

    def _say_calendar(self, column: Column) -> None:
        column.say(tr("Calendar"), bold=True, scale=TITLE)
        column.say(
            tr("The sessions you ran and the plans with a date, as a file for a calendar app. Nobody is named."),
            colour="dim",
        )
        column.skip(0.6)
        column.row(Cell("calendar", (tr("Export calendar"),), able=not self.busy), Cell(look="plain"))
        self._say_result("calendar", column)

    def _say_import(self, column: Column) -> None:
        column.say(tr("Import"), bold=True, scale=TITLE)
        column.say(
            tr(
                "Adds anything this tablet doesn't have yet. No duplicates. What was changed, hidden or deleted on the "
                "other tablet is changed, hidden or deleted here too. If both tablets changed it, you get both "
                "versions."
            ),
            colour="dim",
        )
        column.skip(0.6)
        column.row(Cell("import", (tr("Import"),), able=not self.busy), Cell(look="plain"))
        self._say_result("import", column)

    def _say_result(self, name: str, column: Column) -> None:
        """What is going on, or what came of it, below the key that was pressed."""
        if name != self.pressed:
            return
        column.skip(0.6)
        if self.busy:
            column.say(self.busy, bold=True)
        for number, said in enumerate(self.said):
            column.say(said, bold=not number)
        if name == "import" and self.waiting and not self.busy:
            column.skip(0.6)
            column.row(Cell("agree", (tr("Import and delete"),)), Cell("keep", (tr("Don't import"),)))

    def _leaving(self) -> tuple[str, ...]:
        try:
            return leaving(self.store)
        except StoreTrouble as trouble:
            return (str(trouble),)

    # -- actions ----------------------------------------------------------------------------------------------

    def press(self, name: str) -> None:
        """Do what a key is for."""
        if name == "leave":
            self.close()
            return
        if self.busy:
            self.tell(self.busy)
            return
        if name != "names":
            self.pressed = name
        match name:
            case "names":
                self.names = not self.names
            case "export":
                names = self.names
                self._do(
                    tr("Making the file …"),
                    lambda: archive_told(self.store, names),
                    lambda made: self._give_archive(made, names),
                )
            case "calendar":
                self._do(tr("Making the file …"), lambda: calendar(self.store, self.now_ms()), self._give(CALENDAR))
            case "agree":
                self._import(agreed=True)
            case "keep":
                self.waiting, self.said, self.pressed = b"", (tr("Nothing was imported."),), "import"
            case "import":
                self.said, self.waiting = (), b""
                files = Files(OneFile(self.store.folder), ARCHIVE, tr("Choose an archive"), INSTEAD, most=MOST_PACKED)
                files.aside = self.take
                files.bring_in(self._brought)
        self.lay_out()

    def _do(self, busy: str, work: Callable[[], object], then: Callable) -> None:
        """Do something that may take long on another thread, then `then` on Kivy's thread."""
        self.busy, self.said, self.stays = busy, (), ()
        self.lay_out()

        def aside() -> None:
            try:
                made, trouble = work(), ""
            except (StoreTrouble, ShelfTrouble) as error:
                made, trouble = error, str(error)
            except Exception:  # an error of ours must not close the page
                log.exception("Moving failed")
                made, trouble = None, tr("That failed. Nothing was changed.")
            Clock.schedule_once(lambda _dt: done(made, trouble), 0)

        def done(made: object, trouble: str) -> None:
            self.busy = ""
            if trouble:
                self.said = (trouble,)
                if not isinstance(made, AskFirst):
                    self.waiting = b""
            else:
                self.waiting = b""
                then(made)
            self.lay_out()

        self._worker.put(aside)

    def _give(self, suffix: str, names: bool = False) -> Callable[[bytes], None]:
        def give(data: bytes) -> None:
            name = tablet_file(self.day(), names)
            Files(OneFile(self.store.folder, data), suffix).give_out(name, self._given)

        return give

    def _give_archive(self, made: tuple[bytes, tuple[str, ...]], names: bool) -> None:
        data, self.stays = made
        self._give(ARCHIVE, names)(data)

    def _given(self, said: str) -> None:
        self.said = (sentence(said), *self.stays) if said else ()
        self.lay_out()

    def take(self, data: bytes, _name: str) -> bool:
        """An archive was chosen."""
        self.waiting = data
        self._import(agreed=False)
        return True

    def _import(self, agreed: bool) -> None:
        data, self.pressed = self.waiting, "import"
        self._do(tr("Importing …"), lambda: imported(self.store, data, agreed, self.day()), self._merged)

    def _merged(self, said: tuple[str, ...]) -> None:
        self.said = (*said, *self.on_import())

    def _brought(self, _names: tuple[str, ...], said: str) -> None:
        if said and not self.busy:
            self.said = (sentence(said),)
        self.lay_out()
