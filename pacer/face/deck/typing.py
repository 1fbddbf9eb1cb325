"""What is typed on the sheet: a pad with digits, and letters for a word. No Kivy."""

from __future__ import annotations

from pacer.face.column import Cell, Column
from pacer.face.pad import DIGITS, Pad

#: Letters are written by two touches, the group first: keys for wet thumbs are so large that there is no room for all of them.
GROUPS = ("abcde", "fghij", "klmno", "pqrst", "uvwxy", "z.,-?", "12345", "67890")


def typed_tiles(pad: Pad, column: Column, upright: bool, take: str, *, name: str = "do") -> None:
    """The pad's value, the key `name` with the words `take`, and keys named `pad 1` to `pad 0`, `pad .`, `pad rub`, `pad more`, `pad less`."""
    shown = f"{pad.shown or '–'}{' ' + pad.unit if pad.unit else ''}"
    column.row(Cell("", (shown,), share=1.2, look="plain", scale=1.6, across="left"), Cell(name, (take,), able=not pad.wrong, look="main"))
    if pad.wrong and pad.typed:
        column.say(pad.wrong, colour="warn", most=1)
    step = f"{pad.step // 1000} s" if pad.time else str(pad.step)
    less, more, rub = Cell("pad less", (f"–{step}",)), Cell("pad more", (f"+{step}",)), Cell("pad rub", ("Rub",))
    digits = [Cell(f"pad {digit}", (digit,)) for digit in DIGITS]
    point = Cell("pad .", (".",)) if pad.time else Cell(look="plain")
    if upright:
        column.grid([*digits[:5], less, more, *digits[5:], point, rub], 7)
    else:
        column.grid(digits, 5)
        column.row(less, more, point, rub)


def short_pad_tiles(pad: Pad, column: Column, upright: bool, lead: tuple[Cell, ...], take: Cell) -> None:
    """The pad without steps, in as few rows as there are: what it is for (`lead`) beside the key that takes it, and the value beside point and rub."""
    shown = f"{pad.shown or '–'}{' ' + pad.unit if pad.unit else ''}"
    value = Cell("", (shown,), share=1.6, look="plain", scale=1.6, across="left")
    point = Cell("pad .", (".",)) if pad.time else Cell(look="plain")
    digits, rub = [Cell(f"pad {digit}", (digit,)) for digit in DIGITS], Cell("pad rub", ("Rub",))
    if upright:
        column.row(*lead, value, take)
        column.grid([*digits[:5], point, *digits[5:], rub], 6)
    else:
        column.row(*lead, take)
        column.row(value, point, rub)
        column.grid(digits, 5)


def letter_tiles(group: int, column: Column, upright: bool, take: Cell) -> None:
    """The characters of a group, named `letter a`, the groups, named `group 0`, and keys named `space`, `rub`; the key that takes the word."""
    letters = [Cell(f"letter {each}", (each,)) for each in GROUPS[group]]
    groups = [Cell(f"group {number}", (f"{each[0]}–{each[-1]}",) if each[-1].isalnum() else (f"{each[0]} {each[1:3]}",),
                   look="lit" if number == group else "key") for number, each in enumerate(GROUPS)]
    space, rub = Cell("space", ("Space",), share=1.3), Cell("rub", ("Rub",))
    if upright:
        column.row(*letters, rub, space)
        column.grid(groups[:7], 7)
        column.row(groups[7], take._replace(share=6))
    else:
        column.grid(letters, 5)
        column.grid(groups, 4)
        column.row(space, rub, take._replace(share=1.6))
