"""Go through combinations of counts, skipping those that make no difference."""

from __future__ import annotations

from collections.abc import Iterator, Sequence


class Combinations:
    """Every combination of one value of each span, in order; the last value changes fastest.

    The caller may set `mattered` before the next combination: how many of the values, from the first on, made a
    difference. Other combinations that begin with these values are then skipped. `moved` is the number of values up to
    the last that is not its span's first.

    >>> combinations, seen = Combinations([(1, 2), (0, 5, 9)]), []
    >>> for chosen in combinations:
    ...     seen.append(chosen)
    ...     if chosen == (1, 5):
    ...         combinations.mattered = 1
    >>> seen
    [(1, 0), (1, 5), (2, 0), (2, 5), (2, 9)]
    """

    __slots__ = ("_places", "_spans", "mattered")

    def __init__(self, spans: Sequence[Sequence[int]]):
        self._spans = spans
        self._places = [0] * len(spans)
        self.mattered = len(spans)

    @property
    def moved(self) -> int:
        """See the class."""
        return max([at for at, place in enumerate(self._places) if place], default=0)

    def __iter__(self) -> Iterator[tuple[int, ...]]:
        places, spans = self._places, self._spans
        while all(spans):
            self.mattered = len(spans)
            yield tuple([span[place] for span, place in zip(spans, places)])
            at = self.mattered - 1
            while at >= 0 and places[at] + 1 == len(spans[at]):
                at -= 1
            if at < 0:
                return
            places[at] += 1
            places[at + 1 :] = [0] * (len(spans) - at - 1)
