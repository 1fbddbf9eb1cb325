"""The key of a figure: what each fill means, as a tile of its own."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.face.kit.textures import measure
from pacer.face.tiles.tile import Picture, Text, Tile
from pacer.show.figures.figure import Axis, Bar, Figure, Key
from pacer.show.measure.typesizes import SMALL

HIGH = 1.5  #: of the row, in character heights


def key_tile(keys: Sequence[Key], x: float, top: float, width: float, cap: float) -> Tile:
    """A row of samples, each with its word, as many as there is room for."""
    small, high = SMALL * cap, round(HIGH * cap)
    at, bars, texts, low = 0.0, [], [], (1 - small / high) / 2
    for each in dict.fromkeys(keys):
        wide = measure(each.text, small) + 2
        if at + 2.8 * small + wide > width:
            break
        bars.append(Bar(at, at + 2.2 * small, low, 1 - low, each.fill))
        texts.append(Text((each.text,), (at + 2.8 * small, 0, wide, high), colour="dim", cap=SMALL))
        at += 2.8 * small + wide + 1.6 * small
    if not bars:
        return Tile("", x, top, width, 0, (), "plain")
    figure = Figure("", "", Axis(0, width), Axis(0, 1), bars=tuple(bars))
    return Tile("", x, top, width, high, tuple(texts), "plain", pictures=(Picture((0, 0, width, high), figure),))
