"""The views in a window: whatever they say, at every size, it stays in its box, clear of everything else, and can be read."""

from __future__ import annotations

from itertools import combinations

import pytest

from tests.face import extremes
from tests.face.drawing import SIZES, drawn_in, pixels


def views(lanes, moment):
    """Class name to what it shows, for each view."""
    from pacer.face.told import changeover_view
    from pacer.face.view import dial_view, lane_view, pool_view

    run, at_ms = extremes.moments(lanes)[moment]
    return {"pool": pool_view(run, at_ms), "lane": lane_view(run, 0, at_ms), "dial": dial_view(run, at_ms), "changeover": changeover_view(run, at_ms)}


def widgets():
    from pacer.face.changeover import ChangeoverView
    from pacer.face.dial import DialView
    from pacer.face.lane import LaneView
    from pacer.face.pool import PoolView

    return {"pool": PoolView, "lane": LaneView, "dial": DialView, "changeover": ChangeoverView}


def faults(widget, size, least):
    """What is wrong with how a widget's words stand: out of the box, out of the screen, over each other, too small."""
    found = []
    pieces = widget.drawn()
    for piece in pieces:
        box = piece.box
        for ink in piece.ink:
            if not (box.x - 1 <= ink.x and ink.right <= box.right + 1 and box.y - 1.5 <= ink.y and ink.top <= box.top + 1.5):
                found.append(f"{piece.name} {said(piece)!r} {ink} leaves its box {box}")
            if not (-0.5 <= ink.x and ink.right <= size[0] + 0.5 and -0.5 <= ink.y and ink.top <= size[1] + 0.5):
                found.append(f"{piece.name} {said(piece)!r} {ink} leaves the screen")
        if piece.cap < least - 1.01:
            found.append(f"{piece.name} {said(piece)!r} is {piece.cap:.1f} high, at least {least:.1f}")
    inks = [(piece, ink.inset(0.5, 0.5)) for piece in pieces for ink in piece.ink]
    for (one, a), (other, b) in combinations(inks, 2):
        if a.x < b.right and b.x < a.right and a.y < b.top and b.y < a.top:
            found.append(f"{one.name} {said(one)!r} {a} lies over {other.name} {said(other)!r} {b}")
    return found


def said(piece):
    return piece.text if hasattr(piece, "text") else " ".join(piece.fitted.lines)


@pytest.fixture(scope="module", params=list(SIZES), ids=lambda size: "x".join(map(str, size)))
def size(request):
    return request.param


@pytest.mark.parametrize("name", ["pool", "lane", "dial", "changeover"])
@pytest.mark.parametrize("stretched", [False, True], ids=["", "stretched"])
def test_everything_fits(window, size, name, stretched):
    from pacer.face.legibility import Glass
    from pacer.face.view import forget
    from pacer.face.words import stretch

    glass = Glass.of_dpi(SIZES[size])
    found = []
    stretch(stretched)
    forget()
    try:
        widget = widgets()[name](glass=glass)
        window.add_widget(widget)
        widget.size_hint, widget.pos, widget.size = (None, None), (0, 0), size
        for lanes in (range(1, 11) if name != "lane" else (1, 4)):
            for moment in extremes.moments(lanes):
                widget.show(views(lanes, moment)[name])
                found += [f"{lanes} lanes, {moment}: {fault}" for fault in faults(widget, size, glass.unit_px(*size))]
    finally:
        stretch(False)
        forget()
    assert not found, f"{len(found)} faults\n" + "\n".join(found[:12])
