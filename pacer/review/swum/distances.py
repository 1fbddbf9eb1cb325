"""Distances swum, by activity, stroke, effort, section, lane and swimmer."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from pacer.plan.model import Work
from pacer.review.swum.swims import Swum
from pacer.timeline.laneline import LaneLine
from pacer.timeline.shape import Shape


class Kind(NamedTuple):
    """The work of a distance. `stroke` is "" if none is named, as with kick."""

    section: int
    activity: str
    stroke: str
    effort: str


class Share(NamedTuple):
    """A part of the distance, by one kind of work."""

    name: str
    distance: int


Cube = Mapping[tuple[int, Kind], int]


class Distances(NamedTuple):
    """Distances by kind: `by_lane[lane, kind]` is the lane's leader's, `by_person[who, kind]` each swimmer's."""

    by_lane: Cube
    by_person: Cube

    def of_lane(self, lane: int) -> int:
        """The distance of a lane's leader."""
        return sum(far for (one, _), far in self.by_lane.items() if one == lane)

    def people(self) -> dict[int, int]:
        """The distance of each swimmer."""
        made: Counter[int] = Counter()
        for (one, _), far in self.by_person.items():
            made[one] += far
        return made

    def of_person(self, who: int) -> int:
        """The distance of a swimmer."""
        return sum(far for (one, _), far in self.by_person.items() if one == who)


def shares(cube: Cube, field: str, only: int | None = None) -> tuple[Share, ...]:
    """A cube summed by one field of its kinds (`activity`, `stroke`, `effort`), the greatest first, for one lane or
    swimmer or for all together.
    """
    totals: Counter[str] = Counter()
    for (one, kind), far in cube.items():
        if only is None or one == only:
            totals[getattr(kind, field)] += far
    return tuple(Share(name, far) for name, far in sorted(totals.items(), key=lambda pair: (-pair[1], pair[0])) if far)


def by_section(cube: Cube, sections: Iterable[str], only: int | None = None) -> tuple[Share, ...]:
    """A cube summed by section, in the plan's order."""
    totals: Counter[int] = Counter()
    for (one, kind), far in cube.items():
        if only is None or one == only:
            totals[kind.section] += far
    return tuple(Share(name or f"section {at + 1}", totals[at]) for at, name in enumerate(sections) if totals[at])


def distances_of(swims: Iterable[Swum]) -> Distances:
    """The distances of a session's swims."""
    whole: dict[tuple[int, int, bool, int, int, int], int] = {}  # how often each shape was swum whole, and by whom
    shapes: dict[tuple[int, int], tuple[Shape, LaneLine]] = {}
    parts = []
    for swim in swims:
        lane, place, who, _, section, _, _, _, _, distance, _, _, _, _, shape, line, _, _ = swim
        if distance == shape.distance:
            key = (lane, who, not place, section, id(shape), id(line))
            whole[key] = whole.get(key, 0) + 1
            shapes[id(shape), id(line)] = shape, line
        elif distance:
            parts.append(swim)
    by_lane: Counter[tuple[int, Kind]] = Counter()
    by_person: Counter[tuple[int, Kind]] = Counter()
    kinds: dict[tuple[int, int, int], list[tuple[Kind, int]]] = {}
    for (lane, who, leads, section, shape_id, line_id), count in whole.items():
        is_of = (section, shape_id, line_id)
        if is_of not in kinds:
            kinds[is_of] = list(_kinds(section, *shapes[shape_id, line_id]))
        for kind, far in kinds[is_of]:
            by_person[who, kind] += count * far
            if leads:
                by_lane[lane, kind] += count * far
    for swim in parts:
        for kind, far in _kinds(swim.section, swim.shape, swim.laneline, swim.distance):
            by_person[swim.who, kind] += far
            if not swim.place:
                by_lane[swim.lane, kind] += far
    return Distances(by_lane, by_person)


def _kinds(section: int, shape: Shape, line: LaneLine, until: int | None = None) -> Iterable[tuple[Kind, int]]:
    """The kinds of work in the first `until` of a repeat, segment by segment."""
    before = 0
    for end, work in zip(shape.ends, shape.works):
        end = end if until is None else min(end, until)
        if end > before:
            yield Kind(section, str(work.activity), str(work.stroke or ""), effort_of(work, line)), end - before
        before = end


def effort_of(work: Work, line: LaneLine) -> str:
    """The word for the effort: the work's own, or the set's descend or ascend."""
    if work.effort is not None:
        return str(work.effort)
    return str(line.line.change.trend) if line.line.change is not None else "threshold"
