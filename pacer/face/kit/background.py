"""Background colour: cleared rather than filled, which costs a third as much without a graphics chip."""

from __future__ import annotations

from kivy.graphics import ClearBuffers, ClearColor, InstructionGroup, ScissorPop, ScissorPush
from kivy.uix.widget import Widget

from pacer.face.kit.ink import NOWHERE, Box
from pacer.show.measure.theme import Rgb


class Ground:
    """A box of the window in one colour. Everything in it has to be drawn after it."""

    def __init__(self, group: InstructionGroup):
        self.bounds = ScissorPush(x=0, y=0, width=0, height=0)
        self.colour = ClearColor(0, 0, 0, 1)
        for instruction in (self.bounds, self.colour, ClearBuffers(clear_color=True), ScissorPop()):
            group.add(instruction)

    def put(self, box: Box, colour: Rgb) -> None:
        """Clear `box` to `colour`."""
        x, y = round(box.x), round(box.y)
        bounds = self.bounds
        bounds.x, bounds.y, bounds.width, bounds.height = x, y, max(0, round(box.right) - x), max(0, round(box.top) - y)
        self.colour.rgb = colour

    def hide(self) -> None:
        """Clear nothing."""
        self.put(NOWHERE, (0, 0, 0))


def keep_ground(widget: Widget) -> None:
    """Keep the colour `widget.ground` under all that a widget draws; nothing if it is transparent."""
    ground = Ground(widget.canvas.before)

    def put(*_args) -> None:
        *colour, opacity = widget.ground
        ground.put(Box(*widget.pos, *widget.size) if opacity else NOWHERE, colour)

    widget.bind(pos=put, size=put, ground=put)
    put()
