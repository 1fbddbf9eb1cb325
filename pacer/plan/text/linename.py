"""Name a line of a page as a coach knows it: by its section and its first words, not by its number."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.language import tr
from pacer.plan.regex import regex
from pacer.plan.text.livepage import begins_section

MOST_LINE_LETTERS = 26  #: of a line's own text

_CUE = regex(r'\s*(?:"[^"]*"|“[^”]*”)')
_COMMENT = regex(r'^((?:[^"#]|"[^"]*")*)#.*$')


def line_said(lines: Sequence[str], number: int) -> str:
    """Name line `number` (from 1) of the page `lines`.

    The name is its section and the beginning of its own text, cut off after a word if it is long.

    >>> page = ["pool: 25 m", "Skill set, 2 rounds", '  6 x 50 as 25 scull "hips" / 25 back easy, rest 0:20']
    >>> [line_said(page, number) for number in (1, 2, 3)]
    ['pool: 25 m', 'Skill set, 2 rounds', 'Skill set: 6 x 50 as 25 scull / 25 …']
    """
    own = lines[number - 1] if 0 < number <= len(lines) else ""
    said = _beginning(own)
    section = (
        ""
        if begins_section(own)
        else next((line for line in reversed(lines[: number - 1]) if begins_section(line)), "")
    )
    name = section.split("#")[0].partition(",")[0].strip()
    return ": ".join(filter(None, (name, said))) or tr("The plan")


def _beginning(line: str) -> str:
    code = _COMMENT.sub(r"\1", line).strip()
    words = (_CUE.sub("", code).strip() or code).split()
    said = " ".join(words)
    if len(said) <= MOST_LINE_LETTERS:
        return said
    while len(words) > 1 and len(" ".join(words)) > MOST_LINE_LETTERS - 2:
        words.pop()
    return " ".join(words)[:MOST_LINE_LETTERS].rstrip(" ,/+") + " …"
