"""Test swims of a whole lane at once, by one watch.

Swimmers leave by the spacing, and one tap is made for each who comes in.

All instants are milliseconds on the clock that taps are read from. What is here only reckons: it knows no screen and
asks no clock. Times are whole hundredths of a second, rounded to the nearest; a thumb is not finer, and nothing finer
counts (World Aquatics SW 11.2: results to 1/100 s).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import ClassVar

from pacer.plan.times import text_from_ms
from pacer.squad.pace import LEAST_MS
from pacer.squad.refusal import Refused
from pacer.squad.squad import Trial
from pacer.squad.trials.testswims import FoundBase, base_from_tests

#: The pair that is usual, in the order in which it is usually swum (common practice, no source).
USUAL = (400, 200)

GO_MS = 2_000  #: so long after a send-off it is still said who leaves


class Phase(StrEnum):
    """Where a test swim stands."""

    READY = "ready"  # the first has still to leave
    LEAVING = "leaving"
    SWIMMING = "swimming"
    IN = "in"  # all have come in


@dataclass(frozen=True, slots=True)
class TestSwim:
    """One distance, swum all out by a lane's swimmers one after the other.

    `places` are those who swim it (places in the lane's leaving order, ascending); they leave in this order,
    `spacing_ms` apart, the first at `zero_ms` (None: not set yet). `arrivals` are the taps, ascending; the n-th is that
    of the n-th in `order`. Those in `out` did not swim to the end and are no longer waited for.
    """

    __test__: ClassVar[bool] = False  #: it is no test of ours

    distance: int
    places: tuple[int, ...]
    spacing_ms: int
    zero_ms: int | None = None
    arrivals: tuple[int, ...] = ()
    order: tuple[int, ...] = ()
    out: tuple[int, ...] = ()

    def leaves_ms(self, place: int) -> int:
        """When that swimmer leaves. The start must be set."""
        assert self.zero_ms is not None
        return self.zero_ms + self.places.index(place) * self.spacing_ms

    @property
    def coming(self) -> tuple[int, ...]:
        """Those who are still waited for, in the order in which they are expected."""
        return self.order[len(self.arrivals) :]

    @property
    def is_in(self) -> bool:
        """Whether nobody is waited for any more."""
        return self.zero_ms is not None and not self.coming

    def time_ms(self, place: int) -> int | None:
        """What that swimmer swam, the spacing taken off; None where there is no tap for them."""
        if place not in self.order:
            return None
        at = self.order.index(place)
        if at >= len(self.arrivals):
            return None
        return (self.arrivals[at] - self.leaves_ms(place) + 5) // 10 * 10

    def trials(self) -> dict[int, Trial]:
        """Every time there is, by place."""
        return {place: Trial(self.distance, time_ms) for place in self.places if (time_ms := self.time_ms(place))}


def new_swim(distance: int, places: Iterable[int], spacing_ms: int) -> TestSwim:
    """A test swim that has not begun. Raises Refused where nobody would swim it."""
    places = tuple(places)
    if not places:
        raise Refused("nobody in this lane is here", "mark who is here today")
    return TestSwim(distance, places, spacing_ms, order=places)


def begun(swim: TestSwim, zero_ms: int) -> TestSwim:
    """The first leaves at `zero_ms`."""
    return replace(swim, zero_ms=zero_ms)


def arrived(swim: TestSwim, at_ms: int) -> TestSwim:
    """The next one has come in. Raises Refused where nobody can have by then."""
    if swim.zero_ms is None or not swim.coming:
        raise Refused("nobody is coming in")
    soonest = swim.leaves_ms(swim.coming[0]) + swim.distance * LEAST_MS // 100
    if at_ms < soonest:
        raise Refused("too soon: nobody swims that fast", "tap ignored")
    return replace(swim, arrivals=(*swim.arrivals, max(at_ms, *swim.arrivals, 0)))


def taken_back(swim: TestSwim) -> TestSwim:
    """Without the last tap."""
    return replace(swim, arrivals=swim.arrivals[:-1])


def swapped(swim: TestSwim, one: int, other: int) -> TestSwim:
    """Two swimmers came in the other way round.

    Each gets the other's tap. Raises Refused where that cannot have been.
    """
    if not {one, other} <= set(swim.order):
        raise Refused("one of them did not finish")
    order = [other if place == one else one if place == other else place for place in swim.order]
    made = replace(swim, order=tuple(order))
    for place in (one, other):
        time_ms = made.time_ms(place)
        if time_ms is not None and time_ms < swim.distance * LEAST_MS // 100:
            raise Refused("they can't have come in that way round: nobody swims that fast")
    return made


def gave_up(swim: TestSwim, place: int) -> TestSwim:
    """A swimmer who is no longer waited for. The taps stay those of the others, in their order."""
    if place not in swim.coming:
        raise Refused("that swimmer has come in", "take the tap back first")
    return replace(swim, order=tuple(one for one in swim.order if one != place), out=(*swim.out, place))


def goes_on(swim: TestSwim, place: int) -> TestSwim:
    """A swimmer is waited for again, as the last."""
    return replace(swim, order=(*swim.order, place), out=tuple(one for one in swim.out if one != place))


def broken_off(swim: TestSwim) -> TestSwim:
    """Nobody is waited for any more; one that had not begun has not begun yet."""
    if not swim.arrivals:
        return replace(swim, zero_ms=None)
    for place in swim.coming:
        swim = gave_up(swim, place)
    return swim


@dataclass(frozen=True, slots=True)
class Moment:
    """A test swim at an instant.

    `who` leaves next in `in_ms` (while somebody has still to leave), or is the one who is leaving with `in_ms`
    negative. `swum_ms` is what each who has left has been swimming or has swum, by place.
    """

    phase: Phase
    who: int | None
    in_ms: int | None
    swum_ms: Mapping[int, int]


def moment(swim: TestSwim, now_ms: int) -> Moment:
    """Where a test swim stands at an instant."""
    if swim.zero_ms is None:
        return Moment(Phase.READY, swim.places[0], None, {})
    swum = {}
    for place in swim.places:
        time_ms = swim.time_ms(place)
        since_ms = now_ms - swim.leaves_ms(place)
        if time_ms is not None:
            swum[place] = time_ms
        elif since_ms >= 0 and place not in swim.out:
            swum[place] = since_ms
    if swim.is_in:
        return Moment(Phase.IN, None, None, swum)
    leaving = next(
        (place for place in swim.places if place not in swim.out and now_ms < swim.leaves_ms(place) + GO_MS), None
    )
    if leaving is None:
        return Moment(Phase.SWIMMING, None, None, swum)
    phase = Phase.READY if now_ms < swim.zero_ms else Phase.LEAVING
    return Moment(phase, leaving, swim.leaves_ms(leaving) - now_ms, swum)


# -- what they come to ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Offer:
    """What a swimmer's test swims come to.

    `found`, or why nothing does. `earlier` are older trials that were needed with the new.
    """

    place: int
    trials: tuple[Trial, ...]
    found: FoundBase | None
    refused: str = ""
    earlier: tuple[Trial, ...] = ()

    @property
    def words(self) -> str:
        """A sentence on how far it can be trusted."""
        if self.found is None:
            return self.refused
        lead = f"With {' and '.join(map(str, self.earlier))} from before. " if self.earlier else ""
        return lead + (self.found.advice[0] if self.found.advice else "")


def offers(swims: Sequence[TestSwim], earlier: Mapping[int, Sequence[Trial]] | None = None) -> tuple[Offer, ...]:
    """What finished test swims come to for each who swam one, in leaving order.

    Of a distance swum twice the later counts.

    One trial alone says little: then trials at other distances that the swimmer has from `earlier` are taken with it.
    """
    trials: dict[int, dict[int, Trial]] = {}
    for swim in swims:
        for place, trial in swim.trials().items():
            trials.setdefault(place, {})[swim.distance] = trial
    made = []
    for place in sorted(trials):
        new = tuple(trials[place][distance] for distance in sorted(trials[place]))
        old = tuple(
            trial
            for trial in (earlier or {}).get(place, ())
            if trial.unit is None and trial.distance not in trials[place]
        )
        old = old if len(new) == 1 else ()
        try:
            made.append(Offer(place, new, base_from_tests(new + old), earlier=old))
        except Refused as wrong:
            made.append(Offer(place, new, None, f"{wrong.message}: {wrong.hint}", old))
    return tuple(made)


# -- kept ---------------------------------------------------------------------------------------------------


def data_from_swim(swim: TestSwim) -> dict:
    """A test swim as JSON has it."""
    return {
        "distance": swim.distance,
        "places": list(swim.places),
        "spacing_ms": swim.spacing_ms,
        "zero_ms": swim.zero_ms,
        "arrivals": list(swim.arrivals),
        "order": list(swim.order),
        "out": list(swim.out),
    }


def swim_from_data(data: Mapping) -> TestSwim:
    """The same read back. Raises ValueError where it is no test swim."""
    try:
        swim = TestSwim(
            int(data["distance"]),
            *(tuple(map(int, data["places"])), int(data["spacing_ms"])),
            None if data["zero_ms"] is None else int(data["zero_ms"]),
            *(tuple(map(int, data[key])) for key in ("arrivals", "order", "out")),
        )
    except (TypeError, KeyError, AttributeError) as error:
        raise ValueError(f"no test swim: {error}") from None
    check(swim)
    return swim


def check(swim: TestSwim) -> None:
    """Assert what always holds. Raises ValueError."""
    whole = sorted(swim.order + swim.out) == sorted(swim.places) and len(set(swim.places)) == len(swim.places)
    taps = list(swim.arrivals) == sorted(swim.arrivals) and len(swim.arrivals) <= len(swim.order)
    if not (whole and taps and swim.distance > 0 and swim.places and (swim.zero_ms is not None or not swim.arrivals)):
        raise ValueError("this cannot be a test swim")


def time_said(ms: int) -> str:
    """A time as it is shown: in tenths, the nearest.

    >>> time_said(342_370)
    '5:42.4'
    """
    tenths = (ms + 50) // 100
    return f"{text_from_ms(tenths // 10 * 1000)}.{tenths % 10}"
