"""What would bring a plan that ends after its booking back within it: fewer repeats, or no waits between sections.

Each way is tried. For one set the fit chooses the repeats: lanes that end in time keep theirs wherever they can.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from pacer.plan.model import ByLane, Flexible, Plan, SetLine
from pacer.plan.planlines import numbered_lines, with_lines
from pacer.squad.bygroup import one_or_each
from pacer.squad.squad import Squad
from pacer.timeline.checks.gathering import page_line
from pacer.timeline.fit.choices import Key
from pacer.timeline.fit.fitcounts import fit
from pacer.timeline.hazards import hazard_lines
from pacer.timeline.timeline import Timeline, build_timeline

MOST_WAYS = 2  #: to shorten by one set alone
MOST_SETS = 6  #: the longest ones, that are tried


class Shorter(NamedTuple):
    """One set with fewer repeats: its `line` of the page, and its `counts` by lane as they are written."""

    line: int
    counts: str


def ways_to_fit(timeline: Timeline) -> tuple[tuple[Shorter, ...], ...]:
    """Ways in which a plan that overruns would end in time: sets that have fewer repeats together.

    One set alone if that is enough, one of the longest; else all of them by the same share. A way without sets: every
    section runs on. The way that costs the fewest metres comes first.
    Empty if the plan does not overrun, or if none of this is enough. Only sets that have equally many repeats in
    all lanes, or a number for each lane, are shortened; flagged sets stay as they are.
    """
    plan, squad = timeline.plan, timeline.squad
    if plan.out_ms is None or timeline.end_ms <= plan.out_ms:
        return ()
    ways: list[tuple[Shorter, ...]] = []
    if (running := _all_running_on(plan)) != plan and _ends(running, squad) <= plan.out_ms:
        ways.append(())
    sets = _longest_first(timeline)[:MOST_SETS]
    alone = (_shortened(plan, squad, key) for key in sets)
    ways += [way for way in alone if way][:MOST_WAYS]
    if not ways and len(sets) > 1:
        together = (_thinned(plan, squad, sets, tenths) for tenths in range(9, 0, -1))
        ways += [way for way in together if way][:1]
    return tuple(sorted(ways, key=lambda way: sum(_metres_lost(plan, squad, each) for each in way)))


def _metres_lost(plan: Plan, squad: Squad, way: Shorter) -> int:
    """How much less all swimmers together swim."""
    line = next(line for _, _, _, line in numbered_lines(plan) if page_line(line) == way.line)
    if not isinstance(line.count, ByLane) or line.distance is None:
        return 0
    counts = [int(each) for each in way.counts.split(" / ")]
    return sum(
        (before - counts[min(place, len(counts) - 1)]) * line.distance.for_lane(place, lane.group) * len(lane.swimmers)
        for place, (lane, before) in enumerate(zip(squad.lanes, _by_lane(line.count, squad), strict=True))
    )


def _all_running_on(plan: Plan) -> Plan:
    """The plan, with each lane going straight on after every section but the last, as far as it can."""
    sections = [replace(each, run_on=each.for_ms is None) for each in plan.sections[:-1]]
    return replace(plan, sections=(*sections, *plan.sections[-1:]))


def _ends(plan: Plan, squad: Squad) -> int:
    """When the session ends if the fit chooses its counts."""
    return build_timeline(plan, squad, fit(plan, squad).counts).end_ms


def _longest_first(timeline: Timeline) -> list[Key]:
    """The sets that can have fewer repeats, by section and number; the one that takes the lanes longest comes first."""
    takes: dict[Key, int] = {}
    flagged = hazard_lines(timeline.plan)
    for section, number, _, line in numbered_lines(timeline.plan):
        of_it = [
            each
            for track in timeline.tracks
            for each in track.passes
            if (each.section, each.laneline.number) == (section, number)
        ]
        if (
            (section, number) not in flagged
            and _can_shrink(line)
            and max((each.laneline.count for each in of_it), default=0) > 1
        ):
            takes[section, number] = sum(each.laneline.takes_ms for each in of_it)
    return sorted(takes, key=lambda key: -takes[key])


def _can_shrink(line: SetLine) -> bool:
    """Whether fewer repeats in some lanes leave the rest of the line as it is."""
    return (
        isinstance(line.count, ByLane)
        and line.count.labels is None
        and line.change is None
        and not line.groups
        and page_line(line) is not None
        and all(len(each) == 1 for each in (line.interval.entries if line.interval else ()))
    )


def _shortened(plan: Plan, squad: Squad, key: Key) -> tuple[Shorter, ...]:
    """The set `key` with as many repeats as end in time; () if none do, or if that changes nothing."""
    most = max(max(line.count.entries) for line in _lines(plan, key) if isinstance(line.count, ByLane))
    found = fit(_with_counts(plan, {key: Flexible(1, most)}), squad)
    return () if found.over_ms else _written(plan, squad, {key: found.counts[key]})


def _thinned(plan: Plan, squad: Squad, keys: Sequence[Key], tenths: int) -> tuple[Shorter, ...]:
    """Those sets with that many tenths of their repeats; () if the session does not end in time even so."""
    counts = {}
    for key in keys:
        for line in _lines(plan, key):
            if isinstance(line.count, ByLane):
                counts[key] = tuple(max(1, count * tenths // 10) for count in _by_lane(line.count, squad))
    found = fit(_with_counts(plan, {key: ByLane(each) for key, each in counts.items()}), squad)
    return () if found.over_ms else _written(plan, squad, counts)


def _lines(plan: Plan, key: Key) -> list[SetLine]:
    return [line for section, number, _, line in numbered_lines(plan) if (section, number) == key]


def _by_lane(count: ByLane[int], squad: Squad) -> list[int]:
    return [count.for_lane(place, lane.group) for place, lane in enumerate(squad.lanes)]


def _with_counts(plan: Plan, counts: Mapping[Key, ByLane[int] | Flexible]) -> Plan:
    return with_lines(
        plan,
        lambda section, number, line: replace(line, count=counts.get((section, number), line.count)),
    )


def _written(plan: Plan, squad: Squad, counts: Mapping[Key, Sequence[int]]) -> tuple[Shorter, ...]:
    """Those counts as they are written: nowhere more repeats than now, and sets that ended at the clock still do."""
    ways = []
    for section, number, _, line in numbered_lines(plan):
        if (section, number) in counts and isinstance(line.count, ByLane):
            before = _by_lane(line.count, squad)
            fewer = list(map(min, counts[section, number], before))
            fewer = [_to_the_clock(plan, line, place, *pair) for place, pair in enumerate(zip(fewer, before))]
            if fewer != before:
                ways.append(Shorter(page_line(line) or 0, " / ".join(map(str, one_or_each(fewer)))))
    return tuple(ways)


def _to_the_clock(plan: Plan, line: SetLine, lane: int, count: int, before: int) -> int:
    """One repeat fewer still if a set that ended at the clock's wall would end at the far one."""
    if line.distance is None or line.distance.labels is not None or count < 2:
        return count
    lengths = line.distance.for_lane(lane, None) / plan.pool.length
    return count - 1 if before * lengths % 2 == 0 and count * lengths % 2 == 1 else count
