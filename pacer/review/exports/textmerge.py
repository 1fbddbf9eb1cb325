"""Texts of several tablets, merged: what one hid or changed is hidden or changed on all, in whatever order they merge.

Of two counts of a text (`textcounts.py`) the greater one holds. If two tablets changed the same text, both versions are
there: `thursday` and `thursday-1a2b3c4d`. In an archive all texts that share a name have their mark.

`bare` reduces a text to the part to compare and mark, for texts of which one may say more than the other: a squad
without its names. The rest of it has a count of its own, `words`, one more whenever it was changed; the greater one
goes before the other count, so that a version whose names were changed on one tablet is not hidden by the other.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from pacer.plan.textmark import Bare, base_of
from pacer.review.exports.textcounts import (
    HIDDEN,
    REPLACED,
    THERE,
    Count,
    TextKey,
    Texts,
    followed,
    name_key,
    name_now,
    text_key,
)
from pacer.session.storage.sessionmerge import more


def marked(texts: Mapping[str, str], bare: Bare = str) -> dict[str, str]:
    """Texts under their names in an archive: those that share a name get their marks."""
    found: dict[TextKey, str] = {}
    for name, text in texts.items():
        key = text_key(name, text, bare)
        found[key] = more(text, found.get(key, ""))
    shared = [key.name for key in found]
    return {key.name if shared.count(key.name) == 1 else f"{key.name}-{key.mark}": text for key, text in found.items()}


# -- merging -----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class MergedTexts:
    """The texts after a merge, and what came of it, by the names here.

    `new`: not here before; `other`: another version of a text that is here, with that one's name first; `newer`:
    replaced by the version that the other tablet changed it to; `renamed`: the same under another name, each with its
    name and text before; `hid`, `back`: hidden or shown again, as there; `kept`: replaced by a version that came
    without names or comments, and hidden with them; `parted`: renamed on one tablet and changed on the other, so both
    are here, the old name first.
    """

    texts: Texts
    new: tuple[str, ...] = ()
    other: tuple[tuple[str, str], ...] = ()
    newer: tuple[str, ...] = ()
    hid: tuple[str, ...] = ()
    back: tuple[str, ...] = ()
    renamed: tuple[tuple[str, str, str], ...] = ()
    kept: tuple[str, ...] = ()
    parted: tuple[tuple[str, str], ...] = ()


def merge_texts(ours: Texts, theirs: Texts, bare: Bare = str, *, complete: bool = True) -> MergedTexts:
    """Our texts merged with theirs. `complete`: theirs have what `bare` leaves out."""
    mine, its = _by_key(ours, bare), _by_key(theirs, bare)
    counts = _merged(ours.counts, theirs.counts, complete)
    best = {key: text for key, (text, _) in mine.items()}
    for key, (text, _) in its.items():
        if key in best:
            words, there = ours.counts.get(key, Count()).words, theirs.counts.get(key, Count()).words
            if complete and words <= there:
                best[key] = more(text, best[key]) if words == there else text
        else:
            best[key] = text
    gone = {key for key in best if counts[key].state % 3 == REPLACED}
    kept = {key for key in gone & mine.keys() if not complete and bare(best[key]) != best[key]}
    before = {key for key in gone & mine.keys() if ours.counts[key].state % 3 == REPLACED}
    away = gone - (followed(counts, best.keys()) - kept - before)
    away |= {key for key in best if counts[key].state % 3 == HIDDEN}
    shown = _placed(ours.shown, {key for key in best if counts[key].state % 3 == THERE}, bare)
    hidden = _placed(ours.hidden, away, bare)
    texts = Texts(
        {name: best[key] for key, name in shown.items()}, {name: best[key] for key, name in hidden.items()}, counts
    )
    return _told(ours, texts, mine, shown, [hidden[key] for key in sorted(kept) if mine[key][1] == THERE], bare)


def _merged(ours: Mapping[TextKey, Count], theirs: Mapping[TextKey, Count], complete: bool) -> dict[TextKey, Count]:
    counts = dict(ours)
    for key, count in theirs.items():
        if key not in counts:
            counts[key] = count
        elif complete:
            counts[key] = max(count, counts[key], key=lambda one: (one.words, one.state, one.now))
        else:
            words = counts[key].words
            counts[key] = max(count, counts[key], key=lambda one: (one.state, one.now))._replace(words=words)
    return counts


def _told(
    ours: Texts,
    texts: Texts,
    mine: Mapping[TextKey, tuple[str, int]],
    shown: Mapping[TextKey, str],
    kept: Collection[str],
    bare: Bare,
) -> MergedTexts:
    """What came of the merge, for each text that was here or is new."""
    left = {key: name for name, text in ours.shown.items() if (key := text_key(name, text, bare)) not in shown}
    was = {name_key(base_of(name, text, bare)) for name, text in ours.shown.items()}
    fresh = {key: name for key, name in shown.items() if key not in mine}
    newer = tuple(sorted(name for name in fresh.values() if name in left.values()))
    names = {key.name: name for key, name in shown.items()}
    renamed = tuple(
        (name, ours.shown[name], names[now])
        for key, name in sorted(left.items())
        if name not in newer and (now := name_now(texts.counts, key, names))
    )
    moved = {name for name, _, _ in renamed} | {now for _, _, now in renamed}
    new = tuple(sorted(name for name in fresh.values() if name not in newer and name not in moved))
    called = {(key.name, count.now) for key, count in texts.counts.items() if count.now}
    parted = tuple(
        (names[old], names[now])
        for old, now in sorted(called)
        if old in names and now in names and {names[old], names[now]} & set(new)
    )
    return MergedTexts(
        texts,
        new,
        tuple(sorted((key.name, fresh[key]) for key in fresh if fresh[key] in new and key.name in was)),
        newer,
        tuple(sorted(name for name in left.values() if name not in newer and name not in moved)),
        tuple(sorted(name for key, name in shown.items() if key in mine and mine[key][1] == HIDDEN)),
        renamed,
        tuple(kept),
        parted,
    )


def _by_key(texts: Texts, bare: Bare) -> dict[TextKey, tuple[str, int]]:
    """Each text with where it is: THERE or HIDDEN."""
    made: dict[TextKey, tuple[str, int]] = {}
    for state, found in ((HIDDEN, texts.hidden), (THERE, texts.shown)):
        for name, text in found.items():
            key = text_key(name, text, bare)
            made[key] = more(text, made[key][0] if key in made else ""), state
    return made


def _placed(ours: Mapping[str, str], wanted: Collection[TextKey], bare: Bare) -> dict[TextKey, str]:
    """The names of all texts that belong in a place: ours keep theirs; the others get a mark if the name is in use.

    A new version has the name of the one that it replaces.
    """
    made: dict[TextKey, str] = {}
    for name, text in ours.items():
        key = text_key(name, text, bare)
        if key in wanted:
            made.setdefault(key, name)
    taken = {name_key(name) for name in made.values()}
    free = {name_key(name): name for name in ours if name not in made.values()}
    for key in sorted(set(wanted) - made.keys()):
        name = free.get(key.name, key.name) if key.name not in taken else f"{key.name}-{key.mark}"
        made[key] = name
        taken.add(name_key(name))
    return made
