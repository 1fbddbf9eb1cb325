"""A plan for some of the lanes that it was written for: the others are not there today."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, is_dataclass, replace
from typing import Any

from pacer.plan.model import ByLane, Plan


def plan_for_lanes(plan: Plan, lanes: Sequence[int]) -> Plan:
    """The plan as the lanes at these indexes (ascending) of its squad swim it.

    Each keeps the entries that were meant for it.

    `on 4:00 / 4:20 / 4:45` is `on 4:20 / 4:45` where the first lane is not there. Entries by group stay.
    """
    return _rewritten(plan, tuple(lanes))


def _rewritten(value: Any, lanes: tuple[int, ...]) -> Any:
    """`value` with every list of entries in it cut to those lanes; `value` itself where there is none."""
    if isinstance(value, ByLane):
        return _entries(value, lanes)
    if isinstance(value, tuple):
        made = tuple(_rewritten(each, lanes) for each in value)
        return value if all(new is old for new, old in zip(made, value)) else made
    if not is_dataclass(value) or isinstance(value, type):
        return value
    changed = {}
    for field in fields(value):
        old = getattr(value, field.name)
        new = _rewritten(old, lanes)
        if new is not old:
            changed[field.name] = new
    return replace(value, **changed) if changed else value


def _entries(value: ByLane, lanes: tuple[int, ...]) -> ByLane:
    if value.labels is not None or len(value.entries) == 1:
        return value
    entries = [value.for_lane(lane, None) for lane in lanes]
    while len(entries) > 1 and entries[-1] == entries[-2]:  # the last serves the rest
        entries.pop()
    return value if tuple(entries) == value.entries else ByLane(tuple(entries))
