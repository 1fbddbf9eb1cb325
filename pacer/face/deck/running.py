"""What the sheet and the tags ask of the face that they stand beside and over."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from kivy.uix.widget import Widget

from pacer.face.kit.ink import Box
from pacer.show.drive.driver import Driver
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import Theme

if TYPE_CHECKING:
    from pacer.face.clock.faceview import FaceView
    from pacer.face.clock.sound import Sounds


class Running(Protocol):
    """The face of a session that runs: it lays out, and tells what is in hand."""

    driver: Driver
    shown: str  #: the view that is drawn
    touched_ms: int  #: when the glass was last touched
    hand: int | None  #: the lane in hand, None for all
    theme: Theme
    glass: Glass

    @property
    def view(self) -> FaceView | None:
        """The view on the window."""

    @property
    def sounds(self) -> Sounds:
        """What sounds of this session."""

    @property
    def room(self) -> Box:
        """What there is above the bar, for the view and for what stands beside it."""

    @property
    def mm(self) -> float:
        """The pixels of a millimetre, for what is touched."""

    def chosen(self) -> int | None:
        """The lane that the sheet is for, None for all."""

    def take_in_hand(self, lane: int | None) -> None:
        """The sheet is for this lane from now on."""

    def frame_lane(self, lane: int | None) -> None:
        """Frame a lane in the view."""

    def fill(self, lane: int) -> None:
        """Fill the glass with one lane."""

    def add_widget(self, widget: Widget) -> None:
        """Put something over the view, or beside it."""

    def remove_widget(self, widget: Widget) -> None:
        """Take it away."""

    def lay_out(self) -> None:
        """Place everything anew."""

    def tell(self, *ways: str, for_ms: int = ...) -> None:
        """Say something on the bar."""
