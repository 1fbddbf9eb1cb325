"""How large a character must be to be read from a distance, and from how far one can be read.

A character subtends 20 minutes of arc (ISO 9241-303 and NUREG-0700: 20 to 22 preferred, 16 the least). *Character
height* is the height of a capital letter or a digit, not a font's size.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import pi, tan

ARC_MINUTES = 20
MM_PER_INCH = 25.4

TIER_1_M = 8.0  #: lane number, count-down, state: from the far end of the rest
TIER_2_M = 3.0  #: when to leave, the work, the cue: from the wall
COACH_M = 1.0  #: everything else: on deck, in hand
KEY_M = 0.8  #: the name of a key: nobody presses it from farther than an arm; at 1 m it is still 16 minutes of arc

WET = 1.0  #: scale of what is touched and read while a session runs, in hand or on deck
DRY = 0.6  #: the same at a table before and after it: read from 60 cm, and keys of 9 mm instead of 15

ROWS = 20  #: the least number of character heights on a view's shorter side


def character_mm(distance_m: float, arc_minutes: float = ARC_MINUTES) -> float:
    """The character height in mm that subtends `arc_minutes` at `distance_m`: h = 2·D·tan(α/2).

    >>> round(character_mm(8), 2), round(character_mm(1), 2)
    (46.54, 5.82)
    """
    return 2_000 * distance_m * tan(arc_minutes / 60 * pi / 180 / 2)


def distance_m(character_height_mm: float, arc_minutes: float = ARC_MINUTES) -> float:
    """The greatest distance from which a character of that height can be read.

    >>> round(distance_m(46.54), 2)
    8.0
    """
    return character_height_mm / character_mm(1, arc_minutes)


@dataclass(frozen=True, slots=True)
class Glass:
    """A screen and who reads it: pixels per mm, and the reading distances of the three tiers in metres.

    `hands` is WET or DRY: the scale of what is made for the coach.
    """

    px_per_mm: float = 96 / MM_PER_INCH
    tier_1_m: float = TIER_1_M
    tier_2_m: float = TIER_2_M
    coach_m: float = COACH_M
    hands: float = WET

    @classmethod
    def of_dpi(cls, dpi: float, **distances: float) -> Glass:
        """The screen with `dpi` pixels per inch."""
        return cls(dpi / MM_PER_INCH, **distances)

    def px(self, mm: float) -> float:
        """Pixels of a length in mm."""
        return mm * self.px_per_mm

    @property
    def tier_1_px(self) -> float:
        """The least character height of tier 1 in pixels."""
        return character_mm(self.tier_1_m) * self.px_per_mm

    @property
    def tier_2_px(self) -> float:
        """The least character height of tier 2 in pixels."""
        return character_mm(self.tier_2_m) * self.px_per_mm

    @property
    def coach_px(self) -> float:
        """The least character height of tier 3, the coach's, in pixels."""
        return character_mm(self.coach_m) * self.px_per_mm

    def unit_px(self, width: float, height: float) -> float:
        """The least character height of tier 3 on a view of that size.

        `coach_px` for those hands, or less if the screen is too small.

        A view's shorter side has at least `ROWS` characters; `read_at_m` says from how far they can then be read.
        """
        return min(self.coach_px * self.hands, min(width, height) / ROWS)

    def read_at_m(self, character_px: float) -> float:
        """How far away a character of that many pixels can be read."""
        return distance_m(character_px / self.px_per_mm)
