"""What is different in a session after an entry: its lanes, their common starts, its end, and new catches."""

from __future__ import annotations

from typing import NamedTuple

from pacer.session.journal.entries import Entry, SwimmerChanged, SwimmerJoined
from pacer.session.running.addandskip import lines_ahead
from pacer.session.running.finish import finish_ms, going
from pacer.session.running.runstate import Run
from pacer.timeline.checks.traffic import rooms
from pacer.timeline.track import Track


class Beside(NamedTuple):
    """A run after an entry at `at_ms`, beside the run before it.

    `planned`: both as they would continue, if all are paused in both: a wait that continues is no effect of the entry.
    """

    run: Run
    after: Run
    at_ms: int
    planned: tuple[Run, Run]

    @classmethod
    def of(cls, run: Run, after: Run, at_ms: int) -> Beside:
        """Compare the runs."""
        resumed, was_resumed = going(after, at_ms), going(run, at_ms)
        waits = resumed is not after and was_resumed is not run
        return cls(run, after, at_ms, (was_resumed, resumed) if waits else (run, after))

    @property
    def waits(self) -> bool:
        """Whether all are paused in both."""
        return self.planned[0] is not self.run

    def lanes(self) -> list[int]:
        """The lanes (indexes) that differ: when they leave, for what, and who swims."""
        squads = self.run.timeline.squad, self.after.timeline.squad
        return [
            lane
            for lane in range(len(self.after.timeline.tracks))
            if _differ(self.run, self.after, lane)
            or squads[0].lanes[lane] is not squads[1].lanes[lane]
            or self.waits
            and _differ(*self.planned, lane)
        ]

    def starts(self) -> list[tuple[int, int, int]]:
        """The common starts that move, and with them a lane: section, from when, to when."""
        if going(self.after, self.at_ms) is not self.after and not self.waits:
            return []  # all are paused by the entry: nobody knows when they begin a section then
        was, will = (run.timeline for run in self.planned)
        were, are = was.gates, will.gates
        return [
            (section, start, later)
            for section, start in sorted(were.items())
            if start is not None
            and (later := are.get(section)) is not None
            and later != start
            and max(start, later) > self.at_ms
            and any(old.starts.get(section) != new.starts.get(section) for old, new in zip(was.tracks, will.tracks))
        ]

    def ends(self) -> bool:
        """Whether the session ends at another time."""
        was_ms = finish_ms(self.run, self.at_ms) if self.waits else self.run.timeline.end_ms
        return finish_ms(self.after, self.at_ms) != was_ms

    def any(self) -> bool:
        """Whether anything differs."""
        return bool(self.lanes() or self.starts() or self.ends())


def _differ(run: Run, after: Run, lane: int) -> bool:
    old, new = run.timeline.tracks[lane], after.timeline.tracks[lane]
    return old is not new and (
        old.sendoffs != new.sendoffs
        or old.paused_ms != new.paused_ms
        or old.cuts != new.cuts
        or _swum_by(old) != _swum_by(new)
    )


def _swum_by(track: Track) -> list[tuple]:
    """The repeats that are swum, with the swimmers' paces; a pass that was laid out in two parts is one."""
    made: list[tuple] = []
    for found in track.passes:
        key, first, count = (
            (found.section, found.round, found.laneline.number, found.laneline.bases),
            found.skipped,
            found.count,
        )
        if made and made[-1][0] == key and made[-1][1] + made[-1][2] == first:
            first, count = made[-1][1], made.pop()[2] + count
        made.append((key, first, count))
    return made


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
