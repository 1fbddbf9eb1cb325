"""Find where keys and values are in a TOML text, which the standard reader does not tell."""

from __future__ import annotations

import re
import tomllib
from bisect import bisect_right
from dataclasses import dataclass

from pacer.plan.model import Span

#: The path to a value: `("lane", 0, "swimmer", 1, "base")`.
Path = tuple[str | int, ...]

_TOKEN = re.compile(
    r"""
      (?P<space>[ \t]+|\#[^\n]*)
    | (?P<newline>\n)
    | (?P<string>\"{3}(?:[^\\]|\\.)*?\"{3,5} | '{3}.*?'{3,5} | "(?:[^"\\\n]|\\.)*" | '[^'\n]*')
    | (?P<mark>[\[\]{}=,.])
    | (?P<bare>[^\s"'\[\]{}=,.\#]+)
    | (?P<other>.)
    """,
    re.VERBOSE | re.DOTALL,
)


@dataclass(frozen=True, slots=True)
class Place:
    """Where a key and its value are; for a table both are its header."""

    key: Span
    value: Span


def places_in(text: str) -> dict[Path, Place]:
    r"""The places of all keys and tables of a valid TOML text with `\n` line ends.

    The place of a value that spans several lines is on its first line.

    >>> places_in('[[lane]]\nbase = "1:18"')[("lane", 0, "base")].value
    Span(line=2, column=8, end_column=14)
    """
    return _Search(text).found


class _Search:
    """One walk over the tokens. It relies on the text being valid: it finds things, it does not check them."""

    def __init__(self, text: str):
        self.tokens = [m for m in _TOKEN.finditer(text) if m.lastgroup != "space"]
        self.line_starts = [0] + [m.end() for m in self.tokens if m.lastgroup == "newline"]
        for m in self.tokens:  # line ends inside strings count as well
            if m.lastgroup == "string" and "\n" in m.group():
                self.line_starts += [m.start() + n + 1 for n, c in enumerate(m.group()) if c == "\n"]
        self.line_starts.sort()
        self.at = 0
        self.found: dict[Path, Place] = {}
        self._last_of: dict[Path, int] = {}  # arrays of tables: index of the one being written
        table: Path = ()
        while self.at < len(self.tokens):
            if self._skip_newlines():
                continue
            if self._peek() == "[":
                table = self._header()
            else:
                self._pair(table)

    def _peek(self) -> str:
        return self.tokens[self.at].group() if self.at < len(self.tokens) else ""

    def _skip_newlines(self) -> bool:
        start = self.at
        while self._peek() == "\n":
            self.at += 1
        return self.at > start

    def _span(self, first: int, last: int) -> Span:
        """From token `first` to token `last`, or to the end of the line that `first` ends on."""
        start, end = self.tokens[first].start(), self.tokens[last].end()
        line = bisect_right(self.line_starts, start)
        if line < len(self.line_starts):
            end = min(end, self.line_starts[line] - 1)
        begin = self.line_starts[line - 1]
        return Span(line, start - begin + 1, max(end, start + 1) - begin + 1)

    def _key(self) -> tuple[str, ...]:
        names: list[str] = []
        while self.at < len(self.tokens):
            word = self.tokens[self.at]
            names.append(_unquoted(word.group()) if word.lastgroup == "string" else word.group())
            self.at += 1
            if self._peek() != ".":
                break
            self.at += 1
        return tuple(names)

    def _header(self) -> Path:
        first = self.at
        self.at += 1
        repeated = self._peek() == "["
        self.at += repeated
        names = self._key()
        self.at += 1 + repeated
        path: Path = ()
        for name in names[:-1]:
            path = self._inside(path + (name,))
        path += (names[-1],)
        if repeated:
            self._last_of[path] = self._last_of.get(path, -1) + 1
        place = Place(*2 * (self._span(first, min(self.at, len(self.tokens)) - 1),))
        self.found.setdefault(path, place)
        path = self._inside(path)
        self.found[path] = place
        return path

    def _inside(self, path: Path) -> Path:
        return path + (self._last_of[path],) if path in self._last_of else path

    def _pair(self, table: Path) -> None:
        first = self.at
        names = self._key()
        key = self._span(first, self.at - 1)
        self.at += 1  # the equals sign
        value_at = self.at
        self._value(table + names)
        value = self._span(value_at, self.at - 1) if self.at > value_at else key
        self.found[table + names] = Place(key, value)

    def _value(self, path: Path) -> None:
        opening = self._peek()
        if opening not in ("[", "{"):
            while self._peek() not in ("\n", ",", "]", "}", ""):
                self.at += 1
            return
        closing = "]" if opening == "[" else "}"
        self.at += 1
        index = 0
        while self.at < len(self.tokens):
            self._skip_newlines()
            if self._peek() == closing:
                self.at += 1
                return
            if opening == "{":
                self._pair(path)
            else:
                first = self.at
                self._value(path + (index,))
                span = self._span(first, max(first, self.at - 1))
                self.found[path + (index,)] = Place(span, span)
                index += 1
            self._skip_newlines()
            if self._peek() == ",":
                self.at += 1


def _unquoted(key: str) -> str:
    return key[1:-1] if "\\" not in key else tomllib.loads(f"key = {key}")["key"]
