"""When a focus or a drill is due again: after gaps that grow with each visit. The rule is our own choice."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import NamedTuple

MOST_DAYS = 365  #: no gap is longer


class Gaps(NamedTuple):
    """The first gap in days, and how many per cent of it the next one is, and so on.

    >>> [Gaps(7, 200).days(visits) for visits in (1, 2, 3, 4)]
    [7, 14, 28, 56]
    """

    first_days: int = 7
    growth_percent: int = 200

    def days(self, visits: int) -> int:
        """The gap after so many visits (1 and more), halves up."""
        top, below = self.first_days, 1
        for _ in range(visits - 1):
            if top >= MOST_DAYS * below:
                break
            top, below = top * self.growth_percent, below * 100
        return max(1, min(MOST_DAYS, (2 * top + below) // (2 * below)))

    @property
    def text(self) -> str:
        """The rule in words.

        >>> Gaps(7, 200).text
        'Due 7 days after the first visit, then after 14, 28 and 56 days. This rule is our own choice.'
        """
        first, *more = (self.days(visits) for visits in (1, 2, 3, 4))
        plural = "" if first == 1 else "s"
        return (
            f"Due {first} day{plural} after the first visit, then after {more[0]}, {more[1]} and {more[2]} days. "
            "This rule is our own choice."
        )


class Due(NamedTuple):
    """So many visits, the last one on `last`, due again on `due`. Both are None where there was none."""

    visits: int
    last: date | None = None
    due: date | None = None

    def late_days(self, today: date) -> int | None:
        """For how many days it has been due (0: today); negative while it is not, None where it never was visited."""
        return None if self.due is None else (today - self.due).days


def due_of(days: Iterable[date], gaps: Gaps) -> Due:
    """When something is due that was visited on these days. Two visits on one day are one.

    >>> due_of([date(2026, 3, 5), date(2026, 3, 12)], Gaps(7, 200)).due
    datetime.date(2026, 3, 26)
    """
    visited = sorted(set(days))
    if not visited:
        return Due(0)
    return Due(len(visited), visited[-1], visited[-1] + timedelta(days=gaps.days(len(visited))))
