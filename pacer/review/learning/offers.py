"""What the times offer: another base pace for a lane or a swimmer, another factor for a lane. Never taken unasked.

A base is offered on four times or more, where it would change by half a per cent or more and by more than two standard
deviations; a factor likewise, from two per cent on. In a lane whose swimmers go by the
lane's base that is what is offered, by its slowest swimmer: send-offs have to be such that everybody makes them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import exp

from pacer.review.learning.learned import Estimate, Learned, learn, scaled
from pacer.review.swum.review import Review
from pacer.squad.factors import DEFAULTS, LEAST, MOST, merged_factors
from pacer.squad.squad import Pace

LEAST_TIMES = 4
LEAST_CHANGE = 0.005
LEAST_FACTOR_CHANGE = 0.02
TENTH_MS = 100


@dataclass(frozen=True, slots=True)
class Offer:
    """Another base or factor. `session` is its number, `lane` the number on the wall, `who` the swimmer it is by.

    `swimmer` is their name, `place` where they leave in the lane; both belong to a base of their own (`place` None: the
    lane's base, or its factor). `factor` is "" for a base. `old` is what the session was swum by.
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

    @property
    def key(self) -> str:
        """Tells it from the other offers of all sessions."""
        return f"{self.session}/{self.lane}/{'' if self.place is None else self.place}/{self.factor}"

    @property
    def bounds(self) -> tuple[float, float]:
        """Between which values it lies, 19 times of 20: milliseconds for a base."""
        value = self.old.ms if isinstance(self.old, Pace) else self.old
        least, most = (self.estimate.log + sign * 2 * self.estimate.deviation for sign in (-1, 1))
        return float(value) * exp(least), float(value) * exp(most)


def offers_of(review: Review, learned: Sequence[Learned] | None = None) -> tuple[Offer, ...]:
    """All that a session's times offer, lane by lane, bases first, the surest first of each."""
    squad = review.replay.begun.squad
    if squad.assumed:
        return ()
    made: list[Offer] = []
    for one in learn(review) if learned is None else learned:
        bases = sorted(_bases(review, one), key=_doubt)
        factors = sorted(_factors(review, one, merged_factors(squad, squad.lanes[one.lane])), key=_doubt)
        made += [*bases, *factors]
    return tuple(made)


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
            Pace(_tenth(scaled(person.base.ms, estimate.log)), person.base.unit),
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


def _tenth(ms: float) -> int:
    return int(ms / TENTH_MS + 0.5) * TENTH_MS


def _factors(review: Review, one: Learned, factors: Mapping[str, Fraction]) -> Iterator[Offer]:
    for name, estimate in one.factors.items():
        old = written_factor(name, factors)
        new = Fraction(round(100 * scaled(old, estimate.log)), 100)
        enough = estimate.times >= LEAST_TIMES and estimate.sure
        enough = enough and abs(estimate.log) >= LEAST_FACTOR_CHANGE
        if enough and new != old and LEAST <= new <= MOST:
            lane = review.lanes[one.lane]
            yield Offer(review.listed.number, lane, None, "", name, old, new, estimate, None)


def written_factor(name: str, factors: Mapping[str, Fraction]) -> Fraction:
    """The factor that goes for a name: the squad's or lane's own, the default, or that of the activity it is a kind of.

    >>> written_factor("drill six-kick switch", {}), written_factor("snorkel", {})
    (Fraction(13, 10), Fraction(1, 1))
    """
    for known in (name, name.split(" ")[0]):
        for table in (factors, DEFAULTS):
            if known in table:
                return table[known]
    return Fraction(1)
