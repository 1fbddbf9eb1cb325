"""When a focus or a drill is due again: after gaps that grow with each visit. The rule is our own choice."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import NamedTuple

from pacer.language import tr_n

MOST_DAYS = 365  #: no gap is longer


class Gaps(NamedTuple):
    """The first gap in days, and the next gap in per cent of the one before.

    >>> [Gaps(7, 200).days(visits) for visits in (1, 2, 3, 4)]
    [7, 14, 28, 56]
    """

    first_days: int = 7
    growth_percent: int = 200

    def days(self, visits: int) -> int:
        """The gap after that many visits (1 or more), in days, halves rounded up."""
        top, below = self.first_days, 1
        for _ in range(visits - 1):
            if top >= MOST_DAYS * below:
                break
            top, below = top * self.growth_percent, below * 100
        return max(1, min(MOST_DAYS, (2 * top + below) // (2 * below)))

    @property
    def text(self) -> str:
        """The rule in words.

        >>> Gaps(7, 200).text.partition(". ")[0]
        'A focus or drill is due again 7 days after it was swum, then after 14, 28 and 56 days'
        """
        first, second, third, fourth = (self.days(visits) for visits in (1, 2, 3, 4))
        return tr_n(
            "A focus or drill is due again {n} day after it was swum, then after {second}, {third} and {fourth} days. "
            "The rule is pacer's own, not from research.",
            "A focus or drill is due again {n} days after it was swum, then after {second}, {third} and {fourth} days. "
            "The rule is pacer's own, not from research.",
            first,
            second=second,
            third=third,
            fourth=fourth,
        )


class Due(NamedTuple):
    """The number of visits, the day of the last one, and the day when the next is due; None if there was no visit."""

    visits: int
    last: date | None = None
    due: date | None = None

    def late_days(self, today: date) -> int | None:
        """For how many days it has been due (0: today); negative if it is not due yet, None if it was never visited."""
        return None if self.due is None else (today - self.due).days


def due_of(days: Iterable[date], gaps: Gaps) -> Due:
    """When something visited on these days is due again. Two visits on one day count as one.

    >>> due_of([date(2026, 3, 5), date(2026, 3, 12)], Gaps(7, 200)).due
    datetime.date(2026, 3, 26)
    """
    visited = sorted(set(days))
    if not visited:
        return Due(0)
    return Due(len(visited), visited[-1], visited[-1] + timedelta(days=gaps.days(len(visited))))
