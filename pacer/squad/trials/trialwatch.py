"""Time the test swims of a whole lane with one watch.

Swimmers leave one spacing apart, and the coach taps once for each who finishes.

All instants are milliseconds on the clock that times the taps. This module only computes: it knows no screen and
reads no clock. Times are rounded to whole hundredths of a second; a thumb is no more precise, and results count
no finer (World Aquatics SW 11.2: results to 1/100 s).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import ClassVar

from pacer.language import listed, tr
from pacer.squad.pace import LEAST_BASE_MS
from pacer.squad.refusal import Refused
from pacer.squad.squad import Trial, behind_ms
from pacer.squad.trials.basefromtrials import FoundBase, base_from_tests

#: The usual pair of distances, in the order in which they are usually swum (common practice, no source).
USUAL = (400, 200)

LEAVING_SAID_MS = 2_000  #: how long after a send-off the screen still says who leaves


class Phase(StrEnum):
    """The phase of a test swim."""

    READY = "ready"  # the first swimmer has not left yet
    LEAVING = "leaving"
    SWIMMING = "swimming"
    IN = "in"  # all have finished


@dataclass(frozen=True, slots=True)
class TestSwim:
    """One distance, swum all out by a lane's swimmers one after the other.

    `places` are those who swim it (places in the lane's leaving order, ascending); they leave in this order,
    `spacing_ms` apart, the first at `zero_ms` (None: not set yet). `arrivals` are the taps, ascending; the n-th belongs
    to the n-th in `order`. Those in `out` did not finish and are no longer expected.
    """

    __test__: ClassVar[bool] = False  #: pytest must not collect it

    distance: int
    places: tuple[int, ...]
    spacing_ms: int
    zero_ms: int | None = None
    arrivals: tuple[int, ...] = ()
    order: tuple[int, ...] = ()
    out: tuple[int, ...] = ()

    def leaves_ms(self, place: int) -> int:
        """When that swimmer leaves. `zero_ms` must be set."""
        assert self.zero_ms is not None
        return self.zero_ms + behind_ms(self.places.index(place), self.spacing_ms)

    @property
    def coming(self) -> tuple[int, ...]:
        """Those still swimming, in the order in which they are expected."""
        return self.order[len(self.arrivals) :]

    @property
    def is_in(self) -> bool:
        """Whether nobody is expected any more."""
        return self.zero_ms is not None and not self.coming

    def time_ms(self, place: int) -> int | None:
        """That swimmer's time from their own send-off; None without a tap for them."""
        if place not in self.order:
            return None
        at = self.order.index(place)
        if at >= len(self.arrivals):
            return None
        return (self.arrivals[at] - self.leaves_ms(place) + 5) // 10 * 10

    def trials(self) -> dict[int, Trial]:
        """All times so far, by place."""
        return {place: Trial(self.distance, time_ms) for place in self.places if (time_ms := self.time_ms(place))}


def new_swim(distance: int, places: Iterable[int], spacing_ms: int) -> TestSwim:
    """A test swim that has not started. Raises Refused if nobody is here to swim it."""
    places = tuple(places)
    if not places:
        raise Refused(tr("everybody in this lane is absent"), tr("mark who is here today"))
    return TestSwim(distance, places, spacing_ms, order=places)


def begun(swim: TestSwim, zero_ms: int) -> TestSwim:
    """Start the swim: the first swimmer leaves at `zero_ms`."""
    return replace(swim, zero_ms=zero_ms)


def arrived(swim: TestSwim, at_ms: int) -> TestSwim:
    """Record that the next swimmer has finished. Raises Refused if nobody can have finished by then."""
    if swim.zero_ms is None or not swim.coming:
        raise Refused(tr("nobody is left to finish"))
    soonest = swim.leaves_ms(swim.coming[0]) + swim.distance * LEAST_BASE_MS // 100
    if at_ms < soonest:
        raise Refused(tr("too soon: nobody swims that fast"), tr("tap ignored"))
    return replace(swim, arrivals=(*swim.arrivals, max(at_ms, *swim.arrivals, 0)))


def taken_back(swim: TestSwim) -> TestSwim:
    """Undo the last tap."""
    return replace(swim, arrivals=swim.arrivals[:-1])


def swapped(swim: TestSwim, one: int, other: int) -> TestSwim:
    """Swap the taps of two swimmers who finished the other way round.

    Raises Refused if they cannot have finished that way.
    """
    if not {one, other} <= set(swim.order):
        raise Refused(tr("one of them has no time"))
    order = [other if place == one else one if place == other else place for place in swim.order]
    made = replace(swim, order=tuple(order))
    for place in (one, other):
        time_ms = made.time_ms(place)
        if time_ms is not None and time_ms < swim.distance * LEAST_BASE_MS // 100:
            raise Refused(tr("they can't have finished that way round: nobody swims that fast"))
    return made


def gave_up(swim: TestSwim, place: int) -> TestSwim:
    """Stop expecting a swimmer. The taps go to the others, in their order."""
    if place not in swim.coming:
        raise Refused(tr("that swimmer has finished"), tr("undo the tap first"))
    return replace(swim, order=tuple(one for one in swim.order if one != place), out=(*swim.out, place))


def goes_on(swim: TestSwim, place: int) -> TestSwim:
    """Expect a swimmer again, as the last."""
    return replace(swim, order=(*swim.order, place), out=tuple(one for one in swim.out if one != place))


def broken_off(swim: TestSwim) -> TestSwim:
    """End the swim: nobody is expected any more. A swim that had not started goes back to not started."""
    if not swim.arrivals:
        return replace(swim, zero_ms=None)
    for place in swim.coming:
        swim = gave_up(swim, place)
    return swim


@dataclass(frozen=True, slots=True)
class Moment:
    """A test swim at an instant.

    While somebody has still to leave, `who` leaves next, in `in_ms`; a negative `in_ms` means that `who` is leaving
    now. `swum_ms` is the time so far, or the final time, of each swimmer who has left, by place.
    """

    phase: Phase
    who: int | None
    in_ms: int | None
    swum_ms: Mapping[int, int]


def moment(swim: TestSwim, now_ms: int) -> Moment:
    """The state of a test swim at an instant."""
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
        (place for place in swim.places if place not in swim.out and now_ms < swim.leaves_ms(place) + LEAVING_SAID_MS),
        None,
    )
    if leaving is None:
        return Moment(Phase.SWIMMING, None, None, swum)
    phase = Phase.READY if now_ms < swim.zero_ms else Phase.LEAVING
    return Moment(phase, leaving, swim.leaves_ms(leaving) - now_ms, swum)


# -- results ----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Offer:
    """The base offered from a swimmer's test swims.

    `found` is the base, or `refused` says why there is none. `earlier` are older trials that were needed as well.
    """

    place: int
    trials: tuple[Trial, ...]
    found: FoundBase | None
    refused: str = ""
    earlier: tuple[Trial, ...] = ()

    @property
    def words(self) -> str:
        """A sentence on how far the base can be trusted."""
        if self.found is None:
            return self.refused
        lead = [tr("With {earlier} from before.", earlier=listed([*map(str, self.earlier)]))] if self.earlier else []
        return " ".join([*lead, *self.found.advice[:1]])


def swum_on(day: str, trials: tuple[Trial, ...]) -> tuple[Trial, ...]:
    """Test swims with the day on which they were swum."""
    return tuple(replace(trial, day=day) for trial in trials)


def offers(swims: Sequence[TestSwim], earlier: Mapping[int, Sequence[Trial]] | None = None) -> tuple[Offer, ...]:
    """The offers from finished test swims for each swimmer who did one, in leaving order.

    If a distance was swum twice, the later swim counts.

    One trial alone says little: the swimmer's trials at other distances in `earlier` are then used as well.
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


# -- saved --------------------------------------------------------------------------------------------------


def data_from_swim(swim: TestSwim) -> dict:
    """A test swim as JSON data."""
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
    """A test swim from JSON data. Raises ValueError if it is not one."""
    try:
        swim = TestSwim(
            int(data["distance"]),
            *(tuple(map(int, data["places"])), int(data["spacing_ms"])),
            None if data["zero_ms"] is None else int(data["zero_ms"]),
            *(tuple(map(int, data[key])) for key in ("arrivals", "order", "out")),
        )
    except (TypeError, KeyError, AttributeError) as error:
        raise ValueError(tr("no test swim: {error}", error=error)) from None
    check(swim)
    return swim


def check(swim: TestSwim) -> None:
    """Check what must always hold. Raises ValueError."""
    whole = sorted(swim.order + swim.out) == sorted(swim.places) and len(set(swim.places)) == len(swim.places)
    taps = list(swim.arrivals) == sorted(swim.arrivals) and len(swim.arrivals) <= len(swim.order)
    if not (whole and taps and swim.distance > 0 and swim.places and (swim.zero_ms is not None or not swim.arrivals)):
        raise ValueError(tr("this can't be a test swim"))
