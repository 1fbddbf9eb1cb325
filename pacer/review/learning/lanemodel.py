"""The unknowns behind a lane's times, and how each time depends on them."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from math import exp, log
from typing import NamedTuple

from pacer.review.learning.factorparts import Sort, Stretch
from pacer.review.learning.posterior import Observed, Posterior, posterior, posterior_means
from pacer.review.swum.swims import Swum

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
SQUAD_SHARE = 0.5  #: of a factor's prior variance: what all lanes have in common. Our own choice, no source
SWIMMER_PRIOR = 0.05  #: how far a swimmer's own factor is from the lane's

Own = tuple[int, str]  #: a swimmer, and a factor
Key = int | str | Own  #: an unknown: a swimmer's base, a factor of the lane, or a swimmer's own on top of it


class Ratio(NamedTuple):
    """A time compared with its prediction: the natural logarithm of time over prediction."""

    swim: Swum
    log: float
    stretches: tuple[Stretch, ...]


class LaneModel:
    """A lane's unknowns and their priors, and its times grouped by swimmer and work.

    The unknowns are its swimmers' bases, its factors, and for each factor in `apart` how far every swimmer is from it.
    `trust`: how much each time of a swimmer counts, by swimmer; 1 for all others.
    """

    def __init__(self, ratios: Sequence[Ratio], apart: Collection[str] = ()):
        self.ratios = ratios
        self.trust: dict[int, float] = {}
        self.whos = sorted({ratio.swim.who for ratio in ratios})
        sorts = {part.name: part.sort for ratio in ratios for stretch in ratio.stretches for part in stretch.parts}
        self.names = sorted(sorts)
        here = {(ratio.swim.who, id(ratio.stretches)): ratio for ratio in ratios} if apart else {}
        self.own = sorted(
            {
                (ratio.swim.who, part.name)
                for ratio in here.values()
                for stretch in ratio.stretches
                for part in stretch.parts
                if part.name in apart
            }
        )
        self.priors = [BASE_PRIOR] * len(self.whos) + [PRIORS[sorts[name]] for name in self.names]
        self.priors += [SWIMMER_PRIOR] * len(self.own)
        keys: list[Key] = [*self.whos, *self.names, *self.own]
        self.at = {key: at for at, key in enumerate(keys)}
        self.cells: dict[tuple[int, int], list[int]] = {}
        for at, ratio in enumerate(ratios):
            self.cells.setdefault((ratio.swim.who, id(ratio.stretches)), []).append(at)
        self.straight: dict[tuple[int, int], dict[int, float]] = {}
        self.linear = all(len(ratios[places[0]].stretches) == 1 for places in self.cells.values())

    def fit(self, out: Collection[int], noise: float, near: Posterior | None = None) -> Posterior:
        """The unknowns without the outliers `out`.

        A repeat of several stretches is only nearly linear: solve twice before, unless what is found is `near` to what
        was found last.
        """
        means = [0.0] * len(self.priors) if near is None else near.means
        logs = self._logs(out)
        for _ in range(0 if self.linear or near is not None else 2):
            means = posterior_means(self._observed(logs, means), self.priors, noise)
        return posterior(self._observed(logs, means), self.priors, noise)

    def refit(self, out: Collection[int], noise: float, found: Posterior, priors: Sequence[float]) -> Posterior:
        """The unknowns under other priors, linearised around what was `found`."""
        return posterior(self._observed(self._logs(out), found.means), priors, noise)

    def _logs(self, out: Collection[int]) -> dict[tuple[int, int], list[float]]:
        return {
            key: [self.ratios[at].log for at in places if at not in out]
            if out
            else [self.ratios[at].log for at in places]
            for key, places in self.cells.items()
        }

    def _observed(self, logs: Mapping[tuple[int, int], list[float]], means: Sequence[float]) -> Iterator[Observed]:
        """The observations, linearised around `means`."""
        for (who, kind), mine in logs.items():
            if mine:
                stretches = self.ratios[self.cells[who, kind][0]].stretches
                weights, offset = self._slope(who, stretches, means)
                yield Observed(weights, len(mine) * self.trust.get(who, 1), sum(mine) / len(mine) - offset)

    def _slope(
        self, who: int, stretches: tuple[Stretch, ...], means: Sequence[float]
    ) -> tuple[dict[int, float], float]:
        """The slope of a repeat's log-ratio in each unknown around `means`, and the constant part there."""
        slopes = {self.at[who]: 1.0}
        if len(stretches) == 1:  # linear: the same everywhere
            if (who, id(stretches)) not in self.straight:
                for at, weight in self._unknowns(who, stretches[0]):
                    slopes[at] = slopes.get(at, 0.0) + weight
                self.straight[who, id(stretches)] = slopes
            return self.straight[who, id(stretches)], 0.0
        grown = [stretch.share * exp(self._sum(who, stretch, means)) for stretch in stretches]
        whole = sum(grown)
        for stretch, share in zip(stretches, grown):
            for at, weight in self._unknowns(who, stretch):
                slopes[at] = slopes.get(at, 0.0) + weight * share / whole
        return slopes, log(whole) - sum(slope * means[at] for at, slope in slopes.items() if at != self.at[who])

    def _unknowns(self, who: int, stretch: Stretch) -> Iterator[tuple[int, float]]:
        """The unknowns behind a stretch, besides the base, and their weights."""
        for name, _, weight in stretch.parts:
            yield self.at[name], weight
            if self.own and (who, name) in self.at:
                yield self.at[who, name], weight

    def _sum(self, who: int, stretch: Stretch, means: Sequence[float]) -> float:
        return sum(weight * means[at] for at, weight in self._unknowns(who, stretch))

    def residuals(self, found: Posterior) -> list[float]:
        """The deviation of each time from the found bases and factors."""
        off = [0.0] * len(self.ratios)
        for (who, _), places in self.cells.items():
            stretches = self.ratios[places[0]].stretches
            expected = found.means[self.at[who]] + log(
                sum(stretch.share * exp(self._sum(who, stretch, found.means)) for stretch in stretches)
            )
            for at in places:
                off[at] = self.ratios[at].log - expected
        return off

    def learned(self, found: Posterior) -> float:
        """How many unknowns the times determine: each counts by the share of its prior variance that is gone."""
        return sum(1 - (now / before) ** 2 for now, before in zip(found.deviations, self.priors))
