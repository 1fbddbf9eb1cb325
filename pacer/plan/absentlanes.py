"""Adapt a plan to the lanes that are here today, if it was written for more."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import fields, is_dataclass, replace
from typing import TypeVar, cast

from pacer.plan.model import ALL_BUT, ByLane, Group, Item, Plan

T = TypeVar("T")


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


def rewritten(value: T, change: Callable[[ByLane], ByLane]) -> T:
    """`value` with `change` applied to every list of entries in it; `value` itself if nothing changes."""
    if isinstance(value, ByLane):
        return cast("T", change(value))
    if isinstance(value, tuple):
        made = tuple(rewritten(each, change) for each in value)
        return value if all(new is old for new, old in zip(made, value)) else cast("T", made)
    if not is_dataclass(value) or isinstance(value, type):
        return value
    changed = {}
    for field in fields(value):
        old = getattr(value, field.name)
        new = rewritten(old, change)
        if new is not old:
            changed[field.name] = new
    return replace(value, **changed) if changed else value


def _entries(value: ByLane, lanes: tuple[int, ...]) -> ByLane:
    if value.labels is not None or len(value.entries) == 1:
        return value
    entries = [value.for_lane(lane, None) for lane in lanes]
    while len(entries) > 1 and entries[-1] == entries[-2]:  # the last entry applies to all later lanes
        entries.pop()
    return value if tuple(entries) == value.entries else ByLane(tuple(entries))
