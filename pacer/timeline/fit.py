"""The fit: flexible rounds and repeats chosen for each lane so that the session ends in time (design: section 6).

Exact, by dynamic programming over the common starts of sections. Among all choices that end in
time it takes, in this order: the greatest distance summed over swimmers; the earliest end; the
greater distance of the first lane, the second and so on; the earlier last touch of the first
lane and so on; more rounds in all, then more of earlier sections and in them of earlier lanes;
then more of earlier lines and in them of earlier lanes. Counts that make no difference to what is
swum stay at their least.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from pacer.plan.model import MAX_SESSION_MS, Plan
from pacer.squad.model import Squad
from pacer.timeline.build import Course, TakeUp
from pacer.timeline.choices import Choices
from pacer.timeline.model import Counts, Timeline, Track
from pacer.timeline.search import Search


@dataclass(frozen=True, slots=True)
class Fit:
    """What was chosen: counts for every flexible place, one per lane.

    `end_ms` is the last touch and `distances` what each swimmer of a lane swims (in a refit: still has
    to). `limit_ms` is when the session has to end, None without a booking. `over_ms` is by how much
    even the smallest choice ends later; it is then the one chosen.
    """

    plan: Plan
    squad: Squad
    counts: Counts
    end_ms: int
    distances: tuple[int, ...]
    limit_ms: int | None
    over_ms: int = 0
    frozen: frozenset[tuple[int, int]] = frozenset()

    @property
    def distance(self) -> int:
        """Summed over all swimmers."""
        return sum(d * len(lane.swimmers) for d, lane in zip(self.distances, self.squad.lanes))


def fit(plan: Plan, squad: Squad, *, booking_ms: int | None = None, frozen: frozenset[tuple[int, int]] = frozenset(),
        start: Mapping[int, TakeUp] | None = None, tracks: tuple[Track, ...] | None = None, counts: Counts | None = None,
        end_ms: int | None = None) -> Fit:
    """Choose the flexible counts of a session, or of the rest of one.

    The session ends by `end_ms`; without it, by `booking_ms` (the plan's own where None) less the
    plan's spare. Without any of them every count is the least. Nothing is added to `frozen` lines
    (section index, line number) nor to the rounds of their sections.

    For the rest of a session `start` says where and when each lane (by index) takes up the plan,
    `tracks` what they have swum and `counts` by which counts; these stay for what is swum already.
    `Course.lay` with the new counts then lays it out. Raises `CannotRun` as `build_timeline` does.
    """
    limit = end_ms
    if limit is None:
        booking = plan.booking_ms if booking_ms is None else booking_ms
        limit = None if booking is None else booking - plan.spare_ms
    within = MAX_SESSION_MS if limit is None else min(limit, MAX_SESSION_MS)
    lanes = range(len(squad.lanes))
    if start is not None:
        start = {lane: entry for lane, entry in start.items() if entry.section < len(plan.sections)}
    entries = {} if start is None else start
    choices = Choices(plan, squad, within, frozen, entries, counts or {})
    chosen = _least(choices, lanes if start is None else entries, counts or {})
    if limit is not None:
        touched = {lane: tracks[lane].end_ms if tracks else 0 for lane in entries}
        answer = Search(choices, None if start is None else entries, touched).best()
        if answer is not None:
            end, distances, picks = answer
            for lane, way in picks:
                for choice in way.choices():
                    for key, count in choice.counts:
                        chosen[key][lane] = count
            return Fit(plan, squad, _frozen(chosen), end, distances, limit, 0, frozen)
    made = _frozen(chosen)
    end, distances = _laid_out(plan, squad, made, start, tracks)
    return Fit(plan, squad, made, end, distances, limit, 0 if limit is None else max(0, end - limit), frozen)


def _least(choices: Choices, lanes: Iterable[int], present: Counts) -> dict[tuple[int, int | None], list[int]]:
    """The counts to begin with: what is behind stays, all else is the least."""
    squad, made = choices.squad, {}
    for key, count in choices.flexible.items():
        made[key] = list(present.get(key, (count.least,) * len(squad.lanes)))
        for lane in lanes:
            entry = choices.entries.get(lane)
            if entry is None or key[0] >= entry.section:
                made[key][lane] = count.least
        if key[1] is None:
            for lane, told in enumerate(squad.lanes):
                if told.rounds is not None:
                    made[key][lane] = min(max(told.rounds, count.least), count.most)
    for lane, entry in choices.entries.items():
        for key, span in choices.ranges(entry.section, lane).items():
            made[key][lane] = span[0]
    return made


def _frozen(counts: Mapping[tuple[int, int | None], list[int]]) -> Counts:
    return {key: tuple(values) for key, values in counts.items()}


def _laid_out(plan: Plan, squad: Squad, counts: Counts, start, tracks) -> tuple[int, tuple[int, ...]]:
    """The end and each lane's distance when these counts are swum."""
    course = Course(plan, squad, counts)
    fresh = tuple(Track() for _ in squad.lanes)
    for lane, track in enumerate(fresh):
        track.end_ms = tracks[lane].end_ms if tracks else 0
    entries = {lane: TakeUp(0, 0, 0) for lane in range(len(fresh))} if start is None else start
    course.lay(fresh, entries, {})
    laid = Timeline(plan, squad, counts, fresh, {})
    return max([fresh[lane].end_ms for lane in entries], default=0), tuple(laid.distance(lane) for lane in range(len(fresh)))
