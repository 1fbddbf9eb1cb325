"""Values that a plan has for lanes, as a squad's lanes take them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

from pacer.plan.absences import rewritten
from pacer.plan.model import ByLane
from pacer.squad.squad import Lane

T = TypeVar("T")


def by_group(value: T, lanes: Sequence[Lane], said: bool = False) -> T:
    """A plan, or a part of one, with entries by group named: those that are fewer than lanes, as many as groups.

    Every lane is in a group then, and there are two groups and more; the entries are in the order in which the groups
    first stand in the squad. `on 4:00 / 4:20 / 4:45` for lanes A A B B C C means A, B, C. It is written as it was,
    unless the names are `said`.
    """
    groups = tuple(dict.fromkeys(lane.group for lane in lanes))
    if None in groups or not 2 <= len(groups) < len(lanes):
        return value
    labels = tuple(str(group) for group in groups)

    def named(entries: ByLane) -> ByLane:
        if entries.labels is None and len(entries.entries) == len(labels):
            return replace(entries, labels=labels, said=said)
        return entries

    return rewritten(value, named)
