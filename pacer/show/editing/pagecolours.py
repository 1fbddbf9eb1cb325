"""Colours of the words on a page: what is swum and when in full ink, what is said about it dim.

Weight and position tell words apart, names and numbers are bold; only a warning has a colour. Every colour has a
contrast of 7:1 or more (WCAG 2.2, 1.4.6).
"""

from __future__ import annotations

from types import MappingProxyType

from pacer.show.measure.theme import Rgb, Theme, rgb

#: Kinds of stretches that are dim.
DIM = frozenset({"cue", "mark", "key", "comment"})
INKS = MappingProxyType({"dark": {"warn": rgb("#FFB24D")}, "bright": {"warn": rgb("#7E2E00")}})


def ink_of(kind: str, theme: Theme) -> Rgb:
    """The colour of a kind of stretch."""
    return theme.dim if kind in DIM else theme.ink


def colour_of(name: str, theme: Theme) -> Rgb:
    """A colour by its name: one of the page's own, or the theme's."""
    return INKS[theme.name].get(name) or theme.colour(name)
