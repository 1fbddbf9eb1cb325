"""When the keys of a session's bar go away: nobody touches the screen, and nothing waits for a press.

Only from the views that swimmers read, a lane's and the dial, if the dial is larger for it. In the pool view the keys
stay: lanes would move under a finger that takes times, and STOP ALL's corner is a lane's.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from pacer.face.bar.controlbar import ControlBar
from pacer.face.window.notices import Notices
from pacer.show.drive.driver import Driver
from pacer.show.measure.legibility import Glass

if TYPE_CHECKING:
    from pacer.face.deck.ondeck import OnDeck
    from pacer.face.window.barsettingactions import BarSettingKeys

#: How long nobody has to touch the screen. Longer than a time, an Undo key or a message is shown.
QUIET_MS = 15_000


class QuietBar:
    """Mixed into the shell, which has all of these."""

    driver: Driver
    notices: Notices
    bar: ControlBar
    on_deck: OnDeck | None
    shown: str
    width: float
    height: float
    glass: Glass
    touched_ms: int
    _setting_up: BarSettingKeys | None
    needed_ms: int  #: when the keys were needed last, or a keyboard's key was pressed

    @property
    def view(self) -> Any:
        """The view in the window."""
        raise NotImplementedError

    def lay_out(self) -> None:
        """Lay everything out again."""
        raise NotImplementedError

    def wake(self) -> None:
        """A key of a keyboard was pressed: in the next frame the keys of the bar are back."""
        self.needed_ms = self.driver.now_ms()

    def look_after_keys(self, now_ms: int) -> None:
        """Take the keys of the bar away, or bring them back."""
        bar = self.bar
        if self._needs_keys():
            self.needed_ms = now_ms
        away = now_ms - max(self.needed_ms, self.touched_ms) >= QUIET_MS
        if away != bar.away and not (away and self._counts_off()):
            bar.away = away
            if away:
                bar.set_focus("")
                bar.show_page(0)
            self.lay_out()

    def _needs_keys(self) -> bool:
        """Whether the view gains nothing, something waits for a press, or something is said on the bar."""
        if not self._gains() or not self.driver.running or self.bar.moment.paused or self.bar.busy:
            return True
        deck = self.on_deck
        return (
            self.notices.notice is not None
            or (self._setting_up is not None and bool(self._setting_up.what))
            or bool(self.bar.keys.page)
            or (deck is not None and (deck.sheet is not None or deck.tags.waits))
        )

    def _gains(self) -> bool:
        """Whether the view is one that swimmers read, and larger without the keys."""
        if self.shown != "dial":
            return self.shown == "lane"
        from pacer.face.clock.diallayout import larger_without_bar  # not needed for the first picture

        bar = self.bar
        places = self.width, self.height, bar.height, bar.corner
        return larger_without_bar(*places, self.glass, len(self.driver.run.timeline.tracks))

    def _counts_off(self) -> bool:
        """Whether swimmers are about to leave: then nothing moves that could be read as a signal."""
        now = getattr(self.view, "now", None)
        return now is not None and (getattr(now, "inverted", False) or getattr(now, "flash", False))

    def first_touch(self, touch) -> bool | None:
        """A finger while the keys are away. None: it is for the view, as ever.

        STOP ALL is where it always is. In the keys' place a touch only brings them back, so a tap there never means
        one thing without the keys and another with them; above it a touch is what it always is: a tap that times a
        swimmer counts.
        """
        if self.bar.on_touch_down(touch):
            return True
        return True if self.bar.locked or touch.y < self.bar.top else None
