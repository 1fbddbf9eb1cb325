"""A page that tells what went wrong on the shelf."""

from __future__ import annotations

from pacer.face.tiles.page import Page
from pacer.plan.library.shelf import ShelfTrouble


class TellingPage(Page):
    """A subclass does in `do` what a tile or key is for."""

    def press(self, name: str) -> None:
        """Do it; problems are reported."""
        try:
            self.do(name)
        except ShelfTrouble as error:
            self.tell(str(error))

    def do(self, name: str) -> None:
        """What the tile or key of that name is for. Raises ShelfTrouble."""
        raise NotImplementedError
