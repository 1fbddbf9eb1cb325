"""Give a plan's values by lane the names of a squad's groups, when they are meant by group."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TypeVar

from pacer.plan.laneentries import rewritten
from pacer.plan.model import ByLane
from pacer.squad.squad import Lane

T = TypeVar("T")


def one_or_each(by_lane: Sequence[T]) -> list[T]:
    """The one value that all lanes share, otherwise a value for each lane: never so few that some share the last."""
    return list(by_lane[:1] if len({*by_lane}) == 1 else by_lane)


def by_group(value: T, lanes: Sequence[Lane], said: bool = False) -> T:
    """Label entries by group in a plan, or in a part of one.

    Entries are by group if there are fewer of them than lanes and as many as groups, every lane is in a group, and
    there are two groups or more. They follow the order in which the groups first appear in the squad:
    `on 4:00 / 4:20 / 4:45` for lanes A A B B C C means A, B, C. The plan's text stays the same, unless the labels are
    to be `said`.
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
