"""The normal model that learns paces and factors.

The logarithm of each time is that of its prediction, plus the deviations of the swimmer's base and of the lane's
factors, plus chance: y = X θ + ε, with ε normal with standard deviation σ, and each θ normal around 0 (as written)
with a stated standard deviation τ. Given the times, θ is normal again; its mean is the mean of the log-ratios shrunk
towards 0: with one unknown, n times and k = (σ/τ)², n/(n + k) of their mean. Several unknowns are solved together,
because a slow base and a slow drill both make a drill slow.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from math import sqrt
from operator import mul
from typing import NamedTuple

Vector = list[float]
Matrix = list[Vector]


class Observed(NamedTuple):
    """Several `times` with the mean log-ratio `mean`, all depending on the same unknowns (index to weight)."""

    weights: Mapping[int, float]
    times: int
    mean: float


class Posterior(NamedTuple):
    """The unknowns: means and standard deviations."""

    means: Vector
    deviations: Vector


def posterior(observed: Iterable[Observed], priors: Sequence[float], sigma: float) -> Posterior:
    """The unknowns given the observations; `priors` are their prior standard deviations, around 0."""
    lower, means = _solved(observed, priors, sigma)
    deviations = []
    for at in range(len(priors)):
        unit = [0.0] * len(priors)
        unit[at] = 1.0
        deviations.append(sqrt(sum(value * value for value in _forward(lower, unit, at))))
    return Posterior(means, deviations)


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
        for i, wi in weights.items():
            right[i] += each * wi * mean
            row, by = precision[i], each * wi
            for j, wj in weights.items():
                row[j] += by * wj
    lower = _cholesky(precision)
    return lower, _back(lower, _forward(lower, right))


def _cholesky(matrix: Matrix) -> Matrix:
    """The lower triangle L with L Lᵀ = the matrix, which is positive definite."""
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
