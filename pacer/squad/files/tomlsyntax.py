"""Read TOML text as values, and say in a coach's words what is not TOML."""

from __future__ import annotations

import re
import tomllib
from decimal import Decimal, InvalidOperation
from typing import Any, NamedTuple, NoReturn

from pacer.language import tr
from pacer.plan.problem import Problem, Unreadable

MAX_LENGTH = 64_000  #: characters of a text; 80 swimmers need a tenth of it
MAX_LINE = 1_000  #: characters

#: Replaces a value that could not be read and was reported. A text that already contains it is refused.
UNREAD = "\ue000"
_MAX_UNREAD = 20

_TWICE = tr("this key is given twice")
_TABLE_TWICE = tr("this table is given twice")
_CLOSED = tr("this adds to a table that is already complete")
_LINE_END = tr("a line ends with only a carriage return")

#: What the standard reader says, and the same for a coach: message and hint.
_COACHS_WORDS = (
    (
        "Expected '=' after a key",
        tr("a line needs a key, an equals sign and a value"),
        tr('for example: base = "1:18"'),
    ),
    ("Invalid initial character for a key part", tr("a line must begin with a key"), tr('for example: base = "1:18"')),
    (
        "Expected newline or end of document",
        tr("there is something after the value"),
        tr("put text and times in quotes, and each key on its own line"),
    ),
    ("Invalid value", tr("this is not a value"), tr('put text and times in quotes: base = "1:18"')),
    ("Invalid date", tr("this is not a value"), tr('put text and times in quotes: base = "1:18"')),
    ("Unterminated string", tr("the closing quote is missing"), ""),
    ("Illegal character '\\n'", tr("the closing quote is missing"), ""),
    ("Illegal character '\\r'", _LINE_END, tr("save the file with the usual line ends")),
    ("Illegal character", tr("this file can't have this character"), tr("delete it")),
    ("Found invalid character", tr("this file can't have this character"), tr("delete it")),
    ("Unescaped '\\'", tr("a single backslash has a special meaning in quotes"), tr("write \\\\ for one backslash")),
    ("Cannot overwrite a value", _TWICE, tr("keep one")),
    ("Duplicate inline table key", _TWICE, tr("keep one")),
    ("Cannot declare", _TABLE_TWICE, tr("write [[lane]] with two brackets for each lane, and [factors] only once")),
    ("Cannot mutate immutable namespace", _CLOSED, tr("write the table in one place")),
    ("Unclosed array", tr("the closing ] of a list is missing"), ""),
    ("Unclosed inline table", tr("the closing } is missing"), ""),
    (
        "Expected ']",
        tr("the closing bracket of the table is missing"),
        tr("write [[lane]] for a lane, [factors] for factors"),
    ),
)

_PAIR = re.compile(r"""(\s*(?:[\w.-]+|"[^"]*"|'[^']*')\s*=\s*)(\S.*)?""")


def check_length(text: str) -> None:
    """Raise Unreadable if the text is too long for a squad."""
    if len(text) > MAX_LENGTH:
        _give_up(
            tr(
                "the text is too long: {count:,} characters; the limit is {max_length:,}",
                count=len(text),
                max_length=MAX_LENGTH,
            ),
            tr("is it the right file?"),
        )


def _give_up(message: str, hint: str, line: int = 1) -> NoReturn:
    raise Unreadable([Problem(line, 1, 1, message, hint)])


class Read(NamedTuple):
    """A text that was read: its lines, the part of it that could be read, its values and its problems.

    Numbers are int or Decimal.
    """

    lines: list[str]
    text: str
    values: dict[str, Any]
    problems: list[Problem]


def toml_from_text(text: str) -> Read:
    """Read a TOML text. If a line's value cannot be read, record a problem and put `UNREAD` in its place.

    Raises Unreadable if the text cannot be read even so.
    """
    text = text.removeprefix("\ufeff").replace("\r\n", "\n")
    check_length(text)
    lines = text.split("\n")
    for number, line in enumerate(lines, 1):
        if len(line) > MAX_LINE:
            _give_up(
                tr(
                    "the line is too long: {count:,} characters; the limit is {max_line:,}",
                    count=len(line),
                    max_line=MAX_LINE,
                ),
                tr("is it the right file?"),
                number,
            )
        if UNREAD in line:
            column = line.index(UNREAD) + 1
            raise Unreadable(
                [Problem(number, column, column + 1, tr("there is an invisible character"), tr("delete it"), line)]
            )
    mended = list(lines)
    problems: list[Problem] = []
    while True:
        try:
            text = "\n".join(mended)
            return Read(lines, text, tomllib.loads(text, parse_float=_number), problems)
        except RecursionError:
            _give_up(tr("there are too many brackets inside brackets"), tr('write a list with one pair: ["A", "B"]'))
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
    except InvalidOperation:  # the exponent is too large
        return Decimal("nan")


def _heard(said: str, lines: list[str]) -> Problem:
    """The standard reader's message in a coach's words."""
    place = re.search(r"\(at line (\d+), column (\d+)\)", said)
    line, column = (int(place[1]), int(place[2])) if place else _last_place(lines)
    if column == 1 and line > 1 and "Unterminated" in said:
        line, column = _last_place(lines)
    message, hint = tr("this can't be read"), tr("write a key, an equals sign and a value")
    for start, words, advice in _COACHS_WORDS:
        if said.startswith(start):
            message, hint = words, advice
            break
    source = lines[line - 1]
    if source[column - 1 : column] == "\r":
        message, hint = _LINE_END, tr("save the file with the usual line ends")
    if message in (_TWICE, _TABLE_TWICE, _CLOSED):
        column = len(source) - len(source.lstrip()) + 1
        end = column + len(source.split("=")[0].strip())
    elif bare := re.fullmatch(r"(\s*[\w-]+\s*=\s*)([^\s\"'#\[\]{}][^\"'#\[\]{}]*?)\s*(#.*)?", source):
        column, end = len(bare[1]) + 1, len(bare[1]) + len(bare[2]) + 1
        message = tr("text and times need quotes, and numbers have only digits")
        hint = (
            tr('write {key} "{text}"', key=bare[1].strip(), text=bare[2])
            if ":" in bare[2]
            else tr('for example: base = "1:18", or swimmers = 5')
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


def quoted(text: str) -> str:
    """A text as TOML has it, in quotes."""
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
