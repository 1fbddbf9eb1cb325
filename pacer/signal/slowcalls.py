"""A thread for slow calls, with a queue of one."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable

from pacer.signal.plyerfacade import leave_java

log = logging.getLogger(__name__)

CALL_WAITS_S = 0.05  #: how long a page waits for a job before it says so: usually it is ready by then


class Worker:
    """Do the newest job; a job that still waits when a newer one comes is dropped.

    So nothing is spoken or read long after it was asked for. A job that raises is logged. The thread
    starts with the first job and never keeps the app from ending.
    """

    def __init__(self, name: str):
        self._name = name
        self._changed = threading.Condition()
        self._job: Callable[[], object] | None = None
        self._thread: threading.Thread | None = None
        self._closed = False

    def put(self, job: Callable[[], object]) -> None:
        """Do `job` as soon as the current one is finished. Returns at once."""
        with self._changed:
            if self._closed:
                return
            self._job = job
            if self._thread is None:
                self._thread = threading.Thread(target=self._run, name=self._name, daemon=True)
                self._thread.start()
            self._changed.notify()

    def close(self, wait_s: float = 0) -> None:
        """Drop the waiting job and accept no more; wait at most `wait_s` seconds for the current one."""
        with self._changed:
            self._closed, self._job = True, None
            self._changed.notify()
        if self._thread:
            self._thread.join(wait_s)

    def _run(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._job or self._closed)
                if self._closed or self._job is None:
                    break
                job, self._job = self._job, None
            try:
                job()
            except Exception:  # a bug must not end the thread: every later job would wait for ever
                log.exception("A job of the thread %s failed", self._name)
        leave_java()
