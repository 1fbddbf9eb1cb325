"""Catches that a swimmer who joins a lane, or changes places, brings to its sets still ahead."""

from __future__ import annotations

from pacer.session.journal.entries import Entry, SwimmerChanged, SwimmerJoined
from pacer.session.running.addandskip import lines_ahead
from pacer.session.running.runstate import Run
from pacer.timeline.checks.traffic import rooms


def new_catches(was: Run, will: Run, entry: Entry) -> tuple[tuple[int, int], ...]:
    """The lanes that a swimmer joins, or in which they change places, with the first catch that is new there."""
    if not isinstance(entry, SwimmerChanged | SwimmerJoined):
        return ()
    lane = entry.to_lane if isinstance(entry, SwimmerChanged) else entry.lane
    known, new = ({(r.section, r.line): r for r in rooms(each.timeline) if r.lane == lane} for each in (was, will))
    for section, line in lines_ahead(will, entry.at_ms, (lane,)):
        found, before = new.get((section, line)), known.get((section, line))
        if found is not None and found.first_catch and not (before is not None and before.catches):
            return ((lane, found.first_catch.swimmer),)
    return ()
