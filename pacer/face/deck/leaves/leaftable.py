"""The leaves that a key opens, by the key's name."""

from __future__ import annotations

from typing import NamedTuple

from pacer.face.deck.leaves.finishleaf import FinishLeaf
from pacer.face.deck.leaves.intervalleaf import IntervalLeaf
from pacer.face.deck.leaves.leaf import Deck, Leaf
from pacer.face.deck.leaves.noteleaf import HeadsLeaf, NotesLeaf
from pacer.face.deck.leaves.rateleaf import RateLeaf
from pacer.face.deck.leaves.sectionleaf import SectionsLeaf
from pacer.face.deck.leaves.setleaf import LineInLeaf, LineOutLeaf
from pacer.face.deck.leaves.summaryleaf import SummaryLeaf
from pacer.face.deck.leaves.swimmerleaf import SwimmersLeaf, WithLeaf
from pacer.face.deck.leaves.timeleaf import TimesLeaf
from pacer.face.deck.leaves.watchleaf import WatchLeaf


class LeafKey(NamedTuple):
    """What the key says, and the leaf that it opens."""

    label: str
    leaf: type[Leaf]


LEAVES = {
    "times": LeafKey("Times", TimesLeaf),
    "rate": LeafKey("Stroke rate", RateLeaf),
    "watch": LeafKey("Watches", WatchLeaf),
    "notes": LeafKey("Notes", NotesLeaf),
    "heads": LeafKey("Head count", HeadsLeaf),
    "interval": LeafKey("Interval", IntervalLeaf),
    "section": LeafKey("Start a section", SectionsLeaf),
    "swimmers": LeafKey("Who swims", SwimmersLeaf),
    "with": LeafKey("Join a lane", WithLeaf),
    "line in": LeafKey("Add a set", LineInLeaf),
    "line out": LeafKey("Skip a set", LineOutLeaf),
    "out": LeafKey("Finish by", FinishLeaf),
    "sum": LeafKey("How it went", SummaryLeaf),
}


def opened(deck: Deck, name: str) -> Leaf:
    """The leaf of one of `LEAVES`."""
    return LEAVES[name].leaf(deck)
