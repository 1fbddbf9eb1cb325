"""All ways for a lane through one section: each choice of its flexible counts, with its time and distance.

A lane's way through a section takes the same time at any start, so each is worked out once, counted
from the lane's start of the section. The fit combines them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import accumulate
from typing import NamedTuple

from pacer.plan.model import Flexible
from pacer.plan.planlines import numbered_lines
from pacer.timeline.course import Course, TakeUp
from pacer.timeline.fit.combinations import Combinations
from pacer.timeline.fit.oneround import once_round
from pacer.timeline.stepcounter import Work
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import Track

_LAID_OUT = 250  # steps for laying out one lane's section
#: A flexible count's place in `Counts`: section index, line number or None for the section's rounds.
Key = tuple[int, int | None]


class Choice(NamedTuple):
    """One way for a lane through a section.

    `takes_ms`: from the lane's start there to its last touch, None if it swims nothing.
    `distance`: what each of its swimmers swims. `rank`: of ways with equal distance and time, the one
    with the greatest rank is chosen; ranks of different sections and lanes add up. `counts`: the
    counts that it sets.
    """

    takes_ms: int | None
    distance: int
    rank: int
    counts: tuple[tuple[Key, int], ...]


def least_of(choices: Sequence[Choice]) -> int | None:
    """The least time that any of them takes; None if one of them leaves the section out."""
    times = [choice.takes_ms for choice in choices if choice.takes_ms is not None]
    return min(times, default=0) if len(times) == len(choices) else None


class Choices:
    """The ways of every lane through every section, worked out on demand.

    `frozen` lines (section index, line number) stay at their least, and so do the rounds of their
    section. `limit_ms` is the latest end of the session; longer ways are left out. `entries` are
    lanes that enter the plan in the middle; what they have swum by the course's counts stays.
    `together`: by leader, the lanes that follow its page, the leader first; they are treated as one lane,
    under the leader's index, and take as long as the slowest of them. `some` picks the values of a count to
    try (the least among them); `work` is the budget. With `few`, at most that many ways are followed at
    once; then the answer may not be the best.
    """

    def __init__(
        self,
        course: Course,
        limit_ms: int,
        frozen: frozenset[tuple[int, int]],
        entries: Mapping[int, TakeUp],
        together: Mapping[int, tuple[int, ...]],
        work: Work,
        some: Callable[[Key, int, range], Sequence[int]] = lambda _key, _lane, span: span,
        few: int | None = None,
    ):
        self.course = course
        self.plan = course.plan
        self.squad = course.squad
        self.limit_ms = limit_ms
        self.frozen = frozen
        self.entries = entries
        self.together = together
        self.work = work
        self._some = some
        self.few = few
        #: These keep their counts: they follow another lane's page, or another lane follows theirs, but the two are not
        #: in the same section.
        self.bound = frozenset(
            lane for pair in course.deviation.leaders.items() if pair[0] in together for lane in pair
        )
        lanes = len(self.squad.lanes)
        self.flexible: dict[Key, Flexible] = {
            (number, None): section.rounds
            for number, section in enumerate(self.plan.sections)
            if isinstance(section.rounds, Flexible)
        }
        lines: dict[Key, Flexible] = {
            (section, number): line.count
            for section, number, _, line in numbered_lines(self.plan)
            if isinstance(line.count, Flexible)
        }
        self.flexible |= lines
        most = {key: (count.most,) * lanes for key, count in lines.items()}
        self._longest = course.but(counts=dict(course.counts) | most) if most else course
        self._weights = self._weigh(lanes)
        self._opened: dict[tuple[int, int], tuple[Choice, ...]] = {}
        self._closed: dict[int, dict[int, tuple[Choice, ...]]] = {}

    def _weigh(self, lanes: int) -> dict[tuple[Key, int], int]:
        """How much one more of each count adds to a rank: all rounds together count first, then the rounds of
        earlier sections, then earlier lines; within each, earlier lanes count first."""
        rounds = [(key, lane) for key in self.flexible if key[1] is None for lane in range(lanes)]
        lines = [(key, lane) for key in self.flexible if key[1] is not None for lane in range(lanes)]
        width = max([count.most for count in self.flexible.values()], default=1).bit_length() + 1
        places = rounds + lines
        all_rounds = 1 << (width * len(places))
        return {
            place: (1 << (width * (len(places) - 1 - i))) + (all_rounds if place[0][1] is None else 0)
            for i, place in enumerate(places)
        }

    def of(self, section: int, lane: int) -> tuple[Choice, ...]:
        """The ways of a lane that starts the section at its beginning."""
        if not self._is_open(section, lane):
            return self._cut(section)[lane]
        ways = self._opened.get((section, lane))
        if ways is None:
            ways = self._opened[section, lane] = tuple(self._open(section, lane))
        return ways

    def repeats(self, section: int, lane: int) -> tuple[list[tuple[int, int]], int | None]:
        """The distance of each kind of repeat with its interval, and the most that the lane can swim in all.

        The second is None if no count limits it.
        """
        lines = [item for item in self._longest.program(section, lane) if not isinstance(item, int) and item.count]
        each = [(shape.distance, ms) for item in lines for shape, ms in zip(item.shapes, item.intervals)]
        if self.plan.sections[section].for_ms is not None or not self._as_written(section, lane):
            return each, None
        own = self._ranges(section, lane).get((section, None))
        rounds = self._longest.rounds(section, lane) if own is None else own[-1]
        return each, rounds * sum([item.distance for item in lines])

    def least_ms(self, section: int, lane: int) -> int | None:
        """The least time that a lane takes for a section; None if it may leave it out."""
        if not self._is_open(section, lane):
            return None
        return least_of(self.of(section, lane))

    def _is_open(self, section: int, lane: int) -> bool:
        """Whether only its lines decide how long the lane swims there."""
        written = self.plan.sections[section]
        if written.for_ms is not None or written.at_most_ms is not None or len(self.together[lane]) > 1:
            return False
        return self._as_written(section, lane)

    def _as_written(self, section: int, lane: int) -> bool:
        """Whether nothing that the lane swims there was changed on deck."""
        deviation = self.course.deviation
        if deviation.edits(lane, section):
            return False
        return not (lane in self.bound or (lane, section) in deviation.rounds or deviation.passes(lane, section))

    def _cut(self, section: int) -> dict[int, tuple[Choice, ...]]:
        found = self._closed.get(section)
        if found is None:
            starts = {lane: TakeUp(0, 0, 0) for lane in range(len(self.squad.lanes))}
            ranges = {
                lane: self._tried(self._ranges(section, lane), lane)
                for lane in self.together
                if not self._is_open(section, lane)
            }
            found = self._closed[section] = self._swum_out(section, starts, ranges)
        return found

    def left_out(self, section: int, lane: int) -> Choice:
        """The way that leaves the section out, for a lane that has one."""
        return next(choice for choice in self.of(section, lane) if choice.takes_ms is None)

    def taken_up(self, lane: int) -> tuple[Choice, ...]:
        """The ways of a lane through the rest of the section that it enters in the middle."""
        entry = self.entries[lane]
        entries = {member: self.entries[member]._replace(section=0) for member in self.together[lane]}
        return self._swum_out(entry.section, entries, {lane: self._tried(self.ranges(entry.section, lane), lane)})[lane]

    # -- the range of each count ---------------------------------------------------------------------

    def ranges(self, section: int, lane: int) -> dict[Key, range]:
        """The counts of a section that the fit may choose for a lane; the first of each is its least."""
        ranges = self._ranges(section, lane)
        for member in self.together.get(lane, ()):
            entry = self.entries.get(member)
            if entry is not None and entry.section == section and entry.ordinal:
                self._narrow(ranges, entry, member)
        return ranges

    def _tried(self, ranges: Mapping[Key, range], lane: int) -> dict[Key, Sequence[int]]:
        return {key: self._some(key, lane, span) for key, span in ranges.items()}

    def _ranges(self, section: int, lane: int) -> dict[Key, range]:
        ranges: dict[Key, range] = {}
        if lane not in self.together or lane in self.bound:
            return ranges
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
                # The first repeat that does not fit ends the section: more repeats make no difference.
                most = min(most, max(least, sum(end <= allowed for end in accumulate(item.ends, max)) + 1))
            ranges[section, item.number] = range(least, most + 1)
        return ranges

    def _narrow(self, ranges: dict[Key, range], entry: TakeUp, lane: int) -> None:
        """Keep what has been swum: lines that are past keep their count, rounds that have begun stay."""
        section, left, begun = entry.section, entry.ordinal, 0
        program = self.course.program(section, lane)
        passed: set[int] = set()
        while left > 0:
            begun, before = begun + 1, left
            for place in self.course.order(section, lane, begun):
                if left <= 0:
                    break
                if isinstance(written := program[place], int):
                    continue
                line = self.course.pass_line(section, lane, begun, place)
                key, more = (section, line.number), line.count - written.count
                if key in ranges and line.number not in passed:
                    if left >= line.count:
                        ranges[key] = range(written.count, written.count + 1)
                    else:
                        least = max(left - more, ranges[key].start)
                        ranges[key] = range(least, max(least + 1, ranges[key].stop))
                passed.add(line.number)
                left -= line.count
            if left == before:
                break
        if (rounds := (section, None)) in ranges:
            least = max(begun - self.course.deviation.rounds.get((lane, section), 0), ranges[rounds].start)
            ranges[rounds] = range(least, max(least + 1, ranges[rounds].stop))

    # -- sections without a time limit---------------------------------------------------------------

    def _open(self, section: int, lane: int) -> list[Choice]:
        ranges = self._tried(self._ranges(section, lane), lane)
        own = ranges.pop((section, None), None)
        times = self._longest.rounds(section, lane) if own is None else 0
        rounds = range(times, times + 1) if own is None else own
        lines = {number: span for (_, number), span in ranges.items() if number is not None}
        heavy = 0 if own is None else self._weights[(section, None), lane]
        weights = [self._weights[key, lane] for key in ranges]
        made = []
        once = once_round(self._longest.program(section, lane), lines, self.limit_ms, self.work)
        self.work.spend(4 * len(once) * len(rounds))
        if rounds[0] == 0 or once[0].last_ms < 0:
            least = [span[0] for span in lines.values()]
            rank = heavy * rounds[0] + sum([weight * count for weight, count in zip(weights, least)])
            head = () if own is None else (((section, None), rounds[0]),)
            made.append(Choice(None, 0, rank, (*head, *zip(ranges, least))))
        for takes, last, distance, chosen in once:
            if last < 0:
                continue
            rank = sum([weight * count for weight, count in zip(weights, chosen)])
            fixed = tuple(zip(ranges, chosen))
            for times in rounds:
                whole = (times - 1) * takes + last
                if whole > self.limit_ms:
                    break
                if times:
                    counts = fixed if own is None else (((section, None), times), *fixed)
                    made.append(Choice(whole, times * distance, heavy * times + rank, counts))
        return made

    # -- sections with a time limit, or entered in the middle ---------------------------------------

    def _swum_out(
        self, section: int, entries: Mapping[int, TakeUp], ranges: Mapping[int, Mapping[Key, Sequence[int]]]
    ) -> dict[int, tuple[Choice, ...]]:
        """Every way of the lanes that have `ranges`, laid out from their entries (into section 0).

        Of ways with the same swims, the one with the least counts is kept.
        """
        alone = self._alone(section)
        return {lane: self._swum_by(alone, section, lane, entries, mine) for lane, mine in ranges.items()}

    def _swum_by(
        self, alone: Course, section: int, lane: int, entries: Mapping[int, TakeUp], ranges: Mapping[Key, Sequence[int]]
    ) -> tuple[Choice, ...]:
        keys = sorted(ranges, key=lambda key: key[1] or 0)
        lanes = len(self.squad.lanes)
        # Other lanes' counts do not matter.
        kept = {key: alone.counts.get((0, key[1]), (self.flexible[key].least,) * lanes) for key in keys}
        written = alone.plan.sections[0]
        grows = written.for_ms is None and written.at_most_ms is None and self._as_written(section, lane)
        members = {member: entries[member] for member in self.together[lane]}
        found: dict[tuple, Choice] = {}
        combinations = Combinations([ranges[key] for key in keys])
        for chosen in combinations:
            self.work.spend(_LAID_OUT * (1 + len(members)))
            counts = {
                (0, key[1]): (*kept[key][:lane], count, *kept[key][lane + 1 :]) for key, count in zip(keys, chosen)
            }
            course = alone.but(counts=dict(alone.counts) | counts)
            tracks = tuple(Track() for _ in range(lanes))
            course.lay(tracks, members, {})
            if not grows:
                combinations.mattered = self._mattered(course, tracks, members, section, keys)
            end = max([tracks[member].end_ms for member in members])
            if end > self.limit_ms:
                if grows:
                    combinations.mattered = combinations.moved  # larger counts only add more swimming
                continue
            swims = tuple(
                [
                    (p.laneline.number, p.round, p.skipped, p.count, p.start_ms)
                    for member in members
                    for p in tracks[member].passes
                ]
            )
            distance = Timeline(course.plan, self.squad, course.counts, tracks, {}).distance(lane)
            rank = sum([self._weights[key, lane] * count for key, count in zip(keys, chosen)])
            takes = end - entries[lane].at_ms if swims else None
            found.setdefault(swims, Choice(takes, distance, rank, tuple(zip(keys, chosen))))
        return tuple(found.values())

    def _mattered(
        self, course: Course, tracks: Sequence[Track], entries: Mapping[int, TakeUp], section: int, keys: Sequence[Key]
    ) -> int:
        """How many of the counts, from the first on, affected what was swum.

        Counts of lines after the point at which time ran out did not.
        """
        most = 0
        for lane, entry in entries.items():
            rows, passes = course.program(0, lane), tracks[lane].passes
            if entry.ordinal or not self._as_written(section, lane) or (passes and passes[-1].round > 1):
                return len(keys)
            last = passes[-1] if passes else None
            if last is not None and last.count < last.laneline.count:
                cut = last.place
            else:
                behind = range(0 if last is None else last.place + 1, len(rows))
                cut = next(
                    (place for place in behind if not isinstance(row := rows[place], int) and row.count), len(rows)
                )
            if cut == len(rows):
                return len(keys)
            swum = {row.number for row in rows[:cut] if not isinstance(row, int)}
            most = max([most, *[place + 1 for place, key in enumerate(keys) if key[1] in swum]])
        return most

    def _alone(self, section: int) -> Course:
        """The course with only this section."""
        return self.course.alone(section)
