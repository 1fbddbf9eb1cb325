"""Make file names that every system accepts."""

from __future__ import annotations

import unicodedata

from pacer.plan.regex import regex

MAX_NAME_BYTES = 100
MAX_LAST_BYTES = 30  #: of the last word of a longer name

_NO_NAME = regex(r"[^\w]+")
_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(10))}


def name_from_title(title: str, otherwise: str = "plan") -> str:
    """A file name made from a title, valid on every system; `otherwise` if the title gives none.

    >>> name_from_title("Long-axis rotation 3"), name_from_title("?"), name_from_title("CON")
    ('long-axis-rotation-3', 'plan', 'con-plan')

    The last word of a long title stays: it tells sheets and numbered plans apart.

    >>> name_from_title("Rotation " * 12 + "coach").endswith("-coach")
    True
    """
    name = _NO_NAME.sub("-", unicodedata.normalize("NFC", title).casefold()).strip("-_")
    if len(name.encode()) > MAX_NAME_BYTES:
        last = _cut(name.rpartition("-")[2], MAX_LAST_BYTES)
        name = f"{_cut(name, MAX_NAME_BYTES - len(last.encode()) - 1)}-{last}".strip("-")
    name = name or otherwise
    return f"{name}-{otherwise}" if name in _RESERVED else name


def _cut(text: str, most_bytes: int) -> str:
    return text.encode()[:most_bytes].decode("utf-8", "ignore").strip("-")
