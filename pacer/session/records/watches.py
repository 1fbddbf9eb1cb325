"""Stopwatches: any number, running beside the session and never affecting it.

A watch's state follows from its presses.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from pacer.session.journal.recordentries import Press, Watched, WatchFiled, standing


@dataclass(frozen=True, slots=True)
class Watch:
    """A stopwatch by its number.

    `started_ms` is None until it runs; `splits_ms` and `stopped_ms` are session times.
    """

    number: int
    started_ms: int | None = None
    splits_ms: tuple[int, ...] = ()
    stopped_ms: int | None = None

    @property
    def running(self) -> bool:
        """Whether the watch is running."""
        return self.started_ms is not None and self.stopped_ms is None

    def reading_cs(self, at_ms: int) -> int:
        """The watch's reading in hundredths; the third decimal is dropped."""
        if self.started_ms is None:
            return 0
        return ((at_ms if self.stopped_ms is None else self.stopped_ms) - self.started_ms) // 10

    def times_cs(self) -> tuple[int, ...]:
        """The time to each split, and to the stop."""
        if self.started_ms is None:
            return ()
        ends = self.splits_ms if self.stopped_ms is None else (*self.splits_ms, self.stopped_ms)
        return tuple([(end - self.started_ms) // 10 for end in ends])

    def laps_cs(self) -> tuple[int, ...]:
        """The times from each split to the next."""
        times = self.times_cs()
        return tuple([after - before for before, after in zip((0, *times), times)])


def pressed(watch: Watch, entry: Watched) -> Watch:
    """The watch after a press.

    Presses without meaning in the watch's state do nothing; a stopped watch that is started again continues.
    """
    at_ms = entry.at_ms
    match entry.press:
        case Press.START if watch.started_ms is None:
            return replace(watch, started_ms=at_ms)
        case Press.START if watch.stopped_ms is not None and watch.started_ms is not None:
            paused = at_ms - watch.stopped_ms
            return replace(
                watch,
                started_ms=watch.started_ms + paused,
                splits_ms=tuple([at + paused for at in watch.splits_ms]),
                stopped_ms=None,
            )
        case Press.SPLIT if watch.running:
            return replace(watch, splits_ms=(*watch.splits_ms, at_ms))
        case Press.STOP if watch.running:
            return replace(watch, stopped_ms=at_ms)
        case Press.CLEAR if not watch.running:
            return Watch(watch.number)
    return watch


def watches(journal: Iterable[object]) -> tuple[Watch, ...]:
    """All watches that were ever started, by number, in their current state."""
    made: dict[int, Watch] = {}
    for _, entry in standing(journal):
        if isinstance(entry, Watched):
            made[entry.watch] = pressed(made.get(entry.watch, Watch(entry.watch)), entry)
    return tuple([watch for _, watch in sorted(made.items()) if watch.started_ms is not None])


def filed(watch: Watch, at_ms: int, lane: int, swimmer: int | None = None) -> WatchFiled | None:
    """The entry that saves a watch's times in the log of a lane or swimmer; None if it has no times yet."""
    times = watch.times_cs()
    return WatchFiled(at_ms, watch.number, lane, times, swimmer) if times else None
