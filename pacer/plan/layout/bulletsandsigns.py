"""Cleans a pasted page of everything but its words: typographic signs, bullets, marks of mails and chats, totals."""

from __future__ import annotations

import re
import unicodedata
from itertools import pairwise

from pacer.plan.filetext import lines_of
from pacer.plan.layout.pastedline import PastedLine
from pacer.plan.notation.pagelines import SPACES
from pacer.plan.regex import regex

TAB = 4  #: columns

_FRACTIONS = {"½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4"}
_DECIMALS = {"½": ".5", "¼": ".25", "¾": ".75"}
_SIGNS = str.maketrans(
    {
        **dict.fromkeys("‐‑‒–—―−➖", "-"),
        **dict.fromkeys("‘’‚‛`´", "'"),
        **dict.fromkeys("•·‣▪◦●○■□➤➢►▶☐☑☒✓✔✅", "•"),
        **dict.fromkeys("⎫⎬⎭❵", "}"),
        **dict.fromkeys("⎤⎥⎦", "]"),
        **dict.fromkeys("⎧⎨⎩", "{"),
        **dict.fromkeys("⎡⎢⎣", "["),
        **dict.fromkeys("✕✖⨯хХ", "x"),
        "…": "...",
        "\u2044": "/",
    }
)
_FULL_WIDTH = {code: code - 0xFEE0 for code in range(0xFF01, 0xFF5F)}
_CHAT = regex(
    r"\[?\d{1,4}[./-]\d{1,2}(?:[./-]\d{2,4})?,?\s+\d{1,2}[:.]\d{2}(?:[:.]\d{2})?\s*(?:[ap]m)?\]?\s*(?:-\s*)?[^:\d]{1,40}:\s*",
    re.IGNORECASE,
)
_QUOTED = regex(r"(?:>\s?)+")
_HEADING = regex(r"#{1,6}\s+")
_STRONG = regex(r"(\*\*|__|\*|_)(?=\S)(.+?)(?<=\S)\1:?")
#: `== Main ==`
_FRAMED = regex(r"[=~_*-]{2,}\s*(\w(?:.*\w)?[:.]?)\s*[=~_*-]{2,}")
_BULLET = regex(r"(?:[-*•>~]+|\(?\d{1,2}[.)]|\(?[a-h][.)]|\(?[A-H]\))\s+(?=\S)|•(?=\S)|\d{1,2}\)(?=\S)")
_BETWEEN = regex(r"(?<![\w/])b/w(?=n?(?:\s|$))n?", re.IGNORECASE)
#: `4 x 100 o 1.30`: on.
_ON = regex(r"(?:(?<![\w/])o/|(?<=[\w),]\s)o\s)\s*(?=\d{0,2}[.:][0-5]\d\b)")
#: `RI=20`, which is no total, and `r.20`.
_RESTS = regex(r"(?<!\w)(RI?|rest)(?:\s?=\s?|\.)(?=:?\d)", re.IGNORECASE)
_RULE = regex(r"[-=_*~.\s]{3,}")


def page_of(text: str) -> list[PastedLine]:
    """The lines of a page, each without anything that is not one of its words."""
    made = [_pasted_line(number, line) for number, line in enumerate(lines_of(text.removeprefix("\ufeff")), start=1)]
    for above, below in pairwise(made):
        if above.text and _RULE.fullmatch(below.text or " ") and below.text and not above.text[0].isdigit():
            above.marked = above.marked or below.written.strip()[:1] in "=-_"
    return made


def _pasted_line(number: int, written: str) -> PastedLine:
    """A line with plain signs, and without bullets and marks in front of it."""
    line = plain(written)
    line = _CHAT.sub("", line, count=1) if _CHAT.match(line) else line
    line = _QUOTED.sub("", line, count=1) if _QUOTED.match(line) else line
    lead = line[: len(line) - len(line.lstrip())]
    indent, text = len(lead.expandtabs(TAB)), line.strip()
    if is_rule(text):
        return PastedLine(number, written, text, indent)
    text = re.sub(r"^#(?=1\s+stroke)", "no ", text)
    marked = bool(_HEADING.match(text))
    text = _HEADING.sub("", text, count=1)
    if framed := _FRAMED.fullmatch(text):
        text, marked = framed[1], True
    marked = marked or bool(_STRONG.fullmatch(text))
    bullet = _BULLET.match(text)
    if bullet and not marked:
        indent, text = indent + bullet.end(), text[bullet.end() :]
        marked = bool(_STRONG.fullmatch(text))
    text = _STRONG.sub(lambda strong: strong[0].strip("*_").replace(strong[1], ""), text)
    text = re.sub(r"\s*\.{2,}$", "", text.replace("\t", "  ").strip())
    text = _RESTS.sub(r"\1 ", _ON.sub("on ", _BETWEEN.sub("between", text)))
    return PastedLine(number, written, text, indent, marked)


def is_rule(text: str) -> bool:
    """Whether a text is a drawn line."""
    return len(text) > 2 and bool(_RULE.fullmatch(text))


def visible(line: str) -> str:
    """A line without invisible characters: soft hyphens, direction marks, byte order marks."""
    line = SPACES.sub(" ", line)
    return line if line.isascii() else "".join(sign for sign in line if unicodedata.category(sign) != "Cf")


def plain(line: str) -> str:
    """A line with only the characters of a keyboard, without pictures and invisible characters.

    >>> plain("1️⃣ 4×100 – “long” 1½ min 😀"), plain("33⅓ m")
    ('1. 4×100 - “long” 1.5 min ', '33 1/3 m')
    """
    line = SPACES.sub(" ", line)
    if line.isascii():
        return "".join(character for character in line if character == "\t" or character >= " ")
    line = re.sub("^(\\s*\\d)\ufe0f?\u20e3", r"\1.", line).translate(_SIGNS).translate(_FULL_WIDTH)
    line = re.sub(r"\s*↓\s*(?=#?\d|$)", " desc ", line)
    line = re.sub(r"(?<=\d)\s*[→➔➜⇒]\s*(?=\d)", "-", line)
    line = re.sub(r"(\d)\s?([½¼¾])(?!\s*m\s*pool)", lambda found: found[1] + _DECIMALS[found[2]], line)
    line = re.sub(r"(\d)?\s?([½⅓⅔¼¾])", _fraction, line)
    return "".join(character for character in line if character in "\t•′″" or not _is_picture(character))


def _fraction(found: re.Match) -> str:
    if found[1]:
        return f"{found[1]} {_FRACTIONS[found[2]]}"
    return f"0{_DECIMALS[found[2]]}" if found[2] in _DECIMALS else _FRACTIONS[found[2]]


def _is_picture(character: str) -> bool:
    return unicodedata.category(character) in ("So", "Sk", "Cs", "Cf", "Cc", "Co", "Cn", "Mn", "Me") and not (
        character.isalnum()
    )
