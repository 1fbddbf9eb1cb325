"""Timeline and journal to the session as it stands: a pure function, entry after entry.

`replay(timeline, journal)` gives a `Run`; `state.lane_states(run.timeline, at_ms)` asks it for
any instant after its last entry.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from pacer.session.journal import Begun, Ended, Entry, Held, Moved, Resumed, Stopped, Unit
from pacer.session.state import READY_MS
from pacer.timeline.build import Course, TakeUp
from pacer.timeline.model import Timeline, Track
from pacer.timeline.shape import up_to

LEAD_IN_MS = 10_000   #: from the press on begin to the session's zero
NOTICE_MS = 5_000     #: the least that swimmers get between a press and the send-off it sets


@dataclass(frozen=True, slots=True)
class Run:
    """A session as its journal has made it. `begun` None: not yet begun. `stopped`: by stop all, not yet resumed."""

    course: Course
    timeline: Timeline
    begun: Begun | None = None
    stopped: bool = False
    ended_ms: int | None = None

    def held(self) -> tuple[int, ...]:
        """Indexes of the lanes that wait to be resumed."""
        return tuple(i for i, track in enumerate(self.timeline.tracks) if track.held_ms is not None)

    def at_ms(self, boot_ms: int) -> int:
        """Session time of an instant on the clock that the session was begun by."""
        return boot_ms - self.begun.boot_ms


def fresh(timeline: Timeline) -> Run:
    """The run of a session that has not begun."""
    return Run(Course(timeline.plan, timeline.squad, timeline.counts), timeline)


def replay(timeline: Timeline, journal: Iterable[Entry]) -> Run:
    """The run after all of `journal`."""
    run = fresh(timeline)
    for entry in journal:
        run = apply(run, entry)
    return run


def apply(run: Run, entry: Entry) -> Run:
    """The run after one more entry; `run` itself stays as it was."""
    match entry:
        case Begun():
            return replace(run, begun=entry)
        case Ended():
            return replace(run, ended_ms=entry.at_ms)
        case Held():
            return replace(run, timeline=_held(run, entry.at_ms, _lanes(run, entry.lanes)))
        case Stopped():
            return replace(run, timeline=_held(run, entry.at_ms, _lanes(run, None)), stopped=True)
        case Resumed():
            return _resumed(run, entry)
        case Moved():
            return _moved(run, entry)


# -- when lanes leave again: asked before an entry is made --------------------------------------


def resume_mark(run: Run, at_ms: int) -> int:
    """When lanes resumed at `at_ms` leave: the first mark of the clock that gives them notice."""
    return up_to(at_ms + NOTICE_MS, run.timeline.plan.clock_ms)


def move_mark(run: Run, at_ms: int, unit: Unit) -> int:
    """When lanes moved at `at_ms` leave: as when resumed; a section starts on the next top or bottom."""
    if unit is Unit.SECTION:
        return up_to(at_ms + NOTICE_MS, run.timeline.plan.starts_ms)
    return resume_mark(run, at_ms)


def can_move(run: Run, at_ms: int, unit: Unit, step: int, lanes: tuple[int, ...] | None = None) -> bool:
    """Whether there is anything to move to."""
    return any(_target(run, lane, at_ms, unit, step) is not None for lane in _lanes(run, lanes))


# -- the changes ------------------------------------------------------------------------------------


def _lanes(run: Run, lanes: tuple[int, ...] | None) -> tuple[int, ...]:
    return tuple(range(len(run.timeline.tracks))) if lanes is None else lanes


def _held(run: Run, at_ms: int, lanes: tuple[int, ...]) -> Timeline:
    """Lanes that wait keep their way ahead; the state says held. Lanes that are done or held already stay so."""
    tracks = list(run.timeline.tracks)
    for lane in lanes:
        track = tracks[lane]
        if track.held_ms is None and at_ms < track.end_ms:
            tracks[lane] = track.copy()
            tracks[lane].held_ms = at_ms
    return _with_tracks(run, tracks, run.timeline.gates)


def _resumed(run: Run, entry: Resumed) -> Run:
    waiting = [lane for lane in _lanes(run, entry.lanes) if run.timeline.tracks[lane].held_ms is not None]
    targets = {}
    for lane in waiting:
        track = run.timeline.tracks[lane]
        targets[lane] = _position(run, lane, track.index_at(track.held_ms) + 1)
    return replace(run, timeline=_retaken(run, targets, entry.at_ms, entry.leave_ms), stopped=False)


def _moved(run: Run, entry: Moved) -> Run:
    targets = {}
    for lane in _lanes(run, entry.lanes):
        target = _target(run, lane, entry.at_ms, entry.unit, entry.step)
        if target is not None:
            targets[lane] = target
    return replace(run, timeline=_retaken(run, targets, entry.at_ms, entry.leave_ms), stopped=False)


def _position(run: Run, lane: int, index: int) -> tuple[int, int] | None:
    """Section and ordinal of the lane's repeat `index`; None where it has no such repeat."""
    track = run.timeline.tracks[lane]
    if not 0 <= index < len(track.sendoffs):
        return None
    found = track.pass_at(index)
    return found.section, found.ordinal + index - found.first


def _target(run: Run, lane: int, at_ms: int, unit: Unit, step: int) -> tuple[int, int] | None:
    """Where a move takes a lane: section and ordinal.

    The next repeat is the one the lane leaves on next, or the one after where it gets ready for
    that already; the previous is the last one it left on. Lines and sections likewise:
    the previous one is the one in hand, from its beginning, until nothing of it is begun.
    """
    track = run.timeline.tracks[lane]
    now = at_ms if track.held_ms is None else track.held_ms
    upcoming = track.index_at(now) + 1
    count = len(track.sendoffs)
    soon = upcoming < count and track.sendoffs[upcoming] - now <= READY_MS
    if unit is Unit.REPEAT:
        return _position(run, lane, (upcoming + 1 if soon else upcoming) if step > 0 else upcoming - 1)
    key = _line_key if unit is Unit.LINE else _section_key
    if step > 0:
        reference = upcoming if soon or upcoming == 0 else upcoming - 1
        if reference >= count:
            return None
        index = reference
        while index < count and key(track, index) == key(track, reference):
            index += 1
        return _position(run, lane, index)
    if upcoming == 0:
        return None
    index = upcoming - 1
    while index > 0 and key(track, index - 1) == key(track, upcoming - 1):
        index -= 1
    return _position(run, lane, index)


def _line_key(track: Track, index: int) -> int:
    return track.pass_of[index]


def _section_key(track: Track, index: int) -> int:
    return track.pass_at(index).section


def _retaken(run: Run, targets: dict[int, tuple[int, int] | None], at_ms: int, leave_ms: int) -> Timeline:
    """The timeline when lanes take up the plan at their targets, all leaving at `leave_ms`.

    If every lane that has still to swim moves, the sections to come move with them. If only some do,
    nobody else waits: those lose what does not fit before the next common start (design: section 8).
    """
    tracks = list(run.timeline.tracks)
    others = [i for i, track in enumerate(tracks) if i not in targets and at_ms < track.end_ms]
    entries = {}
    for lane, target in targets.items():
        held = tracks[lane].held_ms
        tracks[lane] = _broken_off(tracks[lane], at_ms if held is None else held)
        if target is None:
            continue
        section, ordinal = target
        began = tracks[lane].starts.get(section)
        if began is not None and (held is not None):
            began += leave_ms - held          # what a lane waited does not count against `for` and `at most`
        entries[lane] = TakeUp(section, ordinal, leave_ms, began if ordinal else None)
    if others:
        gates = run.course.rejoin(tuple(tracks), entries, run.timeline.gates, run.timeline.end_ms)
    else:
        gates = run.course.lay(tuple(tracks), entries, run.timeline.gates)
    return _with_tracks(run, tracks, gates)


def _broken_off(track: Track, at_ms: int) -> Track:
    """The track up to `at_ms`, free again; the repeat in hand is cut there."""
    made = track.copy()
    kept = made.index_at(at_ms) + 1
    made.held_ms = None
    del made.sendoffs[kept:], made.pass_of[kept:]
    while made.passes and made.passes[-1].first >= kept:
        made.passes.pop()
    made.end_ms = 0
    if made.passes:
        last = made.passes[-1]
        made.passes[-1] = last._replace(count=kept - last.first)
        repeat = last.skipped + kept - 1 - last.first
        touch = made.sendoffs[-1] + last.laneline.times(repeat, 0)[-1]
        if touch > at_ms:
            made.cuts[kept - 1] = at_ms
        made.end_ms = min(at_ms, touch)
    reached = made.passes[-1].section if made.passes else -1
    made.starts = {section: at for section, at in made.starts.items() if section <= reached}
    return made


def _with_tracks(run: Run, tracks: list[Track], gates: dict[int, int | None]) -> Timeline:
    old = run.timeline
    return Timeline(old.plan, old.squad, old.counts, tuple(tracks), gates)
