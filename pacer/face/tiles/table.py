"""Tables: columns with heads that say what and in which unit, figures aligned under them, a rule below each row."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from pacer.face.kit.textures import measure
from pacer.face.kit.wrap import rows_of
from pacer.face.tiles.tile import Bar, Text, Tile

ROW = 1.62  #: height of a row of words, in character heights
GAP = 1.1  #: between two columns, in character heights


class Head(NamedTuple):
    """What a column says; its cells stand to the `left` or the `right`. The one that `grows` has what is left."""

    text: str
    across: str = "right"
    grows: bool = False
    bold: bool = False


class Line(NamedTuple):
    """A row: the cells' words, their colours ("" for ink), and the name under which it is pressed, if any."""

    cells: tuple[str, ...]
    colours: tuple[str, ...] = ()
    name: str = ""


def table_tiles(
    heads: Sequence[Head], lines: Sequence[Line], x: float, top: float, width: float, cap: float, least: float = 0.0
) -> list[Tile]:
    """The table from `top` down, `width` across; a row is `least` high at least.

    A column is as wide as what stands in it. What has no room in the one that grows is broken into rows.
    """
    row, between = round(ROW * cap), GAP * cap
    wides = _wides(heads, lines, width, cap, between)
    tiles = []
    if any(head.text for head in heads):
        texts, left = [], 0.0
        for head, wide in zip(heads, wides):
            texts.append(Text((head.text,), (left, 0, wide + 1, row), colour="dim", across=head.across))
            left += wide + between
        tiles.append(Tile("", x, top, width, row, tuple(texts), "plain"))
        top += row
    for line in lines:
        left, high = 0.0, max(row, round(least))
        cells: list[tuple[Head, float, float, str, str, int]] = []
        for place, (head, wide, cell) in enumerate(zip(heads, wides, line.cells)):
            colour = (line.colours[place] if place < len(line.colours) else "") or "ink"
            count = len(rows_of(cell, wide, cap, head.bold)) if head.grows else 1
            high = max(high, count * row)
            cells.append((head, left, wide, cell, colour, count))
            left += wide + between
        made = tuple(
            Text(
                (cell,),
                (at, (high - count * row) / 2, wide + 1, count * row),
                head.bold,
                colour,
                head.across,
                lines=count,
            )
            for head, at, wide, cell, colour, count in cells
        )
        rule = Bar((0, high - 1, width, 1), "line")
        tiles.append(Tile(line.name, x, top, width, high, made, "plain", True, (rule,)))
        top += high
    return tiles


def _wides(heads: Sequence[Head], lines: Sequence[Line], width: float, cap: float, between: float) -> list[float]:
    wides = [
        max(measure(head.text, cap), *(measure(line.cells[place], cap, head.bold) for line in lines), 0.0)
        for place, head in enumerate(heads)
    ]
    grows = next((place for place in reversed(range(len(heads))) if heads[place].grows), None)
    if grows is not None:
        others = sum(wide for place, wide in enumerate(wides) if place != grows) + between * (len(heads) - 1)
        wides[grows] = max(4 * cap if wides[grows] else 0.0, width - others)
    return wides
