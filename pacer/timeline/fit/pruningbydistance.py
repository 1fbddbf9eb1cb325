"""The most that can still be swum after a common start: it shows the fit which starts to give up.

For each section, distance over time is replaced by its concave hull, as if rounds could be swum in part.
The time is then spent where it brings the most distance. No choice can beat that.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise

Points = Sequence[tuple[int, int]]


class MostAhead:
    """`sections[s]`: the possible results of section s as (time to the next common start, distance), both
    ascending; None if they are not known. `limit_ms`: the latest last touch; `after_ms`: the most by which
    a section's time to the next start can exceed its time to its last touch.
    """

    __slots__ = ("_limit_ms", "_suffixes")

    def __init__(self, sections: Sequence[Points | None], limit_ms: int, after_ms: int):
        self._limit_ms = limit_ms + after_ms
        self._suffixes: dict[int, tuple[list[int], list[int]]] = {}
        pieces: list[tuple[float, int, int]] = []
        least_ms, least = 0, 0
        for section in range(len(sections) - 1, -1, -1):
            points = sections[section]
            if not points:
                break
            least_ms, least = least_ms + points[0][0], least + points[0][1]
            pieces = sorted(pieces + _pieces(points), reverse=True)
            times, totals = [least_ms], [least]
            for _, longer, farther in pieces:
                times.append(times[-1] + longer)
                totals.append(totals[-1] + farther)
            self._suffixes[section] = (times, totals)

    def knows(self, section: int) -> bool:
        """Whether anything is known about a common start of this section."""
        return section in self._suffixes

    def most(self, section: int, start_ms: int) -> int:
        """An upper bound on the distance after a common start of the section, -1 without time for even the least.

        >>> both = MostAhead([[(60, 50), (120, 100)], [(60, 20), (90, 60)]], 200, 0)
        >>> both.most(0, 0), both.most(0, 80), both.most(1, 0), both.most(1, 150)
        (152, 71, 60, -1)
        """
        times, totals = self._suffixes[section]
        left = self._limit_ms - start_ms
        place = bisect_right(times, left) - 1
        if place < 0:
            return -1
        if place == len(times) - 1:
            return totals[-1]
        longer, farther = times[place + 1] - times[place], totals[place + 1] - totals[place]
        return totals[place] + farther * (left - times[place]) // longer + 1


def _pieces(points: Points) -> list[tuple[float, int, int]]:
    """The concave hull from the first point on: distance per time, time and distance of each of its pieces."""
    hull: list[tuple[int, int]] = []
    for time, total in points:
        while len(hull) > 1 and (hull[-1][1] - hull[-2][1]) * (time - hull[-2][0]) <= (total - hull[-2][1]) * (
            hull[-1][0] - hull[-2][0]
        ):
            hull.pop()
        hull.append((time, total))
    return [((b - a) / (y - x), y - x, b - a) for (x, a), (y, b) in pairwise(hull) if y > x]
