"""A piece of a line: a number, a time, a word, a mark."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any


class Token:
    """A piece of a line: its type in the grammar, its text, its value and its place.

    `value` is an int for NUMBER, milliseconds for TIME (None if it is not a time, or is bare
    seconds), the text inside for CUE, the member of the enumeration for work. `unit` is the
    unit written after a distance, "" if there is none.
    """

    __slots__ = ("end", "start", "text", "type", "unit", "value")

    def __init__(self, type: str, text: str, value: Any, start: int, end: int):
        self.type, self.text, self.start, self.end = type, text, start, end
        self.value: Any = value
        self.unit = ""

    def __repr__(self) -> str:
        return f"{self.type}({self.text!r})"

    def as_a(self, type: str) -> Token:
        """The same piece as another type of token."""
        return Token(type, self.text, self.value, self.start, self.end)


def kinds_of(tokens: Sequence[Token]) -> list[str]:
    """The types of tokens."""
    return [token.type for token in tokens]


def nothing(type_: str, before: Token) -> Token:
    """A mark in front of a token that the coach did not write."""
    return Token(type_, "", None, before.start, before.start)
