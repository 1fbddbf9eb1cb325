"""Tables: columns with headings that say what and in which unit, figures aligned under them, a rule below each row."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from pacer.face.kit.textures import measure
from pacer.face.kit.wrapasdrawn import rows_of
from pacer.face.tiles.column import ROW, Column
from pacer.face.tiles.tile import Bar, Text, Tile
from pacer.review.logtables import Table
from pacer.show.measure.fitting import wrapped

LEAST_LAST = 6.0  #: least width of a last column of long texts, in character heights
PIXELS = 0.97  #: letters have whole-pixel sizes: smaller ones need a little spare room
FIGURE = re.compile(r"[-−+]?\d[\d,.:]*(?: \w{1,2}| %)?|–?")  #: what is aligned at its right end
MOST_ROWS = 4  #: words wrap into up to so many rows before they are made smaller
HEAD_ROWS = 2  #: the same for a heading
GAP = 1.1  #: between two columns, in character heights


class Head(NamedTuple):
    """A column's heading; its cells are aligned `left` or `right`.

    Words wrap in those that `grows`; the last of them gets the width left over.
    """

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

    A column is as wide as its contents. If that is too wide, words wrap into rows in the columns that grow, and
    headings into two; the first columns are the last to give way.
    """
    cap *= scale
    row, between = round(ROW * cap), GAP * cap
    wides = _wides(heads, lines, width, cap, between)
    tiles = []
    if any(head.text for head in heads):
        texts, left = [], 0.0
        counts = [min(HEAD_ROWS, len(rows_of(head.text, wide + 1, cap))) for head, wide in zip(heads, wides)]
        high = max(counts) * row
        for head, wide, count in zip(heads, wides, counts):
            box = (left, high - count * row, wide + 1, count * row)
            texts.append(Text((head.text,), box, colour="dim", across=head.across, lines=count, cap=scale))
            left += wide + between
        tiles.append(Tile("", x, top, width, high, tuple(texts), "plain", heading=True))
        top += high
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
    """The columns' widths: words in as few rows as leave room for every column."""
    grows = next((place for place in reversed(range(len(heads))) if heads[place].grows), None)
    full = _in_rows(heads, lines, cap, 1)
    room = width - between * (len(heads) - 1)
    wides, rows = full, 1
    while sum(wides) > room and rows < MOST_ROWS:
        rows += 1
        wides = _in_rows(heads, lines, cap, rows)
    for place, (wide, whole) in enumerate(zip(wides, full)):
        if place != grows and whole - wide <= room - sum(wides):
            wides[place] = whole
    if grows is not None:
        wides[grows] += max(0.0, room - sum(wides))
    return wides


def _in_rows(heads: Sequence[Head], lines: Sequence[Line], cap: float, rows: int) -> list[float]:
    """The least width of each column with words in at most so many rows, figures in one."""
    columns = zip(*(line.cells[: len(heads)] for line in lines)) if lines else ((),) * len(heads)
    return [
        max(
            _column_wide((head.text,), min(rows, HEAD_ROWS), cap, False),
            _column_wide(cells, rows if head.grows else 1, cap, head.bold),
        )
        for head, cells in zip(heads, columns)
    ]


@lru_cache(4096)  # a page is laid out more than once, with many tables
def _column_wide(cells: tuple[str, ...], rows: int, cap: float, bold: bool) -> float:
    """The least width that holds each of these texts in at most so many rows."""
    return max((_narrowest(cell, rows, cap, bold) for cell in set(cells)), default=0.0)


def _narrowest(text: str, rows: int, cap: float, bold: bool) -> float:
    made = wrapped(text, min(rows, text.count(" ") + 1), measure, bold) or (text,)
    return max(measure(row, cap, bold) for row in made)


def wide(table: Table, cap: float) -> float:
    """The least width of a table of a log or a review, with its last column wrapped."""
    rows = _all(table)
    columns = [max(measure(cells[at], cap) for cells in rows) for at in range(len(rows[0]) - 1)]
    last = max(measure(word, cap) for cells in rows for word in cells[-1].split(" ") or [""])
    whole = max(measure(cells[-1], cap) for cells in rows)
    return sum(columns) + GAP * cap * len(columns) + max(last, min(whole, LEAST_LAST * cap))


def say_table(column: Column, table: Table) -> None:
    """Put a table's rows below one another, without its heading. If no wrapping makes it fit, it is made smaller."""
    if not table.rows:
        return
    words = table.heads or ("",) * len(table.rows[0])
    figures = [all(FIGURE.fullmatch(cells[place]) for cells in table.rows) for place in range(len(words))]
    lines = [Line(cells) for cells in table.rows]
    between = GAP * column.cap * (len(words) - 1)
    made = []
    for first in (len(words) > 1, False):  # a day or a name is wrapped only if the table then gets lower
        heads = [
            Head(word, "right" if place and figures[place] else "left", not figures[place] and place >= first)
            for place, word in enumerate(words)
        ]
        rows = 0
        needs = column.width + 1.0
        while needs > column.width and rows < MOST_ROWS:
            rows += 1
            needs = sum(_in_rows(heads, lines, column.cap, rows)) + between
        made.append((rows + (needs > column.width), heads, needs))
        if rows == 1:
            break
    _, heads, needs = min(made, key=lambda one: one[0])
    scale = 1.0 if needs <= column.width else PIXELS * column.width / needs
    column.tiles += table_tiles(heads, lines, column.x, column.top, column.width, column.cap, scale)
    column.top = column.tiles[-1].bottom


def _all(table: Table) -> list[tuple[str, ...]]:
    return [*([table.heads] if table.heads else []), *table.rows]
