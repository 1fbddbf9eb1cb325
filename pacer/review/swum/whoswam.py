"""Who swam when in which lane and place, found by replaying the session.

Swimmers join, leave and change lanes while a session runs, and then their place in a lane is somebody else's. The
squad at any moment of the replayed session says by their numbers who was where.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from typing import NamedTuple

from pacer.review.sessionlog import known_ms
from pacer.session.journal.entries import Entry, SwimmerJoined, TakenBack
from pacer.session.journal.recordentries import Record
from pacer.session.running.pauses import paused_since_end
from pacer.session.running.replay import apply, fresh
from pacer.session.running.runstate import Run
from pacer.session.storage.savedsession import KeptSession
from pacer.squad.squad import Pace, Squad
from pacer.timeline.findings import CannotRun
from pacer.timeline.timeline import Timeline, build_timeline
from pacer.timeline.track import NEVER, Track


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody in the session: where they started (lane index, place from 0), and their pace then.

    `name` is "" if none was written. `number` counts all people from 0. `own`: whether the pace is their own and not
    the lane's. `absent`: which of the session's absent swimmers they are, if they came late.
    """

    number: int
    lane: int
    place: int
    base: Pace
    name: str = ""
    own: bool = True
    absent: int | None = None


class Pause(NamedTuple):
    """A lane was paused from `from_ms` until `until_ms`: when it left again, or from when on it only waited for a
    send-off that it had without the pause too, or for the next section.
    """

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
    begun = build_timeline(plan, squad, counts)
    people = [
        Person(number, lane, place, swimmer.base, swimmer.name, swimmer.own)
        for number, (lane, place, swimmer) in enumerate(
            (lane, place, swimmer)
            for lane, told in enumerate(squad.lanes)
            for place, swimmer in enumerate(told.swimmers)
        )
    ]
    run, changed = fresh(begun), [(-NEVER, _numbers(begun.squad))]
    paused = [[_Paused(track)] for track in begun.tracks]
    for entry in kept.journal:
        if isinstance(entry, Record):
            continue
        if isinstance(entry, TakenBack) and entry.leave_ms is not None and run.ended_ms is not None:
            _note_pauses(paused_since_end(run), entry, paused)
        before = run
        with suppress(CannotRun):
            run = apply(run, entry)
        if run.timeline.squad is not before.timeline.squad:
            changed.append((entry.at_ms, _numbers(run.timeline.squad)))
        if isinstance(entry, SwimmerJoined) and run is not before:
            people = _joined_by(people, entry, run)
        if run is not before:
            _note_pauses(run, entry, paused)
    until_ms = known_ms(kept, run)
    until_ms = NEVER if until_ms is None else until_ms
    pauses = [pause for lane in paused for pause in lane[-1].pauses]
    if until_ms < NEVER:
        pauses += [
            Pause(lane, each[-1].since_ms, until_ms)
            for lane, each in enumerate(paused)
            if each[-1].since_ms is not None
        ]
    pauses = [pause._replace(until_ms=min(pause.until_ms, _left_ms(run.timeline, pause))) for pause in pauses]
    return Replayed(begun, run, tuple(people), _joined(pauses, until_ms), until_ms, squad, tuple(changed))


def _joined_by(people: list[Person], entry: SwimmerJoined, run: Run) -> list[Person]:
    """All people after somebody joined; who joins for a second time after that was undone began where they are now."""
    swimmers = run.timeline.squad.lanes[entry.lane].swimmers
    place = len(swimmers) - 1 if entry.place is None else min(entry.place, len(swimmers) - 1)
    swimmer = swimmers[place]
    if entry.back is not None and swimmer.number < len(people):
        return people
    one = Person(swimmer.number, entry.lane, place, swimmer.base, swimmer.name, entry.base_ms is not None, entry.absent)
    return [*people[: one.number], one, *people[one.number + 1 :]]


class _Paused(NamedTuple):
    """A lane's pauses while it has this track; `since_ms`: since when it is paused, None if it is not."""

    track: Track
    since_ms: int | None = None
    pauses: tuple[Pause, ...] = ()


def _note_pauses(run: Run, entry: Entry, known: list[list[_Paused]]) -> None:
    """Note in `known`, by lane, what an entry pauses or lets leave again.

    Where Undo restores a lane's track, nothing has come of what was undone: its pauses are none.
    """
    for lane, track in enumerate(run.timeline.tracks):
        last = known[lane][-1]
        if track is last.track or run.ended_ms is not None:
            continue
        if isinstance(entry, TakenBack) and any(_alike(track, each.track) for each in known[lane]):
            while not _alike(track, known[lane][-1].track):
                known[lane].pop()
            known[lane][-1] = known[lane][-1]._replace(track=track)
        elif track.paused_ms is not None:
            since_ms = track.paused_ms if last.since_ms is None else last.since_ms
            known[lane].append(last._replace(track=track, since_ms=since_ms))
        elif last.since_ms is not None:
            planned = next((each.track for each in reversed(known[lane]) if each.since_ms is None), track)
            pause = Pause(lane, last.since_ms, max(last.since_ms, _ended_ms(track, planned, last.since_ms, entry)))
            known[lane].append(_Paused(track, None, (*last.pauses, pause)))
        else:
            known[lane].append(last._replace(track=track))


def _alike(track: Track, other: Track) -> bool:
    """Whether a lane leaves alike on both tracks, and is paused on both or on neither."""
    return track is other or (track.sendoffs, track.paused_ms) == (other.sendoffs, other.paused_ms)


def _ended_ms(track: Track, planned: Track, since_ms: int, entry: Entry) -> int:
    """When a lane's pause was over: when it left again, or at `entry` if it only waits for the next section's start, or
    for a send-off that it had on the track before the pause, `planned`.
    """
    before = track.index_at(since_ms)
    again = before + 1
    if again >= len(track.sendoffs):
        return entry.at_ms
    waits = before >= 0 and track.pass_at(before).section != track.pass_at(again).section
    return entry.at_ms if waits or track.sendoffs[again] in planned.sendoffs else track.sendoffs[again]


def _left_ms(timeline: Timeline, pause: Pause) -> int:
    """When a paused lane left again, which may be earlier than its resume had planned: it was sent elsewhere first."""
    sendoffs = timeline.tracks[pause.lane].sendoffs
    index = bisect_right(sendoffs, pause.from_ms)
    return sendoffs[index] if index < len(sendoffs) else NEVER


def _joined(pauses: Iterable[Pause], until_ms: int) -> tuple[Pause, ...]:
    """The pauses up to `until_ms`, in order. Where a lane was paused again before it had left, they are one."""
    made: list[Pause] = []
    for pause in sorted(pause._replace(until_ms=min(pause.until_ms, until_ms)) for pause in pauses):
        if pause.until_ms <= pause.from_ms:
            continue
        last = made[-1] if made else None
        if last is not None and last.lane == pause.lane and pause.from_ms < last.until_ms:
            made[-1] = last._replace(until_ms=max(last.until_ms, pause.until_ms))
        else:
            made.append(pause)
    return tuple(made)


def _numbers(squad: Squad) -> tuple[tuple[int, ...], ...]:
    return tuple(tuple([swimmer.number for swimmer in lane.swimmers]) for lane in squad.lanes)
