"""Everything that can be recorded on deck without changing the session. No Kivy."""

from __future__ import annotations

from collections.abc import Hashable

from pacer.face.deck.leaves.leaf import Leaf
from pacer.face.deck.leaves.leaftable import LEAVES, opened
from pacer.face.tiles.column import Cell, Column
from pacer.language import tr

RECORDS = ("times", "rate", "watch", "notes", "heads")


class RecordLeaf(Leaf):
    """Everything that can be recorded for the chosen lane or for all lanes."""

    @property
    def title(self) -> str:
        """Of which lanes."""
        return tr("Times and notes, {lane_name}", lane_name=self.deck.lane_name())

    def stamp(self) -> Hashable:
        """The lane, and whether the session is over."""
        return self.deck.hand, self.driver.running

    def build(self, column: Column, upright: bool) -> None:
        """A key for each; after the session, how it went comes first."""
        if not self.driver.running:
            column.row(Cell("sum", (LEAVES["sum"].label,), look="main"))
        column.keys(*(Cell(name, (LEAVES[name].label,)) for name in RECORDS), across=4 if upright else 2)

    def press(self, name: str) -> None:
        """Open it."""
        self.deck.open(opened(self.deck, name))
