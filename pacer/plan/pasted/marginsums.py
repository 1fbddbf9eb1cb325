"""Compares the totals in the margin of a pasted page with the plan's distances."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import reduce

from pacer.plan.model import Break, ByLane, Flexible, Group, Item, Plan, SetLine
from pacer.plan.pasted.pastedline import Kind, Total

#: The least and the most: lanes differ, and counts can be flexible.
Range = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Sum:
    """The distance of a line of the plan: by itself, with its rounds, and with all above it in its section and page."""

    line: int
    own: Range
    rounds: Range
    section: Range
    page: Range


def difference(total: Total, kind: Kind, line: int, sums: list[Sum], ends: dict[int, Sum]) -> str:
    """The distance that a total differs from; "" if it is the distance of something that it can be the total of.

    `line` is the plan's line that it is at or below; `ends` has the last sum of each section, by its first line.
    """
    above = [each for each in sums if each.line <= line]
    whole = sums[-1].page
    here = above[-1] if above else None
    section = next((end for first, end in sorted(ends.items(), reverse=True) if first <= line), None)
    ways: list[Range] = []
    if total.of != "session":
        if kind is Kind.SET and here and total.of != "section":
            on_line = [each.rounds for each in sums if each.line == here.line]
            ways += [here.own, here.rounds, reduce(_sum, on_line), here.section]
        ways += [section.section, section.page] if section else []
    ways += [here.page] if here else []
    ways += [whole]
    if any(least <= total.distance <= most for least, most in ways):
        return ""
    least, most = whole if total.of == "session" else ways[0]
    return f"{least:,}" if least == most else f"{least:,} to {most:,}"


def sums_of(plan: Plan) -> tuple[list[Sum], dict[int, Sum]]:
    """The sums of a plan line by line, and the last of each section by the line that the section begins on.

    Both are empty for a plan with a section that goes by time.
    """
    made: list[Sum] = []
    ends: dict[int, Sum] = {}
    page: Range = (0, 0)
    for section in plan.sections:
        if section.for_ms is not None:
            return [], {}
        done: Range = (0, 0)
        for line, own, times in _lines(section.items, _counts(section.rounds)):
            all_of_it = _product(own, times)
            done, page = _sum(done, all_of_it), _sum(page, all_of_it)
            made.append(Sum(line, own, all_of_it, done, page))
        if made:
            first = section.span.line if section.span else 0
            ends[first] = made[-1]
    return made, ends


def _lines(items: tuple[Item, ...], times: Range) -> Iterator[tuple[int, Range, Range]]:
    for item in items:
        if isinstance(item, Group):
            yield from _lines(item.items, _product(times, _counts(item.rounds)))
        elif not isinstance(item, Break):
            own = _distance(item)
            yield item.span.line if item.span else 0, (0, own[1]) if item.groups else own, times


def _distance(line: SetLine) -> Range:
    if line.ladder:
        return sum(line.ladder), sum(line.ladder)
    if line.distance is None:
        return 0, 0
    return _product(_counts(line.count or ByLane((1,))), _counts(line.distance))


def _counts(value: ByLane[int] | Flexible) -> Range:
    if isinstance(value, Flexible):
        return value.least, value.most
    return min(value.entries), max(value.entries)


def _product(one: Range, other: Range) -> Range:
    return one[0] * other[0], one[1] * other[1]


def _sum(one: Range, other: Range) -> Range:
    return one[0] + other[0], one[1] + other[1]
