"""The ways once through a section's program, for every choice of its flexible repeat counts."""

from __future__ import annotations

from bisect import bisect_right, insort
from collections.abc import Mapping, Sequence
from itertools import accumulate
from typing import NamedTuple

from pacer.timeline.laneline import LaneLine
from pacer.timeline.shape import up_to
from pacer.timeline.work import Work


class Once(NamedTuple):
    """One round: to the next round's start, to the last touch (-1: none), the distance, the counts by line."""

    takes_ms: int
    last_ms: int
    distance: int
    counts: tuple[int, ...]


def once_round(program: tuple[LaneLine | int, ...], lines: Mapping[int, Sequence[int]], limit_ms: int, work: Work) -> list[Once]:
    """The ways once through a program whose lines in `lines` have a choice of counts; the least first.

    Ways are left out that another makes up for: no longer in either time, and farther or, as
    far, with more of the earlier lines.
    """
    ways = [Once(0, -1, 0, ())]
    order: list[int] = []
    for place, item in enumerate(program):
        if isinstance(item, int):
            ways = [Once(way.takes_ms + item, way.last_ms, way.distance, way.counts) for way in ways]
        elif item.number not in lines:
            if item.count:
                last, takes, distance = max(item.ends), item.takes_ms, item.distance
                ways = [
                    Once(
                        way.takes_ms + takes, max(way.last_ms, way.takes_ms + last), way.distance + distance, way.counts
                    )
                    for way in ways
                ]
        else:
            table = _prefixes(item)
            again = item.number in order
            if not again:
                order.append(item.number)
            made = []
            work.spend(4 * len(ways) * (1 if again else len(lines[item.number])))
            for way in ways:
                for count in (way.counts[order.index(item.number)],) if again else lines[item.number]:
                    takes, last, distance = table[count]
                    made.append(
                        Once(
                            way.takes_ms + takes,
                            max(way.last_ms, way.takes_ms + last if count else -1),
                            way.distance + distance,
                            way.counts if again else (*way.counts, count),
                        )
                    )
            rest = {later.number for later in program[place + 1 :] if not isinstance(later, int)}
            ways = made if rest & set(order) else _worthwhile([way for way in made if way.last_ms <= limit_ms])
    ways.sort(key=lambda way: way.counts)
    return ways or [Once(0, limit_ms + 1, 0, tuple([span[0] for span in lines.values()]))]


def _prefixes(item: LaneLine) -> list[tuple[int, int, int]]:
    """For the line's first 0, 1, 2 … repeats: time to the next line, last touch, distance."""
    lasts = [-1, *accumulate(item.ends, max)]
    distances = accumulate([shape.distance for shape in item.shapes], initial=0)
    if item.own is None:
        takes = accumulate(item.intervals, initial=0)
    else:
        takes = [up_to(max(sums), item.clock_ms) for sums in zip(*item.own)]
    return list(zip(takes, lasts, distances))


def _worthwhile(ways: list[Once]) -> list[Once]:
    """Without those that another makes up for: a sweep by `takes_ms` over the best by `last_ms`."""
    ways.sort(key=lambda way: (way.takes_ms, way.last_ms, -way.distance, tuple([-count for count in way.counts])))
    kept: list[Once] = []
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
