"""A table as tiles: columns as wide as what stands in them, the last one in as many rows as it needs."""

from __future__ import annotations

from pacer.face.kit.textures import measure
from pacer.face.kit.wrap import rows_of
from pacer.face.tiles.board import Text, Tile
from pacer.face.tiles.column import ROW, Column
from pacer.review.tables import Table

BETWEEN = 0.8  #: character heights between two columns
LEAST = 6.0  #: character heights that the last column has at least


def wide(table: Table, cap: float) -> float:
    """How wide a table is at least, if its last column is wrapped."""
    columns = _columns(table, cap)
    last = max(measure(word, cap) for cells in _all(table) for word in cells[-1].split(" ") or [""])
    return sum(columns) + BETWEEN * cap * len(columns) + max(last, LEAST * cap)


def say_table(column: Column, table: Table) -> None:
    """Put a table's rows below one another, its heads dim; its heading is left out. One too wide is made smaller."""
    needs = wide(table, column.cap)
    scale = 1.0 if needs <= column.width else 0.97 * column.width / needs  # letters' sizes go by whole pixels
    cap = scale * column.cap
    row, between = round(ROW * cap), BETWEEN * cap
    columns = _columns(table, cap)
    left = sum(columns) + between * len(columns)
    room = max(column.width - left, 1.0)
    for at, cells in enumerate(_all(table)):
        colour = "dim" if table.heads and not at else "ink"
        rows = rows_of(cells[-1], room, cap)
        texts, x = [], 0.0
        for cell, width in zip(cells, columns):
            texts.append(Text((cell,), (x, 0, width + 1, row), colour=colour, across="right", cap=scale))
            x += width + between
        high = len(rows) * row
        up = "top" if len(rows) > 1 else "middle"
        texts.append(Text((cells[-1],), (x, 0, room, high), colour=colour, up=up, lines=len(rows), cap=scale))
        column.tiles.append(Tile("", column.x, column.top, column.width, high, tuple(texts), "plain"))
        column.top += high


def _all(table: Table) -> list[tuple[str, ...]]:
    return [*([table.heads] if table.heads else []), *table.rows]


def _columns(table: Table, cap: float) -> list[float]:
    """The widths of all columns but the last."""
    return [max(measure(cells[at], cap) for cells in _all(table)) for at in range(len(table.rows[0]) - 1)]
