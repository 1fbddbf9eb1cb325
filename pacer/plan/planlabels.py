"""The group labels of a plan."""

from __future__ import annotations

from pacer.plan.model import ALL_BUT, ByLane, Group, Item, Plan, SetLine
from pacer.plan.planlines import all_items


def labels_of(plan: Plan) -> tuple[str, ...]:
    """All group labels of a plan, in order of first appearance."""
    seen: dict[str, None] = {}
    for section in plan.sections:
        _note(seen, section.rounds)
        for item in all_items(section.items):
            groups = (group.removeprefix(ALL_BUT) for group in item.groups)
            seen.update(dict.fromkeys(group for group in groups if " " not in group))
            for value in by_lane_values(item):
                _note(seen, value)
    return tuple(seen)


def by_lane_values(item: Item) -> tuple[object, ...]:
    """What an item says, each by lane or for all lanes alike."""
    if isinstance(item, SetLine):
        return (item.count, item.distance, item.interval, item.rest_ms, item.hold)
    return (item.rounds,) if isinstance(item, Group) else (item.rest_ms,)


def _note(seen: dict[str, None], value: object) -> None:
    if isinstance(value, ByLane) and value.labels:
        seen.update(dict.fromkeys(value.labels))
