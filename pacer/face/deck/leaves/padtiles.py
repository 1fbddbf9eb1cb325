"""Typing on the sheet: a pad with digits, and letters for a word. No Kivy."""

from __future__ import annotations

from pacer.face.tiles.column import Cell, Column
from pacer.face.tiles.numberpad import Pad, digit_keys, erase_key, point_key
from pacer.language import tr
from pacer.plan.sentence import capital

#: A sheet has room for four rows of five keys for wet thumbs (15 mm, 3 mm apart; upright: three rows of seven), not for
#: 26 letters and the rest. So the first set has the letters that coaches' cues need most, nine out of ten written
#: (counted in the demo plans); the others and the digits are one tap away, and after one of those the first set is
#: back.
SETS = ("acdehiklmnorstu", tr("bfgjpqvwxyz.,-?"), "1234567890")


def typed_tiles(pad: Pad, column: Column, upright: bool, take: str) -> None:
    """The pad's value, the key `do` with the words `take`, and keys named `pad 1` to `pad 0`, `pad .`, `pad rub`,
    `pad more`, `pad less`.
    """
    shown = f"{pad.shown or '–'}{' ' + pad.unit if pad.unit else ''}"
    column.row(
        Cell("", (shown,), share=1.2, look="plain", scale=1.6, across="left"),
        Cell("do", (take,), able=not pad.wrong, look="main"),
    )
    if pad.wrong and pad.typed:
        column.say(capital(pad.wrong), colour="warn", most=1)
    step = f"{pad.step // 1000} s" if pad.time else str(pad.step)
    less, more, rub = (
        Cell("pad less", (f"–{step}",)),
        Cell("pad more", (f"+{step}",)),
        erase_key(),
    )
    digits = digit_keys()
    point = point_key(pad)
    if upright:
        column.grid([*digits[:5], less, more, *digits[5:], point, rub], 7)
    else:
        column.grid(digits, 5)
        column.row(less, more, point, rub)


def short_pad_tiles(pad: Pad, column: Column, upright: bool, lead: tuple[Cell, ...], take: Cell) -> None:
    """The pad without steps, in as few rows as possible.

    Its purpose (`lead`) is beside the key that saves, the value beside point and erase.
    """
    shown = f"{pad.shown or '–'}{' ' + pad.unit if pad.unit else ''}"
    value = Cell("", (shown,), share=1.6, look="plain", scale=1.6, across="left")
    point = point_key(pad)
    digits, rub = digit_keys(), erase_key()
    if upright:
        column.row(*lead, value, take)
        column.grid([*digits[:5], point, *digits[5:], rub], 6)
    else:
        column.row(*lead, take)
        column.row(value, point, rub)
        column.grid(digits, 5)


def letter_tiles(chosen: int, column: Column, upright: bool, take: Cell) -> None:
    """The characters of a set, named `letter a`; the key to the next set, named `others`; keys named `space` and
    `rub`; the key that saves the word.
    """
    most = max(map(len, SETS))
    letters = [
        *(Cell(f"letter {each}", (each,)) for each in SETS[chosen]),
        *(Cell(look="plain") for _ in range(most - len(SETS[chosen]))),
    ]
    others = Cell("others", _others(next_set(chosen)), share=1.05)
    steps = (
        others,
        Cell("space", (tr("Space"),), share=1.25),
        Cell("rub", (tr("Erase"),), share=1.15),
        take._replace(share=1.4),
    )
    if upright:
        column.grid(letters[:14], 7)
        column.row(letters[14], *steps)
    else:
        column.grid(letters, 5)
        column.row(*steps)


def _others(chosen: int) -> tuple[str, ...]:
    """What the key to that set says: what is on it, or its first characters."""
    return (*((tr("Letters"),), (tr("More letters"),), ())[chosen], " ".join(SETS[chosen][:3]))


def next_set(chosen: int) -> int:
    """The set of characters after that one; after the last, the first."""
    return (chosen + 1) % len(SETS)
