"""Number the written lines of a plan, as events and findings do."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import count

from pacer.plan.model import Group, Item, Plan, Section, SetLine


def all_items(items: tuple[Item, ...]) -> Iterator[Item]:
    """Every item, with the items of a group after the group."""
    for item in items:
        yield item
        if isinstance(item, Group):
            yield from all_items(item.items)


def set_lines(items: tuple[Item, ...]) -> Iterator[SetLine]:
    """The set lines among items, with those in groups."""
    return (item for item in all_items(items) if isinstance(item, SetLine))


def numbered_lines(plan: Plan) -> Iterator[tuple[int, int, Section, SetLine]]:
    """Section index, the line's number in its section (from 1), the section, the line; in written order."""
    for index, section in enumerate(plan.sections):
        number = 0
        for item in all_items(section.items):
            if isinstance(item, SetLine):
                number += 1
                yield index, number, section, item


def with_lines(plan: Plan, change: Callable[[int, int, SetLine], SetLine]) -> Plan:
    """The plan with each line replaced by `change(section index, number, line)`."""

    def items(index: int, written: tuple[Item, ...], numbers: Iterator[int]) -> tuple[Item, ...]:
        made: list[Item] = []
        for item in written:
            if isinstance(item, Group):
                made.append(replace(item, items=items(index, item.items, numbers)))
            else:
                made.append(change(index, next(numbers), item) if isinstance(item, SetLine) else item)
        return tuple(made)

    return replace(
        plan,
        sections=tuple(
            replace(section, items=items(index, section.items, count(1))) for index, section in enumerate(plan.sections)
        ),
    )
