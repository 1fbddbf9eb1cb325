"""Mean, spread and drift of a few times, in whole milliseconds, rounded half up."""

from __future__ import annotations

from collections.abc import Sequence
from math import isqrt
from operator import mul


def mean_ms(values: Sequence[int]) -> int | None:
    """The mean; None without values.

    >>> mean_ms([80_000, 81_001]), mean_ms([])
    (80501, None)
    """
    return _rounded(sum(values), len(values)) if values else None


def spread_ms(values: Sequence[int]) -> int | None:
    """The sample standard deviation (n − 1); None with fewer than two.

    >>> spread_ms([80_000, 82_000])
    1414
    """
    count = len(values)
    if count < 2:
        return None
    over, below = count * sum(map(mul, values, values)) - sum(values) ** 2, count * (count - 1)
    return (isqrt(4 * over // below) + 1) // 2  # twice the root in whole numbers, so that halves round up


def drift_ms(places: Sequence[int], values: Sequence[int]) -> int | None:
    """How much a value grows from one place to the next: the slope of the least-squares line.

    None with fewer than three values, or all at one place: two values always lie on a line.

    >>> drift_ms([1, 2, 3, 4], [100, 210, 290, 400])
    98
    """
    count = len(values)
    x, y = sum(places), sum(values)
    below = count * sum(map(mul, places, places)) - x * x
    if count < 3 or not below:
        return None
    return _rounded(count * sum(map(mul, places, values)) - x * y, below)


def _rounded(top: int, below: int) -> int:
    return (2 * top + below) // (2 * below)
