"""The drill book: a club's drills in the coach's own words, found by any of their names."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import NamedTuple

from pacer.plan.model import Activity, Part, Plan, SetLine
from pacer.plan.planlines import set_lines
from pacer.plan.regex import regex
from pacer.plan.words.vocabulary import near

_BETWEEN = regex(r"[\s\-‐-―]+")


@dataclass(frozen=True, slots=True)
class Drill:
    """One drill. The coach reads `how` out to swimmers; `look_for` and `faults` are for the coach.

    `also` lists other names; `easier` and `harder` name other drills in the book, "" for none.
    """

    name: str
    how: str
    also: tuple[str, ...] = ()
    focus: str = ""
    look_for: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()
    gear: tuple[str, ...] = ()
    easier: str = ""
    harder: str = ""

    @property
    def names(self) -> tuple[str, ...]:
        """All its names, the main one first."""
        return (self.name, *self.also)


def same_name(name: str) -> str:
    """A name in a form for comparing: small letters, spaces for hyphens.

    >>> same_name("Six-Kick  switch") == same_name("six kick switch")
    True
    """
    return _BETWEEN.sub(" ", name.casefold()).strip()


@dataclass(frozen=True, eq=False)
class DrillBook:
    """Drills in the order written. No two share a name."""

    drills: tuple[Drill, ...] = ()
    _found: dict[str, Drill] = field(default_factory=dict, repr=False)

    def __post_init__(self) -> None:
        for drill in self.drills:
            for name in drill.names:
                self._found.setdefault(same_name(name), drill)

    def __len__(self) -> int:
        return len(self.drills)

    def drill(self, name: str) -> Drill | None:
        """The drill with this name among its names; None if there is none."""
        return self._found.get(same_name(name))

    def name_of(self, name: str) -> str:
        """The main name of the drill with this name; a name that the book does not know stays as it is."""
        drill = self.drill(name)
        return name if drill is None else drill.name

    def near(self, name: str) -> str:
        """The main name of the drill that was probably meant, "" if none is similar."""
        meant = near(same_name(name), tuple(self._found))
        return self._found[meant].name if meant else ""

    def beginning(self, part: str) -> tuple[str, ...]:
        """The names that `part` may be the beginning of: one for each drill, its main name if that fits."""
        wanted, made = same_name(part), []
        for drill in self.drills:
            fits = [name for name in drill.names if same_name(name).startswith(wanted)]
            if fits and same_name(fits[0]) != wanted:
                made.append(fits[0])
        return tuple(made)


EMPTY_BOOK = DrillBook()


class Named(NamedTuple):
    """A drill or scull that a plan names: its line, activity and name."""

    line: int | None
    activity: Activity
    name: str


def named_in(plan: Plan) -> tuple[Named, ...]:
    """The names of all drills and sculls in a plan, in the order of the page, once for each line."""
    made: dict[Named, None] = {}
    for section in plan.sections:
        for line in set_lines(section.items):
            for part in line.pattern.parts:
                for found in _named(part, line.span.line if line.span else None):
                    made[found] = None
    return tuple(made)


def drills_of(line: SetLine, book: DrillBook) -> tuple[Drill, ...]:
    """The set's drills that are in the book, in order, each once."""
    names = (found.name for part in line.pattern.parts for found in _named(part, None))
    return tuple(dict.fromkeys(drill for name in names if (drill := book.drill(name)) is not None))


def drills_of_plan(plan: Plan, book: DrillBook) -> tuple[Drill, ...]:
    """The plan's drills that are in the book, in the order of the page, each once."""
    found = (book.drill(one.name) for one in named_in(plan))
    return tuple(dict.fromkeys(drill for drill in found if drill is not None))


def _named(part: Part, line: int | None) -> Iterator[Named]:
    for segment in part.segments:
        work = segment.work
        if work.name and work.activity in (Activity.DRILL, Activity.SCULL):
            yield Named(line, work.activity, work.name)
