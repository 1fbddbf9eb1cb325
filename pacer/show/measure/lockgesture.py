"""The splash lock's gesture: a rest, a level stroke, a rest. Geometry and time alone, no Kivy.

One finger rests on the dot at one end of the track until the dot has filled, slides along the track without leaving
it, and rests on the dot at the other end. Why water does not do this:

- splashes and rain make several contacts: any second contact anywhere on the screen breaks the gesture off, and it can
  begin again only when nothing touches the screen;
- a drop or a puddle rests but does not travel; if the touch panel makes its contact jump to another drop, the jump
  breaks it off;
- a trickle travels, but downwards, and leaves a level track after a few millimetres; nor does it stop at an end;
- a wiping hand or towel travels along but rests at neither end, and mostly makes more than one contact.
"""

from __future__ import annotations

from enum import Enum, auto

REST_MS = 400  #: how long the finger rests at either end
LONGEST_MS = 8_000  #: from the first touch to the opening of the lock
QUICKEST_MS = 200  #: from leaving one dot to reaching the other: no finger is faster
LONGEST_MM = 130.0  #: of the track: no thumb reaches farther
REACH_MM = 9.0  #: least distance from the middle of the track at which a finger still counts
JUMP_MM = 25  #: no finger moves farther than this between two readings


class Step(Enum):
    """How far the gesture has come."""

    WAITING = auto()  # nothing touches the screen, or nothing that began on the first dot
    BROKEN = auto()  # nothing counts until nothing touches the screen
    FIRST_REST = auto()
    DRAWING = auto()
    LAST_REST = auto()
    OPEN = auto()


class LockGesture:
    """Follows the contacts on a locked screen. Lengths in mm, times in ms.

    The track is level, from `start` to `end` (x of the two dots) at height `y`; a finger is on a dot or on the track
    while it is within `reach` of it.
    """

    def __init__(self, start: float, end: float, y: float, reach: float = REACH_MM):
        self.start, self.end, self.y, self.reach = start, end, y, reach
        self.step = Step.WAITING
        self._down: set[object] = set()
        self._began_ms = self._since_ms = self._left_ms = 0
        self._x = start

    def down(self, contact: object, x: float, y: float, now_ms: int) -> None:
        """A contact appears."""
        alone = not self._down
        self._down.add(contact)
        if self.step is Step.OPEN:
            return
        if alone and self._on(self.start, x, y):
            self.step, self._began_ms, self._since_ms, self._x = Step.FIRST_REST, now_ms, now_ms, x
        elif self.step is not Step.WAITING or not alone:
            self.step = Step.BROKEN

    def move(self, contact: object, x: float, y: float, now_ms: int) -> None:
        """A contact moves."""
        if self.step not in (Step.FIRST_REST, Step.DRAWING, Step.LAST_REST):
            return
        self.tick(now_ms)
        if self.step is Step.OPEN:
            return
        if abs(x - self._x) > JUMP_MM or not self._on_track(x, y):
            self.step = Step.BROKEN
            return
        self._x = x
        if self.step is Step.FIRST_REST and not self._on(self.start, x, y):
            rested = now_ms - self._since_ms >= REST_MS
            self.step, self._left_ms = (Step.DRAWING if rested else Step.BROKEN), now_ms
        elif self.step is Step.DRAWING and self._on(self.end, x, y):
            self.step = Step.LAST_REST if now_ms - self._left_ms >= QUICKEST_MS else Step.BROKEN
            self._since_ms = now_ms
        elif self.step is Step.LAST_REST and not self._on(self.end, x, y):
            self.step = Step.DRAWING

    def up(self, contact: object, now_ms: int) -> None:
        """A contact leaves the screen."""
        self.tick(now_ms)
        self._down.discard(contact)
        if self.step is Step.OPEN:
            return
        if not self._down:
            self.step = Step.WAITING
        else:
            self.step = Step.BROKEN

    def tick(self, now_ms: int) -> bool:
        """Let time pass; returns whether the lock is open."""
        if self.step is Step.LAST_REST and now_ms - self._since_ms >= REST_MS:
            self.step = Step.OPEN
        elif self.step in (Step.FIRST_REST, Step.DRAWING, Step.LAST_REST) and now_ms - self._began_ms > LONGEST_MS:
            self.step = Step.BROKEN
        return self.step is Step.OPEN

    def drawn(self, now_ms: int) -> tuple[float, float, float]:
        """For drawing: how full the first dot is, how far the stroke has come, how full the last dot is.

        Each 0 to 1.
        """
        if self.step is Step.FIRST_REST:
            return min(1.0, (now_ms - self._since_ms) / REST_MS), 0.0, 0.0
        if self.step in (Step.DRAWING, Step.LAST_REST):
            come = max(0.0, min(1.0, (self._x - self.start) / (self.end - self.start)))
            last = min(1.0, (now_ms - self._since_ms) / REST_MS) if self.step is Step.LAST_REST else 0.0
            return 1.0, come, last
        return (1.0, 1.0, 1.0) if self.step is Step.OPEN else (0.0, 0.0, 0.0)

    def _on(self, dot: float, x: float, y: float) -> bool:
        return (x - dot) ** 2 + (y - self.y) ** 2 <= self.reach**2

    def _on_track(self, x: float, y: float) -> bool:
        low, high = sorted((self.start, self.end))
        return abs(y - self.y) <= self.reach and low - self.reach <= x <= high + self.reach
