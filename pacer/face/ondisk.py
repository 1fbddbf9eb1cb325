"""The journal of a session on the glass: on disk before the screen says so, as long as the disk is quick."""

from __future__ import annotations

from pacer.session.journal import Entry
from pacer.session.keeper import Keeper, NotKept
from pacer.session.records import Record

PATIENCE_S = 0.25    #: so long a press may wait for the disk; then it counts, and what is amiss is told


class OnDisk:
    """A keeper as the driver wants it."""

    def __init__(self, keeper: Keeper, patience_s: float = PATIENCE_S):
        self._keeper, self._patience_s = keeper, patience_s

    def append(self, entry: Entry | Record) -> str:
        """Keep an entry. It counts from here on; the answer says why it is not on disk yet, "" where it is. Raises NotKept."""
        number = self._keeper.append(entry)
        if number is None:
            raise NotKept(self._keeper.trouble or "too much waits to be written")
        return "" if self._keeper.wait(number, self._patience_s) else self._keeper.trouble or "the disk is slow"
