"""Adapt a plan to the lanes that are here today, if it was written for more."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from pacer.plan.laneentries import rewritten
from pacer.plan.model import ALL_BUT, ByLane, Group, Item, Plan


def plan_for_lanes(plan: Plan, lanes: Sequence[int], gone: Collection[str] = ()) -> Plan:
    """The plan for only some of its squad's lanes, given by their indexes in ascending order.

    Each lane keeps its own entries: without the first lane, `on 4:00 / 4:20 / 4:45` becomes `on 4:20 / 4:45`. Entries
    by group stay. Items that only groups and lanes in `gone` would swim are left out.
    """
    there = tuple(lanes)
    plan = rewritten(plan, lambda value: _entries(value, there))
    if not gone:
        return plan
    sections = tuple(replace(section, items=_without(section.items, gone)) for section in plan.sections)
    return replace(plan, sections=tuple(section for section in sections if section.items))


def _without(items: tuple[Item, ...], gone: Collection[str]) -> tuple[Item, ...]:
    """The items that somebody still swims."""
    kept = []
    for item in items:
        if any(group.removeprefix(ALL_BUT) in gone for group in item.groups):
            groups = tuple(group for group in item.groups if group.removeprefix(ALL_BUT) not in gone)
            if not groups and not item.groups[0].startswith(ALL_BUT):
                continue
            item = replace(item, groups=groups)
        if isinstance(item, Group):
            item = replace(item, items=_without(item.items, gone))
            if not item.items:
                continue
        kept.append(item)
    return tuple(kept)


def _entries(value: ByLane, lanes: tuple[int, ...]) -> ByLane:
    if value.labels is not None or len(value.entries) == 1:
        return value
    entries = [value.for_lane(lane, None) for lane in lanes]
    while len(entries) > 1 and entries[-1] == entries[-2]:  # the last entry applies to all later lanes
        entries.pop()
    return value if tuple(entries) == value.entries else ByLane(tuple(entries))
