"""Read lists of swimmers, as TOML or CSV, from which lanes are proposed."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from pacer.plan.encoding import lines_of, text_from_bytes
from pacer.plan.problem import Problem, Unreadable
from pacer.squad.files.basefield import base_and_tests, exponent_of, has_base
from pacer.squad.files.document import Document, plain_text
from pacer.squad.files.syntax import check_length
from pacer.squad.pace import pace_from_text
from pacer.squad.refusal import Refused, shown
from pacer.squad.squad import MAX_SWIMMERS, Swimmer
from pacer.squad.trials.endurance import DEFAULT_EXPONENT
from pacer.squad.trials.testset import names_a_trial, trial_from_text
from pacer.squad.trials.testswims import FoundBase, base_from_tests

#: The fields of a record on one line, quoted or not (RFC 4180).
_FIELD = re.compile(r'(?:^|(?<=,))(?:"(?:[^"]|"")*"|[^,]*)')


@dataclass(frozen=True, slots=True)
class SwimmerList:
    """Swimmers in the order written; `found[i]` is the result of the i-th's test swims, None without any."""

    swimmers: tuple[Swimmer, ...]
    found: tuple[FoundBase | None, ...]


def swimmers_from_bytes(data: bytes, read: Callable[[str], SwimmerList]) -> SwimmerList:
    """The swimmers of a file; `read` is `swimmers_from_toml` or `swimmers_from_csv`. Raises Unreadable."""
    return read(text_from_bytes(data, "list of swimmers"))


def swimmers_from_toml(text: str) -> SwimmerList:
    """Swimmers written as `[[swimmer]]` with a name, and a base or tests. Raises Unreadable with every problem.

    >>> swimmers_from_toml('[[swimmer]]\\nname = "Kit"\\ntests = { 200 = "2:40", 400 = "5:40" }').swimmers[0].base
    Pace(ms=90000, unit=None)
    """
    document = Document(text)
    root = document.root
    root.known("a list of swimmers", ("swimmer", "endurance"), {"lane": "this list has only swimmers: [[swimmer]]"})
    exponent = exponent_of(root)
    swimmers: list[Swimmer] = []
    found: list[FoundBase | None] = []
    for entry in root.tables("swimmer", "[[swimmer]]"):
        entry.known("a swimmer", ("name", "base", "tests"))
        name = entry.text("name", "Kit") or ""
        if not has_base(entry):
            entry.problem(
                None,
                "the swimmer has no base pace",
                'for example: base = "1:18", or tests = { "200" = "2:40", "400" = "5:40" }',
            )
        base, tested = base_and_tests(entry, exponent)
        if base:
            swimmers.append(Swimmer(base, name, tested.trials if tested else ()))
            found.append(tested)
    if not root.values.get("swimmer"):
        root.problem(None, "there are no swimmers", 'begin each with [[swimmer]] and give them a base: base = "1:18"')
    if len(swimmers) > MAX_SWIMMERS:
        root.problem("swimmer", f"{len(swimmers)} swimmers are too many; the limit is {MAX_SWIMMERS}")
    if document.problems:
        raise Unreadable(document.problems)
    return SwimmerList(tuple(swimmers), tuple(found))


def swimmers_from_csv(text: str, exponent: Decimal = DEFAULT_EXPONENT) -> SwimmerList:
    """Swimmers as RFC 4180 records: a header `name,200,400`, then a name and times, empty if not swum.

    A column may be `base`, a distance (`400`, `400 m`, `400 yd`) or a timed swim (`30 min`, with distances in
    its cells). Raises Unreadable with every problem.

    >>> swimmers_from_csv("name,200,400\\nKit,2:40,5:40\\n").swimmers[0].base
    Pace(ms=90000, unit=None)
    """
    check_length(text)
    return _Sheet(text.removeprefix("\ufeff"), exponent).read()


class _Sheet:
    """The records of a CSV text, and the problems found in them."""

    def __init__(self, text: str, exponent: Decimal):
        self.text = text
        self.lines = lines_of(text)
        self.exponent = exponent
        self.problems: list[Problem] = []
        self.first = self.last = 0  # lines of the current record, from 1

    def read(self) -> SwimmerList:
        swimmers: list[Swimmer] = []
        found: list[FoundBase | None] = []
        records = csv.reader(io.StringIO(self.text, newline=""), strict=True)
        columns: list[str] | None = None
        try:
            for record in records:
                self.first, self.last = self.last + 1, records.line_num
                if not any(map(str.strip, record)):
                    continue
                if columns is None:
                    columns = self._header(record)
                    continue
                swimmer, tested = self._swimmer(record, columns)
                if swimmer:
                    swimmers.append(swimmer)
                    found.append(tested)
        except csv.Error:
            self.first = self.last + 1
            self._problem(
                None,
                "a quote is not closed, or is inside a cell",
                'write a cell that has a comma or a quote "in quotes", and each quote in it twice',
            )
        if columns is None and not self.problems:
            self._problem(None, "there are no swimmers", "begin with name,200,400, then write a line for each swimmer")
        elif not swimmers and not self.problems:
            self._problem(None, "there are no swimmers below the header", "write a line for each: Kit,2:40,5:40")
        if len(swimmers) > MAX_SWIMMERS:
            self._problem(None, f"{len(swimmers)} swimmers are too many; the limit is {MAX_SWIMMERS}", "leave some out")
        if self.problems:
            raise Unreadable(self.problems)
        return SwimmerList(tuple(swimmers), tuple(found))

    def _header(self, record: list[str]) -> list[str]:
        columns = [cell.strip().lower() for cell in record]
        if columns[0] != "name":
            hint = "begin the file with name,200,400"
            if ";" in record[0] and len(record) == 1:
                hint += ", with commas between the cells, not semicolons"
            self._problem(0, "the first column must be called name", hint)
            raise Unreadable(self.problems)
        for place, column in enumerate(columns):
            if column in columns[:place]:
                self._problem(place, f"two columns are called “{shown(column)}”", "keep one")
            elif place and column != "base" and not names_a_trial(column):
                hint = "a column is base, a distance such as 400 or 400 yd, or a timed swim such as 30 min"
                self._problem(place, f"“{shown(column)}” is not a test swim", hint)
        if len(columns) == 1:
            self._problem(0, "there are no times beside the names", "begin the file with name,200,400")
        if self.problems:
            raise Unreadable(self.problems)
        return columns

    def _swimmer(self, record: list[str], columns: list[str]) -> tuple[Swimmer | None, FoundBase | None]:
        if len(record) != len(columns):
            self._problem(
                None,
                f"this line has {len(record)} cells, the first has {len(columns)}",
                "give every line the same number of cells; leave one empty if there is nothing to write",
            )
            return None, None
        before = len(self.problems)
        name = self._read(0, plain_text, record[0], "the name ")
        given = [
            (place, column, cell) for place, (column, cell) in enumerate(zip(columns, record)) if place and cell.strip()
        ]
        bases = [self._read(place, pace_from_text, cell) for place, column, cell in given if column == "base"]
        trials = [
            self._read(place, lambda cell, column=column: trial_from_text(column, cell), cell)
            for place, column, cell in given
            if column != "base"
        ]
        if not given:
            self._problem(None, "the swimmer has no base pace and no test swim", "write at least one time")
        elif bases and trials:
            self._problem(
                None, "give either a base pace or test swims, not both", "leave base empty, or the test swims"
            )
        if len(self.problems) > before:
            return None, None
        if bases:
            return Swimmer(bases[0], name), None
        found = self._read(None, lambda _: base_from_tests(trials, exponent=self.exponent), "")
        return (Swimmer(found.pace, name, found.trials), found) if found else (None, None)

    def _read(self, place: int | None, read: Callable, cell: str, lead: str = ""):
        try:
            return read(cell)
        except Refused as wrong:
            self._problem(place, lead + wrong.message, wrong.hint)
            return None

    def _problem(self, place: int | None, message: str, hint: str) -> None:
        """Record a problem with the current record, or with one of its cells."""
        line = max(1, self.first)
        source = self.lines[line - 1]
        start, end = 0, len(source)
        if place is not None and self.first == self.last:
            start, end = [field.span() for field in _FIELD.finditer(source)][place]
        self.problems.append(Problem(line, start + 1, max(end, start + 1) + 1, message, hint, source))
