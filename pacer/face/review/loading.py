"""A page's part that reads earlier sessions while the page is open."""

from __future__ import annotations

from collections.abc import Callable

from kivy.clock import Clock

from pacer.face.tiles.column import Column
from pacer.language import tr, tr_n
from pacer.show.after.sessionreading import SessionReading

PAGE_WAITS_S = 0.1  #: how long a page waits for what was read before, so that it opens complete


class Loading:
    """Reads by `read(budget_s)`; `came()` is called in the frame after there is more to show."""

    def __init__(self, read: Callable[[float], int], came: Callable[[], None]):
        self._reading, self._came = SessionReading(read), came
        self._seen = 0
        self._next = Clock.create_trigger(self._look, 0)

    @property
    def unread(self) -> int | None:
        """How many sessions are left; None while that is not known."""
        return self._reading.unread

    def begin(self) -> None:
        """Begin to read."""
        self._reading.begin(PAGE_WAITS_S)
        self._seen = self._reading.goes
        if self.unread != 0:
            self._next()

    def say(self, column: Column) -> None:
        """Say what is still to come, or why it does not come."""
        if self._reading.trouble:
            column.say(self._reading.trouble, bold=True, colour="warn")
        if self.unread:
            column.say(
                tr("Loading: {counted}", counted=tr_n("{n:,} more session", "{n:,} more sessions", self.unread)),
                colour="dim",
            )
        elif self.unread is None:
            column.say(tr("Loading"), colour="dim")

    def close(self) -> None:
        """Stop reading."""
        self._next.cancel()
        self._reading.drop()

    def _look(self, _dt: float) -> None:
        if self._reading.goes != self._seen:
            self._seen = self._reading.goes
            self._came()
        if self.unread != 0 or self._reading.goes != self._seen:
            self._next()
