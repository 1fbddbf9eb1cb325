"""Drill names for the keys above the keyboard: those the coach has written before first, then the drill book's.

While a drill's name is being written, the names that complete it come first.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from pacer.plan.library.drillbook import DrillBook
from pacer.plan.text.textbuffer import TextBuffer
from pacer.plan.words.vocabulary import LINE_WORDS

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


def drills_offered(texts: Iterable[str], book: DrillBook, most: int = 8) -> tuple[str, ...]:
    """Names for the keys: those in the texts, under their main names in the book, then the rest of the book."""
    written = (book.name_of(name) for name in drills_in(texts, most))
    return tuple(dict.fromkeys((*written, *(drill.name for drill in book.drills))))[:most]


_BEGUN = re.compile(r"(?<!\w)(?:drill|d|scull)\s+([^\n,/()\"“”#]*)$", re.IGNORECASE)


def begun_name(before: str) -> str | None:
    """The part of a drill's name before the cursor; None if no name is being written.

    >>> begun_name("  4 x 50 drill six"), begun_name("  4 x 50 drill "), begun_name("  4 x 50 free")
    ('six', '', None)
    """
    found = _BEGUN.search(before)
    return None if found is None else found[1]


def growing_names(draft: TextBuffer, book: DrillBook, most: int = 6) -> tuple[str, ...]:
    """The names in the book that complete the one before the cursor; () if no name is being written."""
    if draft.chosen is not None:
        return ()
    line, column = draft.cursor
    part = begun_name(draft.lines[line][:column])
    return () if part is None else book.beginning(part)[:most]


def complete(draft: TextBuffer, name: str) -> None:
    """Replace the started name with the whole one: one change, with its own undo.

    >>> draft = TextBuffer("4 x 50 drill si, on 1:00"); draft.go(draft.cursor._replace(column=15))
    >>> complete(draft, "single arm")
    >>> draft.text
    '4 x 50 drill single arm, on 1:00'
    """
    line, column = draft.cursor
    part = begun_name(draft.lines[line][:column]) or ""
    draft.settle()
    draft.replace(line, column - len(part), column, name)
    draft.settle()
