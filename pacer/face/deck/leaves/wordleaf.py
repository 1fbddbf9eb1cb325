"""A word or a line written on the sheet. No Kivy: the sheet provides the field."""

from __future__ import annotations

from collections.abc import Callable

from pacer.face.deck.leaves.leaf import Deck, Leaf
from pacer.face.deck.leaves.padtiles import letter_tiles, next_set
from pacer.face.tiles.column import Cell, Column
from pacer.plan.text.textbuffer import TextBuffer
from pacer.show.wording.commonkeys import SAVE


class WordLeaf(Leaf):
    """A line to write in; `take(text)` is called with it, spaces tidied, after the leaf has left the sheet."""

    follows = True

    draft: TextBuffer

    def __init__(
        self,
        deck: Deck,
        title: str,
        take: Callable[[str], None],
        *,
        text: str = "",
        note: tuple[str, ...] = ("",),
        most: int = 200,
    ):
        super().__init__(deck)
        self._title, self._take, self._note, self._most = title, take, note, most
        self.draft = TextBuffer(text)
        self.draft.choose_all()
        self._set = 0  # of characters

    @property
    def title(self) -> str:
        """What is asked."""
        return self._title

    def note(self) -> tuple[str, ...]:
        """What it is for."""
        return self._note

    def build(self, column: Column, upright: bool) -> None:
        """Keys to write with, and one that saves it, like Enter on a keyboard."""
        letter_tiles(self._set, column, upright, Cell("do", (SAVE,), look="main"))

    def press(self, name: str) -> None:
        """Write, or save it."""
        if name == "others":
            self._set = next_set(self._set)
        elif name.startswith("letter "):
            letter = name.removeprefix("letter ")
            self.draft.write(letter)
            self._set = self._set if letter.isdigit() else 0
        elif name == "space":
            self.draft.write(" ")
            self._set = 0
        elif name == "rub":
            self.draft.erase(-1)
        else:
            self._done()

    def _done(self) -> None:
        text = " ".join(self.draft.text.split())[: self._most]
        self.deck.back()
        self._take(text)
