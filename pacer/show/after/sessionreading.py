"""Reading earlier sessions on another thread, so that no frame waits for them; a page shows what is there so far."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable

from pacer.language import tr
from pacer.session.storage.store import StoreTrouble
from pacer.show.drive.asidethread import Aside
from pacer.timeline.cancellation import GivenUp, step

log = logging.getLogger(__name__)

FIRST_S, LONGEST_S = 0.15, 1.0  #: how long sessions are read until what is there is shown: longer each time


class SessionReading:
    """`read(budget_s)` reads for so long, makes what it has read ready to show, and returns how many are left.

    `unread`: how many are left, None while that is not known. `goes` goes up whenever there is more to show. `trouble`
    says why the rest can't be read.
    """

    def __init__(self, read: Callable[[float], int]):
        self._read, self._aside = read, Aside("sessions")
        self._first = threading.Event()
        self.unread: int | None = None
        self.goes, self.trouble = 0, ""

    def begin(self, patience_s: float = 0.0) -> None:
        """Begin to read; wait so long for what is there at once."""
        self._aside.put(self._all)
        self._first.wait(patience_s)

    def drop(self) -> None:
        """Nobody wants the rest any more."""
        self._aside.drop()

    def _all(self) -> None:
        budget_s = FIRST_S
        try:
            while self.unread != 0:
                left = self._read(budget_s)
                step()
                self.unread, self.goes = left, self.goes + 1
                self._first.set()
                budget_s = min(LONGEST_S, 2 * budget_s)
        except GivenUp:
            raise
        except Exception as wrong:
            if not isinstance(wrong, StoreTrouble):
                log.exception("Reading sessions failed")
            self.trouble = str(wrong) if isinstance(wrong, StoreTrouble) else tr("Some sessions can't be read.")
            self.unread, self.goes = 0, self.goes + 1
        self._first.set()
