"""Letters on the screen, for places where no keyboard comes up.

One touch for each letter, for wet thumbs; capitals, digits and marks one tap away.

All sets have the same number of keys, so that none moves when another set is shown. They write into anything with
`write`, `rub` and `enter`.
"""

from __future__ import annotations

from typing import Protocol

from pacer.face.tiles.column import Cell, Column
from pacer.language import tr

#: In alphabetical order, as on the sheet beside a session: rows are as long as the screen is wide.
SETS = {
    "small": "abcdefghijklmnopqrstuvwxyz'",
    "capitals": "ABCDEFGHIJKLMNOPQRSTUVWXYZ'",
    "marks": "1234567890.,:;-/+()'\"&#?!=%",
}
#: In the order and rows of an English keyboard, if the screen is wide enough.
KEYBOARD = {**SETS, "small": "qwertyuiopasdfghjkl'zxcvbnm", "capitals": "QWERTYUIOPASDFGHJKL'ZXCVBNM"}
ROWS = (10, 10, 7)
NUMBERS = "1234567890:/"
LABELS = {"small": "abc", "capitals": "ABC", "marks": "123"}
MOST_ACROSS = 13


class Written(Protocol):
    """The thing to write into."""

    def write(self, text: str) -> None:
        """Write at the cursor."""

    def rub(self) -> None:
        """Erase the selection, or the character before the cursor."""

    def enter(self) -> None:
        """A new line."""


class Letters:
    """A board of letters that begins with the set `shown`.

    After a capital come the small ones. `enters`: whether it has a key for a new line; `numbers`: whether digits are
    above the letters, if there is room for a row of them.
    """

    def __init__(self, shown: str = "small", *, enters: bool = False, numbers: bool = False):
        self.shown, self.enters, self.numbers = shown, enters, numbers

    def put(self, column: Column) -> None:
        """The keys: named `letter a`, `letters marks` (goes to another set), `letter space`, `letter rub`, `letter
        enter`.
        """
        across = max(3, min(MOST_ACROSS, int((column.width + column.gap) // (column.target + column.gap))))
        wide = (column.width - column.gap * (across - 1)) / across
        if self.numbers and across >= len(NUMBERS) and self.shown != "marks":
            column.row(*(Cell(f"letter {each}", (each,)) for each in NUMBERS))
        if across > max(ROWS):
            self._as_on_a_keyboard(column, wide)
            return
        keys = [Cell(f"letter {each}", (each,), width=wide) for each in SETS[self.shown]]
        other = max(column.least(Cell("", (label,))) for label in LABELS.values())
        steps = [
            *(Cell(f"letters {kind}", (LABELS[kind],), width=other) for kind in SETS if kind != self.shown),
            Cell("letter space", (tr("Space"),), share=1.6),
            Cell("letter rub", (tr("Erase"),)),
            *([Cell("letter enter", (tr("Enter"),), share=1.2)] if self.enters else []),
        ]
        last = len(keys) % across
        for first in range(0, len(keys) - last, across):
            column.row(*keys[first : first + across])
        room = (across - last) * (wide + column.gap) - column.gap
        least = [column.least(step) for step in steps]
        spare = room - sum(least) - column.gap * (len(steps) - 1)
        if spare >= 0:
            column.row(
                *keys[len(keys) - last :],
                *(step._replace(width=width + spare / len(steps)) for step, width in zip(steps, least)),
            )
            return
        if last:
            column.row(*keys[len(keys) - last :], *(Cell(look="plain", width=wide) for _ in range(across - last)))
        column.flow(*steps)

    def _as_on_a_keyboard(self, column: Column, wide: float) -> None:
        """Three rows of letters, each with the other keys at its end, as on a keyboard."""
        space, gap = Cell("letter space", (tr("Space"),), share=2), column.gap
        ends = (
            [Cell("letter rub", (tr("Erase"),))],
            [Cell("letter enter", (tr("Enter"),)) if self.enters else space],
            [
                *(Cell(f"letters {kind}", (label,)) for kind, label in LABELS.items() if kind != self.shown),
                *([space] if self.enters else []),
            ],
        )
        others = [Cell("", (label,)) for label in LABELS.values()]  # keys to other sets, all as wide as the widest
        least = [
            [max(map(column.least, others)) if cell.name.startswith("letters ") else column.least(cell) for cell in end]
            for end in ends
        ]
        rooms = [column.width - sum(wides) - gap * (len(wides) - 1) for wides in least]
        wide = max(column.target, min(wide, *(room / count - gap for room, count in zip(rooms, ROWS))))
        keys = [Cell(f"letter {each}", (each,), width=wide) for each in KEYBOARD[self.shown]]
        for count, end, wides, room in zip(ROWS, ends, least, rooms):
            spare, shares = room - count * (wide + gap), sum(cell.share for cell in end)
            column.row(
                *keys[:count],
                *(cell._replace(width=each + spare * cell.share / shares) for cell, each in zip(end, wides)),
            )
            del keys[:count]

    def press(self, name: str, to: Written) -> bool:
        """Do what a key is for; False if it is none of these."""
        what, _, key = name.partition(" ")
        if what == "letters" and key in SETS:
            self.shown = key
        elif what != "letter":
            return False
        elif key == "rub":
            to.rub()
        elif key == "enter":
            to.enter()
        else:
            to.write(" " if key == "space" else key)
            if self.shown == "capitals":
                self.shown = "small"
        return True
