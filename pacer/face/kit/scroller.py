"""How far a page is scrolled by a finger: dragged, flung, stopped at both ends; and the mark at its side that says
there is more.
"""

from __future__ import annotations

from collections.abc import Callable

from kivy.effects.scroll import ScrollEffect

from pacer.face.kit.ink import Box

MARK_MM = 1.2  #: width of the mark: with the edge, less than a page's own margin
EDGE_MM = 0.5  #: between it and the edge
LEAST_MM = 8.0  #: its least length
HIDDEN_MM = 2.0  #: if no more than this is hidden, it is only a margin


class Scroller:
    """`offset` pixels of the page are above the upper edge; `moved()` is called whenever that changes."""

    def __init__(self, moved: Callable[[], None]):
        self._effect = ScrollEffect()
        self._from, self._stays = 0.0, False  # where it was as the finger came down, and whether it stays there
        self._effect.bind(scroll=lambda *_: moved(), velocity=lambda *_: moved())

    @property
    def offset(self) -> float:
        """How far the page is scrolled."""
        return round(self._effect.scroll)

    @property
    def most(self) -> float:
        """How far it can be scrolled."""
        return self._effect.max

    @property
    def scrolls(self) -> bool:
        """Whether the finger that is down can scroll."""
        return self._effect.max > 0 and not self._stays

    @property
    def rests(self) -> bool:
        """Whether it neither follows a finger nor moves on after one."""
        return not self._effect.is_manual and not self._effect.velocity

    def mark(self, view: Box, px_per_mm: float) -> Box | None:
        """The strip at the right edge of `view` that shows which part of the page is seen.

        None if all of it is.
        """
        if self.most <= HIDDEN_MM * px_per_mm:
            return None
        edge = EDGE_MM * px_per_mm
        room = view.height - 2 * edge
        high = min(room, max(LEAST_MM * px_per_mm, room * view.height / (view.height + self.most)))
        gone = min(1.0, max(0.0, self.offset / self.most))
        wide = MARK_MM * px_per_mm
        return Box(view.right - edge - wide, view.top - edge - high - gone * (room - high), wide, high)

    def limit(self, content: float, height: float) -> None:
        """Set the page's height and that of the window it is seen through."""
        self._effect.max = max(0.0, content - height)
        if self._effect.value > self._effect.max or self._effect.value < 0:
            self.to(self._effect.value)

    def to(self, offset: float) -> None:
        """Scroll there at once, as far as possible."""
        self._effect.velocity = 0
        self._effect.value = min(max(0.0, offset), self._effect.max)

    def show(self, top: float, bottom: float, height: float) -> None:
        """Scroll no further than needed to see the page from `top` to `bottom`."""
        offset = self._effect.value
        if bottom - offset > height:
            offset = bottom - height
        if top < offset:
            offset = top
        if offset != self._effect.value:
            self.to(offset)

    def start(self, y: float) -> None:
        """A finger comes down."""
        self._from, self._stays = self._effect.value, False
        self._effect.start(y)

    def drag(self, y: float) -> None:
        """It moves."""
        self._effect.update(y)

    def stop(self, y: float) -> None:
        """It is lifted; the page may move on for a while."""
        if not self._stays:
            self._effect.stop(y)

    def stay(self) -> None:
        """The finger has come for something else: until it is lifted, the page stays where it was."""
        if not self._stays:
            self._stays = True
            self.hold()
            self.to(self._from)

    def hold(self) -> None:
        """The finger turns out to mean something else."""
        self._effect.velocity = 0
        self._effect.is_manual = False
