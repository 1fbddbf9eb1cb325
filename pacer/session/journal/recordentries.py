"""Entries that only record something and change no send-off: times, stroke rates, watches, notes, heads, feedback.

`at_ms` counts from the session's zero. `lane` is an index in the squad's order, `swimmer` a place in the
lane's leaving order (from 0) at that time. Times are whole hundredths of a second (`_cs`): nothing finer is
kept (World Aquatics SW 11.2: results to 1/100 s, a third digit is not recorded). An entry that
corrects another names it by its number in the journal, from 1.
`source` names the lane screen that sent an entry ("screen 3"), "" means the tablet itself; `act` is the number that
the screen gave it, so that it counts only once, however often it arrives. `bound_ms` is how far its clock may have been
off. Entries made after the session have another source: `BY_HAND`, `FROM` with a file's name, or `OTHER_TABLET`.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum

from pacer.language import tr

#: The source of what was typed after the session: typed in, or out of a file, whose name follows.
BY_HAND, FROM = "by hand", "from "
OTHER_TABLET = "another tablet"  #: of the same session, joined into this one
SOME_FILE = "from a file"  #: without the file's name, which may be a swimmer's


def was_entered(source: str) -> bool:
    """Whether a source is no screen on deck: the entry was made afterwards."""
    return source in (BY_HAND, OTHER_TABLET) or source.startswith(FROM)


def unnamed_source(source: str) -> str:
    """A source without the name of a file.

    >>> unnamed_source("from Kit's times.csv"), unnamed_source("screen 3")
    ('from a file', 'screen 3')
    """
    return SOME_FILE if source.startswith(FROM) else source


@dataclass(frozen=True, slots=True)
class Touched:
    """A swimmer's time on one repeat: tapped at the touch, or `called` out and typed in.

    `section` is an index; `round`, `line` and `repeat` count from 1 as in the timeline's events.
    `left_ms` is when that swimmer left.
    """

    at_ms: int
    lane: int
    swimmer: int
    section: int
    round: int
    line: int
    repeat: int
    left_ms: int
    time_cs: int
    called: bool = False
    source: str = ""
    act: int | None = None
    bound_ms: int | None = None


@dataclass(frozen=True, slots=True)
class Corrected:
    """The time in entry `entry` should be `time_cs`; None: it was a slip, and counts as never taken.

    `source` as for a time.
    """

    at_ms: int
    entry: int
    time_cs: int | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class Withdrawn:
    """The record in entry `entry` is undone: it counts as never made."""

    at_ms: int
    entry: int


@dataclass(frozen=True, slots=True)
class Rated:
    """Timed stroke cycles: `marks_cs` are the moments, from the first, at the start of every `cycles`-th cycle."""

    at_ms: int
    lane: int
    marks_cs: tuple[int, ...]
    cycles: int = 1
    swimmer: int | None = None
    source: str = ""
    act: int | None = None
    bound_ms: int | None = None


@dataclass(frozen=True, slots=True)
class LengthCounted:
    """`strokes` arm strokes counted over `distance` of the pool's unit in `time_cs`.

    `per_cycle` arm strokes make one cycle (2 or 1).
    """

    at_ms: int
    lane: int
    strokes: int
    distance: int
    time_cs: int
    strokes_per_cycle: int = 2
    swimmer: int | None = None


class Press(StrEnum):
    """A key of a stopwatch."""

    START = "start"
    SPLIT = "split"
    STOP = "stop"
    CLEAR = "clear"

    @property
    def said(self) -> str:
        """As a coach reads it."""
        return {
            Press.START: tr("start"),
            Press.SPLIT: tr("split"),
            Press.STOP: tr("stop"),
            Press.CLEAR: tr("clear"),
        }[self]


@dataclass(frozen=True, slots=True)
class Watched:
    """A press on stopwatch number `watch` (from 1). Watches never affect the session."""

    at_ms: int
    watch: int
    press: Press


@dataclass(frozen=True, slots=True)
class WatchFiled:
    """A stopwatch's times, saved in the log of a lane or of a swimmer.

    The time to each split, and last the time to the stop.
    """

    at_ms: int
    watch: int
    lane: int
    splits_cs: tuple[int, ...]
    swimmer: int | None = None


@dataclass(frozen=True, slots=True)
class Noted:
    """A note or a quick mark about a lane, a swimmer, a line (by section and number), or the session."""

    at_ms: int
    text: str
    lane: int | None = None
    swimmer: int | None = None
    section: int | None = None
    line: int | None = None


@dataclass(frozen=True, slots=True)
class HeadsCounted:
    """A head count, before swimmers went `into` the water or after they came out."""

    at_ms: int
    heads: int
    into: bool


class Amount(StrEnum):
    """How much of the plan a lane did."""

    AS_WRITTEN = "as written"
    LESS = "less"
    MORE = "more"

    @property
    def said(self) -> str:
        """As a coach reads it."""
        return {Amount.AS_WRITTEN: tr("as planned"), Amount.LESS: tr("less"), Amount.MORE: tr("more")}[self]


class Feel(StrEnum):
    """How it went."""

    WELL = "well"
    SO_SO = "so-so"
    BADLY = "badly"

    @property
    def said(self) -> str:
        """As a coach reads it."""
        return {Feel.WELL: tr("went well"), Feel.SO_SO: tr("went so-so"), Feel.BADLY: tr("went badly")}[self]


@dataclass(frozen=True, slots=True)
class LaneSummed:
    """A lane's feedback on the session, in up to three presses; None for each one not given (yet)."""

    at_ms: int
    lane: int
    amount: Amount | None = None
    feel: Feel | None = None
    again: bool | None = None  #: whether to swim the same again

    @property
    def enough(self) -> bool:
        """Whether it is complete enough to record: `again` may stay open."""
        return self.amount is not None and self.feel is not None


@dataclass(frozen=True, slots=True)
class Hidden:
    """The whole session is hidden from the log: it counts nowhere, and nothing of it is deleted."""

    at_ms: int


@dataclass(frozen=True, slots=True)
class ShownAgain:
    """The hidden session is in the log again."""

    at_ms: int


@dataclass(frozen=True, slots=True)
class PutBack:
    """The time in entry `entry` counts, however far off it is."""

    at_ms: int
    entry: int


@dataclass(frozen=True, slots=True)
class LeftOut:
    """The time in entry `entry`, which was put back, is left out again if it is too far off."""

    at_ms: int
    entry: int


Record = (
    Touched
    | Corrected
    | Withdrawn
    | Rated
    | LengthCounted
    | Watched
    | WatchFiled
    | Noted
    | HeadsCounted
    | LaneSummed
    | Hidden
    | ShownAgain
    | PutBack
    | LeftOut
)


def standing(journal: Iterable[object]) -> Iterator[tuple[int, object]]:
    """The journal's entries with their numbers (from 1), without records that were withdrawn since."""
    entries = tuple(enumerate(journal, 1))
    withdrawn = {entry.entry for number, entry in entries if isinstance(entry, Withdrawn) and entry.entry < number}
    return ((number, entry) for number, entry in entries if number not in withdrawn)


def times_put_back(journal: Iterable[object]) -> frozenset[int]:
    """The entries of the times that count however far off they are.

    >>> sorted(times_put_back([PutBack(0, 7), PutBack(0, 9), LeftOut(0, 7)]))
    [9]
    """
    back: set[int] = set()
    for _, entry in standing(journal):
        if isinstance(entry, PutBack):
            back.add(entry.entry)
        elif isinstance(entry, LeftOut):
            back.discard(entry.entry)
    return frozenset(back)
