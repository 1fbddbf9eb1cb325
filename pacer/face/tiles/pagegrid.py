"""The measures of a page: how large its words are, and what is touched, and how far apart."""

from __future__ import annotations

from kivy.uix.widget import Widget

from pacer.show.measure.keyrows import GAP_MM, LEAST_SHARE, PADDING_MM, TARGET_MM
from pacer.show.measure.legibility import Glass
from pacer.show.measure.theme import DARK, Theme

INSET_MM = 2.4  #: between the edge of a tile and words that begin at it


class PageGrid(Widget):
    """A page's measures, in pixels, for its theme, its screen and its size.

    `zoom`: how much larger everything is on a page with few things on it.
    """

    zoom = 1.0

    def __init__(self, theme: Theme = DARK, glass: Glass | None = None, **kwargs):
        super().__init__(**kwargs)
        self.theme, self.glass = theme, glass or Glass()

    @property
    def upright(self) -> bool:
        """Whether it is higher than wide."""
        return self.height > self.width

    @property
    def mm(self) -> float:
        """Pixels of a millimetre of the grid: more of them on a large screen, fewer for dry hands."""
        least = LEAST_SHARE * min(self.width, self.height) / TARGET_MM
        return max(self.glass.px_per_mm, least) * self.glass.hands * self.zoom

    @property
    def cap(self) -> float:
        """The character height of all words: the coach's."""
        return self.glass.unit_px(self.width, self.height) * self.zoom

    @property
    def target(self) -> float:
        """The least side of anything to touch."""
        return TARGET_MM * self.mm

    @property
    def gap(self) -> float:
        """The least distance between two such things."""
        return GAP_MM * self.mm

    @property
    def padding(self) -> float:
        """Between the edge of a tile and its words."""
        return PADDING_MM * self.mm

    @property
    def inset(self) -> float:
        """The same for words that begin at that edge."""
        return INSET_MM * self.mm
