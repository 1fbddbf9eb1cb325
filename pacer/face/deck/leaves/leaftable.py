"""The leaves that a key opens, by the key's name."""

from __future__ import annotations

from typing import NamedTuple

from pacer.face.deck.leaves.addsetleaf import LineInLeaf, LineOutLeaf
from pacer.face.deck.leaves.finishleaf import FinishLeaf
from pacer.face.deck.leaves.intervalleaf import IntervalLeaf
from pacer.face.deck.leaves.leaf import Deck, Leaf
from pacer.face.deck.leaves.noteleaf import HeadsLeaf, NotesLeaf
from pacer.face.deck.leaves.rateleaf import RateLeaf
from pacer.face.deck.leaves.sectionleaf import SectionsLeaf
from pacer.face.deck.leaves.summaryleaf import SummaryLeaf
from pacer.face.deck.leaves.swimmerleaf import SwimmersLeaf, WithLeaf
from pacer.face.deck.leaves.timeleaf import TimesLeaf
from pacer.face.deck.leaves.watchleaf import WatchLeaf
from pacer.language import tr


class LeafKey(NamedTuple):
    """What the key says, and the leaf that it opens."""

    label: str
    leaf: type[Leaf]


LEAVES = {
    "times": LeafKey(tr("Times"), TimesLeaf),
    "rate": LeafKey(tr("Stroke rate"), RateLeaf),
    "watch": LeafKey(tr("Stopwatches"), WatchLeaf),
    "notes": LeafKey(tr("Notes"), NotesLeaf),
    "heads": LeafKey(tr("Count heads"), HeadsLeaf),
    "interval": LeafKey(tr("Interval"), IntervalLeaf),
    "section": LeafKey(tr("Start a section"), SectionsLeaf),
    "swimmers": LeafKey(tr("In or out"), SwimmersLeaf),
    "with": LeafKey(tr("Join a lane"), WithLeaf),
    "line in": LeafKey(tr("Add a set"), LineInLeaf),
    "line out": LeafKey(tr("Skip a set"), LineOutLeaf),
    "out": LeafKey(tr("Finish by"), FinishLeaf),
    "sum": LeafKey(tr("How it went"), SummaryLeaf),
}


def opened(deck: Deck, name: str) -> Leaf:
    """The leaf of one of `LEAVES`."""
    return LEAVES[name].leaf(deck)
