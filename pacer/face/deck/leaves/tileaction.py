"""What a tile of a leaf does, as a value: a word, and the numbers it is about."""

from __future__ import annotations

from typing import NamedTuple


class TileAction(NamedTuple):
    """A tile's name says it: `str` writes one, `action_of` reads it.

    >>> str(TileAction("line", 2, 3)), str(TileAction("step", -5))
    ('line 2 3', 'step -5')
    >>> action_of("line 2 3"), action_of("one more")
    (TileAction(what='line', first=2, second=3), TileAction(what='one more', first=0, second=0))
    """

    what: str
    first: int = 0
    second: int = 0

    def __str__(self) -> str:
        return f"{self.what} {self.first}" + (f" {self.second}" if self.second else "")


def action_of(name: str) -> TileAction:
    """What the tile called `name` does; a name without a number is just a word."""
    words = name.split(" ")
    numbers = [int(word) for word in words[1:] if word.lstrip("-").isdecimal()]
    return TileAction(words[0], *numbers) if numbers and len(numbers) == len(words) - 1 else TileAction(name)
