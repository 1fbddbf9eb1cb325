"""Letters along the foot of a page, for what is written on it where no keyboard comes.

The page makes room as for a soft keyboard.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from pacer.face.tiles.board import Board
from pacer.face.tiles.column import Column
from pacer.face.tiles.letters import Letters

if TYPE_CHECKING:
    from pacer.face.editor.writingpane import WritingPane
    from pacer.face.tiles.page import Page

MOST_SHARE = 0.5  #: of the page's height


class FootLetters(Board):
    """They write into `pane` of `page`, as long as that is written in."""

    def __init__(self, page: Page, pane: WritingPane):
        super().__init__(self._press)
        self.page, self.pane = page, pane
        self.letters = Letters(enters=not pane.single)

    def lay_out(self) -> None:
        """Along the page's foot, as high as its rows need; on a narrow glass they are scrolled."""
        page = self.page
        column = Column(page.width - 2 * page.gap, page.cap, 0.7 * page.padding, page.gap, page.target, x=page.gap)
        self.letters.put(column)
        self.theme, self.glass = page.theme, page.glass
        self.pos, self.size = page.pos, (page.width, min(column.top, MOST_SHARE * page.height))
        self.show(column.tiles, page.cap, 0.7 * page.padding)

    def _press(self, name: str) -> None:
        if self.letters.press(name, self.pane):
            self.lay_out()
