"""How each kind of mark in a figure is filled: a colour, and a pattern for eyes that can't tell the colours apart.

The colours are those of Okabe and Ito (2002), darkened on light grounds until they reach 3:1 (WCAG 2.2, 1.4.11). Each
activity also has a pattern of its own: nothing is told by colour alone.
"""

from __future__ import annotations

from dataclasses import dataclass
from types import MappingProxyType

from pacer.show.measure.theme import BRIGHT, DARK, Rgb, Theme, rgb

PLAIN, UPRIGHT, LEVEL, SLANT, DOTTED, CROSSED = "plain", "upright", "level", "slant", "dotted", "crossed"


@dataclass(frozen=True, slots=True)
class Fill:
    """A ground colour and the pattern drawn on it in a second one."""

    colour: Rgb
    pattern: str = PLAIN
    second: Rgb = (0.0, 0.0, 0.0)


#: Patterns by activity: swim is plain, as it is most of a plan.
PATTERNS = MappingProxyType({"swim": PLAIN, "drill": SLANT, "kick": UPRIGHT, "pull": LEVEL, "scull": DOTTED})

_ON_DARK = {"swim": "#56B4E9", "drill": "#F0E442", "kick": "#E8804A", "pull": "#00B488", "scull": "#D9A0C6"}
_ON_LIGHT = {"swim": "#0072B2", "drill": "#9A6A00", "kick": "#942B00", "pull": "#00664B", "scull": "#8E4270"}
#: Five colours for swimmers; the dot's shape is the other half of who it is.
SWIMMERS = ("one", "two", "three", "four", "five")
_SWIM_DARK = dict(zip(SWIMMERS, ("#56B4E9", "#F0E442", "#E8804A", "#00B488", "#D9A0C6")))
_SWIM_LIGHT = dict(zip(SWIMMERS, ("#0072B2", "#9A6A00", "#942B00", "#00664B", "#8E4270")))
_BLACK, _WHITE = rgb("#000000"), rgb("#FFFFFF")


Codes = dict[str, str]
Fills = MappingProxyType[str, Fill]


def _fills(theme: Theme, colours: Codes, swimmers: Codes, second: Rgb, over: str) -> Fills:
    made = {name: Fill(rgb(code), PATTERNS[name], second) for name, code in colours.items()}
    made |= {name: Fill(rgb(code)) for name, code in swimmers.items()}
    for name in ("ground", "water", "line", "ink", "dim"):
        made[name] = Fill(getattr(theme, name))
    made["over"] = Fill(rgb(over), CROSSED, theme.ground)
    made["grid"] = Fill(theme.water)
    made["edge"] = Fill(theme.ink)
    made["target"] = Fill(theme.ink)
    made["curve"] = Fill(theme.line)
    return MappingProxyType(made)


#: By theme, then by the name of what is filled.
FILLS = MappingProxyType(
    {
        DARK.name: _fills(DARK, _ON_DARK, _SWIM_DARK, _BLACK, "#B24A3C"),
        BRIGHT.name: _fills(BRIGHT, _ON_LIGHT, _SWIM_LIGHT, _WHITE, "#E8A79E"),
    }
)

#: Paper is white whatever the screen is.
PAPER = FILLS[BRIGHT.name]
