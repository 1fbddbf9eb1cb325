"""Which times look wrong and are left out, live and in the review alike. Times are logarithms of time over prediction.

A time is left out if it is more than 40 % from its prediction, after allowing for the lane as a whole: a missed touch
about doubles a time, a stray tap cuts one short. With fewer than five times, the lane is judged by the others alone,
and believed to be off by 25 % at most: they may all be wrong, and nothing vouches for a first one. With five times or
more, so is one that is more than 3.5 robust standard deviations from what the others predict for it (the median of the
distances × 1.4826; a rule after Iglewicz and Hoaglin 1993, from memory). The caller says how small such a deviation can
be: otherwise times that agree closely would make the next one an outlier.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import inf, log
from statistics import median

OUTLIER = 3.5  #: robust standard deviations
ROBUST = 1.4826  #: makes the median distance of a normal distribution its standard deviation
FAR_OUT = log(1.4)
LANE_FAR = log(1.25)  #: how far a lane as a whole is believed to be off by a few times
FEW_TIMES = 5  #: with fewer times, only FAR_OUT counts


def middle(logs: Iterable[float], most: float = inf) -> float:
    """How far the lane as a whole is off, at most `most` either way: the median; 0 without times.

    >>> middle([0.1, 0.9, 0.2]), middle([0.7, -0.8, 0.8], 0.25), middle([])
    (0.2, 0.25, 0.0)
    """
    return max(-most, min(most, median([*logs] or [0.0])))


def far_off(logs: Sequence[float], most: float = inf) -> frozenset[int]:
    """Which times, by their places, are more than 40 % from their prediction, after allowing for the lane as a whole.

    The lane is believed to be off by at most `most`.

    >>> far_off([0.1, 0.12, 0.1, 2.9])
    frozenset({3})
    >>> far_off([0.76]), far_off([-0.39]), far_off([-0.39, -0.37])
    (frozenset({0}), frozenset({0}), frozenset())
    """
    if len(logs) < FEW_TIMES:
        wholes = [middle([*logs[:at], *logs[at + 1 :]], LANE_FAR) for at in range(len(logs))]
    else:
        wholes = [middle(logs, most)] * len(logs)
    return frozenset(at for at, (each, whole) in enumerate(zip(logs, wholes)) if abs(each - whole) > FAR_OUT)


def limit(distances: Sequence[float], least: float) -> float:
    """How far from what the others predict for it a time may be; `distances` are those of all of them.

    >>> round(limit([0.01, 0.02, 0.02, 0.03, 0.7], 0.01), 3), limit([0.0] * 4, 0.01) == FAR_OUT
    (0.104, True)
    """
    if len(distances) < FEW_TIMES:
        return FAR_OUT
    return min(FAR_OUT, OUTLIER * max(least, ROBUST * median(map(abs, distances))))
