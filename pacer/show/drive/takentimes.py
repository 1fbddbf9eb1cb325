"""The times of a session, and where they put the swimmers. Each entry is read once, so that every frame may ask."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pacer.session.running.runstate import Run
from pacer.timeline.track import Track

if TYPE_CHECKING:  # records of a session are not needed for the first picture
    from pacer.session.records.expectedtimes import Following
    from pacer.session.records.touches import TakenTime

NOBODY: frozenset[int] = frozenset()


class TakenTimes:
    """The times in a journal that grows."""

    def __init__(self) -> None:
        self._count = 0
        self._clear()
        self._following: Following | None = None
        self._seen: tuple[Run, tuple[TakenTime, ...], Run] | None = None

    def _clear(self) -> None:
        self._taken: tuple[TakenTime, ...] = ()
        self._lanes: dict[int, list[TakenTime]] = {}
        self._latest: dict[int, dict[int, TakenTime]] = {}  # by lane, each swimmer's
        #: by lane and swimmer, how long that puts them at the wall
        self._stays: dict[int, tuple[Track, dict[int, tuple[TakenTime, int, int, int]]]] = {}

    def of(self, journal: tuple) -> tuple[TakenTime, ...]:
        """All of them, with corrections."""
        if self._count < len(journal):
            from pacer.session.journal.recordentries import Corrected, Touched, Withdrawn
            from pacer.session.records.touches import TakenTime, times

            new = journal[self._count :]
            if any(isinstance(entry, Corrected | Withdrawn) for entry in new):
                self._clear()
                found = times(journal)
            else:
                numbered = enumerate(new, self._count + 1)
                found = tuple([TakenTime(number, entry) for number, entry in numbered if isinstance(entry, Touched)])
            self._count = len(journal)
            self._taken += found
            for one in found:
                self._take(one)
        return self._taken

    def _take(self, one: TakenTime) -> None:
        lane, swimmer = one.touched.lane, one.touched.swimmer
        self._lanes.setdefault(lane, []).append(one)
        latest = self._latest.setdefault(lane, {})
        if swimmer not in latest or latest[swimmer].touched.left_ms < one.touched.left_ms:
            latest[swimmer] = one

    def at_wall(self, journal: tuple, run: Run, at_ms: int) -> tuple[frozenset[int], ...]:
        """By lane, the swimmers (numbers) who have touched on the swim that the prediction has them on; () without a
        time.
        """
        if not self.of(journal):
            return ()
        return tuple([self._standing(run, lane, at_ms) for lane in range(len(run.timeline.tracks))])

    def _standing(self, run: Run, lane: int, at_ms: int) -> frozenset[int]:
        track, stays = self._stays.get(lane, (None, {}))
        if track is not run.timeline.tracks[lane]:
            track, stays = self._stays[lane] = run.timeline.tracks[lane], {}
        standing = []
        for swimmer, one in self._latest.get(lane, {}).items():
            known = stays.get(swimmer)
            if known is None or known[0] is not one:
                from pacer.session.records.touches import stay

                known = stays[swimmer] = one, *stay(run, one.touched)
            if known[2] <= at_ms < known[3]:
                standing.append(known[1])
        return frozenset(standing) if standing else NOBODY

    def seen(self, journal: tuple, run: Run) -> Run:
        """The run to draw: its swimmers are where their times put them. What happens next goes by `run`."""
        taken = self.of(journal)
        if not taken:
            return run
        if self._seen is None or self._seen[0] is not run or self._seen[1] is not taken:
            if self._following is None:
                from pacer.session.records.expectedtimes import Following

                self._following = Following()
            self._seen = run, taken, self._following.seen(run, self._lanes)
        return self._seen[2]
