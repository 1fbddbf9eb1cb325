"""Learn from a session's times: every swimmer's base pace, and each lane's own factors.

Lane by lane: the logarithm of each time over its prediction depends on the swimmer's base and on the factors of the
work (`posterior`). Times on a set with a target time say nothing about pace and are skipped.

Outliers are left out, and named: a time more than 3.5 robust standard deviations from what the lane's other times
predict for it (the median of the distances × 1.4826, at least 1 %; a rule after Iglewicz and Hoaglin 1993, from
memory), or more than 40 % from its prediction after allowing for the lane as a whole: a missed touch about doubles a
time. With fewer than five times in a lane, only the second rule applies. A time that a coach puts back by hand counts.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from math import exp, log, sqrt
from statistics import median
from typing import NamedTuple

from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook
from pacer.review.learning.factorparts import Sort, Stretch, stretches_of
from pacer.review.learning.posterior import Observed, Posterior, posterior, posterior_means
from pacer.review.swum.review import Review
from pacer.review.swum.swims import Swum
from pacer.squad.factors import merged_factors

#: Priors: how far a value is from the written one before anything is timed, as standard deviations of the logarithm.
#: Our own choice, no source: two bases out of three are within 6 % of the squad's, and so on.
BASE_PRIOR = 0.06
PRIORS: Mapping[Sort, float] = {
    Sort.ACTIVITY: 0.06,
    Sort.KIND: 0.12,
    Sort.STROKE: 0.03,
    Sort.EFFORT: 0.03,
    Sort.GEAR: 0.05,
}
SWIMMER_PRIOR = 0.05  #: how far a swimmer's own factor is from the lane's
NOISE, NOISE_WEIGHT = 0.02, 4  #: the assumed variation of one time, and the number of times that this guess counts as

OUTLIER = 3.5  #: robust standard deviations
ROBUST = 1.4826  #: makes the median distance of a normal distribution its standard deviation
LEAST_SCALE = 0.01
FAR = log(1.4)
FEW = 5
LEAST_FOR_SWIMMER = 8  #: times with a factor before a swimmer gets their own
ROUNDS = 12


class Ratio(NamedTuple):
    """A time compared with its prediction: the natural logarithm of time over prediction."""

    swim: Swum
    log: float
    stretches: tuple[Stretch, ...]


class Estimate(NamedTuple):
    """The deviation of a base or a factor: the natural logarithm of new over old, and its standard deviation.

    `times`: how many times it is based on; `sets`: on how many sets.
    """

    log: float
    deviation: float
    times: int
    sets: int

    @property
    def sure(self) -> bool:
        """Whether it deviates by more than two standard deviations: chance alone does that once in twenty."""
        return abs(self.log) > 2 * self.deviation


class Learned(NamedTuple):
    """The results from a lane's times. `bases` by swimmer, `factors` by name, `own` by swimmer and name, on top of the
    lane's.

    `left_out` are the outliers, the farthest first; `noise` is the variation of one time.
    """

    lane: int
    bases: Mapping[int, Estimate]
    factors: Mapping[str, Estimate]
    own: Mapping[tuple[int, str], Estimate]
    left_out: tuple[Ratio, ...]
    noise: float


def learn(review: Review, put_back: Collection[int] = (), book: DrillBook = EMPTY_BOOK) -> tuple[Learned, ...]:
    """The results from each lane's times, without lanes that have none. `put_back`: outliers that must count."""
    lanes: dict[int, list[Ratio]] = {}
    known: dict[tuple[int, int, int], tuple[Stretch, ...]] = {}
    squad = review.replay.begun.squad
    factors = [merged_factors(squad, lane) for lane in squad.lanes]
    for swim in review.swims:
        if swim.time_ms and swim.predicted_ms and swim.shape.distance and not swim.held:
            line = swim.laneline.line
            place = (swim.repeat - 1) % line.change.over if line.change is not None else 0
            key = (id(swim.shape), id(line), place)
            if key not in known:
                known[key] = stretches_of(swim.shape, line, swim.repeat, factors[swim.lane], book)
            ratio = Ratio(swim, log(swim.time_ms / swim.predicted_ms), known[key])
            lanes.setdefault(review.people[swim.who].lane, []).append(ratio)
    return tuple(learn_lane(lane, ratios, put_back) for lane, ratios in sorted(lanes.items()))


def learn_lane(lane: int, ratios: Sequence[Ratio], put_back: Collection[int] = ()) -> Learned:
    """The results from one lane's times."""
    model = _Model(ratios)
    middle = median(ratio.log for ratio in ratios)
    out = {at for at, ratio in enumerate(ratios) if _far(ratio, ratio.log - middle, FAR, put_back)}
    noise = NOISE
    found = model.fit(out, noise)
    for _ in range(ROUNDS):
        off = model.residuals(found)
        noise = _noise([value for at, value in enumerate(off) if at not in out], model.learned(found))
        limit = FAR
        if len(ratios) >= FEW:
            limit = min(FAR, OUTLIER * max(LEAST_SCALE, ROBUST * median(map(abs, off))))
        now = {at for at, ratio in enumerate(ratios) if _far(ratio, off[at], limit, put_back)}
        if len(now) == len(ratios):  # no times would be left
            break
        same, out = now == out, now
        found = model.fit(out, noise)
        if same:
            break
    off = model.residuals(found)
    bases, by_name = model.named(found, out)
    gone = sorted(out, key=lambda at: -abs(off[at]))
    own = _own(ratios, off, out, noise)
    return Learned(lane, bases, by_name, own, tuple(ratios[at] for at in gone), noise)


def _far(ratio: Ratio, off: float, limit: float, put_back: Collection[int]) -> bool:
    return abs(off) > limit and ratio.swim.entry not in put_back


def _noise(off: Sequence[float], learned: float) -> float:
    """The variation of one time: from the residuals, and a guess that counts as much as four of them.

    `learned`: how many of the times were used up to find the unknowns; these say nothing about chance.
    """
    left = max(1.0, len(off) - learned)
    return sqrt((NOISE_WEIGHT * NOISE**2 + sum(value * value for value in off)) / (NOISE_WEIGHT + left))


class _Model:
    """A lane's unknowns: its swimmers' bases, then its factors; and its times grouped by swimmer and work."""

    def __init__(self, ratios: Sequence[Ratio]):
        self.ratios = ratios
        self.whos = sorted({ratio.swim.who for ratio in ratios})
        sorts = {part.name: part.sort for ratio in ratios for stretch in ratio.stretches for part in stretch.parts}
        self.names = sorted(sorts)
        self.priors = [BASE_PRIOR] * len(self.whos) + [PRIORS[sorts[name]] for name in self.names]
        keys: list[int | str] = [*self.whos, *self.names]
        self.at = {key: at for at, key in enumerate(keys)}
        self.cells: dict[tuple[int, int], list[int]] = {}
        for at, ratio in enumerate(ratios):
            self.cells.setdefault((ratio.swim.who, id(ratio.stretches)), []).append(at)

    def fit(self, out: Collection[int], noise: float) -> Posterior:
        """The unknowns without the outliers `out`. A repeat of several stretches is only nearly linear: solve twice."""
        means = [0.0] * len(self.priors)
        logs = {
            key: [self.ratios[at].log for at in places if at not in out]
            if out
            else [self.ratios[at].log for at in places]
            for key, places in self.cells.items()
        }
        for _ in range(2):
            means = posterior_means(self._observed(logs, means), self.priors, noise)
        return posterior(self._observed(logs, means), self.priors, noise)

    def _observed(self, logs: Mapping[tuple[int, int], list[float]], means: Sequence[float]) -> Iterator[Observed]:
        """The observations, linearised around `means`."""
        for (who, kind), mine in logs.items():
            if mine:
                stretches = self.ratios[self.cells[who, kind][0]].stretches
                weights, offset = self._slope(who, stretches, means)
                yield Observed(weights, len(mine), sum(mine) / len(mine) - offset)

    def _slope(
        self, who: int, stretches: tuple[Stretch, ...], means: Sequence[float]
    ) -> tuple[dict[int, float], float]:
        """The slope of a repeat's log-ratio in each unknown around `means`, and the constant part there."""
        slopes = {self.at[who]: 1.0}
        grown = [stretch.share * exp(self._sum(stretch, means)) for stretch in stretches]
        whole = sum(grown)
        for stretch, share in zip(stretches, grown):
            for name, _, weight in stretch.parts:
                at = self.at[name]
                slopes[at] = slopes.get(at, 0.0) + weight * share / whole
        return slopes, log(whole) - sum(slope * means[at] for at, slope in slopes.items() if at != self.at[who])

    def _sum(self, stretch: Stretch, means: Sequence[float]) -> float:
        return sum(weight * means[self.at[name]] for name, _, weight in stretch.parts)

    def residuals(self, found: Posterior) -> list[float]:
        """The deviation of each time from the found bases and factors."""
        off = [0.0] * len(self.ratios)
        for (who, _), places in self.cells.items():
            stretches = self.ratios[places[0]].stretches
            expected = found.means[self.at[who]] + log(
                sum(stretch.share * exp(self._sum(stretch, found.means)) for stretch in stretches)
            )
            for at in places:
                off[at] = self.ratios[at].log - expected
        return off

    def learned(self, found: Posterior) -> float:
        """How many unknowns the times determine: each counts by the share of its prior variance that is gone."""
        return sum(1 - (now / before) ** 2 for now, before in zip(found.deviations, self.priors))

    def named(self, found: Posterior, out: Collection[int]) -> tuple[dict[int, Estimate], dict[str, Estimate]]:
        """The results by swimmer and by factor."""
        times: dict[int | str, int] = {}
        sets: dict[int | str, set[tuple[int, int]]] = {}
        for (who, _), places in self.cells.items():
            here = [self.ratios[at].swim for at in places if at not in out]
            names = {part.name for stretch in self.ratios[places[0]].stretches for part in stretch.parts}
            keys: list[int | str] = [who, *names] if here else []
            for key in keys:
                times[key] = times.get(key, 0) + len(here)
                sets.setdefault(key, set()).update((swim.section, swim.line) for swim in here)

        def estimate(key: int | str) -> Estimate:
            at = self.at[key]
            return Estimate(found.means[at], found.deviations[at], times[key], len(sets[key]))

        return (
            {who: estimate(who) for who in self.whos if who in times},
            {name: estimate(name) for name in self.names if name in times},
        )


def _own(
    ratios: Sequence[Ratio], off: Sequence[float], out: Collection[int], noise: float
) -> dict[tuple[int, str], Estimate]:
    """The factors in which a swimmer differs from the lane, if there are enough times.

    Each is the shrunk mean of the residuals of times that depend on the factor for more than half of their distance.
    """
    left: dict[tuple[int, str], list[int]] = {}
    known: dict[int, tuple[str, ...]] = {}
    for at, ratio in enumerate(ratios):
        if at not in out:
            if id(ratio.stretches) not in known:
                known[id(ratio.stretches)] = tuple(_mostly(ratio.stretches))
            for name in known[id(ratio.stretches)]:
                left.setdefault((ratio.swim.who, name), []).append(at)
    made = {}
    for key, places in left.items():
        if len(places) < LEAST_FOR_SWIMMER:
            continue
        k = (noise / SWIMMER_PRIOR) ** 2
        mean, deviation = sum(off[at] for at in places) / (len(places) + k), noise / sqrt(len(places) + k)
        sets = {(ratios[at].swim.section, ratios[at].swim.line) for at in places}
        estimate = Estimate(mean, deviation, len(places), len(sets))
        if estimate.sure:
            made[key] = estimate
    return made


def _mostly(stretches: Iterable[Stretch]) -> Iterable[str]:
    shares: dict[str, float] = {}
    for stretch in stretches:
        for part in stretch.parts:
            shares[part.name] = shares.get(part.name, 0.0) + stretch.share * part.weight
    return [name for name, share in shares.items() if share > 0.5]


def scaled(value: int | Fraction, by: float) -> float:
    """A value multiplied by a factor given as a logarithm."""
    return float(value) * exp(by)
