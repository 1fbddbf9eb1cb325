"""The shapes of the states, for eyes that can't tell the colours apart."""

from __future__ import annotations

from kivy.graphics import Rectangle, SmoothEllipse, SmoothLine, SmoothRoundedRectangle, SmoothTriangle


def _poised(x, y, s):
    """The wall, and the arrow of GO still hollow before it: about to leave."""
    corners = (x + s * 0.36, y + s * 0.14, x + s * 0.36, y + s * 0.86, x + s * 0.92, y + s * 0.5)
    return [
        Rectangle(pos=(x + s * 0.06, y + s * 0.04), size=(s * 0.16, s * 0.92)),
        SmoothLine(points=corners, close=True, width=max(1.2, s * 0.05), joint="round"),
    ]


def _head(x, y, s):
    """The wall, and a head beside it above the water: standing at the wall."""
    points = []
    for i in range(9):
        points += [x + s * (0.3 + 0.66 * i / 8), y + s * (0.24 + (0, 0.07, 0, -0.07)[i % 4])]
    return [
        Rectangle(pos=(x + s * 0.06, y + s * 0.04), size=(s * 0.16, s * 0.92)),
        SmoothEllipse(pos=(x + s * 0.4, y + s * 0.42), size=(s * 0.46, s * 0.46)),
        SmoothLine(points=points, width=max(1.2, s * 0.06), cap="round", joint="round"),
    ]


def _arrow(x, y, s):
    return [SmoothTriangle(points=(x + s * 0.14, y + s * 0.06, x + s * 0.14, y + s * 0.94, x + s * 0.96, y + s * 0.5))]


def _wave(x, y, s):
    made = []
    for level in (0.34, 0.66):
        points = []
        for i in range(9):
            points += [x + s * (0.05 + 0.9 * i / 8), y + s * (level + (0.12, 0, -0.12, 0)[(i + 1) % 4])]
        made.append(SmoothLine(points=points, width=max(1.2, s * 0.06), cap="round", joint="round"))
    return made


def _ring(x, y, s):
    return [SmoothLine(circle=(x + s / 2, y + s / 2, s * 0.36), width=max(1.2, s * 0.08))]


def _bubble(x, y, s):
    return [
        SmoothRoundedRectangle(pos=(x + s * 0.04, y + s * 0.32), size=(s * 0.92, s * 0.58), radius=[s * 0.16] * 4),
        SmoothTriangle(points=(x + s * 0.2, y + s * 0.36, x + s * 0.52, y + s * 0.36, x + s * 0.2, y + s * 0.06)),
    ]


def _wall(x, y, s):
    return [
        Rectangle(pos=(x + s * 0.06, y + s * 0.04), size=(s * 0.2, s * 0.92)),
        SmoothTriangle(points=(x + s * 0.34, y + s * 0.5, x + s * 0.66, y + s * 0.82, x + s * 0.66, y + s * 0.18)),
        Rectangle(pos=(x + s * 0.6, y + s * 0.4), size=(s * 0.36, s * 0.2)),
    ]


def _pause(x, y, s):
    return [
        Rectangle(pos=(x + s * 0.14, y + s * 0.08), size=(s * 0.26, s * 0.84)),
        Rectangle(pos=(x + s * 0.6, y + s * 0.08), size=(s * 0.26, s * 0.84)),
    ]


def _tick(x, y, s):
    return [
        SmoothLine(
            points=(x + s * 0.1, y + s * 0.5, x + s * 0.4, y + s * 0.18, x + s * 0.92, y + s * 0.84),
            width=max(1.5, s * 0.09),
            cap="round",
            joint="round",
        )
    ]


def _dots(x, y, s):
    return [SmoothEllipse(pos=(x + s * (0.06 + 0.34 * i), y + s * 0.39), size=(s * 0.22, s * 0.22)) for i in range(3)]


def _warning(x, y, s):
    wide = max(1.2, s * 0.06)
    return [
        SmoothLine(
            points=(x + s * 0.06, y + s * 0.08, x + s * 0.94, y + s * 0.08, x + s * 0.5, y + s * 0.92),
            close=True,
            width=wide,
            joint="round",
        ),
        SmoothLine(points=(x + s * 0.5, y + s * 0.38, x + s * 0.5, y + s * 0.62), width=wide, cap="round"),
        SmoothEllipse(pos=(x + s * 0.44, y + s * 0.17), size=(s * 0.12, s * 0.12)),
    ]


#: How each shape is drawn into a square with its lower left corner at x, y and side s.
SHAPE_PARTS = {
    "poised": _poised,
    "arrow": _arrow,
    "wave": _wave,
    "head": _head,
    "ring": _ring,
    "bubble": _bubble,
    "wall": _wall,
    "pause": _pause,
    "tick": _tick,
    "dots": _dots,
    "warning": _warning,
}
