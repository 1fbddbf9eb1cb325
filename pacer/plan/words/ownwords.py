"""The words that a squad adds to the notation."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class OwnWords:
    """A squad's own words: for gear, and for efforts with their own factor."""

    gear: tuple[str, ...] = ()
    efforts: tuple[str, ...] = ()


NO_WORDS = OwnWords()


def own_words(words: OwnWords | tuple[str, ...]) -> OwnWords:
    """Own words; a tuple means words for gear alone."""
    return words if isinstance(words, OwnWords) else OwnWords(words)
