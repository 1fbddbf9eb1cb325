"""Which lane has which value of a line with several: `1:50 / 2:00 / 2:20` for four lanes. No Kivy."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pacer.language import tr
from pacer.plan.model import Group, Item, Plan, Section, swum_by
from pacer.plan.sentence import sentence
from pacer.plan.text.standardform import entries_by_lane
from pacer.squad.bygroup import by_group
from pacer.squad.lanenumbers import lane_numbers
from pacer.squad.squad import Lane


def entries_said(plan: Plan | None, line: int, lanes: Sequence[Lane]) -> str:
    """Who gets what of the page's line `line` (from 1), as a sentence; "" where all lanes have the same.

    >>> from pacer.plan.notation.planreader import read_plan
    >>> from pacer.squad.defaultsquad import default_squad
    >>> from dataclasses import replace
    >>> lane = default_squad(()).lanes[0]
    >>> plan = read_plan("pool: 25 m\\n\\nMain set\\n  4 x 100 free, on 1:50 / 2:00 / 2:20\\n")
    >>> entries_said(plan, 4, [replace(lane, number=number) for number in (1, 2, 3, 4)])
    'Lane 1 on 1:50; lane 2 on 2:00; lanes 3, 4 on 2:20.'
    """
    item = next((each for each in _items(plan.sections if plan else ()) if each.span and each.span.line == line), None)
    item = by_group(item, lanes)  # this one alone: it is asked at every key
    entries = entries_by_lane(item) if item is not None else ()
    if not entries:
        return ""
    groups = getattr(item, "groups", ())
    had: dict[str, list[int]] = {}
    for place, lane in enumerate(lanes):
        if not swum_by(groups, lane.number, lane.group):
            continue
        try:
            said = ", ".join(each.for_lane(place, lane.group) for each in entries).replace(" x, ", " x ")
        except KeyError:  # a check reports this lane
            continue
        had.setdefault(said, []).append(lane.number)
    told = [
        (
            f"{lane_numbers(numbers, len(lanes)) or tr('lane {number}', number=numbers[0])}"
            f"{' ' if said[0].isalpha() else ': '}{said}"
        )
        for said, numbers in had.items()
    ]
    told += [
        tr("{entries} not used", entries=", ".join(dict.fromkeys(each.entries[len(lanes) :])))
        for each in entries
        if each.labels is None and len(each.entries) > len(lanes)
    ]
    return sentence("; ".join(told))


def _items(items: Sequence[Item | Section]) -> Iterator[Item | Section]:
    """All of them, nested ones too."""
    for item in items:
        yield item
        if isinstance(item, Group | Section):
            yield from _items(item.items)
