"""How one repeat is swum, apart from anybody's pace: its segments and their weights.

A `Shape` holds, for each segment of a repeat, its work and the time factor cumulated up to its
end, so that each of a swimmer's times is one multiplication (T1 to T4 of the package).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import chain, cycle
from itertools import repeat as repeat_forever
from math import lcm
from typing import NamedTuple

from pacer.language import tr
from pacer.plan.decimals import half_up
from pacer.plan.model import (
    IM_SEQUENCE,
    Activity,
    Change,
    Effort,
    Section,
    Segment,
    SetLine,
    Stroke,
    Trend,
    Work,
)
from pacer.plan.times import text_from_ms
from pacer.squad.factors import activity_factor, effort_factor, gear_factor, stroke_factor

_ONE = Fraction(1)


class Shape:
    """One kind of repeat. Built once per line and set of factors, shared by lanes.

    `ends` are the distances done at the end of each segment; `weights[j] / scale` is the exact
    time there as a multiple of the base pace per 100. A timed repeat has `time_ms` and one
    segment without distance.
    """

    __slots__ = ("_times", "changes", "cues", "distance", "doings", "ends", "scale", "time_ms", "weights", "works")

    def __init__(
        self,
        distance: int,
        works: tuple[Work, ...],
        cues: tuple[str, ...],
        doings: tuple[str, ...],
        ends: tuple[int, ...],
        factors: tuple[Fraction, ...],
        time_ms: int | None = None,
    ):
        self.distance = distance
        self.time_ms = time_ms
        self.works = works
        self.cues = cues
        self.doings = doings
        self.ends = ends
        lengths = [end - start for start, end in zip((0, *ends), ends)]
        self.scale = 100 * lcm(*(factor.denominator for factor in factors))
        total, weights = 0, []
        for length, factor in zip(lengths, factors):
            total += length * factor.numerator * (self.scale // (100 * factor.denominator))
            weights.append(total)
        self.weights = tuple(weights)
        #: indexes of segments that begin with a change of work or cue
        self.changes = tuple(j for j in range(1, len(works)) if works[j] != works[j - 1] or cues[j] != cues[j - 1])
        self._times: dict[tuple[int | Fraction, int | Fraction | None], tuple[int, ...]] = {}

    def times(self, base: int | Fraction, hold: int | Fraction | None = None) -> tuple[int, ...]:
        """Milliseconds from the send-off to the end of each segment; the last is the repeat's time.

        `base` is per 100 of the pool's unit; `hold` replaces the time of the whole repeat.
        Each value is rounded on its own, halves up.
        """
        key = (base, hold)
        found = self._times.get(key)
        if found is None:
            found = self._times[key] = self._work_out(base, hold)
        return found

    def totals(self, bases: tuple[int | Fraction, ...], hold: int | Fraction | None = None) -> list[int]:
        """The repeat's time for each of `bases`: the last of their `times`."""
        if self.time_ms is not None or hold is not None:
            return [self.total(0, hold)] * len(bases)
        twice, below = 2 * self.weights[-1], self.scale
        whole = 2 * below
        return [
            (base * twice + below) // whole if type(base) is int else half_up(Fraction(base * self.weights[-1], below))
            for base in bases
        ]

    def total(self, base: int | Fraction, hold: int | Fraction | None = None) -> int:
        """The repeat's time: the last of its `times`."""
        if self.time_ms is not None:
            return self.time_ms
        if hold is not None:
            return half_up(hold)
        if type(base) is int:
            return (2 * base * self.weights[-1] + self.scale) // (2 * self.scale)
        return half_up(Fraction(base * self.weights[-1], self.scale))

    def _work_out(self, base: int | Fraction, hold: int | Fraction | None) -> tuple[int, ...]:
        if self.time_ms is not None:
            return (self.time_ms,)
        if hold is not None:
            top, below = hold.numerator, hold.denominator * self.weights[-1]
        else:
            top, below = base.numerator, base.denominator * self.scale
        return tuple([(2 * top * weight + below) // (2 * below) for weight in self.weights])


def up_to(value: int, step: int) -> int:
    """The first multiple of `step` that is at least `value`.

    >>> up_to(61_000, 5_000), up_to(60_000, 5_000)
    (65000, 60000)
    """
    return -(-value // step) * step


def shape_of(line: SetLine, section: Section, repeat: int, distance: int, factors: Mapping[str, Fraction]) -> Shape:
    """The shape of repeat number `repeat` (from 1) of `line`, of `distance` (0 when timed).

    Raises ValueError if the segments do not fill the distance; the notation refuses such lines
    when it reads a plan.
    """
    stretches = [
        _stretch(segment, line, section, repeat, distance, factors) for segment in line.pattern.part_of(repeat).segments
    ]
    filled, ends, done = [], [], 0
    for stretch in cycle(stretches):
        done += stretch.length
        if done > distance:
            raise ValueError(tr("the parts don't add up to the repeat"))
        filled.append(stretch)
        ends.append(done)
        if done == distance:
            break
    _, works, cues, doings, weights = zip(*filled)
    return Shape(distance, works, cues, doings, tuple(ends), weights, line.time_ms)


class _Stretch(NamedTuple):
    """A segment as it is swum: the factor multiplies the base pace for the distance."""

    length: int
    work: Work
    cue: str
    doing: str
    factor: Fraction


def _stretch(
    segment: Segment, line: SetLine, section: Section, repeat: int, distance: int, factors: Mapping[str, Fraction]
) -> _Stretch:
    length = distance if segment.distance is None else segment.distance
    work, effort, said = _resolved(segment.work, line, section, repeat, factors)
    cue = segment.cue or line.cue or section.cue
    if line.time_ms is not None:
        return _Stretch(length, work, cue, _doing(text_from_ms(line.time_ms), work, said), _ONE)
    gear = [gear_factor(gear, work.activity, factors) for gear in line.gear]
    factor = _product([activity_factor(work, factors), stroke_factor(work, factors), effort, *gear])
    return _Stretch(length, work, cue, _doing(str(length), work, said), factor)


def _product(factors: Iterable[Fraction]) -> Fraction:
    top = below = 1
    for factor in factors:
        top *= factor.numerator
        below *= factor.denominator
    return Fraction(top, below)


def shape_keys(line: SetLine, repeats: int) -> list[tuple[int, int, int]]:
    """How repeats of one line can differ besides their distance.

    For each repeat: its part, its place in a descend, its stroke in IM order.
    """
    parts, over = line.pattern.parts, line.change.over if line.change else 1
    medley = [4 if any(segment.work.stroke is Stroke.IM_ORDER for segment in part.segments) else 1 for part in parts]
    turns = [place for place, part in enumerate(parts) for _ in range(part.count)]
    places = cycle(turns) if line.pattern.cycles else chain(turns, repeat_forever(turns[-1]))
    return [(place, number % over, number % medley[place]) for number, place in zip(range(repeats), places)]


def _resolved(
    work: Work, line: SetLine, section: Section, repeat: int, factors: Mapping[str, Fraction]
) -> tuple[Work, Fraction, str]:
    """The work with its stroke and effort decided, its effort factor, and the word to show for the effort."""
    if work.stroke is Stroke.IM_ORDER:
        work = replace(work, stroke=IM_SEQUENCE[(repeat - 1) % 4])
    if work.effort is None and line.change is not None:
        return work, change_factor(line.change, repeat, factors), str(line.change.trend)
    effort = work.effort or section.effort or Effort.THRESHOLD
    if work.effort is not effort:
        work = Work(work.activity, work.stroke, effort, work.name, work.as_swim)
    return work, effort_factor(effort, factors), "" if effort is Effort.THRESHOLD else str(effort)


def change_factor(change: Change, repeat: int, factors: Mapping[str, Fraction]) -> Fraction:
    """The effort factor of repeat `repeat` in a descend or ascend: evenly spaced from steady's to fast's."""
    first, last = effort_factor(Effort.STEADY, factors), effort_factor(Effort.FAST, factors)
    if change.trend is Trend.ASCEND:
        first, last = last, first
    return first + (last - first) * Fraction((repeat - 1) % change.over, change.over - 1)


def _doing(length: str, work: Work, effort: str) -> str:
    words = [length]
    if work.activity is Activity.SWIM:
        words.append(str(work.stroke))
    else:
        words += [str(work.activity), work.name, str(work.stroke or "")]
    words.append(effort)
    return " ".join(word for word in words if word)
