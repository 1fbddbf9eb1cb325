"""A running session, and how its lanes are laid out again after a change on deck."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import NamedTuple

from pacer.session.journal.entries import Begun, Change, Moved, SectionSet, SwimmerJoined
from pacer.session.running.instant import NOTICE_MS
from pacer.session.running.swumtrack import kept, leave_newcomers_out
from pacer.timeline.course import Course, TakeUp
from pacer.timeline.shape import up_to
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import Pass, Track


@dataclass(frozen=True, slots=True)
class Run:
    """A session after the entries of its journal.

    `begun` None: not started yet. `stopped`: by stop all, not yet resumed. `ended_ms`: when it was ended. `out_ms`: the
    latest end asked for (None: the booking's). `phase_ms`: what the pool clock shows at the session's zero; `marks_ms`
    the same for the marks on which lanes are told to leave. `before`: the run that undoing the last change, `by`,
    restores. `joining`: by lane, from when on its last swimmers can leave with it, if they are still in another lane.
    `people`: how everybody who was ever in the session joined it, by number; None for the squad that began it.
    `by_times`: the timeline with the swimmers' real speeds by the recorded times, to predict when they will be back.
    `paced_from`: of a run whose timeline has those speeds, the run without them, and what gives a run those speeds.
    """

    course: Course
    timeline: Timeline
    begun: Begun | None = None
    stopped: bool = False
    ended_ms: int | None = None
    out_ms: int | None = None
    phase_ms: int = 0
    marks_ms: int = 0
    joining: Mapping[int, tuple[int, ...]] = field(default_factory=dict, hash=False)
    people: tuple[SwimmerJoined | None, ...] = field(default=(), repr=False, compare=False)
    before: Run | None = field(default=None, repr=False, compare=False)
    by: Change | None = field(default=None, repr=False, compare=False)
    by_times: Timeline | None = field(default=None, repr=False, compare=False)
    paced_from: tuple[Run, Callable[[Run], Run]] | None = field(default=None, repr=False, compare=False)

    def paused(self) -> tuple[int, ...]:
        """Indexes of the paused lanes."""
        return tuple(i for i, track in enumerate(self.timeline.tracks) if track.paused_ms is not None)

    def at_ms(self, boot_ms: int) -> int:
        """The session time of an instant on the clock by which the session was started."""
        assert self.begun is not None
        return boot_ms - self.begun.boot_ms

    def lanes(self, lanes: tuple[int, ...] | None) -> tuple[int, ...]:
        """`lanes`, or all lanes for None. Lanes that do not exist are left out."""
        count = len(self.timeline.tracks)
        return tuple(range(count)) if lanes is None else tuple([lane for lane in lanes if 0 <= lane < count])

    def others(self, at_ms: int, lanes: Mapping[int, object]) -> list[int]:
        """The lanes not in `lanes` that still have something to swim, including paused ones."""
        return [
            lane
            for lane, track in enumerate(self.timeline.tracks)
            if lane not in lanes and (track.paused_ms is not None or at_ms < track.end_ms)
        ]

    def mark(self, soonest_ms: int, step_ms: int) -> int:
        """The first time from `soonest_ms` on that is a multiple of `step_ms` on the clock that the lanes go by."""
        return up_to(soonest_ms + self.marks_ms, step_ms) - self.marks_ms

    def latest_ms(self) -> int:
        """When the last lane should be out.

        The end asked for, or the booking less spare; the current end if that is later.
        """
        out_ms = self.timeline.plan.out_ms if self.out_ms is None else self.out_ms
        return self.timeline.end_ms if out_ms is None else max(out_ms, self.timeline.end_ms)


class Position(NamedTuple):
    """A place in the plan: before repeat `ordinal` (from 0, counting those left out) of a section."""

    section: int
    ordinal: int


def position(track: Track, index: int) -> Position | None:
    """Where repeat `index` of a track is in the plan; None if there is no such repeat."""
    if not 0 <= index < len(track.sendoffs):
        return None
    found = track.pass_at(index)
    return Position(found.section, found.ordinal + index - found.first)


#: A repeat of a lane: its section, round, place in the lane's program, and number within the line.
RepeatKey = tuple[int, int, int, int]


def repeat_key(track: Track, index: int) -> RepeatKey:
    """Which repeat the one at `index` of a track is, whatever changes before it."""
    found = track.pass_at(index)
    return found.section, found.round, found.place, track.repeat_in_line(index)


def is_ahead(track: Track, index: int) -> bool:
    """Whether the lane leaves once more on repeat `index` later."""
    key = repeat_key(track, index)
    return any(repeat_key(track, later) == key for later in range(index + 1, len(track.sendoffs)))


def now_of(track: Track, at_ms: int) -> int:
    """The instant that counts for the lane: for a paused lane, when it was paused."""
    return at_ms if track.paused_ms is None else min(at_ms, track.paused_ms)


def take_up(track: Track, at: Position, leave_ms: int, *, waited_ms: int = 0) -> TakeUp:
    """Enter the plan at `at`, leaving at `leave_ms`.

    `waited_ms` does not count against a section's `for` or `at most`.
    """
    began = track.starts.get(at.section) if at.ordinal else None
    return TakeUp(at.section, at.ordinal, leave_ms, None if began is None else began + waited_ms, exact=True)


def as_planned(run: Run, lane: int, at_ms: int) -> tuple[Track, TakeUp | None]:
    """What stays of a lane's track if the rest is worked out again, and where the rest begins.

    The rest begins at the next send-off, at its planned time. A line that is being swum straight through is swum to its
    end. A paused lane stays paused.
    """
    track = run.timeline.tracks[lane]
    now = now_of(track, at_ms)
    index = track.index_at(now)
    upcoming = index + 1
    if index >= 0:
        found = track.pass_at(index)
        if found.laneline.own is not None and track.paused_ms is None:
            upcoming = found.first + found.count
    made = kept(track, upcoming)
    made.paused_ms, made.again = track.paused_ms, track.again
    return made, still_to_come(run, lane, upcoming, now) or planned(track, upcoming)


def planned(track: Track, index: int) -> TakeUp | None:
    """Enter the plan at repeat `index` of a track at its planned time; None if there is no such repeat."""
    at = position(track, index)
    if at is None:
        return None
    return TakeUp(*at, track.sendoffs[index], track.starts.get(at.section), exact=True)


def still_to_come(run: Run, lane: int, index: int, now_ms: int) -> TakeUp | None:
    """Enter a section at its start if all lanes begin it together later than `now_ms`, and this lane sits out the
    repeats before repeat `index`.

    None if the lane is in the section already, begins it with its first repeat, or begins it by itself.
    """
    track, at = run.timeline.tracks[lane], position(run.timeline.tracks[lane], index)
    if at is None or not at.ordinal or index and track.pass_at(index - 1).section == at.section:
        return None
    start = track.starts.get(at.section)
    if start is None or start <= now_ms or start != run.timeline.gates.get(at.section):
        return None
    whole = TakeUp(at.section, 0, start + run.course.breaks_before(at.section, lane), start, exact=True)
    return whole if run.course.first(lane, whole) == (track.sendoffs[index], at.ordinal) else None


def laid(
    run: Run,
    tracks: Mapping[int, Track],
    entries: Mapping[int, TakeUp],
    at_ms: int,
    *,
    course: Course | None = None,
    together: bool | None = None,
    latest_ms: int | None = None,
) -> Run:
    """The run with `tracks` in place of the old ones, those in `entries` laid out to the end from there.

    If every lane that still has something to swim is among them, later common starts are worked out
    again (`together`). Otherwise common starts stay and nobody else waits: the lanes lose what does not
    fit before the next one, or end by `latest_ms` (None: `Run.latest_ms`).
    """
    latest_ms = run.latest_ms() if latest_ms is None else latest_ms
    course = course or run.course
    made = list(run.timeline.tracks)
    for lane, track in tracks.items():
        made[lane] = track
    if together is None:
        together = not run.others(at_ms, tracks)
    if together:
        alone = [lane for lane, at in entries.items() if not at.ordinal and _begins_alone(run, lane, at.section)]
        gates = course.lay(tuple(made), entries, run.timeline.gates, at_ms + NOTICE_MS, run.marks_ms, alone)
    else:
        gates = course.rejoin(tuple(made), entries, run.timeline.gates, latest_ms, run.marks_ms)
    for lane, track in tracks.items():
        track.joining = run.joining.get(lane, ())
    for lane in run.joining.keys() & entries.keys():
        leave_newcomers_out(made[lane], run.joining[lane], len(course.squad.lanes[lane].swimmers), at_ms)
    return replace(run, course=course, timeline=Timeline(course.plan, course.squad, course.counts, tuple(made), gates))


def _begins_alone(run: Run, lane: int, section: int) -> bool:
    """Whether a press sent a lane, and not all, to a section that it begins at another time than the others."""
    start, common = run.timeline.tracks[lane].starts.get(section), run.timeline.gates.get(section)
    if start is None or common is None or start == common:
        return False
    change: Run | None = run
    while change is not None and change.by is not None:
        press = change.by
        if isinstance(press, SectionSet | Moved) and lane in run.lanes(press.lanes):
            return not isinstance(press, SectionSet) or press.section == section
        change = change.before
    return False


def sent_on(run: Run, lane: int, here: Pass) -> bool:
    """Whether the last press that sent the lane elsewhere sent it to a section after the one in which it left last.

    A lane that comes to a later section because time ran out, or because it sits out what is before, was not sent on.
    """
    change: Run | None = run
    while change is not None and change.by is not None:
        press = change.by
        if isinstance(press, SectionSet | Moved) and lane in run.lanes(press.lanes):
            if isinstance(press, SectionSet):
                return press.section > here.section
            track = change.timeline.tracks[lane]
            at = position(track, track.index_at(press.at_ms) + 1)
            return at is not None and at.section > here.section
        change = change.before
    return False


def with_tracks(timeline: Timeline, tracks: list[Track]) -> Timeline:
    """The timeline with other tracks, one for each lane."""
    return Timeline(timeline.plan, timeline.squad, timeline.counts, tuple(tracks), timeline.gates)
