"""The mark of a text, made from its own words: by it and by its name a text is known on all tablets."""

from __future__ import annotations

import hashlib
from collections.abc import Callable
from functools import lru_cache
from pathlib import Path

from pacer.disk import free_path
from pacer.plan.filetext import text_from_bytes
from pacer.plan.problem import Unreadable

MARK_LETTERS = 8  #: letters of the mark

Bare = Callable[[str], str]  #: reduces a text to the part to compare and mark


def mark_of(text: str, bare: Bare = str) -> str:
    """The mark of a text.

    >>> mark_of("a")
    'ca978112'
    """
    return _mark(text, bare)


@lru_cache(maxsize=2_000)  # the same text is asked for often
def _mark(text: str, bare: Bare) -> str:
    return hashlib.sha256((bare(text) or text).encode()).hexdigest()[:MARK_LETTERS]


def base_of(name: str, text: str, bare: Bare = str) -> str:
    """A name without the mark of its own text.

    >>> base_of("thursday-ca978112", "a"), base_of("thursday-ca978112", "b")
    ('thursday', 'thursday-ca978112')
    """
    return name.removesuffix(f"-{mark_of(text, bare)}")


def place_for(source: Path, target: Path, bare: Bare) -> Path:
    """Where to move a text: to `target`, or if another text is there, to its name with the mark of the one that moves.

    So it stays the same text for other tablets. If the same text is there already, the name gets a number.
    """
    if not target.exists():
        return target
    text, there = _text_in(source), _text_in(target)
    if text and (not there or mark_of(text, bare) != mark_of(there, bare)):
        marked = target.with_name(f"{base_of(target.stem, text, bare)}-{mark_of(text, bare)}{target.suffix}")
        if not marked.exists():
            return marked
    return free_path(target)


def _text_in(path: Path) -> str:
    try:
        return text_from_bytes(path.read_bytes())
    except (OSError, Unreadable):
        return ""
