"""Who swam when in which lane and place, found by replaying the session.

Swimmers join, leave and change lanes while a session runs, and then their place in a lane is somebody else's. So the
session is replayed with a number in place of every name: the squad at any moment says who was where.
"""

from __future__ import annotations

from bisect import bisect_left
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import NamedTuple

from pacer.review.sessionlog import known_ms
from pacer.session.journal.entries import Entry, Held, Stopped, SwimmerJoined
from pacer.session.journal.recordentries import Record
from pacer.session.running.replay import apply, fresh
from pacer.session.running.runstate import Run
from pacer.session.storage.savedsession import KeptSession
from pacer.squad.squad import Lane, Pace, Squad
from pacer.timeline.findings import CannotRun
from pacer.timeline.timeline import Timeline, build_timeline
from pacer.timeline.track import NEVER


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody in the session: where they started (lane index, place from 0), and their pace then.

    `name` is "" if none was written. `number` counts all people from 0. `own`: whether the pace is their own and not
    the lane's.
    """

    number: int
    lane: int
    place: int
    base: Pace
    name: str = ""
    own: bool = True


class Pause(NamedTuple):
    """A lane was paused from `from_ms` until `until_ms`, when it left again."""

    lane: int
    from_ms: int
    until_ms: int


@dataclass(frozen=True, slots=True)
class Replayed:
    """A replayed session: the timeline as it was `begun`, the run at the end, who was where, and all pauses.

    `until_ms` is up to when it is known how it went, `squad` who was here, with names. `_changed`: the squads over
    time, each with the time from which it is valid, ascending.
    """

    begun: Timeline
    run: Run
    people: tuple[Person, ...]
    pauses: tuple[Pause, ...]
    until_ms: int
    squad: Squad
    _changed: tuple[tuple[int, tuple[tuple[int, ...], ...]], ...]

    def who(self, lane: int, send_off_ms: int) -> tuple[int, ...]:
        """The numbers of those who swim a lane's repeat on which its leader leaves at `send_off_ms`."""
        at = bisect_left(self._changed, send_off_ms, key=lambda one: one[0])
        return self._changed[max(0, at - 1)][1][lane]


def replayed(kept: KeptSession) -> Replayed:
    """Replay a session from its journal. Raises Unreadable or CannotRun if this version cannot run its plan."""
    plan, squad = kept.session.read()
    counts = {(section, line): lanes for section, line, lanes in kept.session.counts}
    begun = build_timeline(plan, _numbered(squad), counts)
    people = [
        Person(number, lane, place, swimmer.base, swimmer.name, swimmer.own)
        for number, (lane, place, swimmer) in enumerate(
            (lane, place, swimmer)
            for lane, told in enumerate(squad.lanes)
            for place, swimmer in enumerate(told.swimmers)
        )
    ]
    run, changed = fresh(begun), [(-NEVER, _numbers(begun.squad))]
    pauses: list[Pause] = []
    waits: dict[int, int] = {}
    for entry in kept.journal:
        if isinstance(entry, Record):
            continue
        if isinstance(entry, SwimmerJoined):
            lane = begun.squad.lanes[entry.lane] if entry.lane < len(begun.squad.lanes) else None
            base = Pace(entry.base_ms, plan.pool.unit) if entry.base_ms is not None else lane.base if lane else Pace(0)
            people.append(
                Person(len(people), entry.lane, entry.place or 0, base, entry.name, entry.base_ms is not None)
            )
            entry = replace(entry, name=str(len(people) - 1))
        before = run
        with suppress(CannotRun):
            run = apply(run, entry)
        if run.timeline.squad is not before.timeline.squad:
            changed.append((entry.at_ms, _numbers(run.timeline.squad)))
        if run is not before:
            pauses += _ended_pauses(run, entry, waits)
    until_ms = known_ms(kept, run)
    until_ms = NEVER if until_ms is None else until_ms
    pauses += [Pause(lane, since, until_ms) for lane, since in waits.items() if since < until_ms < NEVER]
    return Replayed(begun, run, tuple(people), tuple(pauses), until_ms, squad, tuple(changed))


def _ended_pauses(run: Run, entry: Entry, waits: dict[int, int]) -> list[Pause]:
    """The pauses that an entry ends; it also updates `waits`, the paused lanes and since when."""
    ended = []
    for lane, track in enumerate(run.timeline.tracks):
        if track.held_ms is not None:
            if isinstance(entry, Held | Stopped):
                waits.setdefault(lane, track.held_ms)
        elif lane in waits:
            since = waits.pop(lane)
            again = track.index_at(since) + 1
            leaves_ms = track.sendoffs[again] if again < len(track.sendoffs) else entry.at_ms
            ended.append(Pause(lane, since, max(since, leaves_ms)))
    return ended


def _numbered(squad: Squad) -> Squad:
    """The squad with a number in place of every name."""
    lanes, number = [], 0
    for lane in squad.lanes:
        swimmers = tuple(replace(swimmer, name=str(number + k)) for k, swimmer in enumerate(lane.swimmers))
        number += len(swimmers)
        lanes.append(replace(lane, swimmers=swimmers))
    return replace(squad, lanes=tuple(lanes))


def _numbers(squad: Squad) -> tuple[tuple[int, ...], ...]:
    return tuple(_of_lane(lane) for lane in squad.lanes)


def _of_lane(lane: Lane) -> tuple[int, ...]:
    return tuple(int(swimmer.name) for swimmer in lane.swimmers)
