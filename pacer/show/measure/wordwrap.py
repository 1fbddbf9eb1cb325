"""Words broken into as many rows as a width asks for."""

from __future__ import annotations

from collections.abc import Callable


def wrapped_words(text: str, width: float, width_of: Callable[[str], float], breaks: bool = False) -> tuple[str, ...]:
    """The rows of a text, each as full as it gets; a word wider than a row has one to itself, or is broken.

    >>> wrapped_words("six kicks, then roll", 9, len), wrapped_words("shoulder-first", 8, len, breaks=True)
    (('six', 'kicks,', 'then roll'), ('shoulder', '-first'))
    """
    rows: list[str] = []
    for word in text.split():
        if rows and width_of(f"{rows[-1]} {word}") <= width:
            rows[-1] += f" {word}"
            continue
        while breaks and len(word) > 1 and width_of(word) > width:
            most = next((n for n in range(len(word) - 1, 1, -1) if width_of(word[:n]) <= width), 1)
            rows.append(word[:most])
            word = word[most:]
        rows.append(word)
    return tuple(rows) or ("",)
