"""What a lane can choose in one section: every way to set its flexible counts, with the time and distance it comes to.

A lane's way through a section takes the same time whenever it starts, so each is worked out
once, from the lane's start of the section. The fit puts them together.
"""

from __future__ import annotations

from bisect import bisect_right, insort
from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import accumulate, product
from typing import NamedTuple

from pacer.plan.model import Flexible, Plan
from pacer.squad.model import Squad
from pacer.timeline.build import Course, TakeUp
from pacer.timeline.laneline import LaneLine
from pacer.timeline.lines import numbered_lines
from pacer.timeline.model import Counts, Timeline, Track
from pacer.timeline.shape import up_to

#: A flexible count's place in `Counts`: section index, line number or None for the section's rounds.
Key = tuple[int, int | None]


class Choice(NamedTuple):
    """One way for a lane through a section.

    `takes_ms`: from the lane's start there to its last touch, None where it swims nothing.
    `distance`: what each of its swimmers swims. `rank`: the greater, the sooner it is chosen among
    ways that are equal in distance and time; ranks of different sections and lanes add up.
    `counts`: what it sets.
    """

    takes_ms: int | None
    distance: int
    rank: int
    counts: tuple[tuple[Key, int], ...]


class Choices:
    """The ways of every lane through every section, worked out when asked for.

    `frozen` lines (section index, line number) stay at their least, as do the rounds of their
    section. `limit_ms` is the latest end of the session; longer ways are left out. `entries` are
    lanes that take up the plan on their way, and `present` the counts they have swum by.
    """

    def __init__(self, plan: Plan, squad: Squad, limit_ms: int, frozen: frozenset[tuple[int, int]],
                 entries: Mapping[int, TakeUp], present: Counts):
        self.plan = plan
        self.squad = squad
        self.limit_ms = limit_ms
        self.frozen = frozen
        self.entries = entries
        self.present = present
        lanes = len(squad.lanes)
        self.flexible: dict[Key, Flexible] = {
            (number, None): section.rounds for number, section in enumerate(plan.sections) if isinstance(section.rounds, Flexible)}
        lines = {(section, number): line.count for section, number, _, line in numbered_lines(plan) if isinstance(line.count, Flexible)}
        self.flexible |= lines
        self._longest = Course(plan, squad, {key: (count.most,) * lanes for key, count in lines.items()})
        self._weights = self._weigh(lanes)
        self._opened: dict[tuple[int, int], tuple[Choice, ...]] = {}
        self._closed: dict[int, dict[int, tuple[Choice, ...]]] = {}

    def _weigh(self, lanes: int) -> dict[tuple[Key, int], int]:
        """What one more of each count adds to a rank: first all rounds together count, then the rounds of
        earlier sections, then earlier lines; in each, earlier lanes."""
        rounds = [(key, lane) for key in self.flexible if key[1] is None for lane in range(lanes)]
        lines = [(key, lane) for key in sorted(k for k in self.flexible if k[1] is not None) for lane in range(lanes)]
        width = max([count.most for count in self.flexible.values()], default=1).bit_length() + 1
        places = rounds + lines
        all_rounds = 1 << (width * len(places))
        return {place: (1 << (width * (len(places) - 1 - i))) + (all_rounds if place[0][1] is None else 0)
                for i, place in enumerate(places)}

    def of(self, section: int, lane: int) -> tuple[Choice, ...]:
        """The ways of a lane that starts the section with all its repeats before it."""
        written = self.plan.sections[section]
        if written.for_ms is None and written.at_most_ms is None:
            ways = self._opened.get((section, lane))
            if ways is None:
                ways = self._opened[section, lane] = tuple(self._open(section, lane))
            return ways
        found = self._closed.get(section)
        if found is None:
            starts = {i: TakeUp(0, 0, 0) for i in range(len(self.squad.lanes))}
            ranges = {i: self._ranges(section, i) for i in starts}
            found = self._closed[section] = self._swum_out(section, starts, ranges)
        return found[lane]

    def left_out(self, section: int, lane: int) -> Choice:
        """The way in which a lane that can swims nothing of the section."""
        return next(choice for choice in self.of(section, lane) if choice.takes_ms is None)

    def taken_up(self, lane: int) -> tuple[Choice, ...]:
        """The ways of a lane through the section that it takes up on its way, from there on."""
        entry = self.entries[lane]
        if entry.ordinal == 0 and entry.section_ms is None and entry.limit_ms is None:
            return self.of(entry.section, lane)
        ranges = self.ranges(entry.section, lane)
        return self._swum_out(entry.section, {lane: replace(entry, section=0)}, {lane: ranges})[lane]

    # -- what may be chosen --------------------------------------------------------------------------

    def ranges(self, section: int, lane: int) -> dict[Key, range]:
        """The counts of a section that the fit may choose for a lane; the first of each is its least."""
        ranges = self._ranges(section, lane)
        entry = self.entries.get(lane)
        if entry is not None and entry.section == section and entry.ordinal:
            self._narrow(ranges, entry, lane)
        return ranges

    def _ranges(self, section: int, lane: int) -> dict[Key, range]:
        ranges = {}
        rounds = self.flexible.get((section, None))
        if rounds is not None and self.squad.lanes[lane].rounds is None:
            held = any(at == section for at, _ in self.frozen)
            ranges[section, None] = range(rounds.least, (rounds.least if held else rounds.most) + 1)
        allowed = self.plan.sections[section].for_ms or self.plan.sections[section].at_most_ms
        for item in self._longest.program(section, lane):
            if isinstance(item, int) or not isinstance(item.line.count, Flexible):
                continue
            least, most = item.line.count.least, item.line.count.most
            if (section, item.number) in self.frozen:
                most = least
            elif allowed is not None:
                # The first repeat that does not fit ends the section: more of them are the same.
                most = min(most, max(least, sum(end <= allowed for end in accumulate(item.ends, max)) + 1))
            ranges[section, item.number] = range(least, most + 1)
        return ranges

    def _narrow(self, ranges: dict[Key, range], entry: TakeUp, lane: int) -> None:
        """Keep what has been swum: lines that were passed keep their count, rounds begun stay."""
        left, begun = entry.ordinal, 0
        course = Course(self.plan, self.squad, self.present)
        program = [item for item in course.program(entry.section, lane) if not isinstance(item, int)]
        passed: set[int] = set()
        while left > 0 and any(item.count for item in program):
            begun += 1
            for item in program:
                key = (entry.section, item.number)
                if left <= 0:
                    break
                if key in ranges and item.number not in passed:
                    if left >= item.count:
                        ranges[key] = range(item.count, item.count + 1)
                    else:
                        ranges[key] = range(max(left, ranges[key].start), max(left + 1, ranges[key].stop))
                passed.add(item.number)
                left -= item.count
        if (key := (entry.section, None)) in ranges:
            least = max(begun, ranges[key].start)
            ranges[key] = range(least, max(least + 1, ranges[key].stop))

    # -- sections that nothing cuts -----------------------------------------------------------------

    def _open(self, section: int, lane: int) -> Iterator[Choice]:
        ranges = self._ranges(section, lane)
        program = self._longest.program(section, lane)
        lines = {number: span for (_, number), span in ranges.items() if number is not None}
        if (section, None) in ranges:
            rounds = ranges.pop((section, None))
            keys = ((section, None), *ranges)
            weights = [self._weights[key, lane] for key in keys]
        else:
            times = self._longest.rounds(section, lane)
            rounds = range(times, times + 1)
            keys = tuple(ranges)
            weights = [0] + [self._weights[key, lane] for key in keys]
        chosen = len(keys) > len(lines)
        once = _once_round(program, lines, self.limit_ms)
        if rounds[0] == 0 or once[0].last_ms < 0:
            least = (*([rounds[0]] if chosen else []), *[span[0] for span in lines.values()])
            rank = weights[0] * rounds[0] + sum([w * c for w, c in zip(weights[1:], [s[0] for s in lines.values()])])
            yield Choice(None, 0, rank, tuple(zip(keys, least)))
        for way in once:
            if way.last_ms < 0:
                continue
            rank = sum([w * c for w, c in zip(weights[1:], way.counts)])
            for times in rounds:
                if times == 0:
                    continue
                takes = (times - 1) * way.takes_ms + way.last_ms
                if takes > self.limit_ms:
                    break
                counts = (times, *way.counts) if chosen else way.counts
                yield Choice(takes, times * way.distance, weights[0] * times + rank, tuple(zip(keys, counts)))

    # -- sections that a time cuts, or that are taken up half-way -----------------------------------

    def _swum_out(self, section: int, entries: Mapping[int, TakeUp],
                  ranges: Mapping[int, Mapping[Key, range]]) -> dict[int, tuple[Choice, ...]]:
        """Every way of these lanes, laid out; of ways that come to the same swims, the one with the least counts."""
        alone = replace(self.plan, sections=(self.plan.sections[section],))
        lanes = range(len(self.squad.lanes))
        keys = sorted({key for spans in ranges.values() for key in spans}, key=lambda key: key[1] or 0)
        spans = [range(min(r[key].start for r in ranges.values() if key in r),
                       max(r[key].stop for r in ranges.values() if key in r)) for key in keys]
        least = {key: span[0] for key, span in zip(keys, spans)}
        fixed = {(0, number): counts for (at, number), counts in self.present.items() if at == section}
        found: dict[int, dict[tuple, Choice]] = {lane: {} for lane in entries}
        rounds = spans.pop(0) if keys[:1] == [(section, None)] else (None,)
        for times in rounds:
            fits = False
            for chosen in product(*([(times,)] if times is not None else []), *spans):
                course = Course(alone, self.squad, fixed | {(0, key[1]): (count,) * len(lanes) for key, count in zip(keys, chosen)})
                for lane, entry in entries.items():
                    mine = ranges[lane]
                    if any(count not in mine[key] if key in mine else count != least[key] for key, count in zip(keys, chosen)):
                        continue
                    tracks = tuple(Track() for _ in lanes)
                    course.lay(tracks, {lane: entry}, {})
                    track = tracks[lane]
                    if track.end_ms > self.limit_ms:
                        continue
                    fits = True
                    swims = tuple([(p.laneline.number, p.round, p.skipped, p.count, p.start_ms) for p in track.passes])
                    if swims not in found[lane]:
                        counts = tuple([(key, count) for key, count in zip(keys, chosen) if key in mine])
                        rank = sum([self._weights[key, lane] * count for key, count in counts])
                        distance = Timeline(alone, self.squad, course.counts, tracks, {}).distance(lane)
                        found[lane][swims] = Choice(track.end_ms - entry.at_ms if swims else None, distance, rank, counts)
            if not fits:
                break
        return {lane: tuple(ways.values()) for lane, ways in found.items()}


class Once(NamedTuple):
    """One round: to the next round's start, to the last touch (-1: none), the distance, the counts by line."""

    takes_ms: int
    last_ms: int
    distance: int
    counts: tuple[int, ...]


def _once_round(program: tuple[LaneLine | int, ...], lines: Mapping[int, range], limit_ms: int) -> list[Once]:
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
                ways = [Once(way.takes_ms + takes, max(way.last_ms, way.takes_ms + last), way.distance + distance, way.counts)
                        for way in ways]
        else:
            table = _prefixes(item)
            again = item.number in order
            if not again:
                order.append(item.number)
            made = []
            for way in ways:
                for count in (way.counts[order.index(item.number)],) if again else lines[item.number]:
                    takes, last, distance = table[count]
                    made.append(Once(way.takes_ms + takes, max(way.last_ms, way.takes_ms + last if count else -1),
                                     way.distance + distance, way.counts if again else (*way.counts, count)))
            rest = {later.number for later in program[place + 1:] if not isinstance(later, int)}
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
    lasts: list[int] = []          # ascending, with the best (distance, counts) up to each
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
