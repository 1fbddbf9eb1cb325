"""Limit the work of a search, in steps and not in seconds, so that every tablet finds the same answer."""

from __future__ import annotations

from collections.abc import Sequence


class TooMuch(Exception):
    """The search would take longer than anybody waits."""


def spread(values: Sequence, many: int | None) -> Sequence:
    """At most `many` of the values, evenly spread, with the first and the last; None: all.

    >>> spread(range(10), 4), spread("abc", 4), spread("abc", 1)
    ([0, 3, 6, 9], 'abc', ['a'])
    """
    if many is None or len(values) <= many:
        return values
    return [values[place * (len(values) - 1) // max(1, many - 1)] for place in range(many)]


class Work:
    """The remaining steps; a step takes about as long as one addition and one look-up."""

    __slots__ = ("left",)

    def __init__(self, steps: int):
        self.left = steps

    def spend(self, steps: int) -> None:
        """Use up that many steps. Raises TooMuch if there are not enough left."""
        self.left -= steps
        if self.left < 0:
            raise TooMuch
