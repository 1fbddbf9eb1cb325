"""Make file names that every system accepts."""

from __future__ import annotations

import unicodedata

from pacer.plan.regex import regex

MAX_NAME_BYTES = 100

_NO_NAME = regex(r"[^\w]+")
_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))}


def name_from_title(title: str, otherwise: str = "plan") -> str:
    """A file name made from a title, valid on every system; `otherwise` if the title gives none.

    >>> name_from_title("Long-axis rotation 3"), name_from_title("?"), name_from_title("CON")
    ('long-axis-rotation-3', 'plan', 'con-plan')
    """
    name = _NO_NAME.sub("-", unicodedata.normalize("NFC", title).casefold()).strip("-_")
    name = name.encode()[:MAX_NAME_BYTES].decode("utf-8", "ignore").strip("-") or otherwise
    return f"{name}-{otherwise}" if name in _RESERVED else name
