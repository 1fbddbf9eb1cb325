"""How often the texts of a tablet were hidden, shown again or replaced, counted from what it remembers.

A text is known by its name and by a mark made from its own words. Its count only grows, so the order of merging does
not matter: 0 it is there, 1 it is hidden, 2 a changed version has replaced it, 3 it is there again, and so on.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from pacer.plan.textmark import Bare, base_of, mark_of

MOST_NAME_LETTERS = 120  #: letters of a name in an archive
THERE, HIDDEN, REPLACED = range(3)  #: what a count says, modulo 3


class TextKey(NamedTuple):
    """What a text is known by: its name, as it is in an archive, and its mark."""

    name: str
    mark: str


class Count(NamedTuple):
    """How often a text was hidden, replaced and so on; how often what `bare` leaves out was changed.

    `now`: the name of the version that has replaced it, if that has another name.
    """

    state: int = THERE
    words: int = 0
    now: str = ""


@dataclass(frozen=True, slots=True)
class Texts:
    """All texts of one kind, on a tablet or in an archive, by their names; `counts` also has those that are gone."""

    shown: Mapping[str, str] = field(default_factory=dict)
    hidden: Mapping[str, str] = field(default_factory=dict)
    counts: Mapping[TextKey, Count] = field(default_factory=dict)


class ShownText(NamedTuple):
    """A text as it was when the tablet last exported or imported: its key, and a mark of all of it."""

    key: TextKey
    whole: str


@dataclass(frozen=True, slots=True)
class Remembered:
    """The texts of one kind when the tablet last exported or imported: by their names, and the keys of hidden ones."""

    shown: Mapping[str, ShownText] = field(default_factory=dict)
    hidden: Collection[TextKey] = ()
    counts: Mapping[TextKey, Count] = field(default_factory=dict)


def _filed(name: str) -> str:
    """A name in a form that is possible in an archive."""
    said = re.sub(r"[^\w .()-]", "-", unicodedata.normalize("NFC", name))[:MOST_NAME_LETTERS].strip(" .")
    return said if re.match(r"\w", said) else f"_{said}".rstrip(" .")


def name_key(name: str) -> str:
    """A name as it is in an archive: equal for names that some devices treat as equal.

    >>> name_key("Thursday's") == name_key("thursday-S")
    True
    """
    return _filed(unicodedata.normalize("NFC", _filed(name).casefold()))


def text_key(name: str, text: str, bare: Bare = str) -> TextKey:
    """The key of a text under a name."""
    return TextKey(name_key(base_of(name, text, bare)), mark_of(text, bare))


def counted(shown: Mapping[str, str], hidden: Mapping[str, str], was: Remembered, bare: Bare = str) -> Texts:
    """The texts with their counts as they are now, from what was remembered of them.

    A text is replaced if its file now has another text. One that has vanished is not: perhaps it can't be read.
    """
    now: dict[TextKey, int] = {text_key(name, text, bare): HIDDEN for name, text in hidden.items()}
    changed: set[TextKey] = set()
    renamed: dict[TextKey, str] = {}
    for name, text in shown.items():
        key = text_key(name, text, bare)
        now[key] = THERE
        if name in was.shown and was.shown[name].key == key and was.shown[name].whole != mark_of(text):
            changed.add(key)
    for name, one in was.shown.items():
        if name in shown and one.key not in now:
            now[one.key] = REPLACED
            if (called := text_key(name, shown[name], bare).name) != one.key.name:
                renamed[one.key] = called
    made = dict(was.counts)
    for key, state in now.items():
        before = made.get(key, Count(state, 0, renamed.get(key, "")))
        if state == HIDDEN and before.state % 3 == REPLACED and key in was.hidden:
            continue  # it was kept as hidden when it was replaced
        grown = before.state + (state - before.state) % 3
        called = renamed.get(key, "") if grown > before.state else before.now
        made[key] = Count(grown, before.words + (key in changed), called)
    return Texts(shown, hidden, made)


def remembered(texts: Texts, bare: Bare = str) -> Remembered:
    """What to remember of the texts until the next time."""
    shown = {name: ShownText(text_key(name, text, bare), mark_of(text)) for name, text in texts.shown.items()}
    return Remembered(shown, [text_key(name, text, bare) for name, text in texts.hidden.items()], texts.counts)


def to_export(texts: Texts, bare: Bare = str) -> Texts:
    """The texts without hidden ones that were replaced: only this tablet keeps them."""
    counts = with_plain_counts(texts, bare).counts
    gone = followed(counts, {text_key(*one, bare) for one in (*texts.shown.items(), *texts.hidden.items())})
    hidden = {name: text for name, text in texts.hidden.items() if text_key(name, text, bare) not in gone}
    return replace(texts, hidden=hidden)


def followed(counts: Mapping[TextKey, Count], there: Collection[TextKey]) -> set[TextKey]:
    """The texts that were replaced, and of which what has replaced them is `there`, perhaps under another name."""
    names = {key.name for key in there if counts[key].state % 3 != REPLACED}
    replaced = {key: count.now for key, count in counts.items() if count.state % 3 == REPLACED}
    while more := {key.name for key, now in replaced.items() if now in names} - names:
        names |= more
    return {key for key in replaced if key.name in names}


def name_now(counts: Mapping[TextKey, Count], key: TextKey, names: Collection[str]) -> str:
    """The one of these names that a renamed text has now, perhaps renamed more than once; "" if none."""
    later = {one.name: count.now for one, count in sorted(counts.items()) if count.now}
    name, tried = counts[key].now, {""}
    while name not in names and name not in tried:
        tried.add(name)
        name = later.get(name, "")
    return name if name in names else ""


def known_counts(texts: Texts, bare: Bare = str) -> dict[TextKey, Count]:
    """The counts that an archive has to tell: not those that are plain from where its texts are."""
    plain = _plain(texts, bare)
    return {
        key: count
        for key, count in texts.counts.items()
        if (key in plain and count != plain[key]) or (key not in plain and count.state % 3 == REPLACED)
    }


def with_plain_counts(texts: Texts, bare: Bare = str) -> Texts:
    """The texts with all their counts, also those that are plain."""
    return replace(texts, counts=_plain(texts, bare) | dict(texts.counts))


def _plain(texts: Texts, bare: Bare) -> dict[TextKey, Count]:
    made = {text_key(name, text, bare): Count(HIDDEN) for name, text in texts.hidden.items()}
    return made | {text_key(name, text, bare): Count(THERE) for name, text in texts.shown.items()}
