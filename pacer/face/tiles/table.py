"""Tables: columns with headings that say what and in which unit, figures aligned under them, a rule below each row."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from pacer.face.kit.textures import measure
from pacer.face.kit.wrapasdrawn import rows_of
from pacer.face.tiles.column import ROW, Column
from pacer.face.tiles.tile import Bar, Text, Tile
from pacer.review.logtables import Table

LEAST = 6.0  #: least width of a last column of long texts, in character heights
PIXELS = 0.97  #: letters have whole-pixel sizes: smaller ones need a little spare room
FIGURE = re.compile(r"[-−+]?\d[\d,.:]*(?: \w{1,2}| %)?|")  #: what is aligned at its right end
GAP = 1.1  #: between two columns, in character heights


class Head(NamedTuple):
    """A column's heading; its cells are aligned `left` or `right`. The one that `grows` gets the width left over."""

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
    heads: Sequence[Head], lines: Sequence[Line], x: float, top: float, width: float, cap: float, scale: float = 1.0
) -> list[Tile]:
    """The table from `top` down, `width` across, its words `scale` times the page's `cap`.

    A column is as wide as its contents. In the one that grows, long words wrap into rows.
    """
    cap *= scale
    row, between = round(ROW * cap), GAP * cap
    wides = _wides(heads, lines, width, cap, between)
    tiles = []
    if any(head.text for head in heads):
        texts, left = [], 0.0
        for head, wide in zip(heads, wides):
            texts.append(Text((head.text,), (left, 0, wide + 1, row), colour="dim", across=head.across, cap=scale))
            left += wide + between
        tiles.append(Tile("", x, top, width, row, tuple(texts), "plain", heading=True))
        top += row
    for line in lines:
        left, high = 0.0, row
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
                cap=scale,
            )
            for head, at, wide, cell, colour, count in cells
        )
        rule = Bar((0, high - 1, width, 1), "line")
        tiles.append(Tile(line.name, x, top, width, high, made, "plain", True, (rule,)))
        top += high
    return tiles


def least_wide(head: Head, lines: Sequence[Line], place: int, cap: float) -> float:
    """The least width of a growing column: its heading and its longest word; nothing if it is empty."""
    words = [word for line in lines for word in line.cells[place].split(" ")]
    return max(measure(head.text, cap), *(measure(word, cap, head.bold) for word in words), 0.0)


def _wides(heads: Sequence[Head], lines: Sequence[Line], width: float, cap: float, between: float) -> list[float]:
    wides = [
        max(measure(head.text, cap), *(measure(line.cells[place], cap, head.bold) for line in lines), 0.0)
        for place, head in enumerate(heads)
    ]
    grows = next((place for place in reversed(range(len(heads))) if heads[place].grows), None)
    if grows is not None:
        others = sum(wide for place, wide in enumerate(wides) if place != grows) + between * (len(heads) - 1)
        wides[grows] = max(least_wide(heads[grows], lines, grows, cap), width - others)
    return wides


def wide(table: Table, cap: float) -> float:
    """The least width of a table of a log or a review, with its last column wrapped."""
    rows = _all(table)
    columns = [max(measure(cells[at], cap) for cells in rows) for at in range(len(rows[0]) - 1)]
    last = max(measure(word, cap) for cells in rows for word in cells[-1].split(" ") or [""])
    whole = max(measure(cells[-1], cap) for cells in rows)
    return sum(columns) + GAP * cap * len(columns) + max(last, min(whole, LEAST * cap))


def say_table(column: Column, table: Table) -> None:
    """Put a table's rows below one another, without its heading. If it is too wide it is made smaller."""
    if not table.rows:
        return
    needs, last = wide(table, column.cap), len(table.rows[0]) - 1
    scale = 1.0 if needs <= column.width else PIXELS * column.width / needs
    words = table.heads or ("",) * (last + 1)
    figures = all(FIGURE.fullmatch(cells[last]) for cells in table.rows)
    heads = [
        Head(
            word,
            "left" if place == 0 or (place == last and not figures) else "right",
            grows=place == last and not figures,
        )
        for place, word in enumerate(words)
    ]
    lines = [Line(cells) for cells in table.rows]
    column.tiles += table_tiles(heads, lines, column.x, column.top, column.width, column.cap, scale)
    column.top = column.tiles[-1].bottom


def _all(table: Table) -> list[tuple[str, ...]]:
    return [*([table.heads] if table.heads else []), *table.rows]
