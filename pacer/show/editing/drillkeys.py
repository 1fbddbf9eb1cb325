"""The drills that a coach writes, the last used first: for the keys above the keyboard."""

from __future__ import annotations

import re
from collections.abc import Iterable

from pacer.plan.notation.vocabulary import LINE_WORDS

_DRILL = re.compile(r"\b(?:drill|d)\s+([^\W\d_][^\n,/()\"“”#]*)", re.IGNORECASE)


def drills_in(texts: Iterable[str], most: int = 8) -> tuple[str, ...]:
    """Names of drills in texts, those of the first text first, each once.

    >>> drills_in(["  4 x 50 drill six-kick switch / free by 25, rest 0:15", "  50 drill kick on side, on 1:00"])
    ('six-kick switch', 'kick on side')
    """
    found: dict[str, None] = {}
    for text in texts:
        for match in _DRILL.finditer(text):
            words = match[1].split()
            while words and (words[-1].casefold() in LINE_WORDS or any(c.isdigit() for c in words[-1])):
                words.pop()
            if words and words[0].casefold() not in LINE_WORDS or len(words) > 1:
                found.setdefault(" ".join(words), None)
    return tuple(found)[:most]
