"""Follow the time while something is in the window."""

from __future__ import annotations

from kivy.clock import Clock


class Frames:
    """Mixed into a widget that shows what changes with time."""

    frame_s: float | None = None  #: how often `frame` is called; 0: in each frame, None: never
    _frames = None

    def frame(self, _dt: float = 0) -> None:
        """Show what has changed with time."""

    def follow_time(self, there: bool) -> None:
        """Follow the time if it is in the window (`there`), else stop."""
        if self._frames is not None:
            self._frames.cancel()
        self._frames = Clock.schedule_interval(self.frame, self.frame_s) if there and self.frame_s is not None else None
