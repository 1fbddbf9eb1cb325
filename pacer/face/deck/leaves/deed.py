"""What a tile of a leaf does, as a value: a word, and the numbers it is about."""

from __future__ import annotations

from typing import NamedTuple


class Deed(NamedTuple):
    """A tile's name says it: `str` writes one, `deed_of` reads it.

    >>> str(Deed("line", 2, 3)), str(Deed("step", -5))
    ('line 2 3', 'step -5')
    >>> deed_of("line 2 3"), deed_of("one more")
    (Deed(what='line', first=2, second=3), Deed(what='one more', first=0, second=0))
    """

    what: str
    first: int = 0
    second: int = 0

    def __str__(self) -> str:
        return f"{self.what} {self.first}" + (f" {self.second}" if self.second else "")


def deed_of(name: str) -> Deed:
    """What the tile called `name` does; a name without a number is just a word."""
    words = name.split(" ")
    numbers = [int(word) for word in words[1:] if word.lstrip("-").isdecimal()]
    return Deed(words[0], *numbers) if numbers and len(numbers) == len(words) - 1 else Deed(name)
