"""A timeline: the plan worked out for a squad, one track of send-offs for each lane."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pacer.plan.model import Plan
from pacer.squad.squad import Lane, Squad, numbered
from pacer.timeline.course import Course, TakeUp
from pacer.timeline.track import Counts, Track

if TYPE_CHECKING:
    from pacer.timeline.events import Event, PassEvents


class Timeline:
    """A plan worked out for a squad: one `Track` per lane, in the squad's order.

    `gates[s]` is the common start of section s in ms, None if lanes start it by themselves or nobody
    swims it. `end_ms` is the last touch. `course` laid it out. `missed`: if its counts may not be the
    best, the most that they can miss, in metres or yards summed over swimmers.
    """

    __slots__ = ("_said", "counts", "course", "end_ms", "gates", "missed", "plan", "squad", "tracks")

    def __init__(
        self,
        plan: Plan,
        squad: Squad,
        counts: Counts,
        tracks: tuple[Track, ...],
        gates: dict[int, int | None],
        course: Course | None = None,
    ):
        self.plan = plan
        self.squad = squad
        self.counts = counts
        self.tracks = tracks
        self.gates = gates
        self.end_ms = max([track.end_ms for track in tracks], default=0)
        self.course = course
        self.missed: int | None = None
        self._said: dict[tuple, PassEvents] = {}

    @property
    def lanes(self) -> tuple[Lane, ...]:
        """The squad's lanes."""
        return self.squad.lanes

    def distance(self, lane: int) -> int:
        """What each swimmer of the lane at index `lane` swims, in the pool's unit."""
        total = 0
        for found in self.tracks[lane].passes:
            line = found.laneline
            if found.count == line.count:
                total += line.distance
            else:
                total += sum(shape.distance for shape in line.shapes[found.skipped : found.skipped + found.count])
        return total

    def events(self, lane: int) -> tuple[Event, ...]:
        """Every event of every swimmer of the lane at index `lane`, ordered by time, swimmer, touch, change, send-off.

        In a running session, they are the past events and those ahead; for a paused lane, only the repeats it has left
        on.
        """
        from pacer.timeline.events import events_of  # a running session asks for no list

        return events_of(self.tracks[lane], [section.name for section in self.plan.sections], self._said)


def build_timeline(plan: Plan, squad: Squad, counts: Counts | None = None) -> Timeline:
    """The timeline of a whole session. Flexible counts not in `counts` take their least.

    Raises `CannotRun` if plan and squad do not fit together (labels) or the session exceeds
    the limits.
    """
    squad = numbered(squad)
    course = Course(plan, squad, counts or {})
    tracks = tuple(Track() for _ in squad.lanes)
    gates = course.lay(tracks, {i: TakeUp(0, 0, 0) for i in range(len(tracks))}, {})
    return Timeline(course.plan, squad, course.counts, tracks, gates, course)
