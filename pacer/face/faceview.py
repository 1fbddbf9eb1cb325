"""What the four views have in common: theme, glass, and that nothing is drawn twice."""

from __future__ import annotations

from typing import Any

from kivy.properties import ObjectProperty
from kivy.uix.widget import Widget

from pacer.face.ink import Digits, Words, reads_at
from pacer.face.legibility import Glass
from pacer.face.theme import DARK, Theme
from pacer.face.words import say

HEROES = ("count-down", "count-up", "hero")   #: the largest piece of a view, by its name


class FaceView(Widget):
    """A view that draws what it is told to `show`, once a frame.

    `on_lane` is sent with a lane's index when a finger has chosen that lane, `on_arrival` when it has tapped for a
    swimmer of it who touches. The ground is the window's own colour, which whoever
    shows the view has set: filling it once more would cost a third of a frame where no graphics chip helps.
    """

    theme: Theme = ObjectProperty(DARK)
    glass: Glass = ObjectProperty(Glass())

    def __init__(self, **kwargs):
        self.register_event_type("on_lane")
        self.register_event_type("on_arrival")
        super().__init__(**kwargs)
        self.face: Any = None
        self._laid: tuple | None = None

    def on_lane(self, index: int) -> None:
        """A lane was chosen."""

    def on_arrival(self, index: int) -> None:
        """A swimmer of a lane touches."""

    def show(self, view: Any) -> None:
        """Draw `view`; what has not changed is not drawn again."""
        wanted = (self.x, self.y, self.width, self.height, self.theme, self.glass, self.shape_of(view))
        if wanted != self._laid:
            self._laid = wanted
            self.canvas.clear()
            self.face = self.laid_out(view)
        self.face.show(view)

    def shape_of(self, view: Any) -> Any:
        """What of `view` decides where things stand, beside size, theme and glass."""
        return None

    def laid_out(self, view: Any) -> Any:
        """The parts in their places, on the empty canvas; they have `show` and `drawn`."""
        raise NotImplementedError

    def drawn(self) -> list[Words | Digits]:
        """Everything written, with its box and its ink."""
        return [piece for piece in self.face.drawn() if piece.ink] if self.face else []

    def reads_at(self) -> dict[int, float]:
        """From how many metres each tier can be read as it is drawn now, by its smallest characters."""
        return reads_at(self.drawn(), self.glass)

    def too_small(self) -> str:
        """`can be read at 5 m` where the glass is too small for the reading distance that is set, else "".

        By what matters most of tier 1 there is, the count-down or the word in its place.
        """
        heroes = [piece for piece in self.drawn() if piece.tier == 1 and piece.name in HEROES]
        reads = min((self.glass.read_at_m(piece.cap) for piece in heroes), default=self.glass.tier_1_m)
        return "" if reads >= self.glass.tier_1_m else say("read at", metres=int(reads) or 1)
