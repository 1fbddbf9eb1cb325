"""A CSV text as records that know their place: RFC 4180, and what spreadsheets make of it elsewhere.

Cells are parted by commas, semicolons or tabs, whichever the first line has most of.
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from typing import NamedTuple

from pacer.language import tr
from pacer.plan.filetext import lines_of
from pacer.plan.problem import Problem, Unreadable

MOST_CHARACTERS = 1_000_000
MOST_COLUMNS = 200
_DELIMITERS = ",;\t"


class Record(NamedTuple):
    """A record's cells, and the lines of the text (from 1) that it begins and ends on."""

    cells: tuple[str, ...]
    first: int
    last: int


@dataclass(frozen=True, slots=True)
class Sheet:
    """The records of a CSV text that are not blank; the first is the header."""

    lines: tuple[str, ...]
    delimiter: str
    header: Record
    records: tuple[Record, ...]

    def uneven(self, record: Record, hint: str) -> Problem | None:
        """A problem with a record that has more or fewer cells than the header."""
        cells, columns = len(record.cells), len(self.header.cells)
        if cells == columns:
            return None
        message = tr("this line has {cells} cells, the first has {columns}", cells=cells, columns=columns)
        return self.problem(record, None, message, hint)

    def problem(self, record: Record, place: int | None, message: str, hint: str) -> Problem:
        """A problem with a record, or with one of its cells."""
        source = self.lines[max(1, record.first) - 1]
        start, end = 0, len(source)
        if place is not None and record.first == record.last:
            spans = [field.span() for field in _field(self.delimiter).finditer(source)]
            if place < len(spans):
                start, end = spans[place]
        return Problem(max(1, record.first), start + 1, max(end, start + 1) + 1, message, hint, source)


def sheet_from_text(text: str, header: str, row: str) -> Sheet:
    """The records of a text; `header` and `row` show in hints how one is written. Raises Unreadable."""
    text = text.removeprefix("\ufeff")
    if len(text) > MOST_CHARACTERS:
        message = tr(
            "the text is too long: {count:,} characters, at most {most_characters:,}",
            count=len(text),
            most_characters=MOST_CHARACTERS,
        )
        raise Unreadable([Problem(1, 1, 1, message, tr("is it the right file?"))])
    lines = tuple(lines_of(text))
    delimiter = _delimiter(next(filter(str.strip, lines), ""))
    reader = csv.reader(io.StringIO(text, newline=""), strict=True, delimiter=delimiter)
    records: list[Record] = []
    last = 0
    try:
        for cells in reader:
            first, last = last + 1, reader.line_num
            if any(map(str.strip, cells)):
                records.append(Record(tuple(cell.strip() for cell in cells), first, last))
    except csv.Error:
        source = lines[min(last, len(lines) - 1)]
        message = tr("a quote is not closed, or is inside a cell")
        hint = tr('write a cell that has a comma or a quote "in quotes", and each quote in it twice')
        raise Unreadable([Problem(last + 1, 1, len(source) + 1, message, hint, source)]) from None
    if not records:
        raise Unreadable(
            [
                Problem(
                    1,
                    1,
                    2,
                    tr("this file is empty"),
                    tr("the first line is {header}, then lines such as {row}", header=header, row=row),
                )
            ]
        )
    sheet = Sheet(lines, delimiter, records[0], tuple(records[1:]))
    if len(sheet.header.cells) > MOST_COLUMNS:
        message = tr(
            "{cells} columns, at most {most_columns}", cells=len(sheet.header.cells), most_columns=MOST_COLUMNS
        )
        raise Unreadable([sheet.problem(sheet.header, None, message, tr("leave some out"))])
    return sheet


def _delimiter(line: str) -> str:
    bare = re.sub(r'"[^"]*"', "", line)
    return max(_DELIMITERS, key=bare.count)


def _field(delimiter: str) -> re.Pattern[str]:
    """The fields of a record on one line, quoted or not."""
    mark = re.escape(delimiter)
    return re.compile(rf'(?:^|(?<={mark}))(?:"(?:[^"]|"")*"|[^{mark}]*)')
