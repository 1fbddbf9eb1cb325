"""The written lines of a plan, numbered as events and findings number them."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.plan.model import Group, Item, Plan, Section, SetLine


def all_items(items: tuple[Item, ...]) -> Iterator[Item]:
    """Every item, those inside groups after their group."""
    for item in items:
        yield item
        if isinstance(item, Group):
            yield from all_items(item.items)


def numbered_lines(plan: Plan) -> Iterator[tuple[int, int, Section, SetLine]]:
    """Section index, the line's number in its section (from 1), the section, the line; in written order."""
    for index, section in enumerate(plan.sections):
        number = 0
        for item in all_items(section.items):
            if isinstance(item, SetLine):
                number += 1
                yield index, number, section, item
