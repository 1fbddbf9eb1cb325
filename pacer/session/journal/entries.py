"""What happened on deck, entry by entry. With the timeline, it gives the state at any instant.

`at_ms` counts from the session's zero and may be negative before it. `lanes` are indexes
in the squad's order; None means all. `leave_ms` is when those lanes leave again: it is
shown before the entry is made, and kept in it, so that replay never decides again.
`source` names the lane screen that sent an entry ("screen 3"), "" means the tablet itself; `act` is the number that
the screen gave it, so that it counts only once, however often it arrives.
The entries here steer the session; entries that only record something are in `recordentries`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from pacer.language import tr

Lanes = tuple[int, ...] | None


class Unit(StrEnum):
    """The unit of a move."""

    REPEAT = "repeat"
    LINE = "line"
    SECTION = "section"

    @property
    def said(self) -> str:
        """As a coach reads it."""
        return {Unit.REPEAT: tr("repeat"), Unit.LINE: tr("set"), Unit.SECTION: tr("section")}[self]


# -- the session ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Begun:
    """The session's zero was set: `boot_ms` on the clock that never jumps, `wall_ms` in wall time (UTC since 1970).

    `boot` identifies the machine's start from which `boot_ms` counts, "" if that is not known. `phase_ms` is what the
    pool clock shows past a top at the zero, None if that was not known. `source`: where the times of the session come
    from, "" if pacer ran it.
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
    """The session was found unfinished and resumed: from now on its zero is at `boot_ms` on the current clock."""

    at_ms: int
    boot_ms: int
    wall_ms: int
    boot: str = ""


@dataclass(frozen=True, slots=True)
class Matched:
    """The pool clock shows `phase_ms` past a top at the session's zero. Readings follow it; no send-off moves.

    `marks`: what is set from then on is on the pool clock's marks. False in older journals: on the session's.
    """

    at_ms: int
    phase_ms: int
    marks: bool = False


@dataclass(frozen=True, slots=True)
class Ended:
    """The session is over."""

    at_ms: int


@dataclass(frozen=True, slots=True)
class TakenBack:
    """Undo the last change that is not undone yet, as far as it has not happened.

    `leave_ms`: the earliest send-off of lanes for which the change has happened in part; after an end, of all lanes
    that it stopped. None in older journals: they restore everything as it was.
    `again`: lanes that were stopped with hardly any of a repeat swum swim it again. False in older journals: they went
    on after it.
    `stopped`: the last change was the end, and all lanes stay stopped: stop all was pressed after it, or the session
    was left. False in older journals: they swam on.
    `swims_on`: the last change was the end, and lanes for which it has not happened yet swim on as if it had never been
    made. False in older journals: all lanes that it stopped leave again.
    `stay`: it undoes an older change. For each later one, the last first: whether that stays (it can no longer be
    undone, or is for other lanes) or is undone with it. () in older journals: the last change is undone.
    """

    at_ms: int
    leave_ms: int | None = None
    stopped: bool = False
    swims_on: bool = False
    stay: tuple[bool, ...] = ()
    again: bool = False


# -- pausing and moving ------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Paused:
    """Pause lanes: none of their swimmers leaves until they are resumed.

    `breaks_off`: swimmers who are still swimming stop at the home wall. False in older journals: they finished their
    repeat.
    `again`: lanes that stop with hardly any of their repeat swum swim it again once they are resumed. False in older
    journals: they go on after it.
    """

    at_ms: int
    lanes: Lanes = None
    breaks_off: bool = False
    again: bool = False


@dataclass(frozen=True, slots=True)
class Stopped:
    """Stop all: every lane pauses at once, and swimmers break off their repeats.

    `again`: as of a pause.
    """

    at_ms: int
    source: str = ""
    act: int | None = None
    again: bool = False


@dataclass(frozen=True, slots=True)
class Resumed:
    """Paused lanes leave again at `leave_ms` on the repeat after the one they left on last, or on that again if hardly
    any of it was swum.

    A lane keeps its next send-off if that is still ahead then, and none of its swimmers was stopped in mid-repeat.
    """

    at_ms: int
    leave_ms: int
    lanes: Lanes = None


@dataclass(frozen=True, slots=True)
class Moved:
    """Lanes move to the next (`step` 1) or previous (−1) repeat, line or section, and leave at `leave_ms`.

    `together`: where one of them comes to the next section by it, all that are before that section begin it. False in
    older journals: each goes to what is next for itself.
    """

    at_ms: int
    unit: Unit
    step: int
    leave_ms: int
    lanes: Lanes = None
    together: bool = False


@dataclass(frozen=True, slots=True)
class SectionSet:
    """Lanes start a section (by its index) at `leave_ms`, now or later.

    Until then they swim everything that still ends in time.
    """

    at_ms: int
    section: int
    leave_ms: int
    lanes: Lanes = None


@dataclass(frozen=True, slots=True)
class LeftLate:
    """Lanes leave at `leave_ms` on the repeat that is due: the one they should have left on, or the next."""

    at_ms: int
    leave_ms: int
    lanes: Lanes = None


@dataclass(frozen=True, slots=True)
class Missed:
    """Lanes sit out the repeat that is due: the one they should have left on, or the next. Others keep their times."""

    at_ms: int
    lanes: Lanes = None


# -- how much, how often, who ---------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class CountChanged:
    """Add `by` repeats (negative: fewer) to the current line in this round, or with `rounds`, rounds to the section.

    `leave_ms` is for lanes for which the time to leave on an added repeat has already passed.

    `in_time`: what lanes have no time for now, they don't swim later either. False in older journals: they swim it if
    all lanes are paused and resumed.
    `one_section`: a lane that was sent to a later section is there already while it comes home, and rounds are of the
    section in which one of the lanes still is, also for a lane that waits for the next. False in older journals: each
    lane's own.
    """

    at_ms: int
    by: int
    leave_ms: int
    rounds: bool = False
    lanes: Lanes = None
    in_time: bool = False
    one_section: bool = False


@dataclass(frozen=True, slots=True)
class IntervalChanged:
    """The current line has the interval `interval_ms` for these lanes from now on, also in later rounds.

    The next send-off comes that long after the last, but not before `leave_ms`.
    """

    at_ms: int
    interval_ms: int
    leave_ms: int
    lanes: Lanes = None


@dataclass(frozen=True, slots=True)
class LinePutIn:
    """Add `text`, one or more lines of a plan's notation, to be swum next, once: after the current line.

    A lane that has nothing more to swim at that place leaves at `leave_ms`, or an interval after its last repeat if
    that is later; all others leave when they would have left next.

    `one_place`: in each round of a section all lanes swim it after the same line, the last one that one of them has
    begun. False in older journals: each lane after its own current line.
    `in_wait`: a lane that waits for its next section swims it before that, if there is time for all of it. False in
    older journals: it begins the section with it.
    `in_time`: what lanes have no time for because of it, they don't swim later either. False in older journals: they
    swim it if all lanes are paused and resumed.
    """

    at_ms: int
    text: str
    leave_ms: int
    lanes: Lanes = None
    one_place: bool = False
    in_wait: bool = False
    in_time: bool = False


@dataclass(frozen=True, slots=True)
class LineLeftOut:
    """Skip a line (by its number, of a section by its index) from a lane's next send-off on, also in later rounds.

    If it is the current line, the next one starts when the line's next repeat would have left.
    """

    at_ms: int
    section: int
    line: int
    lanes: Lanes = None


@dataclass(frozen=True, slots=True)
class SwimmerJoined:
    """A swimmer joins a lane at `place` of its leaving order (from 0; None: last) from the lane's next send-off on.

    `base_ms` is per 100 of the pool's unit, None: the lane's own. An empty lane enters the plan at `leave_ms`.
    `back`: the swimmer who was the `back`th (from 0) to get out, not counting what was undone, comes back as they were
    then. `absent`: the swimmer of that number (from 0) among the session's absent ones comes late. Both None, as in
    older journals: somebody new.
    """

    at_ms: int
    lane: int
    leave_ms: int
    place: int | None = None
    base_ms: int | None = None
    name: str = ""
    back: int | None = None
    absent: int | None = None


@dataclass(frozen=True, slots=True)
class SwimmerLeft:
    """The swimmer at `place` (from 0) of a lane's leaving order leaves the water for good."""

    at_ms: int
    lane: int
    place: int


@dataclass(frozen=True, slots=True)
class SwimmerChanged:
    """A swimmer moves from `place` of one lane to `to_place` (None: last) of another, or within the lane.

    `joins_ms`: the swimmer is on a repeat of the old lane and leaves with the other one no earlier than that, once
    they are back. None, also in older journals: with its next send-off, wherever the swimmer was.
    """

    at_ms: int
    lane: int
    place: int
    to_lane: int
    leave_ms: int
    to_place: int | None = None
    joins_ms: int | None = None


@dataclass(frozen=True, slots=True)
class LaneJoined:
    """A lane follows another lane's page and send-offs from that lane's send-off at `leave_ms` on.

    `breaks_off`: swimmers who would not finish their repeat in time for it stop at the home wall now. False in older
    journals: they swam on until `leave_ms`.
    """

    at_ms: int
    lane: int
    leader: int
    leave_ms: int
    breaks_off: bool = False


@dataclass(frozen=True, slots=True)
class Refitted:
    """The flexible counts were chosen again so that everybody is out by `out_ms`.

    `counts` holds all of them: section index, line number (None: the section's rounds), a count per lane.
    Paused lanes are expected to leave at `leave_ms`.
    """

    at_ms: int
    out_ms: int
    leave_ms: int
    counts: tuple[tuple[int, int | None, tuple[int, ...]], ...]


Change = (
    Paused
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
