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

FINGER_RESTS_MS = 400  #: how long the finger rests at either end
LONGEST_MS = 8_000  #: from the first touch to the opening of the lock
QUICKEST_MS = 200  #: from leaving one dot to reaching the other: no finger is faster
LONGEST_MM = 130.0  #: of the track: no thumb reaches farther
TRACK_REACH_MM = 9.0  #: least distance from the middle of the track at which a finger still counts
JUMP_MM = 25  #: no finger moves farther than this between two readings


class Step(Enum):
    """How far the gesture has come."""

    WAITING = auto()  # nothing touches the screen, or nothing that began on the first dot
    BROKEN = auto()  # nothing counts until nothing touches the screen
    FIRST_REST = auto()
    DRAWING = auto()
    LAST_REST = auto()
    OPEN = auto()


class Broke(Enum):
    """Why the gesture was broken off."""

    SHORT = auto()  # the finger left the first dot before that was full
    QUICK = auto()  # it slid faster than a finger does on purpose
    ASIDE = auto()  # it left the track
    SLOW = auto()
    SECOND = auto()  # something else touched the screen


class LockGesture:
    """Follows the contacts on a locked screen. Lengths in mm, times in ms. `broke`: why the last try was broken off.

    The track is level, from `start` to `end` (x of the two dots) at height `y`; a finger is on a dot or on the track
    while it is within `reach` of it.
    """

    def __init__(self, start: float, end: float, y: float, reach: float = TRACK_REACH_MM):
        self.start, self.end, self.y, self.reach = start, end, y, reach
        self.step = Step.WAITING
        self.broke: Broke | None = None
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
            self.broke = None
        elif self.step is not Step.WAITING or not alone:
            self._break(Broke.SECOND)

    def move(self, contact: object, x: float, y: float, now_ms: int) -> None:
        """A contact moves."""
        if self.step not in (Step.FIRST_REST, Step.DRAWING, Step.LAST_REST):
            return
        self.tick(now_ms)
        if self.step is Step.OPEN:
            return
        leaves = self.step is Step.FIRST_REST and not self._on(self.start, x, y)
        if leaves and now_ms - self._since_ms < FINGER_RESTS_MS:
            self._break(Broke.SHORT)
        elif not self._on_track(x, y):
            self._break(Broke.ASIDE)
        elif abs(x - self._x) > JUMP_MM:
            self._break(Broke.QUICK)
        if self.step is Step.BROKEN:
            return
        self._x = x
        if leaves:
            self.step, self._left_ms = Step.DRAWING, now_ms
        elif self.step is Step.DRAWING and self._on(self.end, x, y):
            self.step, self._since_ms = Step.LAST_REST, now_ms
            if now_ms - self._left_ms < QUICKEST_MS:
                self._break(Broke.QUICK)
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
        if self.step is Step.LAST_REST and now_ms - self._since_ms >= FINGER_RESTS_MS:
            self.step = Step.OPEN
        elif self.step in (Step.FIRST_REST, Step.DRAWING, Step.LAST_REST) and now_ms - self._began_ms > LONGEST_MS:
            self._break(Broke.SLOW)
        return self.step is Step.OPEN

    def _break(self, why: Broke) -> None:
        if self.step in (Step.FIRST_REST, Step.DRAWING, Step.LAST_REST):
            self.broke = why
        self.step = Step.BROKEN

    def drawn(self, now_ms: int) -> tuple[float, float, float]:
        """For drawing: how full the first dot is, how far the stroke has come, how full the last dot is.

        Each 0 to 1.
        """
        if self.step is Step.FIRST_REST:
            return min(1.0, (now_ms - self._since_ms) / FINGER_RESTS_MS), 0.0, 0.0
        if self.step in (Step.DRAWING, Step.LAST_REST):
            come = max(0.0, min(1.0, (self._x - self.start) / (self.end - self.start)))
            last = min(1.0, (now_ms - self._since_ms) / FINGER_RESTS_MS) if self.step is Step.LAST_REST else 0.0
            return 1.0, come, last
        return (1.0, 1.0, 1.0) if self.step is Step.OPEN else (0.0, 0.0, 0.0)

    def _on(self, dot: float, x: float, y: float) -> bool:
        return (x - dot) ** 2 + (y - self.y) ** 2 <= self.reach**2

    def _on_track(self, x: float, y: float) -> bool:
        low, high = sorted((self.start, self.end))
        return abs(y - self.y) <= self.reach and low - self.reach <= x <= high + self.reach
