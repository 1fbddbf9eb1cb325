"""The times of a session, gone through once for each entry more, so that every frame may ask."""

from __future__ import annotations

from pacer.session.records.touches import Taken, at_wall, times
from pacer.session.running.ongoing import Run


class TakenTimes:
    """The times in a journal that grows."""

    def __init__(self):
        self._known: tuple[tuple, tuple[Taken, ...]] = ((), ())
        self._latest: dict[int, tuple[Taken, ...]] = {}  # of each swimmer, by lane

    def of(self, journal: tuple) -> tuple[Taken, ...]:
        """All of them, corrections made."""
        if self._known[0] is not journal:
            taken = times(journal)
            latest: dict[tuple[int, int], Taken] = {}
            for one in taken:
                who = one.touched.lane, one.touched.swimmer
                if who not in latest or latest[who].touched.left_ms < one.touched.left_ms:
                    latest[who] = one
            self._known = journal, taken
            self._latest = {lane: tuple(one for (its, _), one in latest.items() if its == lane) for lane, _ in latest}
        return self._known[1]

    def at_wall(self, journal: tuple, run: Run, at_ms: int) -> tuple[frozenset[int], ...]:
        """By lane, the swimmers (places) who have touched on the swim they are on by prediction; () without a time."""
        self.of(journal)
        latest, lanes = self._latest, range(len(run.timeline.tracks))
        return tuple([at_wall(run, latest.get(lane, ()), lane, at_ms) for lane in lanes]) if latest else ()
