"""Reads a CSV file of times into rows that say which swim each time belongs to.

A row has one time, or one for each repeat in columns called `1`, `2`, … or `repeat 1`, `repeat 2`, ….
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple

from pacer.language import tr
from pacer.plan.filetext import text_from_bytes
from pacer.plan.problem import Problem, Unreadable
from pacer.squad.files.csvcolumns import SKIP, Kind, meanings_of
from pacer.squad.files.csvsheet import Record, Sheet, sheet_from_text

_REPEAT = re.compile(r"(?:repeat |rep )?(\d{1,3})", re.ASCII)


def _repeat_of(name: str) -> str:
    match = _REPEAT.fullmatch(name)
    return tr("repeat {said}", said=int(match[1])) if match and int(match[1]) else ""


#: The columns of a file of times.
TIMES = Kind(
    "times",
    MappingProxyType(
        {
            "time": tr("the time of one repeat"),
            "lane": tr("the pool's lane number"),
            "swimmer": tr("who: a name, or the place in the lane"),
            "person": tr("swimmer number from an export"),
            "section": tr("the section's name"),
            "set": tr("set number within the section"),
            "line": tr("the set's line number in the plan"),
            "round": tr("round number"),
            "repeat": tr("repeat number"),
            "distance": tr("how far the repeat is"),
        }
    ),
    MappingProxyType(
        {
            **dict.fromkeys(("swim time", "result", "swum", "final time", "time s"), "time"),
            **dict.fromkeys(("lane no", "lane number"), "lane"),
            **dict.fromkeys(("name", "athlete", "place", "swimmer name"), "swimmer"),
            **dict.fromkeys(("rep", "repeat no", "repetition"), "repeat"),
            **dict.fromkeys(("metres", "meters", "yards", "dist"), "distance"),
            # further columns of pacer's own tables
            **dict.fromkeys(("session", "left s", "of", "predicted s", "over s", "target", "source", "bound s"), SKIP),
        }
    ),
    _repeat_of,
)


class TimeRow(NamedTuple):
    """One time as written: what the row says about it, by meaning, and the cell of the time."""

    record: Record
    place: int
    said: Mapping[str, str]
    time: str


@dataclass(frozen=True, slots=True)
class TimesFile:
    """All times of a file, with their sheet."""

    sheet: Sheet
    columns: tuple[str, ...]
    rows: tuple[TimeRow, ...]

    def problem(self, row: TimeRow, meaning: str, message: str, hint: str = "") -> Problem:
        """A problem with a cell of a row, or with the whole row if it does not have that column."""
        place = row.place if meaning == "time" else None
        if meaning in self.columns and meaning != "time":
            place = self.columns.index(meaning)
        return self.sheet.problem(row.record, place, message, hint)


def read_times(data: bytes, known: Mapping[str, str]) -> TimesFile:
    """The times of a file; `known` says what its columns mean. Raises Unreadable, UnknownColumns."""
    text = text_from_bytes(data, tr("list of times"))
    sheet = sheet_from_text(text, "lane,swimmer,section,set,repeat,time", "3,1,Main set,1,1,1:18.3")
    columns = meanings_of(sheet, TIMES, known)
    times = [place for place, column in enumerate(columns) if column == "time" or column.startswith("repeat ")]
    if not times:
        raise Unreadable([sheet.problem(sheet.header, None, tr("no column has times"), tr("name one column “time”"))])
    if len(times) > 1 and "time" in columns:
        place = columns.index("time")
        hint = tr("keep one of the two: a column time, or a column for each repeat")
        raise Unreadable([sheet.problem(sheet.header, place, tr("times are in several columns"), hint)])
    rows, problems = [], []
    for record in sheet.records:
        if uneven := sheet.uneven(record, tr("leave cells empty if there is nothing to write")):
            problems.append(uneven)
            continue
        said = {column: cell for column, cell in zip(columns, record.cells) if column != SKIP and cell}
        for place in times:
            if record.cells[place]:
                repeat = columns[place].removeprefix("repeat ") if columns[place] != "time" else said.get("repeat", "")
                rows.append(TimeRow(record, place, {**said, "repeat": repeat}, record.cells[place]))
    if problems:
        raise Unreadable(problems)
    if not rows:
        raise Unreadable(
            [
                sheet.problem(
                    sheet.header, None, tr("there are no times below the header"), tr("write one line for each")
                )
            ]
        )
    return TimesFile(sheet, tuple(columns), tuple(rows))
