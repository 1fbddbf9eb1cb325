"""Lane screens of the session on the screen: off, and not even imported, until the coach turns them on."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from pacer.show.drive.driver import Driver

if TYPE_CHECKING:
    from pacer.plan.library.drillbook import DrillBook
    from pacer.screens.lanescreens import CountedAct, LaneScreens


class ScreenSwitch:
    """`screens` is None while they are off. Without a `folder` nothing about them is saved."""

    def __init__(self, driver: Driver, folder: Path | None, book: DrillBook | None):
        self.screens: LaneScreens | None = None
        self._driver, self._folder, self.book = driver, folder, book
        self._told = ""
        if folder is not None and driver.run.begun is not None and not driver.ended:
            from pacer.screens.screensfile import were_on

            if were_on(folder, driver.number):
                self.turn_on()

    def turn_on(self) -> None:
        """Serve them."""
        if self.screens is None:
            from pacer.plan.library.drillbook import EMPTY_BOOK
            from pacer.screens.lanescreens import LaneScreens

            self.screens = LaneScreens(self._driver, self._folder, book=self.book or EMPTY_BOOK)

    def turn_off(self) -> None:
        """Stop serving them; a resumed session begins without them."""
        if self.screens is not None:
            self.screens.turn_off()
            self.screens, self._told = None, ""

    def frame(self) -> tuple[CountedAct, ...]:
        """What helpers have done since the last frame."""
        return () if self.screens is None else self.screens.frame()

    def news(self) -> str:
        """A sentence, once, if the server has died."""
        trouble = "" if self.screens is None else self.screens.trouble
        before, self._told = self._told, trouble
        return trouble if trouble != before else ""

    def close(self) -> None:
        """The session is left."""
        if self.screens is not None:
            self.screens.close()
            self.screens = None
