"""How much everybody swam of a session's focus, and of each named drill.

The focus is everything between the first and the last section if there are three or more: a session is not about its
warm-up and swim-down. With fewer sections everything counts. This rule is our own.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from pacer.plan.model import Activity, Plan
from pacer.review.swum.swims import Swum
from pacer.timeline.shape import Shape

FOCUS = ""  #: the name of the session's focus among the drills' names


class Practised(NamedTuple):
    """How much a swimmer swam of a drill or scull, by its name as written; `FOCUS` for the session's focus.

    `by_time_ms` is the time of timed repeats, which have no distance.
    """

    who: int
    what: str
    distance: int
    by_time_ms: int


def inner_sections(plan: Plan) -> range:
    """The sections that count for the focus, by their index.

    >>> from pacer.plan.notation.planreader import read_plan
    >>> inner_sections(read_plan("pool: 25 m\\nWarm-up\\n  100\\nMain set\\n  100\\nSwim-down\\n  100"))
    range(1, 2)
    """
    count = len(plan.sections)
    return range(1, count - 1) if count > 2 else range(count)


def practised_in(plan: Plan, swims: Iterable[Swum]) -> tuple[Practised, ...]:
    """How much everybody swam of the focus and of each named drill and scull."""
    inner = inner_sections(plan)
    whole: dict[tuple[int, int, int], int] = {}  # how often each shape was swum whole, by whom, in which section
    shapes: dict[int, Shape] = {}
    sums: dict[tuple[int, str], list[int]] = {}

    def add(who: int, what: str, distance: int, by_time_ms: int) -> None:
        if distance or by_time_ms:
            made = sums.setdefault((who, what), [0, 0])
            made[0] += distance
            made[1] += by_time_ms

    for swim in swims:
        shape = swim.shape
        if shape.distance and swim.distance == shape.distance:
            key = (swim.who, swim.section, id(shape))
            whole[key] = whole.get(key, 0) + 1
            shapes[id(shape)] = shape
            continue
        if swim.section in inner:
            add(swim.who, FOCUS, swim.distance, 0 if shape.distance else swim.swum_ms)
        for what, distance in _named(shape, swim.distance):
            add(swim.who, what, distance, 0 if shape.distance else swim.swum_ms)
    for (who, section, shape_id), count in whole.items():
        shape = shapes[shape_id]
        if section in inner:
            add(who, FOCUS, count * shape.distance, 0)
        for what, distance in _named(shape, shape.distance):
            add(who, what, count * distance, 0)
    return tuple(Practised(who, what, *made) for (who, what), made in sorted(sums.items()))


def _named(shape: Shape, until: int) -> Iterable[tuple[str, int]]:
    """The distance of each named drill or scull in the first `until` of a repeat."""
    before = 0
    for end, work in zip(shape.ends, shape.works):
        end = min(end, until)
        if work.name and work.activity in (Activity.DRILL, Activity.SCULL) and (end > before or not shape.distance):
            yield work.name, end - before
        before = max(before, end)
