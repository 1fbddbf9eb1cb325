"""Rows of a table as text, for the terminal and plain files."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence


def aligned(rows: Sequence[Sequence[str]], left: Collection[int] = (0,)) -> Iterator[str]:
    """The rows, each column as wide as its longest cell, two blanks apart; right-aligned unless in `left`.

    A column may be counted from the last one: -1.

    >>> list(aligned([("", "time"), ("lane 4", "1:30"), ("lane 10", "58")]))
    ['         time', 'lane 4   1:30', 'lane 10    58']
    """
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))] if rows else []
    for row in rows:
        cells = [
            cell.ljust(width) if at in left or at - len(row) in left else cell.rjust(width)
            for at, (cell, width) in enumerate(zip(row, widths))
        ]
        yield "  ".join(cells).rstrip()
