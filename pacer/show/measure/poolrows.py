"""How many rows of words the pool view's header and its bands have room for, and how large, by its size and the least
character height. Which lane is where: `poolview.Pool`.
"""

from __future__ import annotations

from typing import NamedTuple

from pacer.show.measure.fitting import FOOT, LINE

LARGEST = 2.0  #: characters grow to at most this multiple of the least height,
WIDE = 38  #: and only as far as leaves a band this many characters wide,
TALL = 11  #: or, in a band higher than this many of the least characters,
SPARE = 26  #: this many wide
AIR = 0.04  #: between words and a rope at least, in character heights
LEAST_DART = 5  #: least height of a swimmer in pixels
#: Height of a swimmer that can be seen from some way off: characters grow only after swimmers have reached it.
SEEN_MM = 2.0
ONE_ROW_CLOCK = 1.5  #: height of the clock's digits in a header of one row, in character heights,
ONE_ROW_BAND = 1.9  #: if that leaves bands this high, rope and all: else as high as its text
LINE_PITCH = 1.5  #: from one base line of the header to the next


class Rows(NamedTuple):
    """What a band of the pool view has room for.

    `unit` is the character height of its texts. `deck_rows`: state, count-down and mark in 3, 2 or 1 rows. `texts`:
    rows of text in the water. `ribbon`: "labels", "bar", "slim" or "" for none. `dart`: height of a swimmer. `strips`:
    swimmers go out below the words and home above them (2), or both ways below (1).
    """

    unit: float
    deck_rows: int
    texts: int
    ribbon: str
    dart: float
    strips: int = 2


class Kind(NamedTuple):
    """A way to divide a band.

    Rows of text, the ribbon, the height of it all in characters, a swimmer's height, strips of swimmers.
    """

    texts: int
    ribbon: str
    needs: float
    dart: float
    strips: int = 2


#: From the fullest to the barest. There are no words where swimmers pass.
KINDS = (
    Kind(3, "labels", 7.6, 0.5), Kind(2, "labels", 6.1, 0.5), Kind(2, "bar", 4.2, 0.33), Kind(2, "slim", 3.68, 0.2),
    Kind(2, "slim", 3.32, 0.2, 1),
    Kind(1, "bar", 2.85, 0.33), Kind(1, "slim", 2.35, 0.18), Kind(1, "slim", 2.05, 0.25, 1), Kind(1, "", 1.62, 0.2, 1),
)  # fmt: skip


def _needs(kind: Kind, least: float) -> float:
    """The height that a way to divide a band needs, in character heights of `least` pixels.

    Swimmers cannot be drawn as small as characters.
    """
    return kind.needs + kind.strips * max(0.0, LEAST_DART / least - kind.dart)


def rows_of(width: float, height: float, least: float, px_per_mm: float) -> Rows:
    """The rows of a band of that size in pixels (without the rope), with characters of at least `least` pixels.

    Smaller only if nothing else fits.
    """
    most = max(least, min(least * LARGEST, width / (WIDE if height < TALL * least else SPARE)))
    kind = next((kind for kind in KINDS if height >= _needs(kind, least) * least), None)
    unit = (
        min(height / _needs(kind, least), most)
        if kind
        else min(least, height / KINDS[-1].needs, (height - LEAST_DART - 2) / (LINE + AIR))
    )
    seen = SEEN_MM * px_per_mm
    if kind and unit > least:
        unit = min(unit, max(least, (height - kind.strips * seen) / (kind.needs - kind.strips * kind.dart)))
    kind = kind or KINDS[-1]
    deck_rows = 3 if height >= 5.0 * unit else 2 if height >= 2.85 * unit else 1
    spare = max(0.0, height - kind.needs * unit)
    dart = kind.dart * unit + (0.1 if kind.ribbon else 0.35) * spare
    dart = max(dart, min(seen, kind.dart * unit + 0.45 * spare))  # with one strip, the rest is space above the words
    return Rows(unit, deck_rows, kind.texts, kind.ribbon, max(LEAST_DART, min(dart, 5 * px_per_mm)), kind.strips)


class Header(NamedTuple):
    """The header: its height and rows: 1 if the bands need the room, 2, or 3 on a narrow screen."""

    height: float
    rows: int
    lower: float  #: base line of the lower row, from the header's foot
    upper: float  #: base line of the upper row; if there is only one, how far the clock is higher than its text
    third: float  #: base line of the third row

    @property
    def clock_cap(self) -> float:
        """Height of the clock's digits: from the lower base line to the top of the upper row."""
        return self.upper - self.lower


def header_of(width: float, height: float, unit: float, lanes: int) -> Header:
    """The header of a pool view of that size, for that many lanes."""
    foot = (FOOT + 0.22) * unit
    two = foot + (LINE_PITCH + 1 + 0.42) * unit
    if (height - two) / max(1, lanes) < 4.2 * unit:
        large = foot + (0.3 + ONE_ROW_CLOCK) * unit
        rise = (ONE_ROW_CLOCK - 1) * unit if (height - large) / max(1, lanes) >= ONE_ROW_BAND * unit else 0.0
        return Header(foot + 1.3 * unit + rise, 1, foot, foot + rise, foot)
    if width < 34 * unit:
        third = foot
        foot += LINE_PITCH * 1.08 * unit
        return Header(foot + (LINE_PITCH + 1.42) * unit, 3, foot, foot + LINE_PITCH * unit, third)
    return Header(two, 2, foot, foot + LINE_PITCH * unit, foot)
