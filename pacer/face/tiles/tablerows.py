"""A log's or a review's table, ruled as all tables are: how wide it is, and as tiles of a column."""

from __future__ import annotations

from pacer.face.kit.textures import measure
from pacer.face.tiles.column import Column
from pacer.face.tiles.table import GAP, Head, Line, table_tiles
from pacer.review.tables import Table

LEAST = 6.0  #: character heights that a last column of long texts has at least
GROWS = 4.0  #: character heights that a column which grows gets in any table
PIXELS = 0.97  #: letters' sizes go by whole pixels: what is made smaller needs a little room


def wide(table: Table, cap: float) -> float:
    """How wide a table is at least, if its last column is wrapped."""
    rows = [table.heads, *table.rows] if table.heads else list(table.rows)
    columns = [max(measure(cells[at], cap) for cells in rows) for at in range(len(rows[0]) - 1)]
    last = max(measure(word, cap) for cells in rows for word in cells[-1].split(" ") or [""])
    whole = max(measure(cells[-1], cap) for cells in rows)
    return sum(columns) + GAP * cap * len(columns) + max(last, min(whole, LEAST * cap), GROWS * cap)


def say_table(column: Column, table: Table) -> None:
    """Put a table's rows below one another; its heading is left out. One that is too wide is made smaller."""
    needs = wide(table, column.cap)
    scale = 1.0 if needs <= column.width else PIXELS * column.width / needs
    heads = [Head(head) for head in table.heads or ("",) * len(table.rows[0])]
    heads[0] = heads[0]._replace(across="left")
    heads[-1] = heads[-1]._replace(across="left", grows=True)
    lines = [Line(cells) for cells in table.rows]
    for tile in table_tiles(heads, lines, column.x, column.top, column.width, scale * column.cap):
        texts = tuple(text._replace(cap=scale) for text in tile.texts)
        column.tiles.append(tile._replace(texts=texts))
        column.top = tile.bottom
