"""Colours: two themes, dark and bright, with one set of state colours that are safe for colour-blind eyes.

State colours are the palette of Okabe and Ito (2002), three of them lightened so that black reaches 7:1 on each (WCAG
2.2, 1.4.6). They are always backgrounds with `on_state` text, never the colour of words on water, so both themes can
use them. Whatever colour tells is also told by word and shape.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

Rgb = tuple[float, float, float]


def rgb(code: str) -> Rgb:
    """`#RRGGBB` as three fractions.

    >>> rgb("#FF0033")
    (1.0, 0.0, 0.2)
    """
    red, green, blue = (int(code[i : i + 2], 16) / 255 for i in (1, 3, 5))
    return red, green, blue


def luminance(colour: Rgb) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Rgb, other: Rgb) -> float:
    """Contrast ratio as WCAG 2.2 defines it: 1 to 21, in either order."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


#: Black reaches 7:1 on each. Lightened from Okabe-Ito: bluish green for go, a red for stop, reddish purple for paused.
STATE_COLOURS = MappingProxyType(
    {
        "ready": rgb("#F0E442"),
        "go": rgb("#3CCB8C"),
        "swim": rgb("#56B4E9"),
        "rest": rgb("#E69F00"),
        "talk": rgb("#F4F7FA"),
        "stop": rgb("#FF6A59"),
        "paused": rgb("#EBA9CF"),
        "done": rgb("#8A9AA0"),
        "wait": rgb("#CCDDC8"),
    }
)


@dataclass(frozen=True, slots=True)
class Theme:
    """One way to colour the face. Names say what is coloured, not the colour.

    `ground` is behind everything, `deck` behind a lane's count-down, `water` in the lanes. `ink` is read first, `dim`
    second: both reach 7:1 on all three. `line`, around keys and between rows, reaches 3:1. On `flip` (the inverted
    screen) the text is `flip_ink`.
    """

    name: str
    ground: Rgb
    deck: Rgb
    water: Rgb
    ink: Rgb
    dim: Rgb
    line: Rgb
    rope: Rgb
    float_: Rgb
    swimmer: Rgb
    flip: Rgb
    flip_ink: Rgb
    on_state: Rgb = (0.0, 0.0, 0.0)

    def colour(self, name: str) -> Rgb:
        """A colour by its name: a state's, or one of the theme's own."""
        found = STATE_COLOURS.get(name)
        return getattr(self, name) if found is None else found


DARK = Theme(
    "dark",
    ground=rgb("#05090E"),
    deck=rgb("#0B141D"),
    water=rgb("#0E2A3D"),
    ink=rgb("#FFFFFF"),
    dim=rgb("#B9C9D6"),
    line=rgb("#567890"),
    rope=rgb("#C8D6E0"),
    float_=rgb("#E69F00"),
    swimmer=rgb("#FFFFFF"),
    flip=rgb("#F0E442"),
    flip_ink=rgb("#000000"),
)

BRIGHT = Theme(
    "bright",
    ground=rgb("#FFFFFF"),
    deck=rgb("#F0F4F7"),
    water=rgb("#E3F1FA"),
    ink=rgb("#000000"),
    dim=rgb("#24353F"),
    line=rgb("#6F8796"),
    rope=rgb("#5B7486"),
    float_=rgb("#B24A00"),
    swimmer=rgb("#00263F"),
    flip=rgb("#000000"),
    flip_ink=rgb("#F0E442"),
)

STOP_GROUND, STOP_INK = rgb("#FF8A4C"), rgb("#000000")  #: STOP ALL and what it leads to, in both themes

THEMES = MappingProxyType({theme.name: theme for theme in (DARK, BRIGHT)})
