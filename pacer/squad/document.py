"""A TOML text with every mistake placed: what the squad's and the swimmers' readers stand on."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Iterator
from datetime import date, datetime, time
from decimal import Decimal
from difflib import get_close_matches
from typing import Any, TypeVar

from pacer.plan.model import Span
from pacer.plan.problem import Problem, Unreadable
from pacer.plan.times import BadTime, ms_from_text, text_from_ms
from pacer.squad.places import Path, Place, places_in
from pacer.squad.refused import Refused

T = TypeVar("T")

MAX_BYTES = 64 * 1024  #: of a file; 80 swimmers take a tenth of it
MAX_TEXT = 60          #: characters of a name

#: Stands for a value that could not be read and was reported; no one can type it by chance.
_UNREAD = "\ue000"
_MAX_UNREAD = 20

_TWICE = "this key stands twice"

#: What the standard reader says, and how a coach would hear it.
_COACHS_WORDS = (
    ("Expected '=' after a key", "a line here is a key, an equals sign and a value", 'for example: base = "1:18"'),
    ("Invalid initial character for a key part", "a line here begins with a key", 'for example: base = "1:18"'),
    ("Expected newline or end of document", "something is left over after the value", "text and times stand in quotes, one key to a line"),
    ("Invalid value", "this is no value", 'text and times stand in quotes: base = "1:18"'),
    ("Invalid date", "this is no value", 'text and times stand in quotes: base = "1:18"'),
    ("Unterminated string", "the closing quote is missing", ""),
    ("Illegal character '\\n'", "the closing quote is missing", ""),
    ("Illegal character", "a character that cannot stand in this file", "take it out"),
    ("Found invalid character", "a character that cannot stand in this file", "take it out"),
    ("Unescaped '\\\\'", "a backslash in quotes means something else", "write \\\\ for one backslash"),
    ("Cannot overwrite a value", _TWICE, "keep one of the two"),
    ("Duplicate inline table key", _TWICE, "keep one of the two"),
    ("Cannot declare", "this table stands twice", "lanes are written [[lane]], each with two brackets; [factors] stands once"),
    ("Cannot mutate immutable namespace", "this adds to a table that is closed", "write the table in one place"),
    ("Unclosed array", "the closing ] of a list is missing", ""),
    ("Unclosed inline table", "the closing } is missing", ""),
    ("Expected ']", "the closing bracket of the table is missing", "lanes are written [[lane]], factors [factors]"),
)

_PAIR = re.compile(r"""(\s*(?:[\w-]+|"[^"]*"|'[^']*')\s*=\s*)(\S.*)?""")


def text_from_bytes(data: bytes) -> str:
    """The text of a file. Raises Unreadable where it is too long, no text, or not UTF-8."""
    if len(data) > MAX_BYTES:
        _give_up(f"the file is too long: {len(data)} bytes, at most {MAX_BYTES}", "is it the right file?")
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        _give_up("the file is written in UTF-16", "save it as UTF-8")
    if b"\0" in data:
        _give_up("this is no text file", "is it the right file?")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as wrong:
        before = data[: wrong.start].decode("utf-8-sig")
        line, column = before.count("\n") + 1, len(before) - (before.rfind("\n") + 1) + 1
        source = data.split(b"\n")[line - 1].decode("utf-8", "replace").strip("\ufeff\r")
        raise Unreadable([Problem(line, column, column + 1, "this character is not UTF-8", "save the file as UTF-8", source)]) from None


def _give_up(message: str, hint: str) -> None:
    raise Unreadable([Problem(1, 1, 1, message, hint)])


class Document:
    """A TOML text that was read, and the list of its problems, to which reading adds.

    Raises Unreadable at once where the text has no shape left to look at; a single value
    that cannot be read is noted, and the rest is read nevertheless. Numbers are int or
    Decimal.
    """

    def __init__(self, text: str):
        text = text.removeprefix("\ufeff").replace("\r\n", "\n")
        if len(text) > MAX_BYTES:
            _give_up(f"the text is too long: {len(text)} characters, at most {MAX_BYTES}", "is it the right file?")
        self.lines = text.split("\n")
        self.problems: list[Problem] = []
        readable = list(self.lines)
        while True:
            try:
                self.data = tomllib.loads("\n".join(readable), parse_float=Decimal)
                self.places: dict[Path, Place] = places_in("\n".join(readable))
                break
            except RecursionError:
                _give_up("brackets stand inside brackets without end", "a list is written with one pair: [\"A\", \"B\"]")
            except ValueError as wrong:
                line = self._note(str(wrong))
                pair = _PAIR.fullmatch(readable[line - 1])
                if not pair or _UNREAD in readable[line - 1] or len(self.problems) >= _MAX_UNREAD:
                    raise Unreadable(self.problems) from None
                twice = self.problems[-1].message == _TWICE
                readable[line - 1] = "" if twice else f'{pair[1]}"{_UNREAD}"'

    def _note(self, said: str) -> int:
        """Add what the standard reader said, in a coach's words; the line it means."""
        place = re.search(r"\(at line (\d+), column (\d+)\)", said)
        line, column = (int(place[1]), int(place[2])) if place else self._last_place()
        if column == 1 and line > 1 and "Unterminated" in said:
            line, column = self._last_place()
        message, hint = "this cannot be read", "a line here is a key, an equals sign and a value"
        for start, words, advice in _COACHS_WORDS:
            if said.startswith(start):
                message, hint = words, advice
                break
        source = self.lines[line - 1]
        pair = _PAIR.fullmatch(source)
        if pair and message == _TWICE:
            column, end = len(source) - len(source.lstrip()) + 1, len(pair[1].rstrip("= \t")) + 1
        elif bare := re.fullmatch(r"(\s*[\w-]+\s*=\s*)([^\s\"'#\[\]{}][^\"'#\[\]{}]*?)\s*(#.*)?", source):
            column, end = len(bare[1]) + 1, len(bare[1]) + len(bare[2]) + 1
            message = "text and times stand in quotes, numbers have digits only"
            hint = f'write {bare[1].strip()} "{bare[2]}"' if ":" in bare[2] else 'for example: base = "1:18", or swimmers = 5'
        else:
            column = min(column, len(source) + 1)
            end = column + 1
        self.problems.append(Problem(line, column, end, message, hint, source))
        return line

    def _last_place(self) -> tuple[int, int]:
        for number in range(len(self.lines), 0, -1):
            if self.lines[number - 1].strip():
                return number, len(self.lines[number - 1]) + 1
        return 1, 1

    @property
    def root(self) -> Table:
        """The table that holds everything."""
        return Table(self, (), self.data)

    def problem(self, path: Path, message: str, hint: str = "", *, key: bool = False) -> None:
        """Note a problem at the value of `path`, or its key; failing that at what holds it."""
        place = None
        while path and (place := self.places.get(path)) is None:
            path = path[:-1]
        span = Span(1, 1, 1) if place is None else place.key if key else place.value
        self.problems.append(
            Problem(span.line, span.column, span.end_column, message, hint, self.lines[span.line - 1] if place else "")
        )


class Table:
    """One table of a document; each of its readers notes what is wrong and then gives None."""

    def __init__(self, document: Document, path: Path, values: dict[str, Any]):
        self.document = document
        self.path = path
        self.values = values

    def __contains__(self, key: str) -> bool:
        return key in self.values

    def problem(self, key: str | None, message: str, hint: str = "", *, at_key: bool = False) -> None:
        """Note a problem with the key's value (or with the key, or with the whole table)."""
        self.document.problem(self.path if key is None else self.path + (key,), message, hint, key=at_key)

    def known(self, where: str, keys: tuple[str, ...], hints: dict[str, str] | None = None) -> None:
        """Note every key that is not one of `keys`, with the near one."""
        for key in self.values:
            if key in keys:
                continue
            near = get_close_matches(key.lower(), keys, n=1)
            hint = (hints or {}).get(key) or (f"perhaps {near[0]}" if near else "there are: " + ", ".join(keys))
            self.problem(key, f"{where} has no “{_short(key)}”", hint, at_key=True)

    def text(self, key: str, example: str) -> str | None:
        """A text on one line, trimmed and not empty."""
        value = self._given(key)
        if value is None:
            return None
        if not isinstance(value, str):
            self.problem(key, f"{key} is text in quotes, this is {_kind(value)}", f'for example: {key} = "{example}"')
        elif not value.strip():
            self.problem(key, f"{key} is empty", f'for example: {key} = "{example}", or leave the line out')
        elif not value.isprintable():
            self.problem(key, f"{key} has a character that cannot be shown", "write it on one line, without tabs")
        elif len(value) > MAX_TEXT:
            self.problem(key, f"{key} is too long: {len(value)} characters, at most {MAX_TEXT}")
        else:
            return value.strip()
        return None

    def parsed(self, key: str, example: str, parse: Callable[[str], T]) -> T | None:
        """What `parse` makes of the key's text; it may raise Refused or BadTime."""
        text = self.text(key, example)
        if text is None:
            return None
        try:
            return parse(text)
        except (Refused, BadTime) as wrong:
            self.problem(key, wrong.message, wrong.hint)
            return None

    def time_ms(self, key: str, least_ms: int, most_ms: int) -> int | None:
        """A time, in whole milliseconds."""

        def parse(text: str) -> int:
            ms = ms_from_text(text)
            if not least_ms <= ms <= most_ms:
                bounds = f"{text_from_ms(least_ms)} and {text_from_ms(most_ms)}"
                raise Refused(f"{key} lies between {bounds}, this is {text_from_ms(ms)}")
            return ms

        return self.parsed(key, "0:05", parse)

    def whole(self, key: str, least: int, most: int) -> int | None:
        """A whole number."""
        value = self._given(key)
        if value is None:
            return None
        if not isinstance(value, int) or isinstance(value, bool):
            self.problem(key, f"{key} is a whole number, this is {_kind(value)}", f"for example: {key} = {max(least, 1)}")
        elif not least <= value <= most:
            self.problem(key, f"{key} lies between {least} and {most}")
        else:
            return value
        return None

    def decimal(self, key: str, least: Decimal, most: Decimal, places: int) -> Decimal | None:
        """A number within bounds, with at most so many decimal places."""
        value = self._given(key)
        if value is None:
            return None
        if not isinstance(value, (int, Decimal)) or isinstance(value, bool):
            self.problem(key, f"{_short(key)} is a number, this is {_kind(value)}", "for example 1.45, without quotes")
        elif not (isinstance(value, int) or value.is_finite()) or not least <= value <= most:
            self.problem(key, f"{_short(key)} lies between {least} and {most}")
        elif value != Decimal(value).quantize(Decimal(1).scaleb(-places)):
            self.problem(key, f"{_short(key)} has more than {places} decimal places")
        else:
            return Decimal(value)
        return None

    def table(self, key: str, header: str) -> Table | None:
        """The table at `key`; `header` says how one is written."""
        value = self._given(key)
        if value is None:
            return None
        if not isinstance(value, dict):
            self.problem(key, f"{key} is a table, this is {_kind(value)}", f"write {header} on a line of its own", at_key=True)
            return None
        return Table(self.document, self.path + (key,), value)

    def tables(self, key: str, header: str) -> Iterator[Table]:
        """The tables at `key`, in the order written; `header` says how each one begins."""
        value = self._given(key)
        if value is None:
            return
        if not isinstance(value, list) or not all(isinstance(entry, dict) for entry in value):
            self.problem(key, f"each {key} begins with {header}", f"write {header}, with two brackets, on a line of its own", at_key=True)
            return
        for index, entry in enumerate(value):
            yield Table(self.document, self.path + (key, index), entry)

    def _given(self, key: str) -> Any:
        value = self.values.get(key)
        return None if value == _UNREAD else value


def _kind(value: Any) -> str:
    match value:
        case bool():
            return "true or false"
        case int() | Decimal():
            return "a number"
        case str():
            return "text"
        case list():
            return "a list"
        case dict():
            return "a table"
        case datetime() | date() | time():
            return "a date or a time of day, without quotes"
    return "something else"


def _short(text: str) -> str:
    """A text from a file, safe to show in a message."""
    text = "".join(c if c.isprintable() else "?" for c in text)
    return text if len(text) <= 30 else text[:29] + "…"
