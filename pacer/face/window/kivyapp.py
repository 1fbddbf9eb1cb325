"""An app: a window over the whole screen and the clocks that drive it; and the app for one session."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from pacer.face.kit.garbagecollection import settle_in
from pacer.face.kit.kivysetup import prepare_kivy

prepare_kivy()

from kivy.app import App
from kivy.clock import Clock
from kivy.core.window import Window
from kivy.uix.widget import Widget
from kivy.utils import platform

from pacer.errorlog import keep_log
from pacer.face.window.sessionkeyboard import STILL_RUNNING, Keyboard
from pacer.face.window.shell import Shell
from pacer.plan.model import Plan
from pacer.session.journal.entries import Entry
from pacer.session.storage.datafolder import home
from pacer.session.timesource import boot_ms
from pacer.shippedfiles import DRILLS
from pacer.show.drive.driver import Driver, Store
from pacer.show.drive.settings import Settings, read_settings, write_settings
from pacer.signal.slowcalls import Worker
from pacer.squad.squad import Squad
from pacer.timeline.findings import Finding
from pacer.timeline.timeline import Timeline

if TYPE_CHECKING:  # imported after the first picture
    from pacer.session.journal.recordentries import Record
    from pacer.signal.device import Device
    from pacer.signal.player import Player


def run_app(
    plan: Plan,
    squad: Squad,
    *,
    title: str = "",
    findings: Sequence[Finding] = (),
    settings: Settings | None = None,
    timeline: Timeline | None = None,
    store: Store | None = None,
    journal: Sequence[Entry | Record] = (),
    told: Sequence[str] = (),
    screens: bool = False,
) -> None:
    """Open the app on a plan, over the whole screen; returns when it is closed.

    `findings` that are hazards have to be confirmed before the session can begin. `settings` None: the ones saved on
    this tablet, and changes are saved. `timeline` is the session if its counts are chosen already, `store` saves its
    journal, `journal` is what has happened so far, `told` what the coach has to know first. Raises `CannotRun` if plan
    and squad make no session.
    """
    if timeline is None:
        from pacer.timeline.summary.planned import planned  # the command line has its counts chosen already

        timeline = planned(plan, squad)[0]
    FaceApp(timeline, title or plan.title, findings, settings, store, journal, told, screens).run()


class TabletApp(App):
    """A window over the whole screen, saved settings, player and device after the first picture.

    `settings` None: the ones saved on this tablet, and changes are saved. A subclass gives the contents of the window.
    """

    def __init__(self, title: str = "pacer", settings: Settings | None = None):
        super().__init__()
        self.title = title
        self.folder = home()
        keep_log(self.folder)
        self.kept = settings is None
        self.settings, self.damaged = read_settings(self.folder) if settings is None else (settings, "")
        self.player: Player | None = None
        self.device: Device | None = None
        self._writer = Worker("settings")

    # -- given by a subclass ---------------------------------------------------------------------------

    def make(self) -> Widget:
        """The contents of the window."""
        raise NotImplementedError

    def frame(self, _dt: float) -> None:
        """Show the current instant."""
        raise NotImplementedError

    def heard(self) -> None:
        """Player and device are there."""
        raise NotImplementedError

    def refuse(self) -> bool:
        """Whether the window must not be closed now; says why."""
        raise NotImplementedError

    def leave(self) -> None:
        """Release what is in the window."""
        raise NotImplementedError

    # -- what an app does -------------------------------------------------------------------------------

    def load_config(self):
        """Skip Kivy's own configuration file."""

    def open_settings(self, *_args) -> bool:
        """Skip Kivy's own settings, which its F1 key would put over a running session."""
        return False

    def build(self) -> Widget:
        """The contents of the window; everything that can wait is done after the first picture."""
        Window.allow_screensaver = False
        made = self.make()
        Window.bind(on_request_close=lambda *_args, **_kwargs: self.refuse())
        Clock.schedule_interval(self.frame, 0)
        Window.bind(on_flip=self._first_picture)
        return made

    def _first_picture(self, *_args) -> None:
        """The first picture is shown: do what could wait."""
        Window.unbind(on_flip=self._first_picture)
        Clock.schedule_once(self._open_sound, 0.3)

    def _open_sound(self, _dt: float) -> None:
        from pacer.face.clock.sound import open_sound
        from pacer.session.records import expectedtimes  # noqa: F401 - loaded now, so that no press waits for it

        settle_in()
        player, device = open_sound(platform, self.folder, boot_ms)
        self.player, self.device = player, device
        if self.settings.orientation != "any":
            device.turn(self.settings.orientation)
        self.heard()

    def keep(self, settings: Settings) -> None:
        """Settings have changed."""
        self.settings = settings
        if self.kept:
            self._writer.put(lambda: write_settings(self.folder, settings))

    def on_pause(self) -> bool:
        """After coming back, the session is at the second where it then is."""
        return True

    def on_stop(self) -> None:
        """Release the device."""
        self.leave()
        if self.player is not None:
            self.player.close()
        if self.device is not None:
            self.device.close()
        self._writer.close(2)


class FaceApp(TabletApp):
    """The app for one session."""

    def __init__(
        self,
        timeline: Timeline,
        title: str,
        findings: Sequence[Finding],
        settings: Settings | None,
        store: Store | None = None,
        journal: Sequence[Entry | Record] = (),
        told: Sequence[str] = (),
        screens: bool = False,
    ):
        super().__init__(title or "pacer", settings)
        self.timeline, self.findings, self.screens = timeline, findings, screens
        self.driver = Driver(timeline, store=store, journal=journal)
        self.told = (*told, *([self.damaged] if self.damaged else []))
        self.shell: Shell = None  # type: ignore[assignment]  # made when Kivy asks for it

    def make(self) -> Shell:
        """The shell."""
        self._open_shell()
        return self.shell

    def _open_shell(self) -> None:
        told, self.told = self.told, ()
        findings = self.findings if self.driver.run.begun is None else ()
        self.shell = Shell(
            self.driver,
            self.settings,
            findings=findings,
            told=told,
            keep=self.keep,
            close=self.stop,
            again=self._again,
            folder=self.folder,
            size=Window.size,
        )
        self.keyboard = Keyboard(self.shell)
        if self.driver.run.begun is None or told:
            self.shell.notices.greet()

    def frame(self, _dt: float) -> None:
        """Show the current instant."""
        self.shell.frame()

    def heard(self) -> None:
        """Player and device are there; drill book and lane screens, too, can wait for the first picture."""
        from pacer.squad.register.drillfile import DrillFile

        if self.player is not None:
            self.shell.sounds.open(self.player, self.device)
        self.shell.take_book(DrillFile(self.folder, DRILLS).book)
        if self.screens:
            self.shell.switch.turn_on()

    def _again(self) -> None:
        """Start the same session from its beginning, with a new journal, which is not saved."""
        self.driver = Driver(self.timeline)
        self.shell.leave()
        old, self.settings = self.shell, self.shell.settings
        self.keyboard.close()
        Window.remove_widget(old)
        self._open_shell()
        self.heard()
        self.root = self.shell
        Window.add_widget(self.shell)

    def refuse(self) -> bool:
        """A running session has to be ended first, by its key."""
        if self.shell.driver.running:
            self.shell.bar.tell(*STILL_RUNNING)
            return True
        return False

    def leave(self) -> None:
        """Stop all sound."""
        self.shell.leave()
