"""The tables as CSV (RFC 4180), safe to open in a spreadsheet: no cell is a formula."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from pacer.review.exports.exporttables import (
    TABLES,
    TEXT,
    TIME,
    TRUTH,
    Column,
    Exported,
    ExportTable,
    Value,
    names_in,
    shown_columns,
    table_rows,
)
from pacer.review.exports.knownnames import KnownNames

#: Spreadsheets treat a cell that begins with one of these, even after spaces, as a formula (from memory); a mark in
#: front prevents that.
FORMULA = ("=", "+", "-", "@", "\t", "\r", "|", "%")
MARK = "'"


def csv_files(sessions: Sequence[Exported], names: bool = False) -> dict[str, bytes]:
    """A file for each table, by name."""
    known = names_in(sessions)
    return {f"{table.name}.csv": csv_text(table, sessions, names, known).encode() for table in TABLES}


def csv_text(table: ExportTable, sessions: Iterable[Exported], names: bool, known: KnownNames) -> str:
    """One table."""
    rows = [[cell_of(column, value) for column, value in row] for row in table_rows(table, sessions, names, known)]
    return csv_rows([[head_of(column) for column in shown_columns(table, names)], *rows])


def csv_rows(rows: Iterable[Iterable[object]]) -> str:
    """Rows as RFC 4180 has them."""
    out = io.StringIO(newline="")
    csv.writer(out, lineterminator="\r\n").writerows(rows)
    return out.getvalue()


def head_of(column: Column) -> str:
    """A column's heading; for times it says that they are in seconds."""
    return f"{column.name}_s" if column.kind == TIME else column.name


def cell_of(column: Column, value: Value) -> str:
    """A value as text: `1.25` for 1,250 ms, `yes`, nothing for None.

    >>> cell_of(Column("time", TIME, ""), -82_460), cell_of(Column("title", TEXT, ""), "=1+1")
    ('-82.46', "'=1+1")
    """
    if value is None:
        return ""
    if column.kind == TIME:
        sign, (whole, part) = "-" if int(value) < 0 else "", divmod(abs(int(value)), 1000)
        return f"{sign}{whole}.{part:03d}".rstrip("0").rstrip(".")
    if column.kind == TRUTH:
        return "yes" if value else "no"
    return safe_text(str(value)) if column.kind == TEXT else str(value)


def safe_text(text: str) -> str:
    """The text on one line, with a mark if a spreadsheet would run it as a formula."""
    line = " ".join(text.splitlines()) if len(text.splitlines()) > 1 else text
    return f"{MARK}{line}" if line.lstrip(" ").startswith(FORMULA) or line.startswith(MARK) else line
