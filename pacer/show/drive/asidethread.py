"""A thread for what may take long and is worth nothing once something else is asked: it gives up at its next step."""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import suppress

from pacer.timeline.cancellation import GivenUp, while_wanted


class Aside:
    """Does one job at a time, the newest; the one before is dropped, so that it keeps nobody from going on.

    A dropped job ends at the next `pacer.timeline.cancellation.step` that it comes to.
    """

    def __init__(self, name: str):
        self._name = name
        self._wanted: threading.Event | None = None

    def put(self, job: Callable[[], None]) -> None:
        """Drop the present job and begin this one. Returns at once."""
        self.drop()
        self._wanted = wanted = threading.Event()
        wanted.set()
        threading.Thread(target=_do, args=(job, wanted), name=self._name, daemon=True).start()

    def drop(self) -> None:
        """The present job is not wanted any more."""
        if self._wanted is not None:
            self._wanted.clear()
            self._wanted = None


def _do(job: Callable[[], None], wanted: threading.Event) -> None:
    with suppress(GivenUp), while_wanted(wanted.is_set):
        job()
