"""A finger on a text: it places the cursor, scrolls, taps a fix or, kept down, selects words."""

from __future__ import annotations

from collections.abc import Callable
from typing import Protocol

from kivy.clock import Clock

from pacer.face.editor.editorkeyboard import EditorKeyboard
from pacer.face.editor.pagepainter import PagePainter
from pacer.face.kit.ink import Box
from pacer.face.kit.scroller import Scroller
from pacer.face.tiles.board import SLOP_MM
from pacer.plan.text.fixes import Fix
from pacer.plan.text.textbuffer import Spot, TextBuffer
from pacer.show.editing.pagelayout import Chip, Paper
from pacer.show.measure.legibility import Glass
from pacer.show.measure.presstime import WORD_MS

TURN_MM = 9.0  #: least side of what turns the page
_NOWHERE = (-1e9, -1e9)


class Touched(Protocol):
    """The text that it is on."""

    draft: TextBuffer
    ink: PagePainter
    scroller: Scroller
    typist: EditorKeyboard
    glass: Glass
    focus: bool
    apply: Callable[[Fix], None]

    @property
    def paper(self) -> Paper:
        """The text as it is laid out."""

    def inside(self, touch) -> tuple[float, float]:
        """Where a finger is in the text."""

    def went(self) -> None:
        """The cursor was moved."""

    def turn(self, step: int) -> None:
        """Show the text above (-1) or below (1) what is seen."""

    def draw_soon(self) -> None:
        """Paint before the next frame."""


class WritingFinger:
    """One finger on `page`; others mean nothing until it is lifted.

    It touches what was painted below it when it came down, whatever has changed since.
    """

    def __init__(self, page: Touched):
        self.page = page
        self.pressed: Chip | None = None  #: the fix that it is on
        self._turn = 0  # 1 or -1 on a mark that there is more
        self._uid: object | None = None
        self._down: tuple[float, float] = _NOWHERE
        self._choosing: tuple[Spot, Spot] | None = None
        self._long = None
        self._edits = 0  # the draft's edits when the finger came down
        self._fixed = False  # whether the last finger touched a fix

    @property
    def waits(self) -> bool:
        """Whether it selects a word if it stays where it is."""
        return self._long is not None

    def follows(self, touch) -> bool:
        """Whether this is that finger."""
        return touch.uid == self._uid

    def down(self, touch) -> bool:
        """It comes down. Returns whether it means anything."""
        page = self.page
        if self._uid is not None:
            return False
        x, y = touch.pos
        chip = next((chip for box, chip in page.ink.chips if box.x <= x < box.right and box.y <= y < box.top), None)
        bounced, self._fixed = touch.is_double_tap and self._fixed, chip is not None
        if bounced:  # what has appeared below the finger since it touched a fix is not meant
            return False
        near = TURN_MM / 2 * page.glass.px_per_mm
        self._turn = next((step for box, step in page.ink.turns if _near(box, x, y, near)), 0)
        self._uid, self._down, self._choosing = touch.uid, touch.pos, None
        self.pressed, self._edits = chip, page.ink.edits
        page.scroller.start(touch.y)
        if chip is None and not self._turn:
            spot = page.paper.spot_at(*page.inside(touch))
            self._long = Clock.schedule_once(lambda _dt: self._choose(spot), WORD_MS / 1000)
        page.draw_soon()
        return True

    def _choose(self, spot: Spot) -> None:
        """It has stayed: select the word below it, and more as it moves."""
        page, self._long = self.page, None
        page.scroller.hold()
        page.draft.choose_word(spot)
        self._choosing = page.draft.chosen or (spot, spot)
        page.focus = True
        page.went()

    def move(self, touch) -> None:
        """It moves: words are selected, or the page scrolls."""
        page = self.page
        if self._choosing:
            first, last = self._choosing
            spot = page.paper.spot_at(*page.inside(touch))
            page.draft.anchor = last if spot < first else first
            page.draft.cursor = spot if spot < first else max(spot, last)
            page.went()
            return
        if max(abs(touch.x - self._down[0]), abs(touch.y - self._down[1])) > SLOP_MM * page.glass.px_per_mm:
            self._let_go()
        page.scroller.drag(touch.y)

    def up(self, touch) -> None:
        """It is lifted: what is below it was meant, if it stayed there."""
        page, self._uid = self.page, None
        if self._choosing:
            self._choosing = None
            return
        page.scroller.stop(touch.y)
        stayed, chip = self._down != _NOWHERE, self.pressed
        self._let_go()
        if not stayed:
            return
        page.scroller.hold()
        if self._turn:
            page.turn(self._turn)
            return
        if chip is not None:
            if self._edits == page.draft.edits:
                page.apply(chip.fix)
            return
        spot = page.paper.spot_at(*page.inside(touch))
        if touch.is_double_tap:
            page.draft.choose_word(spot)
        else:
            page.draft.go(spot)
        page.typist.want_x = None
        page.focus = True
        page.went()

    def forget(self) -> None:
        """The finger on the text means nothing any more."""
        self._let_go()
        self._uid = self._choosing = None

    def _let_go(self) -> None:
        if self._long is not None:
            self._long.cancel()
            self._long = None
        self.pressed, self._down = None, _NOWHERE
        self.page.draw_soon()


def _near(box: Box, x: float, y: float, by: float) -> bool:
    """Whether a point is on a box, or no farther than `by` from its middle."""
    right, up = max(by, box.width / 2), max(by, box.height / 2)
    return abs(x - box.x - box.width / 2) <= right and abs(y - box.y - box.height / 2) <= up
