"""How much work a search may take: counted in steps, not in seconds, so that every tablet comes to the same answer."""

from __future__ import annotations

from collections.abc import Sequence


class TooMuch(Exception):
    """The search would take longer than anybody waits."""


def spread(values: Sequence, many: int | None) -> Sequence:
    """At most so many of the values, evenly, the first and the last among them; None: all.

    >>> spread(range(10), 4), spread("abc", 4), spread("abc", 1)
    ([0, 3, 6, 9], 'abc', ['a'])
    """
    if many is None or len(values) <= many:
        return values
    return [values[place * (len(values) - 1) // max(1, many - 1)] for place in range(many)]


class Work:
    """Steps that are left; a step takes about as long as one addition and one look-up."""

    __slots__ = ("left",)

    def __init__(self, steps: int):
        self.left = steps

    def spend(self, steps: int) -> None:
        """So many steps are done, or about to be. Raises TooMuch where no more are left."""
        self.left -= steps
        if self.left < 0:
            raise TooMuch
