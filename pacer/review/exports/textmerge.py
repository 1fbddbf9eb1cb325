"""Texts of several tablets, merged: what one hid or changed is hidden or changed on all, in whatever order they merge.

A text is known by its name and by a mark made from its own words. It has a count that only grows: 0 it is there, 1 it
is hidden, 2 a changed version has replaced it, 3 it is there again, and so on. Of two counts the greater one holds, so
the order of merging does not matter. If two tablets changed the same text, both versions are there: `thursday` and
`thursday-1a2b3c4d`. In an archive all texts that share a name have their mark.

Names that some devices treat as equal (capital letters, accents) count as one, and a name that is impossible in an
archive is changed there.

`bare` reduces a text to the part to compare and mark, for texts of which one may say more than the other: a squad
without its names. The rest of it has a count of its own, `words`, one more whenever it was changed.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from pacer.plan.textmark import Bare, base_of, mark_of

MOST_NAME = 120  #: letters of a name in an archive
THERE, HIDDEN, REPLACED = range(3)  #: what a count says, modulo 3


class TextKey(NamedTuple):
    """What a text is known by: its name, as it is in an archive, and its mark."""

    name: str
    mark: str


class Count(NamedTuple):
    """How often it was hidden, replaced and so on; how often what `bare` leaves out was changed."""

    state: int = THERE
    words: int = 0

    @property
    def is_there(self) -> bool:
        """Whether it is there, neither hidden nor replaced."""
        return self.state % 3 == THERE


@dataclass(frozen=True, slots=True)
class Texts:
    """All texts of one kind, on a tablet or in an archive, by their names; `counts` also has those that are gone."""

    shown: Mapping[str, str] = field(default_factory=dict)
    hidden: Mapping[str, str] = field(default_factory=dict)
    counts: Mapping[TextKey, Count] = field(default_factory=dict)


class Seen(NamedTuple):
    """A text as it was when the tablet last exported or imported: its key, and a mark of all of it."""

    key: TextKey
    whole: str


def _filed(name: str) -> str:
    """A name in a form that is possible in an archive."""
    said = re.sub(r"[^\w .()-]", "-", unicodedata.normalize("NFC", name))[:MOST_NAME].strip(" .")
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


def marked(texts: Mapping[str, str], bare: Bare = str) -> dict[str, str]:
    """Texts under their names in an archive: those that share a name get their marks."""
    found: dict[TextKey, str] = {}
    for name, text in texts.items():
        key = text_key(name, text, bare)
        found[key] = more(text, found.get(key, ""))
    shared = [key.name for key in found]
    return {key.name if shared.count(key.name) == 1 else f"{key.name}-{key.mark}": text for key, text in found.items()}


def more(one: str, other: str) -> str:
    """The text that says more: the longer one; if equally long, the later one in the alphabet, whatever the order."""
    return max(one, other, key=lambda text: (len(text), text))


# -- what a tablet has --------------------------------------------------------------------------------------


def counted(
    shown: Mapping[str, str],
    hidden: Mapping[str, str],
    seen: Mapping[str, Seen],
    counts: Mapping[TextKey, Count],
    bare: Bare = str,
) -> Texts:
    """The texts with their counts as they are now, from what was `seen` and counted when they were last exported.

    A text is replaced if its name now has another text. One that has vanished is not: perhaps it can't be read.
    """
    now: dict[TextKey, int] = {}
    changed: set[TextKey] = set()
    for name, text in hidden.items():
        now[text_key(name, text, bare)] = HIDDEN
    for name, text in shown.items():
        key = text_key(name, text, bare)
        now[key] = THERE
        if name in seen and seen[name].key == key and seen[name].whole != mark_of(text):
            changed.add(key)
    for name, one in seen.items():
        if name in shown and one.key not in now:
            now[one.key] = REPLACED
    made = dict(counts)
    for key, state in now.items():
        before = made.get(key, Count(state))
        made[key] = Count(before.state + (state - before.state) % 3, before.words + (key in changed))
    return Texts(shown, hidden, made)


def seen_now(shown: Mapping[str, str], bare: Bare = str) -> dict[str, Seen]:
    """What to remember of the texts until the next time."""
    return {name: Seen(text_key(name, text, bare), mark_of(text)) for name, text in shown.items()}


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


# -- merging -----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class MergedTexts:
    """The texts after a merge, and what came of it, by the names here.

    `new`: not here before; `other`: another version of a text that is here, with that one's name first; `newer`:
    replaced by the version that the other tablet changed it to; `hid`, `back`: hidden or shown again, as there.
    """

    texts: Texts
    new: tuple[str, ...] = ()
    other: tuple[tuple[str, str], ...] = ()
    newer: tuple[str, ...] = ()
    hid: tuple[str, ...] = ()
    back: tuple[str, ...] = ()


def merge_texts(ours: Texts, theirs: Texts, bare: Bare = str, *, complete: bool = True) -> MergedTexts:
    """Our texts merged with theirs. `complete`: theirs have what `bare` leaves out."""
    mine, its = _by_key(ours, bare), _by_key(theirs, bare)
    counts = dict(ours.counts)
    for key, count in theirs.counts.items():
        before = counts.get(key, Count(-1))
        counts[key] = Count(max(count.state, before.state), max(count.words if complete else 0, before.words))
    best = {key: text for key, (text, _) in mine.items()}
    for key, (text, _) in its.items():
        if key in best:
            words, there = ours.counts.get(key, Count()).words, theirs.counts.get(key, Count()).words
            if complete and words <= there:
                best[key] = more(text, best[key]) if words == there else text
        else:
            best[key] = text
    shown, hidden = _placed(ours.shown, counts, best, bare, THERE), _placed(ours.hidden, counts, best, bare, HIDDEN)
    left = {key: name for name, text in ours.shown.items() if (key := text_key(name, text, bare)) not in shown}
    was = {name_key(base_of(name, text, bare)) for name, text in ours.shown.items()}
    fresh = {key: name for key, name in shown.items() if key not in mine}
    newer = tuple(sorted(name for name in fresh.values() if name in left.values()))
    new = tuple(sorted(name for name in fresh.values() if name not in newer))
    return MergedTexts(
        Texts(
            {name: best[key] for key, name in shown.items()}, {name: best[key] for key, name in hidden.items()}, counts
        ),
        new,
        tuple(sorted((key.name, fresh[key]) for key in fresh if fresh[key] in new and key.name in was)),
        newer,
        tuple(sorted(name for name in left.values() if name not in newer)),
        tuple(sorted(name for key, name in shown.items() if key in mine and mine[key][1] == HIDDEN)),
    )


def _by_key(texts: Texts, bare: Bare) -> dict[TextKey, tuple[str, int]]:
    """Each text with where it is: THERE or HIDDEN."""
    made: dict[TextKey, tuple[str, int]] = {}
    for state, found in ((HIDDEN, texts.hidden), (THERE, texts.shown)):
        for name, text in found.items():
            key = text_key(name, text, bare)
            made[key] = more(text, made[key][0] if key in made else ""), state
    return made


def _placed(
    ours: Mapping[str, str], counts: Mapping[TextKey, Count], best: Mapping[TextKey, str], bare: Bare, state: int
) -> dict[TextKey, str]:
    """The names of all texts that belong in a place: ours keep theirs; the others get a mark if the name is in use.

    A new version has the name of the one that it replaces. A text that was replaced, and whose name nothing has any
    more, is hidden rather than lost.
    """
    wanted = {key for key in best if counts[key].state % 3 == state}
    if state == HIDDEN:
        named = {key.name for key in best if counts[key].state % 3 != REPLACED}
        wanted |= {key for key in best if counts[key].state % 3 == REPLACED and key.name not in named}
    made: dict[TextKey, str] = {}
    for name, text in ours.items():
        key = text_key(name, text, bare)
        if key in wanted:
            made.setdefault(key, name)
    taken = {name_key(name) for name in made.values()}
    free = {name_key(name): name for name in ours if name not in made.values()}
    for key in sorted(wanted - made.keys()):
        name = free.get(key.name, key.name) if key.name not in taken else f"{key.name}-{key.mark}"
        made[key] = name
        taken.add(name_key(name))
    return made
