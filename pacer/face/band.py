"""How the pool view is divided, by its size and the least character height: header, deck and water, and what a band has room for."""

from __future__ import annotations

from typing import NamedTuple

from pacer.face.fitting import FOOT, LINE

TEXT = 1.5         #: what a row of text needs, in character heights, with the air around it
LARGEST = 2.0      #: how much larger than the least characters may grow, and
WIDE = 38          #: how many of them, side by side, a band is at least wide then,
TALL = 11          #: or, where the band is higher than so many of the least characters,
SPARE = 26         #: so many
NARROW = 30        #: a band narrower than so many characters has words above a plain ribbon rather than in it
LINE_PITCH = 1.5   #: from one base line of the header to the next


class Rows(NamedTuple):
    """What a band of the pool view has room for.

    `unit` is the character height of its texts. `deck_rows`: state, count-down and mark in 3, 2 or 1 rows.
    `texts`: rows of text in the water. `ribbon`: "labels", "bar", "slim" or "" for none. `dart`: height of a swimmer.
    """

    unit: float
    deck_rows: int
    texts: int
    ribbon: str
    dart: float


class Kind(NamedTuple):
    """A way to divide a band: rows of text, the ribbon, what that and the swimmers need in character heights, a swimmer's height."""

    texts: int
    ribbon: str
    needs: float
    dart: float
    narrow: bool = False     #: only where the glass is narrow


#: From the fullest to the barest.
KINDS = (
    Kind(3, "labels", 3.0, 0.5), Kind(2, "labels", 3.0, 0.5), Kind(2, "bar", 1.35, 0.33, True), Kind(2, "slim", 0.75, 0.2, True),
    Kind(1, "labels", 3.0, 0.5), Kind(1, "bar", 1.35, 0.33), Kind(1, "slim", 0.62, 0.17),
)  # fmt: skip


def rows_of(width: float, height: float, least: float, px_per_mm: float) -> Rows:
    """The rows of a band of that size in pixels, rope not counted, with characters of at least `least` pixels."""
    most = max(least, min(least * LARGEST, width / (WIDE if height < TALL * least else SPARE)))
    for kind in KINDS:
        # On a narrow glass words of the ribbon seldom fit; a second row of text serves better there.
        if kind.narrow and width >= NARROW * least:
            continue
        units = kind.texts * TEXT + kind.needs
        if height >= units * least:
            unit = min(height / units, most)
            deck_rows = 3 if height >= 5.0 * unit else 2 if height >= 2.85 * unit else 1
            return Rows(unit, deck_rows, kind.texts, kind.ribbon, max(5, min(kind.dart * unit + 0.1 * (height - units * unit), 5 * px_per_mm)))
    unit = min(least, height / TEXT)
    return Rows(unit, 1, 1, "", max(5, min(0.3 * unit, (height - LINE * unit) / 2 - 1)))


class Header(NamedTuple):
    """The header: its height and rows: 1 where the bands need the room, 2, or 3 on a narrow glass."""

    height: float
    rows: int
    lower: float     #: base line of the lower row, from the header's foot
    upper: float     #: base line of the upper row; the same where there is one
    third: float     #: base line of the third row

    @property
    def clock_cap(self) -> float:
        """Height of the clock's digits: from the lower base line to the top of the upper row."""
        return self.upper - self.lower


def header_of(width: float, height: float, unit: float, lanes: int) -> Header:
    """The header of a pool view of that size for so many lanes."""
    foot = (FOOT + 0.22) * unit
    two = foot + (LINE_PITCH + 1 + 0.42) * unit
    if (height - two) / max(1, lanes) < 4.2 * unit:
        return Header(foot + 1.3 * unit, 1, foot, foot, foot)
    if width < 34 * unit:
        third = foot
        foot += LINE_PITCH * 1.08 * unit
        return Header(foot + (LINE_PITCH + 1.42) * unit, 3, foot, foot + LINE_PITCH * unit, third)
    return Header(two, 2, foot, foot + LINE_PITCH * unit, foot)
