"""Words broken into as many rows as a width asks for."""

from __future__ import annotations

from functools import lru_cache

from pacer.face.kit.textures import measure


@lru_cache(4096)
def rows_of(text: str, width: float, cap: float, bold: bool = False) -> tuple[str, ...]:
    """The rows of a text, each as full as it gets; a word wider than a row has one to itself."""
    rows: list[str] = []
    for word in text.split():
        if rows and measure(f"{rows[-1]} {word}", cap, bold) <= width:
            rows[-1] += f" {word}"
        else:
            rows.append(word)
    return tuple(rows) or ("",)
