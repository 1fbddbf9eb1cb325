"""TOML text to values; what is no TOML, in a coach's words."""

from __future__ import annotations

import re
import tomllib
from decimal import Decimal, InvalidOperation
from typing import Any, NamedTuple, NoReturn

from pacer.plan.problem import Problem, Unreadable

MAX_LENGTH = 64_000  #: characters of a text; 80 swimmers take a tenth of it
MAX_LINE = 1_000  #: characters

#: Stands for a value that could not be read and was reported. A text that has it itself is refused.
UNREAD = "\ue000"
_MAX_UNREAD = 20

_TWICE = "this key is there twice"
_TABLE_TWICE = "this table is there twice"
_CLOSED = "this adds to a table that is closed"
_LINE_END = "a line ends with a carriage return alone"

#: What the standard reader says, and how a coach would hear it.
_COACHS_WORDS = (
    ("Expected '=' after a key", "a line here is a key, an equals sign and a value", 'for example: base = "1:18"'),
    ("Invalid initial character for a key part", "a line here begins with a key", 'for example: base = "1:18"'),
    (
        "Expected newline or end of document",
        "there is something after the value",
        "text and times go in quotes, one key to a line",
    ),
    ("Invalid value", "this is not a value", 'text and times go in quotes: base = "1:18"'),
    ("Invalid date", "this is not a value", 'text and times go in quotes: base = "1:18"'),
    ("Unterminated string", "the closing quote is missing", ""),
    ("Illegal character '\\n'", "the closing quote is missing", ""),
    ("Illegal character '\\r'", _LINE_END, "save the file with the usual line ends"),
    ("Illegal character", "a character that is not allowed in this file", "delete it"),
    ("Found invalid character", "a character that is not allowed in this file", "delete it"),
    ("Unescaped '\\'", "a backslash in quotes means something else", "write \\\\ for one backslash"),
    ("Cannot overwrite a value", _TWICE, "keep one of the two"),
    ("Duplicate inline table key", _TWICE, "keep one of the two"),
    ("Cannot declare", _TABLE_TWICE, "lanes are written [[lane]], each with two brackets; [factors] stands once"),
    ("Cannot mutate immutable namespace", _CLOSED, "write the table in one place"),
    ("Unclosed array", "the closing ] of a list is missing", ""),
    ("Unclosed inline table", "the closing } is missing", ""),
    ("Expected ']", "the closing bracket of the table is missing", "lanes are written [[lane]], factors [factors]"),
)

_PAIR = re.compile(r"""(\s*(?:[\w.-]+|"[^"]*"|'[^']*')\s*=\s*)(\S.*)?""")


def check_length(text: str) -> None:
    """Raises Unreadable for a text that is too long for a squad."""
    if len(text) > MAX_LENGTH:
        _give_up(f"the text is too long: {len(text):,} characters, at most {MAX_LENGTH:,}", "is it the right file?")


def _give_up(message: str, hint: str, line: int = 1) -> NoReturn:
    raise Unreadable([Problem(line, 1, 1, message, hint)])


class Read(NamedTuple):
    """What a text holds.

    Its lines, the text as it could be read, its values (numbers int or Decimal), what is wrong.
    """

    lines: list[str]
    text: str
    values: dict[str, Any]
    problems: list[Problem]


def toml_from_text(text: str) -> Read:
    """Read a TOML text. A value on a line of its own that is none is noted, and `UNREAD` stands for it.

    Raises Unreadable where that does not mend the text.
    """
    text = text.removeprefix("\ufeff").replace("\r\n", "\n")
    check_length(text)
    lines = text.split("\n")
    for number, line in enumerate(lines, 1):
        if len(line) > MAX_LINE:
            _give_up(
                f"the line is too long: {len(line):,} characters, at most {MAX_LINE:,}", "is it the right file?", number
            )
        if UNREAD in line:
            column = line.index(UNREAD) + 1
            raise Unreadable([Problem(number, column, column + 1, "an invisible character", "delete it", line)])
    mended = list(lines)
    problems: list[Problem] = []
    while True:
        try:
            text = "\n".join(mended)
            return Read(lines, text, tomllib.loads(text, parse_float=_number), problems)
        except RecursionError:
            _give_up("too many brackets inside brackets", 'a list is written with one pair: ["A", "B"]')
        except tomllib.TOMLDecodeError as wrong:
            problem = _heard(str(wrong), lines)
        problems.append(problem)
        broken = mended[problem.line - 1]
        pair = _PAIR.fullmatch(broken)
        if not pair or UNREAD in broken or len(problems) >= _MAX_UNREAD:
            raise Unreadable(problems)
        mended[problem.line - 1] = "" if problem.message in (_TWICE, _CLOSED) else f'{pair[1]}"{UNREAD}"'


def _number(text: str) -> Decimal:
    try:
        return Decimal(text)
    except InvalidOperation:  # an exponent beyond any reckoning
        return Decimal("nan")


def _heard(said: str, lines: list[str]) -> Problem:
    """What the standard reader said, in a coach's words."""
    place = re.search(r"\(at line (\d+), column (\d+)\)", said)
    line, column = (int(place[1]), int(place[2])) if place else _last_place(lines)
    if column == 1 and line > 1 and "Unterminated" in said:
        line, column = _last_place(lines)
    message, hint = "this can't be read", "a line here is a key, an equals sign and a value"
    for start, words, advice in _COACHS_WORDS:
        if said.startswith(start):
            message, hint = words, advice
            break
    source = lines[line - 1]
    if source[column - 1 : column] == "\r":
        message, hint = _LINE_END, "save the file with the usual line ends"
    if message in (_TWICE, _TABLE_TWICE, _CLOSED):
        column = len(source) - len(source.lstrip()) + 1
        end = column + len(source.split("=")[0].strip())
    elif bare := re.fullmatch(r"(\s*[\w-]+\s*=\s*)([^\s\"'#\[\]{}][^\"'#\[\]{}]*?)\s*(#.*)?", source):
        column, end = len(bare[1]) + 1, len(bare[1]) + len(bare[2]) + 1
        message = "text and times go in quotes, numbers have digits only"
        hint = (
            f'write {bare[1].strip()} "{bare[2]}"' if ":" in bare[2] else 'for example: base = "1:18", or swimmers = 5'
        )
    else:
        column = max(1, min(column - 2 * said.startswith("Unescaped"), len(source) + 1))
        end = column + 1
    return Problem(line, column, end, message, hint, source)


def _last_place(lines: list[str]) -> tuple[int, int]:
    for number in range(len(lines), 0, -1):
        if lines[number - 1].strip():
            return number, len(lines[number - 1]) + 1
    return 1, 1
