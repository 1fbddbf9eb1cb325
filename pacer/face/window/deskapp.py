"""The coach's app: the desk in a window over the whole screen."""

from __future__ import annotations

from pacer.face.window.app import TabletApp
from pacer.face.window.desk import Desk
from pacer.shipped import ASSETS
from pacer.show.drive.settings import Settings


def open_desk(settings: Settings | None = None) -> None:
    """Open the coach's app; returns when it is closed. `settings` None: the ones saved on this tablet."""
    DeskApp(settings=settings).run()


class DeskApp(TabletApp):
    """The Kivy app around the desk."""

    def make(self) -> Desk:
        """The desk, with the first page on it."""
        self.desk = Desk(
            self.folder,
            self.settings,
            ASSETS,
            told=[self.damaged] if self.damaged else [],
            keep=self.keep,
            close=self.stop,
        )
        self.desk.begin()
        return self.desk

    def frame(self, _dt: float) -> None:
        """Show the current instant."""
        self.desk.frame()

    def heard(self) -> None:
        """Player and device are there."""
        self.desk.open_sound(self.player, self.device)

    def refuse(self) -> bool:
        """What is under way has to be ended first, by its key."""
        return self.desk.refuse()

    def leave(self) -> None:
        """Save everything."""
        self.desk.leave()
