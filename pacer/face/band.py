"""How a lane's band is divided, by its size and the least character height: which rows it has, and where."""

from __future__ import annotations

from typing import NamedTuple

from pacer.face.fitting import LINE


class Rows(NamedTuple):
    """What a band of the pool view has room for.

    `unit` is the character height of its texts. `deck_rows`: state, count-down and mark in 3, 2 or 1 rows.
    `texts`: rows of text in the water. `ribbon`: "labels", "bar" or "" for none. `dart`: height of a swimmer.
    `circle`: swimmers go out below the texts and come back above them; otherwise both ways are below.
    """

    unit: float
    deck_rows: int
    texts: int
    ribbon: str
    dart: float
    circle: bool


#: What a row needs, in character heights, with the air around it.
TEXT = LINE + 0.25
LABELS = LINE + 0.55
BAR = 0.5
LARGEST = 2.4      #: how much larger than the least characters may grow


def rows_of(height: float, least: float, px_per_mm: float) -> Rows:
    """The rows of a band `height` pixels high, rope not counted, with characters of at least `least` pixels."""
    for texts, deck_rows, units in ((2, 3, 2 * TEXT + LABELS + 1.3), (1, 3, TEXT + LABELS + 0.9)):
        if height >= units * least:
            unit = min(height / units, least * LARGEST)
            dart = min(0.5 * unit, 5 * px_per_mm)
            return Rows(unit, deck_rows, texts, "labels", max(8, dart), True)
    if height >= (TEXT + BAR + 0.75) * least:
        unit = min(height / (TEXT + BAR + 0.75), least * 1.25)
        return Rows(unit, 2 if height >= 2 * TEXT * unit else 1, 1, "bar", max(7, 0.34 * unit), True)
    unit = min(least, height / TEXT)
    return Rows(unit, 1, 1, "", max(5, min(0.3 * unit, (height - LINE * unit) / 2)), False)
