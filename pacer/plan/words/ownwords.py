"""The words that a squad adds to the notation."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class OwnWords:
    """A squad's own words: for gear, and for efforts that have a factor of their own."""

    gear: tuple[str, ...] = ()
    efforts: tuple[str, ...] = ()


NO_WORDS = OwnWords()


def own_words(words: OwnWords | tuple[str, ...]) -> OwnWords:
    """Own words, or words for gear alone, as own words."""
    return words if isinstance(words, OwnWords) else OwnWords(words)
