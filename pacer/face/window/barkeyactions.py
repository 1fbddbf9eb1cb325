"""What the keys on a session's bar do: a long press says first what it will do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from pacer.face.bar.controlbar import ControlBar
from pacer.face.window.notices import Notices
from pacer.language import tr
from pacer.session.journal.entries import Lanes, Stopped
from pacer.show.drive.deckchanges import MATCH, MATCHED, PRESSES, proposed
from pacer.show.drive.driver import Driver
from pacer.show.drive.pressproposal import Proposal
from pacer.show.drive.sessionstart import StartTime
from pacer.show.drive.settings import Settings
from pacer.show.measure.messagetime import AGAIN_MS
from pacer.signal.output_silent import NO_SOUND

if TYPE_CHECKING:
    from pacer.face.clock.sound import Sounds
    from pacer.face.deck.ondeck import OnDeck
    from pacer.face.window.barsettingactions import BarSettingKeys
    from pacer.screens.lanescreens import CountedAct

#: Takes the place of an entry if the press confirms something outside the journal.
_CONFIRM: Any = object()


class BarPresses:
    """Mixed into the shell, which has all of these."""

    driver: Driver
    settings: Settings
    start: StartTime
    notices: Notices
    bar: ControlBar
    close: Callable[[], None]
    again: Callable[[], None]
    _stop_hidden: bool
    _setting_up: BarSettingKeys | None

    @property
    def deck(self) -> OnDeck:
        """What the coach does during the session."""
        raise NotImplementedError

    @property
    def sounds(self) -> Sounds:
        """The sound of this session."""
        raise NotImplementedError

    @property
    def setting_up(self) -> BarSettingKeys:
        """The settings on the bar."""
        raise NotImplementedError

    def change(self, settings: Settings) -> None:
        """Use other settings."""
        raise NotImplementedError

    def lock(self) -> None:
        """Lock the screen, except for stop all."""
        raise NotImplementedError

    def show_view(self, mode: str) -> None:
        """Show the session in another view."""
        raise NotImplementedError

    def _lanes(self) -> tuple[int, ...] | None:
        raise NotImplementedError

    def ask(self, name: str, lanes: Lanes = None) -> Proposal:
        """What the key called `name` would do; `lanes` None: for the lanes of the keys on the bar."""
        driver, lanes = self.driver, lanes or self._lanes()
        match name:
            case "begin" | "top" | "time" if not self.notices.confirmed:
                return Proposal(None, (tr("read the cautions first"),))
            case "begin":
                return driver.begin()
            case "top":
                return driver.begin_at_top()
            case "time":
                return driver.begin_at(*self.start.hour_minute())
            case "end":
                return driver.end()
            case "reopen":
                return driver.reopen()
            case "match":  # before the start; from then on it is a change
                return Proposal(_CONFIRM, MATCH[1:])
            case "confirm":
                return Proposal(_CONFIRM, (tr("let go to confirm"),))
            case "again":
                return Proposal(_CONFIRM, (tr("the same session from the start"),))
            case _ if name in PRESSES:
                return proposed(driver, name, None if name == "resume" and driver.run.stopped else lanes)
        raise KeyError(name)

    def act(self, name: str, proposal: Proposal) -> bool:
        """Do what `ask` said. False if it was not done; the bar then says so."""
        if name == "confirm":
            self.notices.confirm()
            return True
        if name == "again":
            self.again()
            return True
        if name == "match":
            self.driver.see_top(self.driver.now_ms())
            self.bar.tell(*MATCHED)
            return True
        if name == "take back" and (told := self.deck.deck.doubts.of(self.driver, proposal)):
            self.bar.tell(*told, for_ms=AGAIN_MS)
            return False
        told = self.driver.do(proposal)
        if told:
            self.bar.tell(*told)
            return False
        self._stop_hidden = False
        if name in PRESSES:
            self.deck.changed(proposal)
        if name in ("begin", "top", "time"):
            if self._setting_up is not None:
                self._setting_up.show("")
            if self.settings.locked:
                self.lock()
        return True

    def press(self, name: str) -> None:
        """Do what a key does that changes nothing in the session."""
        match name:
            case "pool" | "dial":
                self._stop_hidden = True
                self.bar.show_page(0)
                self.show_view(name)
            case "mute" if self.sounds.silent:
                self.bar.tell(NO_SOUND, tr("This tablet has no sound"))
            case "mute":
                self.change(replace(self.settings, muted=not self.settings.muted))
            case "lock":
                self.lock()
            case "earlier" | "later":
                self.start.step(1 if name == "later" else -1)
            case "cautions" | "in full":
                self.notices.show_cautions()
            case "lanes":
                self._stop_hidden = True
            case "change" | "record" | "screens":
                self._stop_hidden = True
                self.deck.show(name)
            case "settings" | "sounding" | "tune":
                self.setting_up.show(name)
            case "tablet":
                self.notices.show_tablet()
            case "read on":
                self.notices.read_on()
            case "close":
                if self.notices.notice is not None:
                    self.notices.leave()
                elif self._setting_up is not None and self._setting_up.what:
                    self._setting_up.close()
                else:
                    self.close()
            case _ if self.bar.pressed is not None:
                self.setting_up.press(self.bar.pressed)

    def stop_all(self) -> None:
        """Pause every lane at once."""
        told = self.driver.do(self.driver.stop_all())
        if self.driver.run.stopped:
            self.stopped()
        if told:
            self.bar.tell(*told)

    def stopped(self) -> None:
        """All lanes were stopped, here or by a helper: it fills the screen and sounds."""
        self.notices.close()
        self._stop_hidden = False
        self.deck.put_away()
        self.sounds.stop_all()

    def helped(self, one: CountedAct) -> None:
        """A helper's act was counted."""
        if isinstance(one.entry, Stopped):
            self.stopped()
            self.bar.tell(tr("{source} stopped all lanes", source=one.entry.source), tr("stopped by a helper"))
        else:
            self.deck.helped(one.entry, one.ways)
