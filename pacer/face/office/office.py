"""The coach's office, away from the deck: one page at a time in the window, from the shelf to the session, and back.

It owns what the pages share: settings, plans, squads, the store of sessions, player and device. No step back leaves a
running session; only its own key ends it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kivy.base import EventLoop
from kivy.metrics import Metrics
from kivy.uix.floatlayout import FloatLayout
from kivy.uix.widget import Widget

from pacer.face.kit.tabletglass import tablet_glass
from pacer.face.office.officefirststart import FirstStart
from pacer.face.office.officehome import OfficeHome
from pacer.face.office.officelog import OfficeLog
from pacer.face.office.officeresume import OfficeResume
from pacer.face.office.officeseries import OfficeSeries
from pacer.face.office.officesquad import OfficeSquad
from pacer.face.office.officestart import OfficeStart
from pacer.language import tr
from pacer.plan.library.shelf import Shelf
from pacer.session.journal.recordentries import HeadsCounted
from pacer.session.storage.startandresume import SessionToRun, running
from pacer.session.storage.store import Store, StoreTrouble
from pacer.show.drive.asidethread import Answers
from pacer.show.drive.preparation import Clocks
from pacer.show.drive.settings import Settings
from pacer.show.measure.legibility import DRY, WET, Glass
from pacer.show.measure.theme import THEMES
from pacer.signal.slowcalls import CALL_WAITS_S
from pacer.squad.register.drillfile import DrillFile
from pacer.squad.register.roster import Roster, present
from pacer.squad.register.squadfolder import SquadFolder

if TYPE_CHECKING:
    from pacer.face.window.sessionkeyboard import Keyboard
    from pacer.face.window.shell import Shell
    from pacer.session.storage.savedsession import Listed


class Office(FirstStart, OfficeResume, OfficeStart, OfficeHome, OfficeSquad, OfficeLog, OfficeSeries, FloatLayout):
    """Everything the coach does, in one window.

    `assets` is the folder with the demo plans and squads that the first start puts on the shelf. `keep(settings)` is
    called when a setting has changed, `close()` when the coach closes the app.
    """

    def __init__(
        self,
        folder: Path,
        settings: Settings,
        assets: Path,
        *,
        told: Sequence[str] = (),
        clocks: Clocks | None = None,
        keep: Callable[[Settings], None] = lambda settings: None,
        close: Callable[[], None] = lambda: None,
        **kwargs,
    ):
        super().__init__(**kwargs)
        self.folder, self.settings, self.clocks = Path(folder), settings, clocks or Clocks()
        self._keep, self._close = keep, close
        self._demos = sorted((assets / "plans").glob("*.txt"))
        self.shelf = Shelf(self.folder, self._demos)
        self.squads = SquadFolder(self.folder, sorted((assets / "squads").glob("*.toml"), reverse=True))
        self.drills = DrillFile(self.folder, assets / "drills.toml")
        self.store = Store(self.folder)
        self.told = [*told, *self.shelf.told, *self.squads.told, *self.drills.told]
        self.squads.told = ()
        self.player = self.device = None
        self.page: Any = None  #: what is in the window
        self.shell: Shell | None = None  #: the session's shell, while it is in the window
        self.opened: SessionToRun | None = None  #: the current session with its store
        self.keyboard: Keyboard | None = None
        self.patience_s = CALL_WAITS_S
        self._starting: tuple[Answers[Any], Callable[[Any], None]] | None = None  #: what is being worked out
        self._quick_choice = None  #: the last quick set
        self._counted: int | None = None  #: heads that went in, counted before the prepared session has begun
        Metrics.bind(dpi=lambda *_: self._looks(), fontscale=lambda *_: self._looks())

    # -- the window ------------------------------------------------------------------------------------------

    @property
    def glass(self) -> Glass:
        """The screen as it is now."""
        return tablet_glass(self.settings.reading_distance_m)

    @property
    def looks(self) -> dict:
        """Theme and screen for making a page: sized for wet hands only while a session runs."""
        hands = DRY if self._running() is None else WET
        return {"theme": THEMES[self.settings.theme], "glass": replace(self.glass, hands=hands)}

    def show(self, page: Widget) -> None:
        """Put a page in the window in place of the one before."""
        self._take_down()
        self.page = page
        if EventLoop.window is not None:
            EventLoop.window.clearcolor = (*THEMES[self.settings.theme].ground, 1)
        self.add_widget(page)
        if self.told and hasattr(page, "tell"):
            page.tell(" ".join(self.told))
            self.told = []

    def _take_down(self) -> None:
        if self._starting is not None:
            self._starting[0].drop()
            self._starting = None
        if self.page is None:
            return
        if self.keyboard is not None:
            self.keyboard.close()
            self.keyboard = None
        if self.shell is not None:
            self.shell.leave()
        elif hasattr(self.page, "close_down"):
            self.page.close_down()
        self.remove_widget(self.page)
        self.page = self.shell = None

    def _looks(self) -> None:
        if self.page is not None and self.shell is None:
            looks = self.looks
            self.page.theme, self.page.glass = looks["theme"], looks["glass"]
            self.page.lay_out()

    def frame(self, _dt: float = 0) -> None:
        """Show the current instant of the session if it is in the window, or what has been worked out for one."""
        self._go_on_starting()
        if self.shell is not None:
            self.shell.frame()
            if self._counted is not None and self.shell.driver.run.begun is not None:
                self._keep_count()

    def _keep_count(self) -> None:
        """Put the heads counted before the start into the journal as soon as it has a beginning."""
        counted, self._counted = self._counted, None
        if self.shell is None or counted is None or (at_ms := self.shell.driver.at_ms()) is None:
            return
        told = self.shell.driver.append(HeadsCounted(at_ms, counted, into=True))
        if told:
            self.shell.bar.tell(*told)

    def change(self, settings: Settings) -> None:
        """Settings have changed."""
        self.settings = settings
        self._keep(settings)
        if self.player is not None:
            self.player.volume, self.player.muted = settings.volume, settings.muted

    def open_sound(self, player, device) -> None:
        """Player and device are there, after the first picture."""
        self.player, self.device = player, device
        self.change(self.settings)
        if self.shell is not None:
            self.shell.sounds.open(player, device)
        elif hasattr(self.page, "player"):
            self.page.player, self.page.device = player, device

    # -- the start ----------------------------------------------------------------------------------------------

    def begin(self) -> None:
        """What the coach sees first.

        An interrupted session, interrupted test swims, something to be told, or the shelf.
        """
        if self._ask_about_session():
            return
        if self._tests_under_way():
            self.go_on_testing()
        elif self.settings.cautions_read == 0 and not self._was_swum():
            self.welcome()
        else:
            self.home()

    def _was_swum(self) -> bool:
        try:
            return bool(self.store.sessions())
        except StoreTrouble:
            return False

    # -- pages ---------------------------------------------------------------------------------------------------

    @property
    def roster(self) -> Roster:
        """The current squad, and who is absent today."""
        return self.squads.roster(self.clocks.day())

    @property
    def squad_here(self):
        """Those who are here; the whole squad if nobody is."""
        roster = self.roster
        here = present(roster.squad, roster.away)
        return here if here.lanes else roster.squad

    def _running(self) -> Listed | None:
        """The last session, if it has not ended."""
        try:
            return running(self.store)
        except StoreTrouble:
            return None

    def _tell(self, *ways: str) -> None:
        if self.page is not None and hasattr(self.page, "tell"):
            self.page.tell(*ways)

    def _let_go(self) -> None:
        """Release the session's store."""
        if self.opened is not None:
            self._take_down()
            self.opened.keeper.close()
            self.opened = None

    # -- the end ----------------------------------------------------------------------------------------------------

    @property
    def busy(self) -> bool:
        """Whether something is under way that must not be closed in passing."""
        return (self.shell is not None and self.shell.driver.running) or getattr(self.page, "running", False)

    def close(self) -> None:
        """Close the app, unless something is under way."""
        if not self.refuse():
            self._close()

    def refuse(self) -> bool:
        """Whether the app must not be closed now; says why."""
        if not self.busy:
            return False
        if self.shell is not None:
            from pacer.face.window.sessionkeyboard import STILL_RUNNING

            self.shell.bar.tell(*STILL_RUNNING)
        else:
            self._tell(tr("Stop the test swim first"))
        return True

    def leave(self) -> None:
        """The app ends: save everything."""
        self._take_down()
        self._let_go()
