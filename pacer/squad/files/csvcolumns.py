"""What the columns of somebody else's file mean: known by their names, or asked about once.

A column is known by pacer's own name for it, by another usual one, or by what was answered before. An answer is one of
the meanings of that kind of file, or `skip`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from pacer.language import tr
from pacer.plan.problem import Problem, Unreadable
from pacer.squad.files.csvsheet import Sheet
from pacer.squad.refusal import shown

SKIP = "skip"
SAMPLES = 3  #: cells that are shown of a column that is asked about


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of file: what its columns may mean, in words; other usual names; and meanings that a rule reads.

    `meanings` has what can be answered, with what it is in words. `rule` gives the meaning of a name such as `400 m`,
    "" where it gives none.
    """

    name: str
    meanings: Mapping[str, str]
    others: Mapping[str, str]
    rule: Callable[[str], str]


class Column(NamedTuple):
    """A column that nobody has said the meaning of: its name as it is written, and some of its cells."""

    name: str
    samples: tuple[str, ...]


class UnknownColumns(Unreadable):
    """Columns have to be asked about first."""

    def __init__(self, columns: Sequence[Column], problems: Sequence[Problem]):
        self.columns = tuple(columns)
        super().__init__(list(problems))


def plain_name(name: str) -> str:
    """A column's name as it is compared.

    >>> plain_name(" Lane_No. ")
    'lane no'
    """
    return re.sub(r"[\s_./:-]+", " ", name.casefold()).strip()


def known_meaning(kind: Kind, name: str, known: Mapping[str, str]) -> str:
    """What a column means, "" where that has to be asked."""
    plain = plain_name(name)
    if plain in known:
        return known[plain]
    if not plain:
        return SKIP
    if plain in kind.meanings:
        return plain
    return kind.others.get(plain) or kind.rule(plain)


def answer_of(kind: Kind, text: str) -> str:
    """The meaning that an answer names; "" where it names none."""
    plain = plain_name(text)
    return plain if plain == SKIP or plain in kind.meanings else kind.others.get(plain) or kind.rule(plain)


def meanings_of(sheet: Sheet, kind: Kind, known: Mapping[str, str]) -> list[str]:
    """What each column means, `skip` for those that mean nothing. Raises UnknownColumns, and Unreadable for twins."""
    found = [known_meaning(kind, name, known) for name in sheet.header.cells]
    unknown = [place for place, meaning in enumerate(found) if not meaning]
    if unknown:
        columns = [Column(sheet.header.cells[place], _samples(sheet, place)) for place in unknown]
        choices = ", ".join([*kind.meanings, SKIP])
        problems = [
            sheet.problem(
                sheet.header,
                place,
                tr("what is the column “{cell}”?", cell=shown(sheet.header.cells[place])),
                tr("one of: {choices}", choices=choices),
            )
            for place in unknown
        ]
        raise UnknownColumns(columns, problems)
    twins = [
        sheet.problem(
            sheet.header, place, tr("two columns are the {meaning}", meaning=meaning), tr("call one of them skip")
        )
        for place, meaning in enumerate(found)
        if meaning != SKIP and meaning in found[:place]
    ]
    if twins:
        raise Unreadable(twins)
    return found


def _samples(sheet: Sheet, place: int) -> tuple[str, ...]:
    cells = (record.cells[place] for record in sheet.records if place < len(record.cells))
    return tuple(dict.fromkeys(cell for cell in cells if cell))[:SAMPLES]
