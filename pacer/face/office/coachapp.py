"""The coach's app: the office in a window over the whole screen."""

from __future__ import annotations

from pacer.face.office.office import Office
from pacer.face.window.kivyapp import TabletApp
from pacer.shippedfiles import ASSETS
from pacer.show.drive.settings import Settings


def open_office(settings: Settings | None = None) -> None:
    """Open the coach's app; returns when it is closed. `settings` None: the ones saved on this tablet."""
    OfficeApp(settings=settings).run()


class OfficeApp(TabletApp):
    """The Kivy app around the office."""

    def make(self) -> Office:
        """The office, with the first page on it."""
        self.office = Office(
            self.folder,
            self.settings,
            ASSETS,
            told=[self.damaged] if self.damaged else [],
            keep=self.keep,
            close=self.stop,
        )
        self.office.begin()
        return self.office

    def frame(self, _dt: float) -> None:
        """Show the current instant."""
        self.office.frame()

    def heard(self) -> None:
        """Player and device are there."""
        self.office.open_sound(self.player, self.device)

    def refuse(self) -> bool:
        """What is under way has to be ended first, by its key."""
        return self.office.refuse()

    def leave(self) -> None:
        """Save everything."""
        self.office.leave()
