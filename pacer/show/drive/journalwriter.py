"""The journal of a running session: saved before the screen says so, while no frame waits for the disk."""

from __future__ import annotations

import time

from pacer.session.journal.entries import Entry
from pacer.session.journal.recordentries import Record
from pacer.session.storage.keeper import TOO_MUCH, TOO_SLOW, Keeper, NotKept

PRESS_WAITS_S = 0.25  #: how long a press may wait for the disk; then it counts, and the coach is told what is wrong


class OnDisk:
    """A keeper as the driver wants it. `wait`: for a caller that draws no frames, wait until each entry is saved."""

    def __init__(self, keeper: Keeper, patience_s: float = PRESS_WAITS_S, *, wait: bool = False):
        self._keeper, self._patience_s, self._wait = keeper, patience_s, wait

    @property
    def number(self) -> int | None:
        """The session's number in the store; None until it is there."""
        return self._keeper.number

    def append(self, entry: Entry | Record) -> OnItsWay:
        """Pass an entry to the writing thread. Raises NotKept."""
        number = self._keeper.append(entry)
        if number is None:
            raise NotKept(self._keeper.trouble or TOO_MUCH)
        if self._wait:
            self._keeper.wait(number, self._patience_s)
        return OnItsWay(self._keeper, number, 0.0 if self._wait else self._patience_s)


class OnItsWay:
    """An entry that is being written."""

    def __init__(self, keeper: Keeper, number: int, patience_s: float):
        self._keeper, self._number = keeper, number
        self._until = time.monotonic() + patience_s

    def __call__(self) -> str | None:
        """ "" once it is on disk, None before that; a reason if it takes too long."""
        if self._keeper.saved >= self._number:
            return ""
        return None if time.monotonic() < self._until else self._keeper.trouble or TOO_SLOW
