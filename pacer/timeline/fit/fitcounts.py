"""The fit: choose flexible rounds and repeats for each lane so that the session ends in time."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from pacer.plan.model import MAX_SESSION_MS, Plan
from pacer.plan.times import late_by
from pacer.squad.squad import Squad
from pacer.timeline.course import Course, TakeUp
from pacer.timeline.fit.choices import Choices, Key
from pacer.timeline.fit.laneroutes import Way
from pacer.timeline.fit.mostdistance import at_most
from pacer.timeline.fit.passages import Passages
from pacer.timeline.fit.search import Search
from pacer.timeline.hazards import hazard_lines
from pacer.timeline.stepcounter import TooMuch, Work, spread
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import Counts, Track

#: The budget of a fit, in steps of `Work`: for the exact answer; if that is not enough, for a good one, and for each
#: try at it.
EXACT, GOOD, TRY = 300_000, 120_000, 40_000
_THINNED = (
    (2, 4),
    (3, 8),
    (5, 16),
    (9, 40),
    (80, 80),
)  # values of each count to try, and ways to follow, for a first good answer
_NEAR = ((1, 10), (2, 20), (1, 40))  # how far around an answer to look for a better one, and ways to follow

Answer = tuple[int, tuple[int, ...], list[tuple[int, Way]]]


@dataclass(frozen=True, slots=True)
class Fit:
    """The chosen counts for every flexible place, one per lane.

    `end_ms` is the last touch, and `distances` what each swimmer of a lane swims (in a refit: still has to swim).
    `limit_ms` is when the session has to end, None without a booking; if even the smallest choice ends later, that is
    the one chosen. `frozen` are the lines to which nothing was added. `missed` is None if there is no better choice; if
    trying everything would have taken too long, no choice swims more than `missed` farther, summed over swimmers.
    `steps` is the work of the exact search.
    """

    plan: Plan
    squad: Squad
    counts: Counts
    end_ms: int
    distances: tuple[int, ...]
    limit_ms: int | None
    frozen: frozenset[tuple[int, int]]
    missed: int | None = None
    steps: int = 0

    @property
    def over_ms(self) -> int:
        """How much too late the session ends."""
        return late_by(self.end_ms, self.limit_ms)

    @property
    def distance(self) -> int:
        """The distance summed over all swimmers."""
        return _summed(self.distances, self.squad)


def fit(
    plan: Plan,
    squad: Squad,
    *,
    booking_ms: int | None = None,
    end_ms: int | None = None,
    frozen: frozenset[tuple[int, int]] | None = None,
) -> Fit:
    """Choose the flexible counts of a session.

    It ends by `end_ms`; without that, by `booking_ms` (the plan's own if None) less the plan's spare.
    Without any of them every count is the least. Nothing is added to `frozen` lines (section index, line
    number) or to the rounds of their sections; None means the lines flagged as hazards. Raises `CannotRun`
    as `build_timeline` does.
    """
    if end_ms is None:
        end_ms = plan.out_ms if booking_ms is None else booking_ms - plan.spare_ms
    return _fitted(Course(plan, squad, {}), None, (), end_ms, frozen)


def fit_rest(
    course: Course,
    start: Mapping[int, TakeUp],
    tracks: Sequence[Track],
    *,
    end_ms: int,
) -> Fit:
    """Choose the flexible counts of the rest of a session again, so that it ends by `end_ms` of its time.

    `start` says where and when each lane (by index) that still has to swim enters the plan; `tracks` says
    what was swum by the course's counts. What has been swum keeps its counts, and so do rounds and lines of
    the current section that have begun. `course.but(counts=…).lay(tracks, start, …)` lays out the rest.
    Lanes that follow another lane's page are fitted with it; if the two are not in the same section, both
    keep their counts.
    """
    start = {lane: entry for lane, entry in start.items() if entry.section < len(course.plan.sections)}
    return _fitted(course, start, tracks, end_ms, None)


def _fitted(
    course: Course,
    start: Mapping[int, TakeUp] | None,
    tracks: Sequence[Track],
    end_ms: int | None,
    frozen: frozenset[tuple[int, int]] | None,
) -> Fit:
    plan, squad = course.plan, course.squad
    frozen = hazard_lines(plan) if frozen is None else frozen
    within = MAX_SESSION_MS if end_ms is None else min(end_ms, MAX_SESSION_MS)
    entries = {} if start is None else start
    together = _together(course, range(len(squad.lanes)) if start is None else start, entries)
    make = partial(Choices, course, within, frozen, entries, together)
    touched = {
        lane: max([tracks[member].end_ms for member in members]) for lane, members in together.items() if entries
    }
    answer, missed, work = None, None, Work(EXACT)
    if end_ms is not None:
        try:
            answer = Search(Passages(make(work), start, touched)).best()
        except TooMuch:
            answer = _good(make, squad, start, touched)
            missed = at_most(make(Work(MAX_SESSION_MS), lambda _key, _lane, span: span[:1]))
    chosen = _least(make(Work(MAX_SESSION_MS)), course.counts)
    if answer is not None:
        for (key, lane), count in _counts_of(answer).items():
            chosen[key][lane] = count
    counts = _as_counts(chosen)
    if answer is not None and start is None and all(len(members) == 1 for members in together.values()):
        end, distances = answer[:2]
    else:  # lanes fitted as one, or that skipped a whole section on deck, must be laid out to find the end and distance
        end, distances = _laid_out(course.but(counts=counts), start, tracks)
    if missed is not None:
        missed = max(0, missed - _summed(distances, squad))
    return Fit(plan, squad, counts, end, distances, end_ms, frozen, missed, EXACT - work.left)


def _good(
    make: Callable[..., Choices], squad: Squad, start: Mapping[int, TakeUp] | None, touched: Mapping[int, int]
) -> Answer | None:
    """A good choice that ends in time, if finding the best would take too long.

    Try some values of each count, then more, then those around the best so far, while there is work left. None if only
    the least counts are known to end in time.
    """
    left = GOOD

    def tried(some: Callable[[Key, int, range], Sequence[int]], few: int | None, steps: int) -> Answer | None:
        nonlocal left
        work = Work(steps)
        try:
            return Search(Passages(make(work, some, few), start, touched)).best()
        finally:
            left -= steps - max(0, work.left)

    best = None
    for many, few in _THINNED:
        try:
            found = tried(
                partial(_thinned, many),
                few,
                left if best is None else min(TRY, max(0, left)),
            )
        except TooMuch:
            break
        if found is not None and (best is None or _worth(found, squad) > _worth(best, squad)):
            best = found
    for reach, few in _NEAR:
        while best is not None and left > 0:
            try:
                found = tried(partial(_near, _counts_of(best), reach), few, min(TRY, left))
            except TooMuch:
                break
            if found is None or _worth(found, squad) <= _worth(best, squad):
                break
            best = found
    return best


def _thinned(many: int, _key: Key, _lane: int, span: range) -> Sequence[int]:
    """At most `many` of the counts, from the least to the greatest."""
    return spread(span, many)


def _near(counts: Mapping[tuple[Key, int], int], reach: int, key: Key, lane: int, span: range) -> Sequence[int]:
    """The least value, and those around the one in `counts`."""
    count = counts.get((key, lane))
    if count is None:
        return span[:1]
    return [each for each in span if each == span[0] or abs(each - count) <= reach]


def _worth(answer: Answer, squad: Squad) -> tuple[int, int]:
    end, distances, _ = answer
    return _summed(distances, squad), -end


def _counts_of(answer: Answer) -> dict[tuple[Key, int], int]:
    return {(key, lane): count for lane, way in answer[2] for choice in way.choices() for key, count in choice.counts}


def _summed(distances: Iterable[int], squad: Squad) -> int:
    """The distance summed over all swimmers."""
    return sum([d * len(lane.swimmers) for d, lane in zip(distances, squad.lanes)])


def _together(course: Course, lanes: Iterable[int], entries: Mapping[int, TakeUp]) -> dict[int, tuple[int, ...]]:
    """Lanes by the lane whose page they follow, that lane first; alone if they are elsewhere in the plan."""
    made: dict[int, tuple[int, ...]] = {}
    leaders = course.deviation.leaders
    for lane in sorted(lanes, key=lambda lane: lane in leaders):
        leader = leaders.get(lane, lane)
        if leader in made and _alike(course.plan, entries.get(lane), entries.get(leader)):
            made[leader] += (lane,)
        else:
            made[lane] = (lane,)
    return made


def _alike(plan: Plan, one: TakeUp | None, other: TakeUp | None) -> bool:
    """Whether two lanes can be fitted as one: both at the beginning or both in the middle of the same section."""
    if one is None or other is None:
        return one is other
    if (one.section, one.ordinal > 0) != (other.section, other.ordinal > 0):
        return False
    return plan.sections[one.section].for_ms is None or one.begun_ms == other.begun_ms


def _least(choices: Choices, present: Counts) -> dict[Key, list[int]]:
    """The initial counts: what has been swum stays, everything else is the least."""
    squad, made = choices.squad, {}
    for key, count in choices.flexible.items():
        made[key] = list(present.get(key, (count.least,) * len(squad.lanes)))
        for lane in choices.together:
            entry = choices.entries.get(lane)
            if lane not in choices.bound and (entry is None or key[0] >= entry.section):
                made[key][lane] = count.least
        if key[1] is None:
            for lane, told in enumerate(squad.lanes):
                if told.rounds is not None:
                    made[key][lane] = min(max(told.rounds, count.least), count.most)
    for lane, entry in choices.entries.items():
        for key, span in choices.ranges(entry.section, lane).items():
            made[key][lane] = span[0]
    return made


def _as_counts(counts: Mapping[Key, list[int]]) -> Counts:
    return {key: tuple(values) for key, values in counts.items()}


def _laid_out(
    course: Course, start: Mapping[int, TakeUp] | None, tracks: Sequence[Track]
) -> tuple[int, tuple[int, ...]]:
    """The end and each lane's distance if a course is swum from `start`."""
    fresh = tuple(Track() for _ in course.squad.lanes)
    for lane, track in enumerate(tracks):
        fresh[lane].end_ms = track.end_ms
    entries = {lane: TakeUp(0, 0, 0) for lane in range(len(fresh))} if start is None else start
    course.lay(fresh, entries, {})
    laid = Timeline(course.plan, course.squad, course.counts, fresh, {})
    return max([fresh[lane].end_ms for lane in entries or range(len(fresh))], default=0), tuple(
        laid.distance(lane) for lane in range(len(fresh))
    )
