"""The width of words in the app's typeface, when there is no window to measure them."""

from __future__ import annotations

import unicodedata
from functools import lru_cache
from typing import NamedTuple

from pacer.shippedfiles import CAP, FONTS


class _Widths(NamedTuple):
    per_em: int
    of: dict[int, int]
    other: int


@lru_cache(2)
def _widths(bold: bool) -> _Widths:
    # Imported only when something is written: the app's start must not wait for it.
    from fontTools.ttLib import TTFont

    with TTFont(FONTS / f"B612-{'Bold' if bold else 'Regular'}.otf", lazy=True) as font:
        advances = font["hmtx"].metrics
        of = {code: advances[name][0] for code, name in font.getBestCmap().items()}
        return _Widths(font["head"].unitsPerEm, of, advances[".notdef"][0])


_NEAR = str.maketrans({"\t": " ", "\u00a0": " "})
UNKNOWN = "?"


@lru_cache(4096)
def spelt(text: str) -> str:
    """The text in letters that the typeface has: without an accent it lacks; `?` for anything else.

    >>> spelt("Łódź"), spelt("水")
    ('Łódź', '?')
    """
    known = _widths(False).of
    made = []
    for letter in unicodedata.normalize("NFC", text):
        if ord(letter) not in known:
            near = letter.translate(_NEAR)
            letter = next((each for each in unicodedata.normalize("NFKD", near) if ord(each) in known), UNKNOWN)
        made.append(letter)
    return "".join(made)


def width_of(text: str, cap: float, bold: bool = False) -> float:
    """The width of a text whose capitals are `cap` high, in the same unit."""
    widths = _widths(bold)
    return sum(widths.of.get(ord(letter), widths.other) for letter in text) * cap / CAP / widths.per_em
