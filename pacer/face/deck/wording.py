"""A word or a line that is written on the sheet. No Kivy: the sheet brings the field and the keyboard."""

from __future__ import annotations

from collections.abc import Callable

from pacer.face.column import Cell, Column
from pacer.face.deck.leaf import Deck, Leaf
from pacer.plan.draft import Draft


class WordLeaf(Leaf):
    """A line to write in; `take(text)` is called with it, spaces tidied, once the leaf is off the sheet."""

    def __init__(self, deck: Deck, title: str, take: Callable[[str], None], *, text: str = "", note: tuple[str, ...] = ("",), most: int = 200):
        super().__init__(deck)
        self.title, self._take, self._note, self._most = title, take, note, most
        self.draft = Draft(text)
        self.draft.choose_all()

    def note(self) -> tuple[str, ...]:
        """What it is for."""
        return self._note

    def build(self, column: Column, upright: bool) -> None:
        """A key that takes it, as return on the keyboard does."""
        column.row(Cell("do", ("Take it",), look="main"))

    def press(self, name: str) -> None:
        """Take it."""
        text = " ".join(self.draft.text.split())[: self._most]
        self.deck.back()
        self._take(text)
