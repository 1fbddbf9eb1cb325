"""The part of the office around the shelf: home, writing a plan, the drill book, settings, export and import."""

from __future__ import annotations

from collections.abc import Callable

from kivy.base import EventLoop

from pacer.face.office.officepart import OfficePart
from pacer.language import tr
from pacer.plan.library.shelf import ShelfTrouble
from pacer.review.wasswum import last_swum
from pacer.session.cautions import IN_FULL
from pacer.session.storage.store import StoreTrouble
from pacer.show.after.squadafterimport import squad_after_import
from pacer.show.drive.preparation import CannotStart
from pacer.show.drive.settings import Settings
from pacer.show.editing.drillkeys import drills_offered
from pacer.show.editing.plandates import title_of_today
from pacer.show.editing.wordkeys import is_stray
from pacer.show.measure.theme import THEMES
from pacer.show.wording.commonkeys import CLOSE


class OfficeHome(OfficePart):
    """Pages that home leads to."""

    def home(self) -> None:
        """The shelf, and the ways to everything else."""
        from pacer.face.shelf.homepage import HomePage

        self._let_go()
        self._counted = None
        ways = {
            "line": self.quick_set,
            "squad": self.squad,
            "settings": self.set_up,
            "log": self.log,
            "cautions": self.cautions,
            "drills": self.drill_book,
        }
        if self._running() is not None:
            ways["on"] = self.go_on
        if self.squads.tests(self.clocks.started()) is not None:
            ways["test"] = self.go_on_testing
        self.show(
            HomePage(
                self.shelf,
                self.squad_here,
                roster=self.roster,
                ways=ways,
                swum=self._swum,
                pool=self.settings.pool,
                booking=self.settings.booking,
                now_ms=self.clocks.wall,
                book=self.drills.book,
                on_run=self.run,
                on_new=self.write,
                on_edit=lambda name: self.write(name, then=lambda: self.to_plan(name)),
                on_next=self.next_of,
                on_close=self.close,
                **self.looks,
            )
        )

    def _swum(self) -> dict[tuple[str, bool], int]:
        """When each plan was last swum, by its file's name and whether it is hidden.

        A session that ended within seconds does not count, nor one that may still be running.
        """
        on = self._running()
        try:
            done = [listed for listed in self.store.sessions() if listed != on]
            return last_swum((*self.shelf.cards(), *self.shelf.cards(away=True)), done, self.store.plans)
        except StoreTrouble:
            return {}

    def new(self) -> None:
        """Write a new plan."""
        try:
            self.write(
                self.shelf.new(self.settings.pool, self.settings.booking, title_of_today(self.clocks.wall())).name
            )
        except ShelfTrouble as trouble:
            self._tell(str(trouble))

    def write(self, name: str, line: int | None = None, then: Callable[[], None] | None = None) -> None:
        """Write a plan, starting at `line` if one is named (from 1); Close leads back to `then`, or to the shelf."""
        from pacer.face.editor.editorpage import EditorPage

        drills = drills_offered((card.text for card in self.shelf.cards()), self.drills.book)

        def run(text: str) -> None:
            def back(why: CannotStart) -> None:  # the page has been left already: go back to it, with the reason
                self.write(name, then=then)
                self._tell(*why.ways)

            self.run(text, refused=back)

        def closed(text: str) -> None:
            (then or self.home)()
            if is_stray(text, drills) and not self.shelf.has(name):
                self._tell(tr("The new plan was not kept: it had only one key press in it."), tr("New plan not kept"))

        self.show(
            EditorPage(
                self.shelf,
                name,
                self.squad_here,
                drills=drills,
                book=self.drills.book,
                on_run=run,
                on_close=closed,
                **self.looks,
            )
        )
        if line is not None:
            self.page.go_to(line - 1, focus=False)
        else:
            self.page.go_on()

    def to_plan(self, name: str) -> None:
        """The plan's page on the shelf; the shelf if it is not there any more."""
        self.home()
        if self.shelf.has(name):
            self.page.open_card(name)

    def set_up(self) -> None:
        """The settings."""
        from pacer.face.pages.settingspage import SettingsPage

        self.show(
            SettingsPage(
                self.settings,
                self.folder,
                [lane.number for lane in self.roster.squad.lanes],
                player=self.player,
                device=self.device,
                now_ms=self.clocks.boot,
                day=self.clocks.day,
                keep=self._set,
                on_cautions=lambda: self.cautions(self.set_up),
                on_move=self.move,
                on_close=self.home,
                **self.looks,
            )
        )

    def _set(self, settings: Settings) -> None:
        self.change(settings)
        self.page.glass = self.looks["glass"]
        if EventLoop.window is not None:
            EventLoop.window.clearcolor = (*THEMES[settings.theme].ground, 1)

    def cautions(self, then: Callable[[], None] | None = None) -> None:
        """The cautions, to read again."""
        from pacer.face.pages.textpage import TextPage

        self.show(TextPage(IN_FULL, (("leave", CLOSE, then or self.home),), title=tr("Cautions"), **self.looks))

    def drill_book(self) -> None:
        """The drill book, to be read and changed."""
        from pacer.face.shelf.drillbookpage import DrillBookPage

        self.drills.read()
        self.show(DrillBookPage(self.drills, on_close=self.home, **self.looks))

    def move(self) -> None:
        """Everything on this tablet as one file, and such a file from another tablet."""
        from pacer.face.pages.exportpage import ExportPage

        def came_in() -> tuple[str, ...]:
            before = {card.name for card in self.squads.cards()}
            self.squads.read()
            self.drills.read()
            return squad_after_import(self.squads, before)

        self._let_go()
        self.show(
            ExportPage(
                self.store,
                self.clocks.day,
                now_ms=self.clocks.wall,
                on_import=came_in,
                on_close=self.set_up,
                **self.looks,
            )
        )
