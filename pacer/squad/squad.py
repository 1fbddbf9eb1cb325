"""The squad as frozen values: lanes, swimmers, paces and time factors."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import count
from types import MappingProxyType
from typing import NamedTuple

from pacer.language import tr
from pacer.plan.decimals import short_decimal
from pacer.plan.model import Unit
from pacer.plan.times import text_from_ms
from pacer.plan.words.ownwords import OwnWords

MAX_LANES = 20
MAX_LANE_NUMBER = 99  #: pools number from 0 or from 1
MAX_SWIMMERS = 80  #: of the whole squad
MAX_GEAR = 20  #: words for gear that a squad adds
DEFAULT_SPACING_MS = 5_000
LEAST_SPACING_MS, MOST_SPACING_MS = 1_000, 600_000

#: 1 yd in metres, exactly (International Yard and Pound Agreement, 1959).
METRES_PER_YARD = Fraction(9144, 10000)


@dataclass(frozen=True, slots=True)
class Pace:
    """A base pace: milliseconds per 100 at threshold.

    `unit` None means per 100 of the unit of the plan's pool. `ms` may be a fraction if it
    was worked out from test swims; in a file it is whole.
    """

    ms: int | Fraction
    unit: Unit | None = None

    def per_100(self, unit: Unit) -> int | Fraction:
        """Milliseconds per 100 of `unit`, exact: converted by distance alone.

        >>> Pace(78_000, Unit.YARD).per_100(Unit.YARD)
        78000
        """
        if self.unit is None or self.unit is unit:
            return self.ms
        ratio = 1 / METRES_PER_YARD if unit is Unit.METRE else METRES_PER_YARD
        return self.ms * ratio


@dataclass(frozen=True, slots=True)
class Trial:
    """A distance swum once, all out. `unit` None: the unit of the pool in question.

    `day`: when it was swum, or typed in (`2026-03-05`); "" if nobody wrote it down.
    """

    distance: int | Fraction
    time_ms: int
    unit: Unit | None = None
    day: str = field(default="", compare=False)

    @property
    def per_100_ms(self) -> Fraction:
        """The pace over the whole distance, exact."""
        return Fraction(self.time_ms) * 100 / self.distance

    def __str__(self) -> str:
        """As a coach says it: `400 m in 5:40`."""
        unit = f" {self.unit}" if self.unit else ""
        return tr(
            "{fraction}{unit} in {time}",
            fraction=short_decimal(Fraction(self.distance), 2),
            unit=unit,
            time=text_from_ms(self.time_ms),
        )


@dataclass(frozen=True, slots=True)
class Swimmer:
    """One swimmer. A name is personal data: it is never shown on a propped screen.

    `tests` are the test swims that gave the base, () if the base was written. A swimmer without their `own` base
    has the lane's, and follows it when it changes. `factors` are this swimmer's own and override the lane's. `number`
    is who they are in a session, whatever their lane and place (`numbered`); -1 outside one.
    """

    base: Pace
    name: str = ""
    tests: tuple[Trial, ...] = field(default=(), compare=False)
    own: bool = field(default=True, compare=False)
    factors: Mapping[str, Fraction] = field(default_factory=lambda: MappingProxyType({}), hash=False)
    number: int = field(default=-1, compare=False, repr=False)


def behind_ms(place: int, spacing_ms: int) -> int:
    """How long after the leader (place 0) the swimmer at a place of the lane leaves.

    >>> behind_ms(2, 5_000)
    10000
    """
    return place * spacing_ms


@dataclass(frozen=True, slots=True)
class Lane:
    """One lane: its swimmers in leaving order, the leader first.

    `base` is the lane's own pace if the file gives one, otherwise its slowest swimmer's; `on base+…`
    and `hold base+…` use it. `rounds` fixes flexible section rounds. `factors` are this lane's
    own and override the squad's. `tests` are the test swims that gave `base`.
    """

    number: int
    base: Pace
    swimmers: tuple[Swimmer, ...]
    spacing_ms: int = DEFAULT_SPACING_MS
    group: str | None = None
    rounds: int | None = None
    factors: Mapping[str, Fraction] = field(default_factory=lambda: MappingProxyType({}))
    tests: tuple[Trial, ...] = field(default=(), compare=False)


class Absent(NamedTuple):
    """A swimmer of a squad who is absent: their lane's number, and their own base; None if that is not known.

    A base of None may also be the lane's.
    """

    name: str = ""
    lane: int | None = None
    base: Pace | None = None


@dataclass(frozen=True, slots=True)
class Squad:
    """Lanes in the order written, which is fast to slow.

    `factors` are the squad's own time factors by name (`kick`, `drill six-kick switch`,
    `fins kick`); `gear` lists words it adds to the plan's closed list. `assumed` is true
    for the squad that is used if none was given. `efforts` are the squad's own words for efforts, each
    with a factor in `factors`.
    """

    lanes: tuple[Lane, ...]
    name: str = ""
    factors: Mapping[str, Fraction] = field(default_factory=lambda: MappingProxyType({}))
    gear: tuple[str, ...] = ()
    assumed: bool = False
    efforts: tuple[str, ...] = ()

    @property
    def words(self) -> OwnWords:
        """The words that the squad adds to a plan's notation."""
        return OwnWords(self.gear, self.efforts)


def numbered(squad: Squad) -> Squad:
    """The squad as a session begins: its swimmers numbered from 0, lane by lane, in leaving order.

    The same one if they are.

    >>> two = Swimmer(Pace(80_000)), Swimmer(Pace(80_000))
    >>> made = numbered(Squad((Lane(1, Pace(80_000), two), Lane(2, Pace(90_000), two[:1]))))
    >>> [[swimmer.number for swimmer in lane.swimmers] for lane in made.lanes]
    [[0, 1], [2]]
    """
    if all(swimmer.number == n for n, swimmer in enumerate(one for lane in squad.lanes for one in lane.swimmers)):
        return squad
    numbers = count()
    lanes = [
        replace(
            lane,
            swimmers=tuple(
                [  # faster than `replace`
                    Swimmer(one.base, one.name, one.tests, one.own, one.factors, next(numbers)) for one in lane.swimmers
                ]
            ),
        )
        for lane in squad.lanes
    ]
    return replace(squad, lanes=tuple(lanes))


def called(swimmer: Swimmer, place: int) -> str:
    """A swimmer's name; without one, which swimmer of the lane it is, by the place from 0."""
    return swimmer.name or tr("swimmer {place}", place=place + 1)


def too_many(swimmers: int) -> str:
    """What is wrong with a squad of more than `MAX_SWIMMERS`."""
    return tr(
        "{swimmers} swimmers are too many; the limit is {max_swimmers}", swimmers=swimmers, max_swimmers=MAX_SWIMMERS
    )
