"""Text as textures: the font, its measures, and a limited store of what was drawn.

The font is B612. Its digits all have one width; capitals and digits are three quarters of the font's size high.
"""

from __future__ import annotations

from collections import OrderedDict
from functools import lru_cache
from typing import NamedTuple

from kivy.base import EventLoop
from kivy.core.text import Label, LabelBase
from kivy.graphics.texture import Texture

from pacer.shippedfiles import CAP, FONTS

NAME = "B612"
LabelBase.register(NAME, str(FONTS / "B612-Regular.otf"), fn_bold=str(FONTS / "B612-Bold.otf"))

OVERSHOOT = 0.02  #: more than any digit goes above that or below the base line (0.013 in the font's outlines)
DESCENT = 0.25  #: the font's own, relative to its size
DIGIT = 0.65  #: width of a digit relative to the font's size, regular and bold
COLON = 0.30
TEXTURE_BYTES = 4 * 1024 * 1024


def font_size(cap: float) -> int:
    """The font size in whole pixels whose capitals are at most `cap` pixels high."""
    return max(1, int(cap / CAP + 1e-6))


@lru_cache(8192)
def measure(text: str, cap: float, bold: bool = False) -> float:
    """Width in pixels of `text` with capitals `cap` pixels high."""
    return _width(text, font_size(cap), bold)


@lru_cache(8192)
def _width(text: str, size: int, bold: bool) -> int:
    return Label(font_name=NAME, font_size=size, bold=bold).get_extents(text)[0] if text else 0


class TextureStore:
    """Textures of white text. Above `limit` bytes (on a large screen: as much as the whole screen takes) the least
    recently used go.
    """

    def __init__(self, limit: int = TEXTURE_BYTES):
        self.limit = limit
        self.held = 0
        self._kept: OrderedDict[tuple[str, int, bool], Texture] = OrderedDict()

    def texture(self, text: str, size: int, bold: bool) -> Texture:
        """The texture of one line of text; its size is the text's extents."""
        key = (text, size, bold)
        found = self._kept.get(key)
        if found is not None:
            self._kept.move_to_end(key)
            return found
        label = Label(text=text, font_name=NAME, font_size=size, bold=bold, color=(1, 1, 1, 1))
        label.refresh()
        made = label.texture
        made.min_filter = made.mag_filter = "nearest"  # drawn pixel for pixel
        self._kept[key] = made
        self.held += made.width * made.height * 4
        while self.held > self._room() and len(self._kept) > 1:
            _, old = self._kept.popitem(last=False)
            self.held -= old.width * old.height * 4
        return made

    def _room(self) -> int:
        width, height = EventLoop.window.size if EventLoop.window is not None else (0, 0)
        return max(self.limit, 4 * int(width * height))

    def clear(self) -> None:
        """Drop everything: the graphics context is new."""
        self._kept.clear()
        self.held = 0


STORE = TextureStore()


def below_base(size: int) -> int:
    """Pixels of a text's texture below the base line."""
    return round(size * DESCENT)


DIGITS = "0123456789:"


class Strip(NamedTuple):
    """All digits and the colon in one texture, `advance` pixels for a digit.

    `foot` and `high` are the part of its height that is drawn, in pixels: from the base line to the top of a digit,
    and `over` more on each side, as round digits are taller than straight ones.
    """

    texture: Texture
    advance: int
    foot: int
    high: int
    over: int

    def cell(self, char: str) -> tuple[int, tuple[float, float, float, float]]:
        """A character's width in pixels and its position in the texture: left, right, bottom, top."""
        left = DIGITS.index(char) * self.advance
        right = self.texture.width if char == ":" else left + self.advance
        u, v = self.texture.uvpos
        wide, tall = self.texture.uvsize
        width, height = self.texture.size
        return right - left, (
            u + wide * left / width,
            u + wide * right / width,
            v + tall * self.foot / height,
            v + tall * (self.foot + self.high) / height,
        )


def strip(size: int, bold: bool) -> Strip:
    """The digits at a font size."""
    whole = STORE.texture(DIGITS, size, bold)
    over = min(below_base(size), 2 + round(OVERSHOOT * size))
    foot = below_base(size) - over
    return Strip(whole, _width("0", size, bold), foot, min(whole.height - foot, round(size * CAP) + 2 * over), over)
