"""The written page as frozen values: a `Plan` of sections, lines, breaks and groups.

Times are whole milliseconds (`_ms`), distances whole numbers of the pool's unit. A plan
holds what was written, with the defaults filled in and nothing worked out: no paces, no
send-offs. `span` fields tell where a value was in the file; comparisons ignore them, so
that two readings of the same words are equal.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from fractions import Fraction
from typing import Generic, TypeVar

from pacer.plan.decimals import POINT

T = TypeVar("T")

MAX_REPEATS = 10_000  #: repeats that one lane may have in one session
MAX_SESSION_MS = 24 * 3_600_000
MAX_NESTING = 8  #: rounds inside rounds

#: The values of header keys that are not given.
CHANGEOVER_MS, STARTS_MS, CLOCK_MS = 60_000, 30_000, 5_000
#: Pools that are offered if a plan names none.
POOLS = ("25 m", "50 m", "25 yd")


class Activity(StrEnum):
    """What the swimmer does."""

    SWIM = "swim"
    KICK = "kick"
    PULL = "pull"
    DRILL = "drill"
    SCULL = "scull"


#: What is done in many ways, each with a name of its own: `drill catch-up`.
NAMED = (Activity.DRILL, Activity.SCULL)


class Stroke(StrEnum):
    """The stroke; `IM_ORDER` is fly, back, breast, free on repeats 1, 2, 3, 4, then again."""

    FREE = "free"
    BACK = "back"
    BREAST = "breast"
    FLY = "fly"
    IM = "IM"
    CHOICE = "choice"
    IM_ORDER = "IM order"


IM_SEQUENCE = (Stroke.FLY, Stroke.BACK, Stroke.BREAST, Stroke.FREE)


class Effort(StrEnum):
    """How hard; `BUILD` goes from easy to fast within the segment."""

    EASY = "easy"
    STEADY = "steady"
    THRESHOLD = "threshold"
    FAST = "fast"
    SPRINT = "sprint"
    BUILD = "build"


GEAR = ("fins", "paddles", "snorkel", "buoy", "board", "ankle band", "parachute")


class Unit(StrEnum):
    """The unit of the pool's length and of every distance in the plan."""

    METRE = "m"
    YARD = "yd"


@dataclass(frozen=True, slots=True)
class Span:
    """Where something is in the file: line and columns from 1, `end_column` exclusive.

    Columns count characters (code points), a tab as one.
    """

    line: int
    column: int
    end_column: int


@dataclass(frozen=True, slots=True)
class Pool:
    """A pool: its exact length in its unit."""

    length: Fraction
    unit: Unit

    def __str__(self) -> str:
        """The pool as a plan writes it: `25 m`, `33 1/3 m`, `12.5 m`."""
        whole, part = divmod(self.length, 1)
        if not part:
            return f"{whole} {self.unit}"
        if 10_000 % part.denominator == 0:
            digits = f"{part.numerator * 10_000 // part.denominator:04d}".rstrip("0")
            return f"{whole}{POINT}{digits} {self.unit}"
        lead = f"{whole} " if whole else ""
        return f"{lead}{part.numerator}/{part.denominator} {self.unit}"


@dataclass(frozen=True, slots=True)
class ByLane(Generic[T]):
    """A value that may differ from lane to lane: `4:00 / 4:20` or `A 4:00 / B 4:20`.

    Without `labels` the entries belong to the squad's lanes in order, and the last entry to all
    further lanes. With `labels` (as many as entries, no two alike) an entry belongs to the lanes of
    its group. `said` is false if the labels are not on the page but follow from the squad.
    """

    entries: tuple[T, ...]
    labels: tuple[str, ...] | None = None
    said: bool = field(default=True, compare=False, repr=False)

    def for_lane(self, index: int, group: str | None) -> T:
        """The entry of the lane at `index` (from 0) in the squad's order.

        Raises KeyError if the entries are labelled and none is for `group`.
        """
        if self.labels is None:
            entries = self.entries
            return entries[index] if index < len(entries) else entries[-1]
        for label, entry in zip(self.labels, self.entries):
            if label == group:
                return entry
        raise KeyError(group)


@dataclass(frozen=True, slots=True)
class Flexible:
    """A count that the fit chooses: `1 to 3 rounds`, `4 to 8 x 100`; `if time` is 0 to 1."""

    least: int
    most: int


@dataclass(frozen=True, slots=True)
class Work:
    """One kind of work. All defaults are filled in except the effort.

    `stroke` is None only for kick, pull, drill and scull without one; swim always has a stroke
    (free unless written). `effort` is None if neither the segment nor its line names one: then
    descend or ascend decides, then the section's effort, then threshold. It is a text if it is one
    of the squad's own words. `name` is the name of a drill, scull or timed kick
    (`six-kick switch`), otherwise "". `as_swim`: the page says swim without a stroke, which
    means free; it is shown as written.
    """

    activity: Activity = Activity.SWIM
    stroke: Stroke | None = Stroke.FREE
    effort: Effort | str | None = None
    name: str = ""
    as_swim: bool = field(default=False, repr=False, compare=False)


@dataclass(frozen=True, slots=True)
class Segment:
    """A part of one repeat. `distance` None: the whole repeat (it is then the only segment)."""

    distance: int | None
    work: Work
    cue: str = ""
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Part:
    """The segments of some of a line's repeats; they cycle until the distance is filled.

    `count` is the number of repeats in a row that have them. In a pattern with `in turn` (odd
    and even are one each) the parts cycle; in `repeats 1-4 … / 5-8 …` each part comes once, and
    its count is its range's length.
    """

    segments: tuple[Segment, ...]
    count: int = 1


@dataclass(frozen=True, slots=True)
class Pattern:
    """Which part each repeat of a line has.

    A line with equal repeats has one part. `cycles`: the parts cycle (always true for one
    part). Otherwise they are ranges that cover the repeats from 1 to the line's greatest
    count exactly; a lane with fewer repeats does not reach the last ranges.
    """

    parts: tuple[Part, ...]
    cycles: bool = True

    def part_of(self, repeat: int) -> Part:
        """The part of repeat number `repeat` (from 1)."""
        place = repeat - 1
        if self.cycles:
            place %= sum(part.count for part in self.parts)
        for part in self.parts:
            if place < part.count:
                return part
            place -= part.count
        return self.parts[-1]


@dataclass(frozen=True, slots=True)
class FixedInterval:
    """`on 1:40`."""

    interval_ms: int


@dataclass(frozen=True, slots=True)
class BaseInterval:
    """`on base+0:15`: the lane's base pace for the distance plus `extra_ms`."""

    extra_ms: int


@dataclass(frozen=True, slots=True)
class PerHundredInterval:
    """`on 1:40 per 100`: in proportion to the distance."""

    per_100_ms: int


Interval = FixedInterval | BaseInterval | PerHundredInterval


@dataclass(frozen=True, slots=True)
class FixedHold:
    """`hold 1:22`: the target time of the whole repeat."""

    hold_ms: int


@dataclass(frozen=True, slots=True)
class BaseHold:
    """`hold base+0:03`: per 100, the lane's base plus `extra_ms`."""

    extra_ms: int


Hold = FixedHold | BaseHold


@dataclass(frozen=True, slots=True)
class RateRange:
    """`rate 32-40`: stroke cycles per minute, from start to end of the repeat."""

    start: int
    end: int


class Trend(StrEnum):
    """How the effort changes over `Change.over` repeats."""

    DESCEND = "descend"  # times get shorter: steady to fast
    ASCEND = "ascend"  # fast to steady


@dataclass(frozen=True, slots=True)
class Change:
    """`descend 1-4`, `ascend 1-4`: over each `over` repeats (2 or more)."""

    trend: Trend
    over: int


@dataclass(frozen=True, slots=True)
class SetLine:
    """`N x D …`.

    Exactly one of three gives the length of each repeat: `distance` (with `count`),
    `ladder` (each entry is a repeat; `count` None) or `time_ms` (with `count`; distance 0,
    and everybody swims that long). `interval` entries are tuples: `on 1:40 then 1:35` has
    two, each for an equal share of the repeats. A line has either `interval` or `rest_ms`,
    or neither.
    """

    pattern: Pattern
    count: ByLane[int] | Flexible | None = ByLane((1,))
    distance: ByLane[int] | None = None
    ladder: tuple[int, ...] | None = None
    time_ms: int | None = None
    interval: ByLane[tuple[Interval, ...]] | None = None
    rest_ms: ByLane[int] | None = None
    hold: ByLane[Hold] | None = None
    rate: RateRange | None = None
    apart_ms: int | None = None
    gear: tuple[str, ...] = ()
    change: Change | None = None
    cue: str = ""
    groups: tuple[str, ...] = ()  #: only these groups and lanes (`lane_label`) swim it, or `ALL_BUT` them; () means all
    span: Span | None = field(default=None, compare=False)


def lane_label(number: int) -> str:
    """The label, among an item's groups, of one lane by its number on the wall."""
    return f"lane {number}"


#: In front of each label of an item that all other groups and lanes swim.
ALL_BUT = "all but "


def swum_by(groups: tuple[str, ...], number: int, group: str | None) -> bool:
    """Whether the lane with this number and group swims an item of these groups; () means all.

    >>> swum_by(("A", "lane 3"), 3, "B"), swum_by(("A",), 3, None), swum_by((), 1, None)
    (True, False, True)
    >>> swum_by(("all but A", "all but lane 3"), 3, "B"), swum_by(("all but A",), 3, "B")
    (False, True)
    """
    if groups and groups[0].startswith(ALL_BUT):
        return f"{ALL_BUT}{group}" not in groups and f"{ALL_BUT}{lane_label(number)}" not in groups
    return not groups or group in groups or lane_label(number) in groups


@dataclass(frozen=True, slots=True)
class Break:
    """`rest 1:00` alone; `cue` is what to say or to do meanwhile."""

    rest_ms: ByLane[int]
    groups: tuple[str, ...] = ()
    cue: str = ""
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Group:
    """`3 rounds` with lines indented below it, or `3 x (… + …)`."""

    rounds: ByLane[int]
    items: tuple[Item, ...]
    groups: tuple[str, ...] = ()
    span: Span | None = field(default=None, compare=False)


Item = SetLine | Break | Group


@dataclass(frozen=True, slots=True)
class Section:
    """A named part of a plan; `name` is "" for lines before the first section.

    `rounds` is a count by lane, or flexible. A section with `for_ms` or `at_most_ms` has only one of
    them, and the default `rounds`; a section with `run_on` has no `for_ms`.
    """

    name: str
    items: tuple[Item, ...]
    rounds: ByLane[int] | Flexible = ByLane((1,))
    for_ms: int | None = None
    at_most_ms: int | None = None
    run_on: bool = False
    effort: Effort | str | None = None  #: text where it is a word of the squad's own
    cue: str = ""
    span: Span | None = field(default=None, compare=False)


@dataclass(frozen=True, slots=True)
class Plan:
    """A whole written page."""

    pool: Pool
    sections: tuple[Section, ...]
    title: str = ""
    date: str = ""  #: the day that it is for, `2026-03-05` or `2026-03-05 18:30`; "" for none
    booking_ms: int | None = None
    spare_ms: int = 0
    focus: str = ""
    revisits: str = ""
    changeover_ms: int = CHANGEOVER_MS
    starts_ms: int = STARTS_MS
    clock_ms: int = CLOCK_MS
    #: Comments with their line numbers, for `tidy` to keep; they have no meaning for the plan.
    comments: tuple[tuple[int, str], ...] = field(default=(), compare=False)

    @property
    def out_ms(self) -> int | None:
        """When everybody should be out: the booking less the time to spare; None without a booking."""
        return None if self.booking_ms is None else self.booking_ms - self.spare_ms
