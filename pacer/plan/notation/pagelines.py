"""The lines of a page one by one, without comments and with plain spaces, and the kind of each line."""

from __future__ import annotations

import re
from dataclasses import dataclass

from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.filetext import shown
from pacer.plan.problem import Problem
from pacer.plan.regex import regex
from pacer.plan.words.labels import BUT, BY_SPEED, SECTION_NAMES
from pacer.plan.words.vocabulary import HEADER_KEYS

#: Spaces of other kinds.
SPACES = regex("[\u00a0\u1680\u2000-\u200a\u202f\u205f\u3000\f\v]")
#: A note, or a cue, begins with one of these.
QUOTES = '"“„”'
_COMMENT = regex(r"""(?<=[0-9])["”″](?=[\s,/)+\#]|$)|"[^"]*"|[“„”][^“”]*[“”]|\#""")
_WORD = r"[^\W\d_][\w-]*"
#: `title: …`, in the header.
KEY = regex(r"([^\W\d_][\w -]*?)\s*:\s*")
#: Words and a colon; the colon is not inside a time.
COLON = regex(r"([^\W\d_][^,\"“„:]*?)\s*:(?![0-9])")
#: `A:`, `A, B:` before what these groups swim; a colon between digits belongs to a time.
GROUPS = regex(rf"({_WORD}(?:\s*,\s*{_WORD})*)\s*:(?!(?<=[0-9]:)[0-9]|(?<=\s:)[0-9]{{2}}\b)\s*")
#: Other ways to write lanes and groups before a colon, or a group before a dash: `Lanes 1 & 2:`, `A&B:`, `A - 8 x 50`.
LABELLED = regex(
    rf"({BUT.pattern}[^:;\"“]*?|(?:lanes?|ln|l)\s*[0-9][^:;]*?|{BY_SPEED.pattern}|(?:{_WORD}\s+)?{_WORD}(?:\s*(?:,|&|\+|/|\band\b)\s*{_WORD})*)"
    r"\s*:(?!(?<=[0-9]:)[0-9]|(?<=\s:)[0-9]{2}\b)\s*",
    re.IGNORECASE,
)
#: Groups in front of their own sets, side by side: `A: 8 x 50; B: 6 x 50`, `A 8 x 50 / B 6 x 50`, `A - 8 x 50`.
BESIDE = regex(
    r"(?:^|(?<=[;,/|]))\s*(?P<groups>[A-Z](?:\s*[&+]\s*[A-Z])*|(?:lanes?|L)\s*[0-9](?:\s*[-–&+]\s*[0-9])*)"
    r"\s*(?P<mark>[:–-])?\s*(?=[0-9]{1,3}\s*[x×]\s*[0-9])"
)
#: A set line, a break or rounds; it may be at the left edge.
ITEM = regex(
    rf"[0-9:(+–−-]|rest\s*:?\s*(?:{_WORD}\s+)?[0-9:]|rest\s*$|rounds\s+(?:{_WORD}\s+)?[0-9]"
    rf"|{_WORD}\s+[0-9]+\s*(?:/\s*{_WORD}\s+[0-9]|[xX×]\s*[0-9(])",
    re.IGNORECASE,
)
#: The number of a section, after its name: `Main 2`, `Main 2  8 x 50`.
_NUMBER_BEHIND = regex(
    r"\s*#?\s*[1-9](?=\s*(?:$|[,(\"“])|\s*[-–—]\s|\s+[0-9]{1,2}\s*[x×]\s*[0-9({\[]|\s{2,}[0-9])", re.IGNORECASE
)
#: `4 x 100`, anywhere in a line.
SET_LIKE = regex(r"[0-9]+\s*[x×]\s*[0-9]", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Row:
    """A line of the page; `code` is the line without its comment, with the same columns as `source`."""

    number: int
    source: str
    code: str
    indent: str
    comment: str | None = None

    @property
    def start(self) -> int:
        """The column of its first word, from 0."""
        return len(self.indent)

    @property
    def section_end(self) -> int:
        """Where the name of a section ends, with its number, if it is one of the usual names; 0 for other lines.

        >>> [row_of(1, line, False).section_end for line in ("Main 2  8 x 50", "Main 2 x 50", "Kick 2")]
        [6, 4, 0]
        """
        named = SECTION_NAMES.match(self.code)
        number = _NUMBER_BEHIND.match(self.code, named.end()) if named else None
        return number.end() if number else named.end() if named else 0

    def problem(self, mistake: Mistake) -> Problem:
        """A mistake in this line as a problem of the page."""
        start, end = mistake.start, max(mistake.end, mistake.start + 1)
        return Problem(
            self.number, start + 1, end + 1, mistake.message, mistake.hint, shown(self.source), mistake.edits
        )

    def whole(self, message: str, hint: str = "") -> Problem:
        """A problem of the line as a whole."""
        return self.problem(Mistake(self.start, len(self.code), message, hint))


def row_of(number: int, source: str, header: bool) -> Row:
    """A line as a row; in the `header` a value keeps its `#`."""
    code = source if source.isascii() else SPACES.sub(" ", source)
    comment = None
    if "#" in code and not (header and (key := KEY.match(code)) and key[1].casefold() in HEADER_KEYS):
        for match in _COMMENT.finditer(code):
            numbered = code[: match.start()].strip() and code[match.end() : match.end() + 1].isdigit()
            if match[0] == "#" and not numbered:  # 8 x 50 #1-4 kick
                comment, code = code[match.end() :].strip(), code[: match.start()]
                break
    code = code.rstrip()
    return Row(number, source, code, code[: len(code) - len(code.lstrip())], comment)
