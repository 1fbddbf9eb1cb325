"""Add up the repeats of each lane in a whole plan, and refuse too many."""

from __future__ import annotations

from pacer.language import tr
from pacer.plan.model import MAX_REPEATS, Break, ByLane, Flexible, Group, Item, Plan, Section
from pacer.plan.planlabels import by_lane_values, labels_of
from pacer.plan.planlines import all_items
from pacer.plan.problem import Problem

#: A lane's place in the squad's order and its group. None means a lane with the greatest of all counts.
_Lane = tuple[int, str | None]
#: Up to this many lanes × lines, each lane is counted; beyond that, only the greatest counts.
_PATIENCE = 100_000


def too_many_repeats(plan: Plan) -> Problem | None:
    """A problem at the section in which a lane first has more than `MAX_REPEATS` repeats.

    Flexible counts count as the most that they allow.
    """
    lanes: list[_Lane | None] = [None]
    if sum(_in_section(section, None) for section in plan.sections) > MAX_REPEATS:
        lanes = _lanes(plan)  # no lane may have all the greatest counts at once
    totals = dict.fromkeys(lanes, 0)
    for section in plan.sections:
        for lane in lanes:
            totals[lane] += _in_section(section, lane)
        if (most := max(totals.values())) > MAX_REPEATS:
            span = section.span or section.items[0].span
            place = (span.line, span.column, span.end_column) if span else (1, 1, 2)
            message = tr(
                "up to here a lane has {most:,} repeats; a session can have up to {max_repeats:,}",
                most=most,
                max_repeats=MAX_REPEATS,
            )
            return Problem(*place, message, tr("write fewer rounds, or fewer and longer repeats"))
    return None


def _in_section(section: Section, lane: _Lane | None) -> int:
    return _count(section.rounds, lane) * sum(_repeats(item, lane) for item in section.items)


def _lanes(plan: Plan) -> list[_Lane | None]:
    """Places and groups that cover every lane a squad could have."""
    items = [item for section in plan.sections for item in all_items(section.items)]
    values = [section.rounds for section in plan.sections] + [value for item in items for value in by_lane_values(item)]
    most = max(len(value.entries) for value in values if isinstance(value, ByLane) and not value.labels)
    groups = (None, *labels_of(plan))
    if most * len(groups) * len(items) > _PATIENCE:
        return [None]
    return [(index, group) for group in groups for index in range(most)]


def _repeats(item: Item, lane: _Lane | None) -> int:
    if isinstance(item, Break) or item.groups and lane and not _may_swim(item.groups, lane[1]):
        return 0
    if isinstance(item, Group):
        return _count(item.rounds, lane) * sum(_repeats(inner, lane) for inner in item.items)
    if item.ladder or item.count is None:
        return len(item.ladder or ())
    return _count(item.count, lane)


def _may_swim(groups: tuple[str, ...], group: str | None) -> bool:
    """Whether a lane of the group may swim an item; an item for lanes by number could be any lane's."""
    return group in groups or any(" " in each for each in groups)


def _count(count: ByLane[int] | Flexible, lane: _Lane | None) -> int:
    if isinstance(count, Flexible):
        return count.most
    if lane is None:
        return max(count.entries)
    try:
        return count.for_lane(*lane)
    except KeyError:
        return 0
