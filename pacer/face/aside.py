"""A thread for what may take long and is worth nothing once something else is asked: it ends where it stands."""

from __future__ import annotations

import ctypes
import threading
from collections.abc import Callable


class _Dropped(BaseException):
    """Raised in a job that nobody waits for any more."""


class Aside:
    """Does one job at a time, the newest; the one before is dropped, so that it keeps nobody from going on.

    A job must leave nothing half done that others see: it may end between any two of its steps. CPython's own call for that is
    used; where there is none a dropped job goes on to its end, and whoever gave it sees that its answer is out of date.
    """

    def __init__(self, name: str):
        self._name = name
        self._thread: threading.Thread | None = None

    def put(self, job: Callable[[], None]) -> None:
        """Drop the present job and begin this one. Returns at once."""
        self.drop()
        self._thread = threading.Thread(target=_do, args=(job,), name=self._name, daemon=True)
        self._thread.start()

    def drop(self) -> None:
        """End the present job where it stands."""
        thread, self._thread = self._thread, None
        if thread is not None and thread.is_alive() and hasattr(ctypes, "pythonapi"):
            ctypes.pythonapi.PyThreadState_SetAsyncExc(ctypes.c_ulong(thread.ident), ctypes.py_object(_Dropped))


def _do(job: Callable[[], None]) -> None:
    try:
        job()
    except _Dropped:
        pass
