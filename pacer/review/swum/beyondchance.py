"""Decide whether times are slower or faster than written, beyond chance.

They are, from 2 % on and with three times or more, if the mean's 95 % interval (Student's t) does not include the
written pace; over several sets, with six times or more. The limits are our own. The log and the review both ask here.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from fractions import Fraction
from math import sqrt

from pacer.plan.decimals import half_up
from pacer.review.swum.timedsets import Cell, TimedSet

LEAST_OFF = 0.02  #: the least share by which times must be slower or faster than written
LEAST_OF_SET = 3  #: the least number of times of one set
LEAST_IN_ALL = 6  #: of a lane or a swimmer over several sets
#: Student's t by the number of times: how many standard errors on either side of a mean contain 95 % (from memory; a
#: test compares with SciPy). The last value is for all larger numbers.
STUDENT = (0.0, 0.0, 12.706, 4.303, 3.182, 2.776, 2.571, 2.447, 2.365, 2.306, 2.262, 2.228, 2.201, 2.179, 2.16, 2.145)


def share_over(cells: Sequence[Cell]) -> float:
    """The share by which all times together are slower than predicted."""
    predicted = sum(cell.predicted_ms for cell in cells)
    return sum(cell.over_ms for cell in cells) / predicted if predicted else 0.0


def is_off(cells: Sequence[Cell], sign: int, least: int = LEAST_OF_SET) -> bool:
    """Whether times are slower (`sign` 1) or faster (−1) than written, beyond chance."""
    if len(cells) < least or sign * share_over(cells) < LEAST_OFF:
        return False
    shares = [cell.over_ms / cell.predicted_ms for cell in cells]
    mean = sum(shares) / len(shares)
    error = sqrt(sum((share - mean) ** 2 for share in shares) / (len(shares) - 1) / len(shares))
    return sign * mean > STUDENT[min(len(shares), len(STUDENT) - 1)] * error


#: A time and its set.
Timed = tuple[TimedSet, Cell]


def by_hundred(rows: Sequence[Timed]) -> int:
    """How much slower than written per hundred, in ms; rounded like the mean in a set's table."""
    far = sum(table.columns[cell.column].distance for table, cell in rows)
    return half_up(Fraction(100 * sum(cell.over_ms for _, cell in rows), far))


def times_of_lanes(sets: Iterable[TimedSet], out: Collection[int]) -> dict[int, list[Timed]]:
    """By lane (index), its times that say something about its base: without a target, and not among the entries `out`,
    which are too far off.
    """
    made: dict[int, list[Timed]] = {}
    for table in sets:
        if not table.target:
            cells = [cell for row in table.rows for cell in row.cells if cell.entry not in out]
            made.setdefault(table.lane, []).extend((table, cell) for cell in cells)
    return {lane: rows for lane, rows in made.items() if rows}
