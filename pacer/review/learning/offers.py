"""Offers from the times: a new base pace or factor for a lane or a swimmer. The coach decides.

A base is offered if there are four times or more, and it would change by at least half a per cent and by more than
two standard deviations; a factor likewise, from two per cent on. If a lane's swimmers have the lane's base, that
base is offered, from its slowest swimmer: everybody has to make the send-offs. A swimmer with a name or a base of their
own is offered a factor where it differs from the lane's for sure.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import exp

from pacer.language import tr
from pacer.plan.times import to_tenth
from pacer.review.learning.learned import Estimate, Learned, learn, scaled, written_factor
from pacer.review.swum.sessionreview import Review
from pacer.squad.factors import LEAST_FACTOR, MOST_FACTOR, merged_factors
from pacer.squad.squad import Pace

LEAST_TIMES = 4
LEAST_CHANGE = 0.005
LEAST_FACTOR_CHANGE = 0.02


@dataclass(frozen=True, slots=True)
class Offer:
    """A new base or factor. `session` is the session's number, `lane` the number on the wall, `who` the swimmer whose
    times it comes from.

    `also` are the other offers that rest on the same times: together they make up how far these are off.

    `swimmer` is their name and `place` their place in the lane, if it is their own base or factor (`place` None: the
    lane's). `factor` is "" for a base. `old` is the value used in the session.
    """

    session: int
    lane: int
    place: int | None
    swimmer: str
    factor: str
    old: Pace | Fraction
    new: Pace | Fraction
    estimate: Estimate
    who: int | None
    also: tuple[Offer, ...] = ()

    @property
    def key(self) -> str:
        """A key that is unique among the offers of all sessions."""
        return f"{self.session}/{self.lane}/{'' if self.place is None else self.place}/{self.factor}"

    @property
    def bounds(self) -> tuple[float, float]:
        """The range that contains the true value 19 times out of 20; milliseconds for a base."""
        value = self.old.ms if isinstance(self.old, Pace) else self.old
        least, most = (self.estimate.log + sign * 2 * self.estimate.deviation for sign in (-1, 1))
        return float(value) * exp(least), float(value) * exp(most)


def offers_of(review: Review, learned: Sequence[Learned] | None = None) -> tuple[Offer, ...]:
    """All offers from a session's times, lane by lane, bases first, the surest first within each."""
    squad = review.replay.begun.squad
    if squad.assumed:
        return ()
    made: list[Offer] = []
    for one in learn(review) if learned is None else learned:
        bases = sorted(_bases(review, one), key=_doubt)
        factors = sorted(_factors(review, one, merged_factors(squad, squad.lanes[one.lane])), key=_doubt)
        personal = sorted(_personal(review, one), key=_doubt)
        made += [*bases, *factors, *personal]
    return tuple(
        replace(one, also=tuple(other for other in made if other is not one and _same_times(one, other)))
        for one in made
    )


def no_offer_said(learned: Sequence[Learned]) -> str:
    """Why a session's times lead to no offer: there are too few, they differ too much, or they fit."""
    estimates = [estimate for one in learned for estimate in one.bases.values()]
    enough = [estimate for estimate in estimates if estimate.times >= LEAST_TIMES]
    if not enough:
        return tr("No suggestions: too few times. At least {count} of one swimmer are needed.", count=LEAST_TIMES)
    if any(abs(estimate.log) >= LEAST_CHANGE and not estimate.sure for estimate in enough):
        return tr("No suggestions: the times vary too much to be sure.")
    return tr("No suggestions: these times fit the bases and factors.")


def _same_times(one: Offer, other: Offer) -> bool:
    """Whether two offers of a lane rest on the same times of every swimmer that both rest on."""
    if (one.session, one.lane) != (other.session, other.lane) or one.factor == other.factor:
        return False
    mine, its = one.estimate.based_on, other.estimate.based_on
    both = {who for who, _ in mine} & {who for who, _ in its}
    return bool(both) and all(who not in both for who, _ in mine ^ its)


def _doubt(offer: Offer) -> float:
    return -abs(offer.estimate.log) / offer.estimate.deviation


def _bases(review: Review, one: Learned) -> Iterator[Offer]:
    shared = []
    for who, estimate in one.bases.items():
        person = review.people[who]
        if estimate.times < LEAST_TIMES:
            continue
        offer = Offer(
            review.listed.number,
            review.lanes[one.lane],
            person.place if person.own else None,
            person.name if person.own else "",
            "",
            person.base,
            Pace(to_tenth(scaled(person.base.ms, estimate.log)), person.base.unit),
            estimate,
            who,
        )
        if person.own:
            yield from [offer] if _is_worth(offer) else []
        else:
            shared.append(offer)
    if shared:
        slowest = max(shared, key=lambda offer: offer.estimate.log)
        if _is_worth(slowest):
            yield slowest


def _is_worth(offer: Offer) -> bool:
    return offer.estimate.sure and abs(offer.estimate.log) >= LEAST_CHANGE and offer.new != offer.old


def _factors(review: Review, one: Learned, factors: Mapping[str, Fraction]) -> Iterator[Offer]:
    for name, estimate in one.factors.items():
        old = written_factor(name, factors)
        new = _hundredth(scaled(old, estimate.log))
        if _is_worth_a_factor(estimate, old, new):
            yield Offer(review.listed.number, review.lanes[one.lane], None, "", name, old, new, estimate, None)


def _personal(review: Review, one: Learned) -> Iterator[Offer]:
    """Swimmers' own factors; those without a name and a base are not told apart from the others of the lane."""
    squad = review.replay.begun.squad
    lane = squad.lanes[one.lane]
    for (who, name), estimate in one.personal.items():
        person = review.people[who]
        if not (person.name or person.own) or person.place >= len(lane.swimmers) or person.lane != one.lane:
            continue
        old = written_factor(name, merged_factors(squad, lane, lane.swimmers[person.place]))
        new = _hundredth(scaled(old, estimate.log))
        if _is_worth_a_factor(estimate, old, new):
            yield Offer(
                review.listed.number,
                review.lanes[one.lane],
                person.place,
                person.name,
                name,
                old,
                new,
                estimate,
                who,
            )


def _is_worth_a_factor(estimate: Estimate, old: Fraction, new: Fraction) -> bool:
    enough = estimate.times >= LEAST_TIMES and estimate.sure and abs(estimate.log) >= LEAST_FACTOR_CHANGE
    return enough and new != old and LEAST_FACTOR <= new <= MOST_FACTOR


def _hundredth(value: float) -> Fraction:
    return Fraction(round(100 * value), 100)
