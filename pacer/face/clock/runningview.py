"""What the four views share: theme, screen size, and that nothing is drawn twice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from kivy.properties import ObjectProperty
from kivy.uix.widget import Widget

from pacer.face.kit.ink import Box, Digits, Words, reads_at
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme

NO_CORNER = 0.0, 0.0


class RunningView(Widget):
    """A view that draws what it is told to `show`, once a frame.

    `on_lane` is sent with a lane's index when a finger has chosen that lane, `on_arrival` when it has tapped to time a
    swimmer of it. The background is the window's own colour, set by the caller: filling it again would cost a third of
    a frame without a graphics chip.
    """

    theme: Theme = ObjectProperty(DARK)
    glass: Glass = ObjectProperty(Glass())
    #: Width and height of the lower left corner that STOP ALL has while the bar's other keys are away.
    corner: tuple[float, float] = ObjectProperty(NO_CORNER)

    def __init__(self, **kwargs):
        self.register_event_type("on_lane")
        self.register_event_type("on_arrival")
        super().__init__(**kwargs)
        self.face: Any = None
        self.now: Any = None  #: what is shown
        self._laid: tuple | None = None
        self.foretold: Mapping[int, tuple[str, ...]] = {}  #: by lane (index), ways to say what becomes of it
        self._foot = 0.0  # height of what covers the lower edge for a while

    def keep_clear(self, boxes: Sequence[Box]) -> None:
        """Something covers `boxes` along the lower edge for a while: draw everything above it."""
        self._foot = max((box.top - self.y for box in boxes), default=0.0)

    def foretell(self, said: Mapping[int, tuple[str, ...]]) -> None:
        """Say what becomes of each lane by a press, where the view has a place for it."""
        self.foretold = said

    @property
    def clear(self) -> Box:
        """The part of the view that nothing covers."""
        return Box(self.x, self.y + self._foot, self.width, max(1.0, self.height - self._foot))

    def on_lane(self, index: int) -> None:
        """A lane was chosen."""

    def on_arrival(self, index: int) -> None:
        """A swimmer of a lane touches."""

    def show(self, view: Any) -> None:
        """Draw `view`; what has not changed is not drawn again."""
        self.now = view
        places = self.x, self.y, self.width, self.height, self._foot, self.corner
        wanted = (*places, self.theme, self.glass, self.shape_of(view))
        if wanted != self._laid:
            self._laid = wanted
            self.canvas.clear()
            self.face = self.laid_out(view)
        self.face.show(view)

    def shape_of(self, view: Any) -> Any:
        """What in `view` decides the layout, beside size, theme and screen."""
        return None

    def laid_out(self, view: Any) -> Any:
        """The parts laid out on the empty canvas; they have `show` and `drawn`."""
        raise NotImplementedError

    def drawn(self) -> list[Words | Digits]:
        """Everything written, with its box and its ink."""
        return [piece for piece in self.face.drawn() if piece.ink] if self.face else []

    def reads_at(self) -> dict[int, float]:
        """From how many metres each tier can be read as drawn now, by its smallest characters."""
        return reads_at(self.drawn(), self.glass)
