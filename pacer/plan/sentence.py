"""A message as a sentence, or as the beginning of one.

What stands alone begins with a capital: the page, the bar, the sheet and the tags see to it where they show it. On a
page it also ends with a full stop; on the deck, in large type, only a message of several sentences does. Words after
a lane's number or another heading stay as they are.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

#: Written small even at the beginning: the app's own name, and a file's.
_SMALL = re.compile(r"pacer\b|\S+\.[a-z]|\S*/")
_ENDS = '.?!:…”"'


def capital(text: str) -> str:
    """With a capital letter in front, unless the app's own name or a file's is there.

    >>> capital("lane 3"), capital(""), capital("pacer failed"), capital("juniors.toml is empty")
    ('Lane 3', '', 'pacer failed', 'juniors.toml is empty')
    """
    return text if _SMALL.match(text) else text[:1].upper() + text[1:]


def capitals(ways: Iterable[str]) -> tuple[str, ...]:
    """Each way to say something on the deck, as it stands alone.

    >>> capitals(("nothing to undo", "nothing"))
    ('Nothing to undo', 'Nothing')
    """
    return tuple(map(capital, ways))


def sentences(ways: Iterable[str]) -> tuple[str, ...]:
    """Each way to say something on a page, as it stands alone.

    >>> sentences(("nothing to undo", "Name it: “Kick”"))
    ('Nothing to undo.', 'Name it: “Kick”')
    """
    return tuple(sentence(way, _ENDS) for way in ways)


def sentence(text: str, ends: str = ".?!") -> str:
    """With a capital letter, and a full stop unless it ends with one of `ends`.

    >>> sentence("lane 3 slowed"), sentence("who swam?"), sentence("")
    ('Lane 3 slowed.', 'Who swam?', '')
    """
    return text and capital(text) + ("" if text[-1] in ends else ".")
