"""A line of a pasted page on its way to the plan."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from pacer.plan.layout.roundsaid import ForAll


class Kind(StrEnum):
    """What a line of a pasted page is."""

    BLANK = "blank"
    RULE = "rule"  # a row of dashes
    HEAD = "head"  # the pool, the booking
    TITLE = "title"
    SECTION = "section"
    SET = "set"
    ROUNDS = "rounds"
    MORE = "more"  # goes on with the set above
    NOTE = "note"  # for the swimmers
    LABEL = "label"  # whom the sets below are for, or what is said of them all
    TOTAL = "total"
    REMARK = "remark"  # kept as a comment


@dataclass(slots=True)
class Total:
    """A distance in the margin, and what it can be the total of: "set", "section", "session"; "" for any of them.

    `words` are the coach's about it: whom it is for, or what it is with something else.
    """

    distance: int
    of: str = ""
    words: str = ""


class Open(StrEnum):
    """What a line can leave open."""

    POOL = "pool"  # how long it is
    REPEATED = "repeated"  # which sets a count on its own repeats
    ENDS = "ends"  # where rounds end
    MINUTES = "minutes"  # what a time after a section's name means
    NAME = "name"  # what a word before a set names
    WORDS = "words"  # whether words that count something are swum
    CHANGES = "changes"  # whether words that change what some swim are for the swimmers
    LENGTHS = "lengths"  # whether a rest is after each of some lengths
    SHARED = "shared"  # whether what is after one lane's set is for all that the line lists
    BESIDE = "beside"  # whether sets side by side are for one lane each
    ABOVE = "above"  # whether words above all sets are for the swimmers


@dataclass(frozen=True, slots=True)
class Ask:
    """What to ask about a line: the words that it is about, the lines with the sets `over` which it goes.

    `ends` are those among them below which rounds may end, the likeliest first. `whose` are the lanes or groups
    beside them.
    """

    about: Open
    said: str = ""
    over: tuple[int, ...] = ()
    ends: tuple[int, ...] = ()
    whose: str = ""


@dataclass(slots=True)
class PastedLine:
    """A line, or a part of one: `text` is what is left to understand.

    `indent` counts the columns before it, including its bullet. `before` holds the rounds that begin above it, with
    their depth; `depth` says how many rounds it is inside. `marked`: the page formats it as a heading.
    """

    number: int
    written: str
    text: str
    indent: int = 0
    marked: bool = False
    kind: Kind = Kind.BLANK
    total: Total | None = None
    depth: int = 0
    before: list[tuple[int, str]] = field(default_factory=list)
    details: list[str] = field(default_factory=list)  #: the details of a section
    cue: str = ""
    ask: Ask | None = None
    listed: bool = False  #: whether it is one of the sets of lanes that a line lists
    tabled: bool = False  #: whether it is put together from the cells of a table
    between: str = ""  #: its words, if it is a rest between rounds
    for_all: ForAll | None = None  #: what is said of all sets of the rounds that it opens
