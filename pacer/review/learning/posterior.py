"""The normal model that learns paces and factors.

The logarithm of each time is that of its prediction, plus the deviations of the swimmer's base and of the lane's
factors, plus chance: y = X θ + ε, with ε normal with standard deviation σ, and each θ normal around 0 (as written)
with a stated standard deviation τ. Given the times, θ is normal again; its mean is the mean of the log-ratios shrunk
towards 0: with one unknown, n times and k = (σ/τ)², n/(n + k) of their mean. Several unknowns are solved together,
because a slow base and a slow drill both make a drill slow. `joined` adds a level that several lanes share: a lane with
few times is then shrunk towards what the other lanes show.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import sqrt
from operator import mul
from typing import NamedTuple

Vector = list[float]
Matrix = list[Vector]


class Observed(NamedTuple):
    """Several `times` with the mean log-ratio `mean`, all depending on the same unknowns (index to weight).

    A time that varies more than the others counts for less than one.
    """

    weights: Mapping[int, float]
    times: float
    mean: float


class Posterior(NamedTuple):
    """The unknowns: their means, and for each a vector; the covariance of two unknowns is the product of theirs."""

    means: Vector
    roots: list[Vector]

    @property
    def deviations(self) -> Vector:
        """The standard deviations."""
        return [sqrt(self.covariance(at, at)) for at in range(len(self.means))]

    def covariance(self, one: int, other: int) -> float:
        """How two unknowns vary together."""
        return sum(map(mul, self.roots[one], self.roots[other]))


def posterior(observed: Iterable[Observed], priors: Sequence[float], sigma: float) -> Posterior:
    """The unknowns given the observations; `priors` are their prior standard deviations, around 0."""
    lower, means = _solved(observed, priors, sigma)
    roots = []
    for at in range(len(priors)):
        unit = [0.0] * len(priors)
        unit[at] = 1.0
        roots.append(_forward(lower, unit, at))
    return Posterior(means, roots)


class Shared(NamedTuple):
    """A level above several groups: each group's own value is normal around it with standard deviation `within`, and it
    is normal around 0 with `between`. `places`: in each group the index of that unknown, None if it has none.
    """

    places: Sequence[int | None]
    within: float
    between: float


def joined(groups: Sequence[Posterior], shared: Sequence[Shared]) -> list[Posterior]:
    """The groups' unknowns if they share levels, from their posteriors with each level at 0 (prior `within`).

    Exact for a normal model: given the levels μ, a group's unknowns are normal around m + G μ with the covariance V
    that they had, where column j of G is the covariance with the unknown that has level j, divided by `within`². What
    the groups say of μ is normal too, and is put together first; then μ is averaged out.
    """
    size = len(shared)
    precision: Matrix = [[0.0] * size for _ in range(size)]
    right = [0.0] * size
    for j, one in enumerate(shared):
        precision[j][j] = 1 / one.between**2
    for number, group in enumerate(groups):
        here = [(j, at, one.within**-2) for j, one in enumerate(shared) if (at := one.places[number]) is not None]
        for j, at, each in here:
            right[j] += each * group.means[at]
            precision[j][j] += each
            for k, other, also in here:
                precision[j][k] -= each * group.covariance(at, other) * also
    lower = _cholesky(precision)
    levels = _back(lower, _forward(lower, right))
    made = []
    for number, group in enumerate(groups):
        here = [(j, at, one.within**-2) for j, one in enumerate(shared) if (at := one.places[number]) is not None]
        means, roots = [], []
        for unknown, mean in enumerate(group.means):
            slopes = [0.0] * size
            for j, at, each in here:
                slopes[j] = group.covariance(unknown, at) * each
            means.append(mean + sum(map(mul, slopes, levels)))
            roots.append([*group.roots[unknown], *_forward(lower, slopes)])
        made.append(Posterior(means, roots))
    return made


def posterior_means(observed: Iterable[Observed], priors: Sequence[float], sigma: float) -> Vector:
    """Only the means of the unknowns."""
    return _solved(observed, priors, sigma)[1]


def _solved(observed: Iterable[Observed], priors: Sequence[float], sigma: float) -> tuple[Matrix, Vector]:
    """The precision as a lower triangle, and the means."""
    size, noise = len(priors), sigma * sigma
    precision: Matrix = [[0.0] * size for _ in range(size)]
    for at, prior in enumerate(priors):
        precision[at][at] = 1 / (prior * prior)
    right = [0.0] * size
    for weights, times, mean in observed:
        each = times / noise
        pairs = sorted(weights.items())
        for count, (i, wi) in enumerate(pairs, 1):
            row, by = precision[i], each * wi
            right[i] += by * mean
            for j, wj in pairs[:count]:  # the lower triangle, which is all that is asked for
                row[j] += by * wj
    lower = _cholesky(precision)
    return lower, _back(lower, _forward(lower, right))


def _cholesky(matrix: Matrix) -> Matrix:
    """The lower triangle L with L Lᵀ = the matrix, which is positive definite; only its lower half is read."""
    size = len(matrix)
    lower: Matrix = [[0.0] * size for _ in range(size)]
    for i in range(size):
        row = lower[i]
        for j in range(i + 1):
            left = matrix[i][j] - sum(map(mul, row[:j], lower[j]))
            row[j] = sqrt(left) if i == j else left / lower[j][j]
    return lower


def _forward(lower: Matrix, right: Vector, first: int = 0) -> Vector:
    """The solution of L x = `right`, where `right` is 0 before `first`."""
    made: Vector = [0.0] * first
    for i in range(first, len(lower)):
        row = lower[i]
        made.append((right[i] - sum(map(mul, row, made))) / row[i])
    return made


def _back(lower: Matrix, right: Vector) -> Vector:
    size = len(lower)
    made = [0.0] * size
    for i in reversed(range(size)):
        made[i] = (right[i] - sum(lower[j][i] * made[j] for j in range(i + 1, size))) / lower[i][i]
    return made
