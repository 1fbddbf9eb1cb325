"""Read lists of swimmers, as TOML or CSV, from which lanes are proposed."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import partial
from types import MappingProxyType

from pacer.language import listed, tr
from pacer.plan.filetext import text_from_bytes
from pacer.plan.problem import Problem, Unreadable
from pacer.plan.times import BadTime, text_from_ms
from pacer.squad.files.basefield import base_and_tests, exponent_of, has_base
from pacer.squad.files.celltimes import cell_ms
from pacer.squad.files.csvcolumns import SKIP, Kind, meanings_of
from pacer.squad.files.csvsheet import Record, Sheet, sheet_from_text
from pacer.squad.files.tomldocument import Document
from pacer.squad.files.tomlsyntax import check_length
from pacer.squad.names import plain_text
from pacer.squad.pace import checked_pace, pace_from_text
from pacer.squad.refusal import Refused
from pacer.squad.squad import MAX_SWIMMERS, Pace, Swimmer, Trial, too_many
from pacer.squad.trials.basefromtrials import FoundBase, base_from_tests
from pacer.squad.trials.endurance import DEFAULT_EXPONENT
from pacer.squad.trials.trial import names_a_trial, trial_from_text

NAMED = ("first name", "name", "last name")  #: what a name is put together from, in this order
_FREE = re.compile(r"(\d{2,5}) ?(m|yd)?", re.ASCII)
_STROKED = re.compile(
    r"(?:(?:free(?:style)?|fr|crawl|t) ?)?(\d{2,5}) ?(m|metres?|meters?|yds?|yards?)?(?: (?:free(?:style)?|fr|crawl))?",
    re.ASCII,
)


def _distance_of(name: str) -> str:
    """The test swim that a column's name says: `400 m freestyle`, `Free 400`, `30 min`; "" where it says none."""
    if match := _STROKED.fullmatch(name):
        unit = "" if not match[2] else " yd" if match[2].startswith("y") else " m"
        return f"{match[1]}{unit}"
    return name if names_a_trial(name) else ""


#: The columns of a list of swimmers.
SWIMMERS = Kind(
    "swimmers",
    MappingProxyType(
        {
            "name": tr("the swimmer's name"),
            "first name": tr("their first name"),
            "last name": tr("their last name"),
            "base": tr("base pace per 100"),
        }
    ),
    MappingProxyType(
        {
            **dict.fromkeys(("swimmer", "athlete", "full name", "swimmer name"), "name"),
            **dict.fromkeys(("given name", "forename", "firstname"), "first name"),
            **dict.fromkeys(("surname", "family name", "lastname"), "last name"),
            **dict.fromkeys(("base pace", "pace", "threshold", "threshold pace"), "base"),
        }
    ),
    _distance_of,
)
NOTHING_KNOWN: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class SwimmerList:
    """Swimmers in the order written; `found[i]` is the result of the i-th's test swims, None without any.

    `untimed`: the names of those for whom no time is written; they are left out.
    """

    swimmers: tuple[Swimmer, ...]
    found: tuple[FoundBase | None, ...]
    untimed: tuple[str, ...] = ()

    @property
    def untimed_said(self) -> str:
        """Who was left out, in a sentence; "" for nobody.

        >>> swimmers_from_csv("name,400\\nKit,5:40\\nAsh,\\nWren,\\n").untimed_said
        'Left out, because no time is written: Ash and Wren.'
        """
        names = listed(list(self.untimed))
        return tr("Left out, because no time is written: {names}.", names=names) if names else ""


def swimmers_from_bytes(data: bytes, read: Callable[[str], SwimmerList]) -> SwimmerList:
    """The swimmers of a file; `read` is `swimmers_from_toml` or `swimmers_from_csv`. Raises Unreadable."""
    return read(text_from_bytes(data, tr("list of swimmers")))


def swimmers_from_toml(text: str) -> SwimmerList:
    """Swimmers written as `[[swimmer]]` with a name, and a base or tests. Raises Unreadable with every problem.

    >>> swimmers_from_toml('[[swimmer]]\\nname = "Kit"\\ntests = { 200 = "2:40", 400 = "5:40" }').swimmers[0].base
    Pace(ms=90000, unit=None)
    """
    document = Document(text)
    root = document.root
    root.known(
        tr("a list of swimmers"), ("swimmer", "endurance"), {"lane": tr("this list has only swimmers: [[swimmer]]")}
    )
    exponent = exponent_of(root)
    swimmers: list[Swimmer] = []
    found: list[FoundBase | None] = []
    for entry in root.tables("swimmer", tr("[[swimmer]]")):
        entry.known(tr("a swimmer"), ("name", "base", "tests"))
        name = entry.text("name", tr("Kit")) or ""
        if not has_base(entry):
            entry.problem(
                None,
                tr("the swimmer has no base pace"),
                tr('for example: base = "1:18", or tests = { "200" = "2:40", "400" = "5:40" }'),
            )
        base, tested = base_and_tests(entry, exponent)
        if base:
            swimmers.append(Swimmer(base, name, tested.trials if tested else ()))
            found.append(tested)
    if not root.values.get("swimmer"):
        root.problem(
            None, tr("there are no swimmers"), tr('start each swimmer with [[swimmer]] and a base: base = "1:18"')
        )
    if len(swimmers) > MAX_SWIMMERS:
        root.problem(
            "swimmer",
            too_many(len(swimmers)),
        )
    if document.problems:
        raise Unreadable(document.problems)
    return SwimmerList(tuple(swimmers), tuple(found))


def swimmers_from_csv(
    text: str, exponent: Decimal = DEFAULT_EXPONENT, known: Mapping[str, str] = NOTHING_KNOWN
) -> SwimmerList:
    """Swimmers as records: a header `name,200,400`, then a name and times, empty if not swum.

    A column may be `base`, a distance (`400`, `400 m`, `400 yd`) or a timed swim (`30 min`, its cells are
    distances); other columns mean what is `known` of them. Raises Unreadable with every problem, UnknownColumns where
    somebody has to be asked first. Swimmers without a time are left out, unless all are.

    >>> swimmers_from_csv("name,200,400\\nKit,2:40,5:40\\n").swimmers[0].base
    Pace(ms=90000, unit=None)
    """
    check_length(text)
    return _Swimmers(sheet_from_text(text, "name,200,400", "Kit,2:40,5:40"), exponent, known).read()


class _Swimmers:
    """The swimmers of a sheet, and what is wrong with them."""

    def __init__(self, sheet: Sheet, exponent: Decimal, known: Mapping[str, str]):
        self.sheet, self.exponent = sheet, exponent
        self.problems: list[Problem] = []
        self.columns = self._columns(known)

    def _columns(self, known: Mapping[str, str]) -> list[str]:
        header, columns = self.sheet.header, meanings_of(self.sheet, SWIMMERS, known)
        if not any(column in NAMED for column in columns):
            self._problem(header, 0, tr("no column is the name"), tr("begin the file with name,200,400"))
        elif all(column in (*NAMED, SKIP) for column in columns):
            self._problem(header, 0, tr("there are no times beside the names"), tr("begin the file with name,200,400"))
        if self.problems:
            raise Unreadable(self.problems)
        return columns

    def read(self) -> SwimmerList:
        """All who have a time. Raises Unreadable."""
        swimmers: list[Swimmer] = []
        found: list[FoundBase | None] = []
        self.untimed: list[str] = []
        for record in self.sheet.records:
            swimmer, tested = self._swimmer(record)
            if swimmer:
                swimmers.append(swimmer)
                found.append(tested)
        if self.untimed and not swimmers and not self.problems:
            self._problem(
                self.sheet.records[0],
                None,
                tr("the swimmer has no base pace and no test swim"),
                tr("write at least one time"),
            )
        elif not swimmers and not self.problems:
            hint = tr("write a line for each: Kit,2:40,5:40")
            self._problem(self.sheet.header, None, tr("there are no swimmers below the header"), hint)
        if len(swimmers) > MAX_SWIMMERS:
            record = self.sheet.records[-1]
            self._problem(
                record,
                None,
                too_many(len(swimmers)),
                tr("leave some out"),
            )
        if self.problems:
            raise Unreadable(self.problems)
        return SwimmerList(tuple(swimmers), tuple(found), tuple(self.untimed))

    def _swimmer(self, record: Record) -> tuple[Swimmer | None, FoundBase | None]:
        hint = tr("give every line the same number of cells; leave one empty if there is nothing to write")
        if uneven := self.sheet.uneven(record, hint):
            self.problems.append(uneven)
            return None, None
        before = len(self.problems)
        said = {column: cell for column, cell in zip(self.columns, record.cells) if column in NAMED}
        place = next(place for place, column in enumerate(self.columns) if column in NAMED)
        written = " ".join(filter(None, map(said.get, NAMED)))
        name = self._read(record, place, plain_text, written, named=True)
        given = [
            (place, column, cell)
            for place, (column, cell) in enumerate(zip(self.columns, record.cells))
            if column not in (*NAMED, SKIP) and cell
        ]
        bases = [self._read(record, place, _base, cell) for place, column, cell in given if column == "base"]
        trials = [
            self._read(record, place, partial(_trial, column), cell)
            for place, column, cell in given
            if column != "base"
        ]
        if bases and trials:
            self._problem(
                record,
                None,
                tr("give either a base pace or test swims, not both"),
                tr("leave base empty, or the test swims"),
            )
        if len(self.problems) > before:
            return None, None
        if not given:
            self.untimed += [name] if name else []  # perhaps a line of totals
            return None, None
        if bases:
            return Swimmer(bases[0], name), None
        found = self._read(record, None, lambda _: base_from_tests(trials, exponent=self.exponent), "")
        return (Swimmer(found.pace, name, found.trials), found) if found else (None, None)

    def _read(self, record: Record, place: int | None, read: Callable, cell: str, named: bool = False):
        try:
            return read(cell)
        except (Refused, BadTime) as wrong:
            message = tr("the name {problem}", problem=wrong.message) if named else wrong.message
            self._problem(record, place, message, wrong.hint)
            return None

    def _problem(self, record: Record, place: int | None, message: str, hint: str) -> None:
        self.problems.append(self.sheet.problem(record, place, message, hint))


def _base(cell: str) -> Pace:
    """A base pace: `1:18`, `1:18 /100 yd`, or as other programs write a time for 100."""
    try:
        return pace_from_text(cell)
    except Refused as wrong:
        try:
            return checked_pace(Pace(cell_ms(cell, 100)))
        except (BadTime, Refused):
            raise wrong from None


def _trial(column: str, cell: str) -> Trial:
    """A test swim from the distance that a column is for, or from the time of a timed swim."""
    distance = _FREE.fullmatch(column)
    if distance is None:
        return trial_from_text(column, cell)
    return trial_from_text(column, text_from_ms(cell_ms(cell, int(distance[1]))))
