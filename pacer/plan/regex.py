"""Regular expressions that are compiled when they are first used.

There are over two hundred in the rooms of plans, most of them for mistakes. Compiling them all would take a twentieth
of the app's start (`tests/bench/bench_face.py`).
"""

from __future__ import annotations

import re
from typing import Any, cast


class _Later:
    """An expression by its text; it keeps each method that it was once asked for."""

    def __init__(self, text: str, flags: int):
        self._text, self._flags = text, flags
        self._compiled: re.Pattern[str] | None = None

    def __getattr__(self, name: str) -> Any:
        if self._compiled is None:
            self._compiled = re.compile(self._text, self._flags)
        found = getattr(self._compiled, name)
        setattr(self, name, found)
        return found


def regex(text: str, flags: int = 0) -> re.Pattern[str]:
    """Like `re.compile`, but compile the expression when it is first used."""
    return cast("re.Pattern[str]", _Later(text, flags))
