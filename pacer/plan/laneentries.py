"""Change every list of entries by lane or group in a plan, or in a part of one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, is_dataclass, replace
from typing import TypeVar, cast

from pacer.plan.model import ByLane

T = TypeVar("T")


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
