"""Letters along the foot of a page, for writing where no keyboard comes up.

The page makes room as for a soft keyboard.
"""

from __future__ import annotations

from collections.abc import Callable

from pacer.face.tiles.board import Board
from pacer.face.tiles.column import Column
from pacer.face.tiles.field import Field
from pacer.face.tiles.letters import Letters

MOST_SHARE = 0.5  #: greatest share of the page's height


class FootLetters(Board):
    """They write into `pane`; `changed()` is called when other letters are to be shown."""

    def __init__(self, pane: Field, changed: Callable[[], None]):
        super().__init__(self._press)
        self.pane, self.changed = pane, changed
        self.letters = Letters(enters=not pane.single, numbers=not pane.single)

    def lay_out(self, column: Column, height: float) -> None:
        """As high as their rows need, on a page of that height; on a narrow screen they scroll."""
        self.letters.put(column)
        self.size = (column.width + 2 * column.x, min(column.top, MOST_SHARE * height))
        self.show(column.tiles, column.cap, column.padding)

    def _press(self, name: str) -> None:
        if self.letters.press(name, self.pane):
            self.changed()
