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
#: Names that are English words too, many of them on a whiteboard: these are names with a capital letter only.
ALSO_WORDS = frozenset(
    _WORD.findall(
        """
        ace amber art ash autumn bay bill blue bob brook buddy chance chase chip cliff crystal dale dash dawn dean
        dot drew duke eve faith fern flint frank free gene ginger glen grace grant guy hazel heath holly hope hunter
        ivy jack jay jet joy king lake lance lane lily mark max may mercy merry mike miles min nick norm pace pat
        penny pierce poppy ray red reed rich rob robin rock rocky rod rose rosy roy ruby rusty sandy scout skip sky
        stormy sue summer sunny tad ted van wade ward west will win
        """
    )
)
LEAST_LETTERS = 3  #: letters of a part of a name, which has a capital letter; of a name that is one word: one less


class KnownNames:
    """Names by their words: a first name is as much a name as all of it.

    In small letters too, as phones and tablets type them, unless it is a word of the language.
    """

    def __init__(self, names: Iterable[str] = ()):
        self.words: set[str] = set()
        for name in names:
            parts = _WORD.findall(name)
            alone = len(parts) == 1
            self.words.update(
                part for part in parts if len(part) >= LEAST_LETTERS - alone and (alone or part[0].isupper())
            )
        self._small = {word.casefold() for word in self.words}

    def in_text(self, text: str) -> bool:
        """Whether a name is in a text."""
        return bool(self.words) and any(map(self._is_name, _WORD.findall(text)))

    def masked(self, text: str) -> str:
        """The text with "…" for every name in it.

        >>> KnownNames(["Kit Marsh"]).masked("Kit's turns, as kit does"), KnownNames(["Kit"]).masked("kitchen")
        ("…'s turns, as … does", 'kitchen')
        """
        return _WORD.sub(lambda word: "…" if self._is_name(word[0]) else word[0], text) if self.words else text

    def _is_name(self, word: str) -> bool:
        small = word.casefold()
        return word in self.words or (len(word) >= LEAST_LETTERS and small in self._small and small not in ALSO_WORDS)

    def in_file(self, name: str, text: str) -> bool:
        """Whether a name is in a text or in the name of its file, which has no capital letters."""
        return self.in_text(text) or not self._small.isdisjoint(map(str.casefold, _WORD.findall(name)))


def known_names(squads: Iterable[Mapping[str, str]], kept: Iterable[KeptSession]) -> KnownNames:
    """The names in these squads' texts and in these sessions."""
    names: set[str] = set()
    texts = {text for some in squads for text in some.values()}
    for one in kept:
        texts.add(one.session.squad)
        names.update(filter(None, one.session.absent))
        names.update(entry.name for entry in one.journal if isinstance(entry, SwimmerJoined))
    for text in texts:
        try:
            lanes = read_squad(text).lanes
        except Unreadable:
            continue
        names.update(swimmer.name for lane in lanes for swimmer in lane.swimmers)
    return KnownNames(filter(None, names))
