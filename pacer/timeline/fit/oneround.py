"""The ways through one round of a section's program, for every choice of its flexible repeat counts."""

from __future__ import annotations

from bisect import bisect_right, insort
from collections.abc import Iterable, Mapping, Sequence
from itertools import accumulate
from typing import NamedTuple

from pacer.timeline.laneline import LaneLine
from pacer.timeline.shape import up_to
from pacer.timeline.stepcounter import Work


class OneRound(NamedTuple):
    """One round: to the next round's start, to the last touch (-1: none), the distance, the counts by line."""

    takes_ms: int
    last_ms: int
    distance: int
    counts: tuple[int, ...]


def once_round(
    program: tuple[LaneLine | int, ...], lines: Mapping[int, Sequence[int]], limit_ms: int, work: Work
) -> list[OneRound]:
    """The ways through one round of a program whose lines in `lines` have a choice of counts, the least first.

    A way is left out if another is no longer in either time and swims farther, or as far with more of the
    earlier lines.
    """
    ways = [OneRound(0, -1, 0, ())]
    order: list[int] = []
    summed = _summed(program, lines)
    if summed is not None:
        ways, program = _added_up(*summed, limit_ms, work), ()
    for place, item in enumerate(program):
        if isinstance(item, int):
            ways = [OneRound(way.takes_ms + item, way.last_ms, way.distance, way.counts) for way in ways]
        elif item.number not in lines:
            if item.count:
                last, takes, distance = max(item.ends), item.takes_ms, item.distance
                ways = [
                    OneRound(
                        way.takes_ms + takes, max(way.last_ms, way.takes_ms + last), way.distance + distance, way.counts
                    )
                    for way in ways
                ]
        else:
            table = _prefixes(item)
            if item.number in order:
                at = order.index(item.number)
                work.spend(4 * len(ways))
                made = [
                    way
                    for before in ways
                    for way in _longer([before], [(*table[before.counts[at]], ())], limit_ms, work)
                ]
            else:
                order.append(item.number)
                made = _longer(ways, [(*table[count], (count,)) for count in lines[item.number]], limit_ms, work)
            rest = {later.number for later in program[place + 1 :] if not isinstance(later, int)}
            ways = made if rest & set(order) else _worthwhile(made)
    ways.sort(key=lambda way: way.counts)
    return ways or [OneRound(0, limit_ms + 1, 0, tuple([span[0] for span in lines.values()]))]


#: What one count of a line adds: time to the next line, last touch (-1: none), distance, the count.
Part = tuple[int, int, int, tuple[int, ...]]


def _longer(ways: list[OneRound], parts: Sequence[Part], limit_ms: int, work: Work) -> list[OneRound]:
    """Append every part to every way, with the last touch within the limit. Parts are ascending."""
    lasts = [part[1] for part in parts]
    least = bisect_right(lasts, -1)  # a way that swims nothing of it is not late
    made = []
    for takes_ms, last_ms, distance, counts in ways:
        fit = max(least, bisect_right(lasts, limit_ms - takes_ms))
        work.spend(4 * fit)
        made += [
            OneRound(
                takes_ms + takes,
                last_ms if last < 0 else max(last_ms, takes_ms + last),
                distance + more,
                counts + count,
            )
            for takes, last, more, count in parts[:fit]
        ]
    return made


def _summed(
    program: tuple[LaneLine | int, ...], lines: Mapping[int, Sequence[int]]
) -> tuple[OneRound, list[list[Part]]] | None:
    """Sum up a program in which lines with a choice occur more than once.

    Returns what every way has, and the parts of each such line with everything that it adds in all its passes. Their
    times to the last touch add up too, because nobody touches later than in the program's last line. None if that is
    not so, or if no line occurs more than once.
    """
    rows = [
        (place, item)
        for place, item in enumerate(program)
        if not isinstance(item, int) and (item.number in lines or item.count)
    ]
    numbers = [item.number for _, item in rows if item.number in lines]
    times = {number: numbers.count(number) for number in numbers}
    if max(times.values(), default=1) == 1:
        return None
    end, final = rows[-1]
    tables = {item.number: _prefixes(item) for _, item in rows}
    least = tables[final.number][lines.get(final.number, (final.count,))[0]][1]
    if least < 0 or any(
        last > takes + least
        for number, table in tables.items()
        if number != final.number
        for takes, last, _ in (table[count] for count in lines.get(number, (len(table) - 1,)))
    ):
        return None
    before = sum([item for item in program[:end] if isinstance(item, int)])
    behind = sum([item for item in program[end:] if isinstance(item, int)])
    fixed = [tables[item.number][item.count] for _, item in rows if item.number not in lines]
    takes, distance = before + sum([each[0] for each in fixed]), sum([each[2] for each in fixed])
    last = takes if final.number in lines else takes - fixed[-1][0] + fixed[-1][1]
    parts: list[list[Part]] = []
    for number, many in times.items():
        one = [(*tables[number][count], (count,)) for count in lines[number]]
        parts.append(
            [
                (many * t, (many - 1) * t + (last if number == final.number else t), many * d, count)
                for t, last, d, count in one
            ]
        )
    return OneRound(takes + behind, last, distance, ()), parts


def _added_up(begin: OneRound, added: list[list[Part]], limit_ms: int, work: Work) -> list[OneRound]:
    ways = [begin]
    for parts in added:
        lasts = [part[1] for part in parts]
        made = []
        for takes_ms, last_ms, distance, counts in ways:
            fit = bisect_right(lasts, limit_ms - last_ms)
            work.spend(4 * fit)
            made += [
                OneRound(takes_ms + takes, last_ms + last, distance + more, counts + count)
                for takes, last, more, count in parts[:fit]
            ]
        ways = _worthwhile(made)
    return ways


def _prefixes(item: LaneLine) -> list[tuple[int, int, int]]:
    """For the line's first 0, 1, 2 … repeats: time to the next line, last touch, distance."""
    lasts = [-1, *accumulate(item.ends, max)]
    distances = accumulate([shape.distance for shape in item.shapes], initial=0)
    takes: Iterable[int] = accumulate(item.intervals, initial=0)
    if item.own is not None:
        takes = [up_to(max(sums), item.clock_ms) for sums in zip(*item.own)]
    return list(zip(takes, lasts, distances))


def _worthwhile(ways: list[OneRound]) -> list[OneRound]:
    """Leave out ways that are never better than another: a sweep by `takes_ms` over the best by `last_ms`."""
    ways.sort(key=lambda way: (way.takes_ms, way.last_ms, -way.distance, tuple([-count for count in way.counts])))
    kept: list[OneRound] = []
    lasts: list[int] = []  # ascending, with the best (distance, counts) up to each
    bests: list[tuple] = []
    for way in ways:
        worth = (way.distance, way.counts)
        at = bisect_right(lasts, way.last_ms)
        if at and bests[at - 1] >= worth:
            continue
        kept.append(way)
        while at < len(lasts) and bests[at] <= worth:
            del lasts[at], bests[at]
        insort(lasts, way.last_ms)
        bests.insert(at, worth)
    return kept
