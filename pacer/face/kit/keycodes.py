"""The keys of a keyboard, by the codes that Kivy's window gives them."""

from __future__ import annotations

from collections.abc import Collection

BACKSPACE, TAB, RETURN, ESCAPE, SPACE, DELETE, ENTER = 8, 9, 13, 27, 32, 127, 271
UP, DOWN, RIGHT, LEFT = 273, 274, 275, 276
ENTERS = frozenset((RETURN, ENTER))  #: of the letters and of the number block
ARROWS = {UP: (0, -1), DOWN: (0, 1), RIGHT: (1, 0), LEFT: (-1, 0)}  #: across and down
#: Digits of the row above the letters, and of the number block.
DIGITS = {**{48 + n: n for n in range(10)}, **{256 + n: n for n in range(10)}}


def writes(text: str, modifiers: Collection[str] | None) -> bool:
    """Whether a key writes a letter or a digit."""
    return bool(text) and text.isalnum() and not set(modifiers or ()) & {"ctrl", "alt", "meta"}
