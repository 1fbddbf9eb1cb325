"""The swimmers' names that a tablet knows, and whether one of them is in a text.

Titles, cues, sections and drills are for everybody to read; but a coach may have written “Kit leads”. Without names,
such a text stays on the tablet.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping

from pacer.plan.problem import Unreadable
from pacer.session.journal.entries import SwimmerJoined
from pacer.session.storage.savedsession import KeptSession
from pacer.squad.files.squadreader import read_squad

_WORD = re.compile(r"[^\W\d_]+")
LEAST = 3  #: letters of a part of a name, which has a capital letter; of a name that is one word: one less


class KnownNames:
    """Names by their words: a first name is as much a name as all of it. Capital letters count."""

    def __init__(self, names: Iterable[str] = ()):
        self.words: set[str] = set()
        for name in names:
            parts = _WORD.findall(name)
            alone = len(parts) == 1
            self.words.update(part for part in parts if len(part) >= LEAST - alone and (alone or part[0].isupper()))
        self._small = {word.casefold() for word in self.words}

    def in_text(self, text: str) -> bool:
        """Whether a name is in a text."""
        return bool(self.words) and not self.words.isdisjoint(_WORD.findall(text))

    def in_file(self, name: str, text: str) -> bool:
        """Whether a name is in a text or in the name of its file, which has no capital letters."""
        return self.in_text(text) or not self._small.isdisjoint(map(str.casefold, _WORD.findall(name)))


def known_names(squads: Iterable[Mapping[str, str]], kept: Iterable[KeptSession]) -> KnownNames:
    """The names in these squads' texts and in these sessions."""
    names: set[str] = set()
    texts = {text for some in squads for text in some.values()}
    for one in kept:
        texts.add(one.session.squad)
        names.update(entry.name for entry in one.journal if isinstance(entry, SwimmerJoined))
    for text in texts:
        try:
            lanes = read_squad(text).lanes
        except Unreadable:
            continue
        names.update(swimmer.name for lane in lanes for swimmer in lane.swimmers)
    return KnownNames(filter(None, names))
