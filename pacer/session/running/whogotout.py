"""Who got out of a running session and may come back, and who of the absent came after all."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from pacer.session.journal.entries import Change, SwimmerJoined, SwimmerLeft
from pacer.session.running.runstate import Run
from pacer.squad.squad import Swimmer


class GotOut(NamedTuple):
    """A swimmer who got out: as `SwimmerJoined.back` names them, who it is, of which lane (index), and when."""

    number: int
    swimmer: Swimmer
    lane: int
    at_ms: int


def got_out(run: Run) -> tuple[GotOut, ...]:
    """Who got out and has not come back, the first one first."""
    made: dict[int, GotOut] = {}
    number = 0
    for before, change in _changes(run):
        if isinstance(change, SwimmerLeft):
            lanes = before.timeline.squad.lanes
            there = lanes[change.lane].swimmers if 0 <= change.lane < len(lanes) else ()
            if 0 <= change.place < len(there):
                made[number] = GotOut(number, there[change.place], change.lane, change.at_ms)
            number += 1
        elif isinstance(change, SwimmerJoined) and change.back is not None:
            made.pop(change.back, None)
    return tuple(made.values())


def who_comes_back(run: Run, entry: SwimmerJoined) -> GotOut | None:
    """Who comes back by an entry; None if it is somebody else, or they are in a lane already."""
    return next((one for one in got_out(run) if one.number == entry.back), None)


def came_late(run: Run) -> frozenset[int]:
    """Who of the absent came after all, by their number; they may have got out since."""
    joined = (change.absent for _, change in _changes(run) if isinstance(change, SwimmerJoined))
    return frozenset(absent for absent in joined if absent is not None)


def _changes(run: Run) -> Iterator[tuple[Run, Change]]:
    """The changes that are not undone, the first one first, each with the run before it."""
    made = []
    while run.before is not None and run.by is not None:
        made.append((run.before, run.by))
        run = run.before
    return reversed(made)
