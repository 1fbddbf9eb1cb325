"""What the sheet and the tags need from the shell around them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from kivy.uix.widget import Widget

from pacer.face.kit.ink import Box
from pacer.show.drive.driver import Driver
from pacer.show.drive.foretelling import Foretelling
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import Theme

if TYPE_CHECKING:
    from pacer.face.clock.runningview import RunningView
    from pacer.face.clock.sound import Sounds
    from pacer.screens.screensonoff import ScreenSwitch


class ShellForDeck(Protocol):
    """The shell of a running session: it does the layout, and knows the chosen lane."""

    driver: Driver
    foretelling: Foretelling  #: what the lanes say becomes of them
    shown: str  #: the view that is drawn
    lane: int  #: the lane that the lane view shows
    touched_ms: int  #: when the screen was last touched
    hand: int | None  #: the chosen lane, None for all
    theme: Theme
    glass: Glass
    switch: ScreenSwitch  #: what turns lane screens on

    @property
    def view(self) -> RunningView | None:
        """The view in the window."""

    @property
    def sounds(self) -> Sounds:
        """The sound of this session."""

    @property
    def room(self) -> Box:
        """The room above the bar, for the view and what is beside it."""

    @property
    def mm(self) -> float:
        """The pixels of a millimetre, for what is touched."""

    def chosen(self) -> int | None:
        """The lane that the sheet is for, None for all."""

    def take_in_hand(self, lane: int | None) -> None:
        """Make this lane the sheet's from now on."""

    def frame_lane(self, lane: int | None) -> None:
        """Frame a lane in the view."""

    def fill(self, lane: int) -> None:
        """Show one lane on the full screen."""

    def add_widget(self, widget: Widget) -> None:
        """Put something over the view, or beside it."""

    def remove_widget(self, widget: Widget) -> None:
        """Remove it."""

    def lay_out(self) -> None:
        """Lay everything out again."""

    def tell(self, *ways: str, for_ms: int = ...) -> None:
        """Say something on the bar."""
