"""What pages over a session, and settings on its bar, need from the shell."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Protocol

from kivy.uix.widget import Widget

from pacer.face.bar.controlbar import ControlBar
from pacer.show.drive.driver import Driver
from pacer.show.drive.settings import Settings
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import Theme

if TYPE_CHECKING:
    from pacer.face.clock.sound import Sounds


class ShellForPages(Protocol):
    """The shell of a session."""

    driver: Driver
    settings: Settings
    theme: Theme
    glass: Glass
    bar: ControlBar

    @property
    def sounds(self) -> Sounds:
        """The sound of this session."""

    @property
    def device(self) -> Any:
        """What the device can do besides sound; None until it has been opened."""

    def change(self, settings: Settings) -> None:
        """Use other settings."""

    def put_up(self, page: Widget) -> None:
        """Put a page in front of the view; the sheet beside it goes."""

    def take_down(self, page: Widget) -> None:
        """Remove it."""

    def bar_keys(self) -> None:
        """Put the right keys on the bar."""
