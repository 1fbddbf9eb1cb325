"""Suggest intervals for lines that have none, or on request for others, so that each lane gets the rest it should.

The suggestion is the interval on the clock's marks that is nearest to the wanted one; of two equally near,
the longer. The slowest repeat of a lane's slowest swimmer counts, so that everybody gets that rest or more,
to the nearest mark.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from fractions import Fraction
from math import gcd, lcm

from pacer.language import tr
from pacer.plan.decimals import half_up
from pacer.plan.model import ByLane, FixedInterval, Flexible, Interval, Plan, SetLine
from pacer.plan.planlines import numbered_lines, with_lines
from pacer.plan.times import MINUTE_MS, text_from_ms
from pacer.squad.bygroup import one_or_each
from pacer.squad.squad import Squad
from pacer.squad.trials.baseorigin import tenths
from pacer.timeline.course import Course
from pacer.timeline.laneline import LaneLine
from pacer.timeline.restlimits import LEAST_REST_MS
from pacer.timeline.shape import up_to
from pacer.timeline.summary.timelinetable import rest_ratio

#: Rest to swimming at critical speed in sets of 5 x 400, 10 x 200 and 20 x 100 m: Toubekis et al. 2011,
#: J Sci Med Sport 14:363-368.
USUAL_RATIO = Fraction(1, 8)


@dataclass(frozen=True, slots=True)
class LaneInterval:
    """One lane's interval: `lane` is its number on the wall, `swims_ms` its slowest time."""

    lane: int
    swims_ms: int
    interval_ms: int

    @property
    def rest_ms(self) -> int:
        """The rest that the interval leaves."""
        return self.interval_ms - self.swims_ms


@dataclass(frozen=True, slots=True)
class Suggestion:
    """Intervals for one line: `section` by index, `line` its number there, `page_line` its line in the file."""

    section: int
    line: int
    page_line: int | None
    lanes: tuple[LaneInterval, ...]


@dataclass(frozen=True, slots=True)
class Left:
    """A requested line that stays as it is, and why."""

    section: int
    line: int
    page_line: int | None
    why: str


@dataclass(frozen=True, slots=True)
class Suggested:
    """The plan with intervals filled in, and a list of them."""

    plan: Plan
    suggestions: tuple[Suggestion, ...]
    left: tuple[Left, ...]

    def text(self) -> str:
        """A line of text for each lane, for a coach to check."""
        rows = []
        for each in self.suggestions:
            for lane in each.lanes:
                ratio = rest_ratio(lane.rest_ms, lane.swims_ms)
                rows.append(
                    tr(
                        "line {line}, lane {lane}: on {interval} (swims {swims}, rests {rest}{ratio})",
                        line=each.page_line,
                        lane=lane.lane,
                        interval=text_from_ms(lane.interval_ms),
                        swims=tenths(lane.swims_ms),
                        rest=tenths(lane.rest_ms),
                        ratio=f", {ratio}" if ratio else "",
                    )
                )
        rows += [tr("line {line}: {why}", line=each.page_line, why=each.why) for each in self.left]
        return "\n".join(rows)


def suggest(
    plan: Plan,
    squad: Squad,
    *,
    rest_ms: int | None = None,
    ratio: Fraction | None = None,
    every: int | None = None,
    lines: Collection[tuple[int, int]] | None = None,
) -> Suggested:
    """The plan with intervals for `lines` (section index, line number).

    None: all lines of two or more repeats without `on` or `rest`.

    The wanted rest is `rest_ms`, or else `ratio` times the swimming, or else the line's own `rest`, or
    else `USUAL_RATIO` times the swimming. With `every` all lanes get the same interval, the slowest lane's,
    rounded so that if the first send-off is on the top, so is each `every`-th one after it.

    Raises ValueError for a rest or ratio below zero, or `every` below one.
    """
    if (rest_ms is not None and rest_ms < 0) or (ratio is not None and ratio < 0) or (every is not None and every < 1):
        raise ValueError(tr("--rest and --ratio must be 0 or more, --every 1 or more"))
    course = _longest(plan, squad)
    suggestions, left, chosen = [], [], {}
    for section, number, _, line in numbered_lines(plan):
        asked = (section, number) in lines if lines is not None else _has_none(line)
        if not asked:
            continue
        at = line.span.line if line.span else None
        swum = _swum(course, section, number)
        why = _cannot(line, swum)
        if why:
            left.append(Left(section, number, at, why))
            continue
        wanted = {lane: _wanted(line, made, squad, lane, rest_ms, ratio) for lane, made in swum.items()}
        intervals = (
            _shared(wanted, plan.clock_ms, every)
            if every
            else {lane: _nearest(*times, plan.clock_ms) for lane, times in wanted.items()}
        )
        suggestions.append(
            Suggestion(
                section,
                number,
                at,
                tuple(
                    LaneInterval(squad.lanes[lane].number, wanted[lane][0], interval)
                    for lane, interval in intervals.items()
                ),
            )
        )
        chosen[section, number] = _by_lane(intervals, len(squad.lanes))
    filled = with_lines(
        plan,
        lambda section, number, line: (
            line if (section, number) not in chosen else replace(line, interval=chosen[section, number], rest_ms=None)
        ),
    )
    return Suggested(filled, tuple(suggestions), tuple(left))


def _has_none(line: SetLine) -> bool:
    """Whether a line has neither `on` nor `rest`, but two or more repeats."""
    if line.interval is not None or line.rest_ms is not None:
        return False
    if line.ladder is not None:
        return len(line.ladder) > 1
    if isinstance(line.count, Flexible):
        return line.count.most > 1
    return line.count is not None and max(line.count.entries) > 1


def _longest(plan: Plan, squad: Squad) -> Course:
    """The course with the most repeats that flexible lines can have, so that the slowest repeat counts."""
    return Course(
        plan,
        squad,
        {
            (section, number): (line.count.most,) * len(squad.lanes)
            for section, number, _, line in numbered_lines(plan)
            if isinstance(line.count, Flexible)
        },
    )


def _swum(course: Course, section: int, number: int) -> dict[int, LaneLine]:
    """The line for each lane that swims it, by the lane's index."""
    return {
        lane: item
        for lane in range(len(course.squad.lanes))
        for item in course.program(section, lane)
        if not isinstance(item, int) and item.number == number and item.count
    }


def _cannot(line: SetLine, swum: dict[int, LaneLine]) -> str:
    if not swum:
        return tr("no lane swims this set")
    if line.ladder is not None and len(set(line.ladder)) > 1:
        return tr("its repeats differ in length, so no one interval suits them; write “rest …”, or “on … per 100”")
    return ""


def _wanted(
    line: SetLine, made: LaneLine, squad: Squad, lane: int, rest_ms: int | None, ratio: Fraction | None
) -> tuple[int, Fraction]:
    """The slowest time of a lane, and the rest it should have."""
    swims = max(made.slowest)
    if rest_ms is None and ratio is None and line.rest_ms is not None:
        rest_ms = line.rest_ms.for_lane(lane, squad.lanes[lane].group)
    if rest_ms is not None:
        return swims, Fraction(rest_ms)
    return swims, swims * (USUAL_RATIO if ratio is None else ratio)


def _nearest(swims_ms: int, rest_ms: Fraction, mark_ms: int) -> int:
    """The mark nearest to the wanted interval that leaves the rest, or at least 0:05 of it."""
    nearest = max(1, half_up((swims_ms + rest_ms) / mark_ms)) * mark_ms
    return max(nearest, up_to(swims_ms + half_up(min(rest_ms, Fraction(LEAST_REST_MS))), mark_ms))


def _shared(wanted: dict[int, tuple[int, Fraction]], clock_ms: int, every: int) -> dict[int, int]:
    """One interval for all lanes, of which `every` make whole minutes."""
    mark = lcm(clock_ms, MINUTE_MS // gcd(MINUTE_MS, every))
    return dict.fromkeys(wanted, max([_nearest(*times, mark) for times in wanted.values()]))


def _by_lane(intervals: dict[int, int], lanes: int) -> ByLane[tuple[Interval, ...]]:
    """Entries in the squad's order.

    A lane that leaves the line out gets its neighbour's entry.
    """
    entries = []
    for lane in range(lanes):
        near = min(intervals, key=lambda other: (abs(other - lane), other))
        entries.append(intervals[near])
    return ByLane(tuple((FixedInterval(entry),) for entry in one_or_each(entries)))
