"""The whole screen lit by a flash: a frame around the edge, and a veil through which everything stays readable."""

from __future__ import annotations

from kivy.graphics import Color, Rectangle
from kivy.uix.widget import Widget

from pacer.show.measure.theme import Theme


def light(widget: Widget, lit: bool, theme: Theme, edge: float) -> None:
    """Light `widget` with a frame `edge` pixels wide over everything it shows, or end that."""
    widget.canvas.after.clear()
    if not lit:
        return
    width, height = widget.size
    with widget.canvas.after:
        Color(*theme.flip, 0.45)
        Rectangle(pos=widget.pos, size=widget.size)
        Color(*theme.flip)
        for x, y, wide, high in (
            (0, 0, width, edge),
            (0, height - edge, width, edge),
            (0, edge, edge, height - 2 * edge),
            (width - edge, edge, edge, height - 2 * edge),
        ):
            Rectangle(pos=(widget.x + x, widget.y + y), size=(wide, high))
