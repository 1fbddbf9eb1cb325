"""What happened on deck, entry by entry. With the timeline, it gives the state at any instant.

`at_ms` counts from the session's zero and may be negative before it. `lanes` are indexes
in the squad's order; None means all. `leave_ms` is when those lanes leave again: it is
shown before the entry is made, and kept in it, so that replaying never decides anew.
`source` names the lane screen that an entry came from ("screen 3"), "" the tablet itself; `act` is the number that the
screen gave it, so that it counts once however often it comes.
The entries here change where the session stands; what was merely taken down is in `records`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

Lanes = tuple[int, ...] | None


class Unit(StrEnum):
    """What a move goes by."""

    REPEAT = "repeat"
    LINE = "line"
    SECTION = "section"


# -- the session ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Begun:
    """The session's zero was set: `boot_ms` on the clock that never jumps, `wall_ms` on the wall's (UTC since 1970).

    `boot` names the start of the machine that `boot_ms` counts from, "" where that cannot be told. `phase_ms` is what
    the clock on the pool's wall shows past a top at the zero, None where that was not known. `source`: where it comes
    from that the session was swum, "" where pacer ran it.
    """

    at_ms: int
    boot_ms: int
    wall_ms: int
    zone: str = ""
    boot: str = ""
    phase_ms: int | None = None
    source: str = ""


@dataclass(frozen=True, slots=True)
class CarriedOn:
    """The session was found unfinished and carried on: from now on its zero is at `boot_ms` on the present clock."""

    at_ms: int
    boot_ms: int
    wall_ms: int
    boot: str = ""


@dataclass(frozen=True, slots=True)
class Matched:
    """The clock on the wall shows `phase_ms` past a top at the session's zero. Readings follow, no time moves."""

    at_ms: int
    phase_ms: int


@dataclass(frozen=True, slots=True)
class Ended:
    """The session is over."""

    at_ms: int


@dataclass(frozen=True, slots=True)
class TakenBack:
    """The last change that still stands is undone, as far as it has not happened.

    `leave_ms`: the earliest send-off of lanes that have a past of their own since. None in older journals: all is as it
    was.
    """

    at_ms: int
    leave_ms: int | None = None


# -- waiting and moving ------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Held:
    """Lanes wait: nobody of theirs leaves until they are resumed.

    `breaks_off`: who is under way stops at the home wall. False in older journals: they swam their repeat to its end.
    """

    at_ms: int
    lanes: Lanes = None
    breaks_off: bool = False


@dataclass(frozen=True, slots=True)
class Stopped:
    """Stop all: every lane waits, at once; what is being swum is broken off."""

    at_ms: int
    source: str = ""
    act: int | None = None


@dataclass(frozen=True, slots=True)
class Resumed:
    """Held lanes leave again at `leave_ms` on the repeat after the one they left on last.

    A lane whose next send-off is still ahead then, and whose swimmers were not stopped on their way, keeps it.
    """

    at_ms: int
    leave_ms: int
    lanes: Lanes = None


@dataclass(frozen=True, slots=True)
class Moved:
    """Lanes go to the next (`step` 1) or previous (−1) repeat, line or section, leaving at `leave_ms`."""

    at_ms: int
    unit: Unit
    step: int
    leave_ms: int
    lanes: Lanes = None


@dataclass(frozen=True, slots=True)
class SectionSet:
    """Lanes start a section (by its index) at `leave_ms`, now or later.

    Until then they swim what still ends in time.
    """

    at_ms: int
    section: int
    leave_ms: int
    lanes: Lanes = None


@dataclass(frozen=True, slots=True)
class LeftLate:
    """Lanes leave at `leave_ms` on the repeat that they should have left on, or should next."""

    at_ms: int
    leave_ms: int
    lanes: Lanes = None


@dataclass(frozen=True, slots=True)
class Missed:
    """Lanes sit one repeat out: that they should have left on, or should next. All others stay when they are."""

    at_ms: int
    lanes: Lanes = None


# -- how much, how often, who ---------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class CountChanged:
    """`by` repeats more (negative.

    Fewer) of the line in hand in this round; with `rounds`, rounds of the section in hand.

    `leave_ms` is for lanes whose time to leave on a repeat more has passed already.
    """

    at_ms: int
    by: int
    leave_ms: int
    rounds: bool = False
    lanes: Lanes = None


@dataclass(frozen=True, slots=True)
class IntervalChanged:
    """The line in hand goes on `interval_ms` for these lanes from now on, in the rounds to come as well.

    The next send-off comes that long after the last, but not before `leave_ms`.
    """

    at_ms: int
    interval_ms: int
    leave_ms: int
    lanes: Lanes = None


@dataclass(frozen=True, slots=True)
class LinePutIn:
    """`text`, one or more lines of a plan's notation, is swum next, once: behind the line in hand.

    A lane that has nothing more to swim where the line goes leaves at `leave_ms`, or an interval after its last repeat
    where that is later; all others leave when they were to leave next.
    """

    at_ms: int
    text: str
    leave_ms: int
    lanes: Lanes = None


@dataclass(frozen=True, slots=True)
class LineLeftOut:
    """A line (by its number, of a section by its index) is left out from a lane's next send-off on, in the rounds to
    come as well.

    What comes behind the line in hand then leaves when its next repeat was to leave.
    """

    at_ms: int
    section: int
    line: int
    lanes: Lanes = None


@dataclass(frozen=True, slots=True)
class SwimmerJoined:
    """A swimmer joins a lane at `place` of its leaving order (from 0; None: last) from the lane's next send-off on.

    `base_ms` is per 100 of the pool's unit, None: the lane's own. A lane that nobody was in takes up the plan at
    `leave_ms`.
    """

    at_ms: int
    lane: int
    leave_ms: int
    place: int | None = None
    base_ms: int | None = None
    name: str = ""


@dataclass(frozen=True, slots=True)
class SwimmerLeft:
    """The swimmer at `place` (from 0) of a lane's leaving order is out of the water for good."""

    at_ms: int
    lane: int
    place: int


@dataclass(frozen=True, slots=True)
class SwimmerChanged:
    """A swimmer goes from `place` of one lane to `to_place` (None: last) of another, or within the lane."""

    at_ms: int
    lane: int
    place: int
    to_lane: int
    leave_ms: int
    to_place: int | None = None


@dataclass(frozen=True, slots=True)
class LaneJoined:
    """A lane goes by another lane's page and send-offs from that lane's send-off at `leave_ms` on."""

    at_ms: int
    lane: int
    leader: int
    leave_ms: int


@dataclass(frozen=True, slots=True)
class Refitted:
    """The flexible counts were chosen anew so that everybody is out by `out_ms`.

    `counts` holds all of them: section index, line number (None: the section's rounds), a count per lane.
    Lanes that wait are reckoned to leave at `leave_ms`.
    """

    at_ms: int
    out_ms: int
    leave_ms: int
    counts: tuple[tuple[int, int | None, tuple[int, ...]], ...]


Change = (
    Held
    | Stopped
    | Resumed
    | Moved
    | SectionSet
    | LeftLate
    | Missed
    | CountChanged
    | IntervalChanged
    | LinePutIn
    | LineLeftOut
    | SwimmerJoined
    | SwimmerLeft
    | SwimmerChanged
    | LaneJoined
    | Refitted
    | Ended
)
Entry = Begun | CarriedOn | Matched | TakenBack | Change
