"""What a whole plan asks for, against the limits."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.plan.model import MAX_REPEATS, Break, ByLane, Flexible, Group, Item, Plan, Section, SetLine
from pacer.plan.problem import Problem


def labels_of(plan: Plan) -> tuple[str, ...]:
    """All group labels of a plan, in order of first appearance."""
    seen: dict[str, None] = {}
    for section in plan.sections:
        _note(seen, section.rounds)
        for item in _items(section.items):
            seen.update(dict.fromkeys(item.groups))
            for value in _by_lane_values(item):
                _note(seen, value)
    return tuple(seen)


def too_many_repeats(plan: Plan) -> Problem | None:
    """The section with which a lane has more than `MAX_REPEATS` repeats, as a problem.

    Flexible counts count with the most that they allow.
    """
    totals: dict[tuple[int, str | None], int] = {lane: 0 for lane in _lanes(plan)}
    for section in plan.sections:
        for lane in totals:
            rounds = _count(section.rounds, lane)
            totals[lane] += rounds * sum(_repeats(item, lane) for item in section.items)
        if max(totals.values()) > MAX_REPEATS:
            line = section.span or (section.items[0].span if section.items else None)
            most = max(totals.values())
            message = f"up to here a lane has {most:,} repeats, a session has up to {MAX_REPEATS:,}"
            place = (line.line, line.column, line.end_column) if line else (1, 1, 2)
            return Problem(*place, message, "fewer rounds, or fewer and longer repeats")
    return None


def _lanes(plan: Plan) -> list[tuple[int, str | None]]:
    """Places and groups that together stand for every lane a squad could have."""
    most = 1
    for section in plan.sections:
        for value in (section.rounds, *(v for item in _items(section.items) for v in _by_lane_values(item))):
            if isinstance(value, ByLane) and value.labels is None:
                most = max(most, len(value.entries))
    return [(index, group) for group in (None, *labels_of(plan)) for index in range(most)]


def _repeats(item: Item, lane: tuple[int, str | None]) -> int:
    if isinstance(item, Break) or item.groups and lane[1] not in item.groups:
        return 0
    if isinstance(item, Group):
        return _count(item.rounds, lane) * sum(_repeats(inner, lane) for inner in item.items)
    return len(item.ladder) if item.ladder else _count(item.count, lane)


def _count(count: ByLane[int] | Flexible, lane: tuple[int, str | None]) -> int:
    if isinstance(count, Flexible):
        return count.most
    try:
        return count.for_lane(*lane)
    except KeyError:
        return 0


def _items(items: tuple[Item, ...]) -> Iterator[Item]:
    for item in items:
        yield item
        if isinstance(item, Group):
            yield from _items(item.items)


def _by_lane_values(item: Item) -> tuple[object, ...]:
    if isinstance(item, SetLine):
        return (item.count, item.distance, item.interval, item.rest_ms, item.hold)
    return (item.rounds,) if isinstance(item, Group) else (item.rest_ms,)


def _note(seen: dict[str, None], value: object) -> None:
    if isinstance(value, ByLane) and value.labels:
        seen.update(dict.fromkeys(value.labels))
