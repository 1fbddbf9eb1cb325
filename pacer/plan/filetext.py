"""Turn a file's bytes into text and lines, and refuse wrong encodings and sizes."""

from __future__ import annotations

import re
import unicodedata

from pacer.language import tr
from pacer.plan.problem import Edit, Problem, Unreadable
from pacer.plan.regex import regex

MAX_BYTES = 1_000_000  #: of a file
MAX_CHARACTERS = 60_000  #: of all lines together, without spaces around them
MAX_LINES = 2_000  #: that are not blank
MAX_COLUMNS = 1_000  #: of a line

_INVISIBLE = regex(
    "[\x00-\x08\x0e-\x1f\x7f-\x9f\u00ad\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ud800-\udfff\ufffd]"
)
_CONTROL = regex("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")
#: The first bytes of other kinds of file, and their names.
_KINDS = (
    (b"\x89PNG", tr("a picture (PNG)")),
    (b"\xff\xd8\xff", tr("a picture (JPEG)")),
    (b"GIF8", tr("a picture (GIF)")),
    (b"BM", tr("a picture (BMP)")),
    (b"%PDF", tr("a PDF")),
    (b"{\\rtf", tr("a word processor's file (RTF)")),
    (b"PK\x03\x04", tr("a zip file, perhaps a word processor's")),
    (b"\xd0\xcf\x11\xe0", tr("a word processor's file")),
    (b"SQLite format 3", tr("a database")),
    (b"\x7fELF", tr("a program")),
    (b"MZ", tr("a program")),
    (b"\x1f\x8b", tr("a compressed file")),
)
_MARK = b"\xef\xbb\xbf"  # byte order mark


def text_from_bytes(data: bytes, what: str = tr("plan")) -> str:
    """The text of a file that should hold a `what`, without its byte order mark. Raises Unreadable."""
    save = tr("save the {what} as plain text in UTF-8", what=what)
    if len(data) > MAX_BYTES:
        raise _unreadable(
            tr(
                "this file has {count:,} bytes; a {what} can have up to {max_bytes:,}",
                count=len(data),
                what=what,
                max_bytes=MAX_BYTES,
            ),
            tr("is it the right file?"),
        )
    if data.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise _unreadable(tr("this file is in UTF-16"), save)
    data = data.removeprefix(_MARK)
    try:
        text = data.decode()
    except UnicodeDecodeError as error:
        text, bad = "", error.start
    else:
        bad = -1
    if bad >= 0 or "\x00" in text:
        for start, kind in _KINDS:
            if data.startswith(start):
                raise _unreadable(tr("this is {kind}, not a {what}", kind=kind, what=what), save)
    if bad >= 0:
        if b"\x00" in data:
            raise _unreadable(tr("this is not a text file"), save)
        before = data[:bad].decode()
        lines = lines_of(before)
        source = lines_of(data.decode("latin-1"))[len(lines) - 1]
        column = len(lines[-1]) + 1
        shown_source = (
            lines[-1] + re.split("[\r\n]", data[bad : bad + 300].decode("utf-8", "replace"))[0] if source else ""
        )
        raise Unreadable(
            [Problem(len(lines), column, column + 1, tr("this character is not UTF-8"), save, shown(shown_source))]
        )
    return text


def lines_of(text: str) -> list[str]:
    """The lines of a text, whether LF, CRLF or CR ends them."""
    return text.replace("\r\n", "\n").replace("\r", "\n").split("\n")


def check_page(text: str) -> None:
    """Raise Unreadable if a text cannot be a page: it or a line is too long, or it has invisible characters."""
    lines = lines_of(text)
    problems = [
        Problem(
            number,
            MAX_COLUMNS + 1,
            MAX_COLUMNS + 2,
            tr(
                "this line has {count:,} characters; a line can have up to {max_columns:,}",
                count=len(line),
                max_columns=MAX_COLUMNS,
            ),
            tr("split it into several lines"),
            "",
        )
        for number, line in enumerate(lines, start=1)
        if len(text) <= MAX_BYTES and len(line) > MAX_COLUMNS and len(line.rstrip()) > MAX_COLUMNS
    ]
    if problems:
        raise Unreadable(problems[:1] if len(problems) > 50 else problems)
    _check_size(text, lines)
    if match := _INVISIBLE.search(text, 1 if text.startswith("\ufeff") else 0):
        before = lines_of(text[: match.start()])
        source = lines[len(before) - 1]
        column = len(before[-1]) + 1
        name = unicodedata.name(match[0], tr("control character {code}", code=ord(match[0]))).lower()
        raise Unreadable(
            [
                Problem(
                    len(before),
                    column,
                    column + 1,
                    tr("there is an invisible character here ({name})", name=name),
                    tr("delete it"),
                    shown(source),
                    (Edit(column - 1, column, "", tr("without it")),),
                )
            ]
        )


def check_size(text: str) -> None:
    """Raise Unreadable if a text is far too long for a page."""
    _check_size(text, lines_of(text))


def _check_size(text: str, lines: list[str]) -> None:
    if len(text) > MAX_BYTES:
        raise _unreadable(
            tr(
                "this text has {count:,} characters; a plan can have up to {max_bytes:,}",
                count=len(text),
                max_bytes=MAX_BYTES,
            ),
            tr("is it the right file?"),
        )
    written = [len(line) for line in map(str.strip, lines) if line]
    if len(written) > MAX_LINES:
        raise _unreadable(
            tr(
                "this text has {count:,} lines; a plan can have up to {max_lines:,}",
                count=len(written),
                max_lines=MAX_LINES,
            ),
            tr("is it the right file?"),
        )
    if sum(written) > MAX_CHARACTERS:
        raise _unreadable(
            tr(
                "this text has {written:,} characters; a plan can have up to {max_characters:,}",
                written=sum(written),
                max_characters=MAX_CHARACTERS,
            ),
            tr("is it the right file?"),
        )


def shown(source: str) -> str:
    """A line made safe to show: without control characters that a terminal would act on."""
    return _CONTROL.sub("\ufffd", source)


def _unreadable(message: str, hint: str) -> Unreadable:
    return Unreadable([Problem(1, 1, 2, message, hint)])
