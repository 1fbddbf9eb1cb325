"""Runs long jobs on a thread of their own; a job gives up at its next step once something newer is asked."""

from __future__ import annotations

import threading
from collections.abc import Callable, Hashable
from contextlib import suppress
from typing import Generic, TypeVar

from pacer.timeline.cancellation import GivenUp, while_wanted

T = TypeVar("T")


class Aside:
    """Does one job at a time, always the newest. Drops the job before it, so that no newer job has to wait.

    A dropped job ends at the next `pacer.timeline.cancellation.step` it reaches.
    """

    def __init__(self, name: str):
        self._name = name
        self._wanted: threading.Event | None = None

    def put(self, job: Callable[[], None]) -> None:
        """Drop the current job and start this one. Returns at once."""
        self.drop()
        self._wanted = wanted = threading.Event()
        wanted.set()
        threading.Thread(target=_do, args=(job, wanted), name=self._name, daemon=True).start()

    def drop(self) -> None:
        """Drop the current job: nobody needs it any more."""
        if self._wanted is not None:
            self._wanted.clear()
            self._wanted = None


class Answers(Generic[T]):
    """Works out the latest question on another thread: the caller never waits, and asks again in a later frame."""

    def __init__(self, name: str):
        self._aside, self._lock = Aside(name), threading.Lock()
        self._asked: Hashable = None
        self._found: tuple[Hashable, T] | None = None
        self._there = threading.Event()
        self.count = 0  #: goes up with every answer

    def ask(self, key: Hashable, make: Callable[[], T]) -> T | None:
        """The answer to the question `key`, or None until it is ready. `make` works it out, once."""
        with self._lock:
            if self._found is not None and self._found[0] == key:
                return self._found[1]
            if self._asked == key:
                return None
            self._asked = key
            self._there.clear()
        self._aside.put(lambda: self._keep(key, make()))
        return None

    def _keep(self, key: Hashable, answer: T) -> None:
        with self._lock:
            if self._asked == key:
                self._found, self.count = (key, answer), self.count + 1
                self._there.set()

    def wait(self, most_s: float) -> None:
        """Wait for the answer, for at most `most_s`."""
        self._there.wait(most_s)

    def drop(self) -> None:
        """Drop the question: nobody needs the answer any more."""
        with self._lock:
            self._asked = self._found = None
        self._aside.drop()


def _do(job: Callable[[], None], wanted: threading.Event) -> None:
    with suppress(GivenUp), while_wanted(wanted.is_set):
        job()
