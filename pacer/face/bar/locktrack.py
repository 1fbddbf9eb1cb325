"""The splash lock as drawn: two dots, the way between them, and a swimmer that the finger moves along it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from kivy.lang import Builder
from kivy.properties import ColorProperty, NumericProperty, StringProperty
from kivy.uix.widget import Widget

from pacer.language import tr
from pacer.plan.sentence import capitals
from pacer.show.measure.keyrows import TARGET_MM
from pacer.show.measure.lockgesture import LONGEST_MM, TRACK_REACH_MM, Broke, LockGesture, Step
from pacer.show.measure.messagetime import LOCK_MS
from pacer.show.measure.theme import Theme

Builder.load_file(str(Path(__file__).with_suffix(".kv")))

#: What it says, the longest way first.
WORDS = (
    tr("Locked. With one finger: hold the dot until it fills, slide slowly across, hold the other dot"),
    tr("Locked: hold until it fills, slide slowly, hold"),
    tr("hold, slide slowly, hold"),
    tr("hold, slide slowly"),
    tr("hold, slide"),
)
FILLING = tr("Hold until the dot fills"), tr("hold"), tr("hold")
FULL = (
    tr("Now slide slowly across, without lifting"),
    tr("now slide slowly, don't lift"),
    tr("now slide, don't lift"),
    tr("slide"),
)
ARRIVED = tr("Hold here until this dot fills"), tr("hold here"), tr("hold")
SHORT = tr("Too short: hold until the dot fills"), tr("too short: hold"), tr("too short")
LIFTED = tr("Don't lift: slide, and hold the other dot until it fills"), tr("don't lift: slide, hold"), tr("don't lift")
#: What went wrong with a finger that is still down or has just left.
BROKEN = {
    Broke.SHORT: SHORT,
    Broke.QUICK: (
        tr("Too quick: slide slowly, then hold the other dot"),
        tr("too quick: slide slowly"),
        tr("too quick"),
    ),
    Broke.ASIDE: (tr("Off the track: slide straight across"), tr("slide straight across"), tr("off the track")),
    Broke.SLOW: (tr("Too slow: lift, and begin again"), tr("too slow: lift"), tr("too slow")),
    Broke.SECOND: (tr("One finger only: lift, and begin again"), tr("one finger only"), tr("one finger")),
}


class LockTrack(Widget):
    """The track; it follows every contact on the screen and says when the lock is open."""

    text = StringProperty()
    font_size = NumericProperty(20)
    edge = ColorProperty((0, 0, 0))
    ink = ColorProperty((1, 1, 1))
    fill = ColorProperty((1, 1, 0))
    stroke = NumericProperty(1)
    dot = NumericProperty(20)
    first_x = NumericProperty(0)
    last_x = NumericProperty(0)
    knob_x = NumericProperty(0)
    first_full = NumericProperty(0)
    last_full = NumericProperty(0)

    def lay_out(
        self,
        pos: tuple[float, float],
        room: tuple[float, float],
        mm: float,
        px_per_mm: float,
        theme: Theme,
        words_for: Callable[..., tuple[str, int]],
    ) -> None:
        """At the right of the room; `mm` is the bar's own millimetre, which grows on a large screen, `px_per_mm` the
        screen's.
        """
        height = min(room[1], (TARGET_MM + 4) * mm)
        self.size = (min(room[0], LONGEST_MM * mm), height)
        self.right, self.center_y = pos[0] + room[0], pos[1] + room[1] / 2
        self.dot = height * 0.42
        self.first_x, self.last_x = self.x + height / 2, self.right - height / 2
        self.knob_x, self.first_full, self.last_full = self.first_x, 0, 0
        self.edge, self.ink, self.fill, self.stroke = theme.line, theme.ink, theme.flip, max(1, 0.2 * mm)
        self._words_for = words_for
        self._said: tuple[str, ...] = ()
        self._told: tuple[str, ...] = WORDS
        self._told_ms = -LOCK_MS
        self._say(WORDS)
        self._px = px_per_mm
        self._opening = LockGesture(
            self.first_x / px_per_mm,
            self.last_x / px_per_mm,
            self.center_y / px_per_mm,
            max(TRACK_REACH_MM, height / 2 / px_per_mm),
        )

    def down(self, touch, now_ms: int) -> None:
        """A contact anywhere on the screen."""
        self._opening.down(touch.uid, touch.x / self._px, touch.y / self._px, now_ms)

    def move(self, touch, now_ms: int) -> None:
        """A contact moves."""
        self._opening.move(touch.uid, touch.x / self._px, touch.y / self._px, now_ms)

    def up(self, touch, now_ms: int) -> None:
        """A contact leaves the screen."""
        step = self._opening.step
        if step in (Step.FIRST_REST, Step.DRAWING, Step.LAST_REST):
            rested = step is not Step.FIRST_REST or self._opening.drawn(now_ms)[0] >= 1
            self._told, self._told_ms = (LIFTED if rested else SHORT), now_ms
        elif step is Step.BROKEN and self._opening.broke is not None:
            self._told, self._told_ms = BROKEN[self._opening.broke], now_ms
        self._opening.up(touch.uid, now_ms)

    def tick(self, now_ms: int) -> bool:
        """Draw how far the gesture has come; returns whether the lock is open."""
        if self._opening.tick(now_ms):
            return True
        self.first_full, come, self.last_full = self._opening.drawn(now_ms)
        self.knob_x = self.first_x + come * (self.last_x - self.first_x)
        if self._opening.step is Step.FIRST_REST:
            self._told_ms = now_ms - LOCK_MS
            self._say(FULL if self.first_full >= 1 else FILLING)
        elif self._opening.step is Step.DRAWING:
            self._say(FULL)
        elif self._opening.step is Step.LAST_REST:
            self._say(ARRIVED)
        elif self._opening.step is Step.BROKEN and self._opening.broke is not None:
            self._told, self._told_ms = BROKEN[self._opening.broke], now_ms
            self._say(self._told)
        else:
            self._say(self._told if now_ms < self._told_ms + LOCK_MS else WORDS)
        return False

    def _say(self, ways: tuple[str, ...]) -> None:
        if ways is not self._said:
            self._said = ways
            self.text, self.font_size = self._words_for(
                capitals(ways), self.width - 2.1 * self.height, self.height, bold=False
            )
