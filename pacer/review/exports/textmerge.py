"""Merge texts from two tablets: if two of one name differ, keep both, each with a mark made from its own words.

A plan `thursday` that differs from ours becomes `thursday-1a2b3c4d`. In an archive all texts that share a name have
their mark, so that the archive is the same whichever tablet writes it.

Names that some devices treat as equal (capital letters, accents) count as one, and a name that is impossible in an
archive is changed there.

`bare` reduces a text to the part to compare and mark, for texts of which one may say more than the other: a squad
without its names.
"""

from __future__ import annotations

import hashlib
import re
import unicodedata
from collections.abc import Callable, Mapping

MARK = 8  #: letters of the mark

MOST_NAME = 120  #: letters of a name in an archive

Bare = Callable[[str], str]


def _filed(name: str) -> str:
    """A name in a form that is possible in an archive."""
    said = re.sub(r"[^\w .()-]", "-", unicodedata.normalize("NFC", name))[:MOST_NAME].strip(" .")
    return said if re.match(r"\w", said) else f"_{said}".rstrip(" .")


def key_of(name: str) -> str:
    """A key that is equal for names that some devices treat as equal.

    >>> key_of("Thursday's") == key_of("thursday-S")
    True
    """
    return _filed(name).casefold()


def mark_of(text: str, bare: Bare = str) -> str:
    """The mark of a text.

    >>> mark_of("a")
    'ca978112'
    """
    return hashlib.sha256((bare(text) or text).encode()).hexdigest()[:MARK]


def base_of(name: str, text: str, bare: Bare = str) -> str:
    """A name without the mark of its own text.

    >>> base_of("thursday-ca978112", "a"), base_of("thursday-ca978112", "b")
    ('thursday', 'thursday-ca978112')
    """
    return name.removesuffix(f"-{mark_of(text, bare)}")


def marked(texts: Mapping[str, str], bare: Bare = str) -> dict[str, str]:
    """Texts under their names in an archive: those that share a name get their marks."""
    groups: dict[str, dict[str, str]] = {}
    bases: dict[str, str] = {}
    for name, text in texts.items():
        base = _filed(base_of(name, text, bare))
        group = groups.setdefault(key_of(base), {})
        bases[key_of(base)] = min(base, bases.get(key_of(base), base))
        mark = mark_of(text, bare)
        group[mark] = _more(text, group.get(mark, ""))
    return {
        bases[key] if len(group) == 1 else f"{bases[key]}-{mark}": text
        for key, group in groups.items()
        for mark, text in group.items()
    }


def new_texts(ours: Mapping[str, str], theirs: Mapping[str, str], bare: Bare = str) -> dict[str, str]:
    """The texts of `theirs` to write: those that are new under their name, with a mark if the name is in use.

    Of two texts that `bare` makes equal, the one that says more stays or replaces the other.
    """
    all_texts = dict(ours)
    for name, text in sorted(theirs.items()):
        base, mark = base_of(name, text, bare), mark_of(text, bare)
        alike = next(
            (
                one
                for one, said in all_texts.items()
                if key_of(base_of(one, said, bare)) == key_of(base) and mark_of(said, bare) == mark
            ),
            None,
        )
        if alike is not None:
            all_texts[alike] = _more(text, all_texts[alike])
        else:
            taken = {key_of(one) for one in all_texts}
            all_texts[base if key_of(base) not in taken else f"{base}-{mark}"] = text
    return {name: text for name, text in all_texts.items() if ours.get(name) != text}


def _more(one: str, other: str) -> str:
    """The text that says more: the longer one; if equally long, the later one in the alphabet, whatever the order."""
    return max(one, other, key=lambda text: (len(text), text))
