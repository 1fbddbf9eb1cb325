"""Colours of what is written on a page: light on dark water or dark on white, each 7:1 and more (WCAG 2.2, 1.4.6).

What a colour tells is told by the words themselves too, and by place; names and numbers are bold.
"""

from __future__ import annotations

from types import MappingProxyType

from pacer.show.measure.theme import Rgb, Theme, rgb

_DARK = {
    "time": rgb("#FFD36B"),
    "work": rgb("#8CD0FF"),
    "cue": rgb("#8FE3B8"),
    "group": rgb("#F3B6DA"),
    "detail": rgb("#B9C9D6"),
    "mark": rgb("#B9C9D6"),
    "key": rgb("#B9C9D6"),
    "comment": rgb("#A7B4BE"),
    "warn": rgb("#FFB24D"),
}
_BRIGHT = {
    "time": rgb("#6A3300"),
    "work": rgb("#003C74"),
    "cue": rgb("#00482E"),
    "group": rgb("#6C1149"),
    "detail": rgb("#2C3E4B"),
    "mark": rgb("#2C3E4B"),
    "key": rgb("#2C3E4B"),
    "comment": rgb("#46535D"),
    "warn": rgb("#7E2E00"),
}
INKS = MappingProxyType({"dark": MappingProxyType(_DARK), "bright": MappingProxyType(_BRIGHT)})


def ink_of(kind: str, theme: Theme) -> Rgb:
    """The colour of a kind of stretch; what has none of its own is the theme's ink."""
    return INKS[theme.name].get(kind, theme.ink)


def colour_of(name: str, theme: Theme) -> Rgb:
    """A colour by its name: of a kind of stretch, or the theme's."""
    return INKS[theme.name].get(name) or theme.colour(name)
