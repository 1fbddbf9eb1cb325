"""Words broken into the rows that a width needs, with the widths that the window draws."""

from __future__ import annotations

from functools import lru_cache

from pacer.face.kit.textures import measure
from pacer.show.measure.wordwrap import wrapped_words


@lru_cache(4096)
def rows_of(text: str, width: float, cap: float, bold: bool = False) -> tuple[str, ...]:
    """The rows of a text, each as full as possible; a word wider than a row has one to itself."""
    return wrapped_words(text, width, lambda words: measure(words, cap, bold))
