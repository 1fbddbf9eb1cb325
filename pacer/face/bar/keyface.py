"""A key of the bar as drawn, and the answer beside it while it is pressed."""

from __future__ import annotations

from kivy.clock import Clock
from kivy.graphics import InstructionGroup, PopMatrix, PushMatrix, Translate
from kivy.properties import BooleanProperty, ColorProperty, NumericProperty
from kivy.uix.label import Label

from pacer.face.kit.ink import Box, Plate, RoundPlate
from pacer.face.kit.textures import NAME

STRIP = 0.35  #: height of a key's strip, and its distance from the key's foot, in corner radii


class KeyFace(Label):
    """A key. One that has to be kept pressed (`long_press`) has a strip at its foot.

    `filled`: how far the press has come, 0 to 1. `corner` and `stroke` in pixels.
    """

    ground = ColorProperty((0, 0, 0))
    edge = ColorProperty((0, 0, 0))
    ink = ColorProperty((1, 1, 1))
    fill = ColorProperty((1, 1, 0))
    filled = NumericProperty(0)
    track = ColorProperty((1, 1, 1))
    long_press = BooleanProperty(False)
    corner = NumericProperty(8)
    stroke = NumericProperty(1)

    def __init__(self, **kwargs):
        super().__init__(font_name=NAME, bold=True, halign="center", **kwargs)
        group = InstructionGroup()
        self.canvas.before.add(group)
        self._plate, self._edge = RoundPlate(group), RoundPlate(group)
        self._track, self._fill = Plate(group), Plate(group)
        self._raised = Translate(0, 0)
        for instruction in (PushMatrix(), self._raised):
            self.canvas.before.add(instruction)
        self.canvas.after.add(PopMatrix())
        again = Clock.create_trigger(self._draw, -1)
        drawn = "ground", "edge", "fill", "filled", "track", "long_press", "corner", "stroke"
        for name in ("pos", "size", *drawn, "text"):
            self.fbind(name, again)
        self.bind(ink=self.setter("color"))

    def _draw(self, *_args) -> None:
        box, corner = Box(*self.pos, *self.size), self.corner
        self._plate.put(box, self.ground[:3], corner)
        self._edge.put(box, self.edge[:3], corner, stroke=self.stroke)
        self._raised.y = (
            round(STRIP * corner) if self.long_press and "\n" in self.text else 0
        )  # two lines: the middle of what the strip leaves
        strip = Box(box.x + corner, box.y + STRIP * corner, max(0, box.width - 2 * corner), STRIP * corner)
        if self.long_press:
            self._track.put(strip, self.track[:3])
        else:
            self._track.hide()
        if self.filled:
            self._fill.put(strip._replace(width=strip.width * self.filled, height=2 * strip.height), self.fill[:3])
        else:
            self._fill.hide()


class Answer(Label):
    """What the pressed key would do, or a message. `corner` in pixels."""

    ground = ColorProperty((0, 0, 0))
    ink = ColorProperty((1, 1, 1))
    corner = NumericProperty(8)

    def __init__(self, **kwargs):
        super().__init__(font_name=NAME, bold=True, halign="center", valign="middle", **kwargs)
        group = InstructionGroup()
        self.canvas.before.add(group)
        self._plate = RoundPlate(group)
        again = Clock.create_trigger(self._draw, -1)
        for name in ("pos", "size", "ground", "corner"):
            self.fbind(name, again)
        self.bind(ink=self.setter("color"))

    def _draw(self, *_args) -> None:
        self._plate.put(Box(*self.pos, *self.size), self.ground[:3], self.corner)
