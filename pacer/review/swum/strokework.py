"""Stroke rates and counted lengths with the place where they were taken, the speed there, stroke length and index.

A counted length has a speed of its own. Of a rate, the speed is that of the current segment, from the repeat's own time
if there is one, otherwise from the prediction. A repeat's time says nothing about a part of it: such a speed, and the
stroke length and index from it, are always marked as of the whole repeat. Where several rates were taken in a repeat,
those lengths only follow the rates.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass, replace
from enum import StrEnum
from fractions import Fraction
from typing import NamedTuple

from pacer.review.swum.swims import Swum
from pacer.session.journal.recordentries import LengthCounted, Rated
from pacer.session.records.strokefigures import counted, rating, stroke_index, stroke_length

LAST = 100  #: look for a falling stroke rate in the last 100 of a repeat or a set
FALL = Fraction(8, 100)  #: report a fall from this share on; two rates of three cycles differ by less. Our own choice.


class SpeedOf(StrEnum):
    """What a speed is the speed of."""

    COUNTED = "counted length"
    REPEAT = "whole repeat"
    EXPECTED = "expected"


@dataclass(frozen=True, slots=True)
class Stroke:
    """A stroke rate (cycles a minute) with speed and length, in the pool's unit per second and per cycle.

    `done` is the distance of the repeat swum at that moment, `before` the distance of the set before the repeat; both
    None if nobody was swimming then. `who` is None if only the lane was named. `timed`: whether the speed is from a
    recorded time (of the repeat, or of a counted length). `counted`: it is a counted length, with a speed of its own.
    `source`: the lane screen that took the rate, "" for the tablet. `several`: the same repeat has more rates.
    """

    entry: int
    lane: int
    who: int | None
    at_ms: int
    rate: Fraction
    speed: Fraction | None
    length: Fraction | None
    index: Fraction | None
    timed: bool
    swim: Swum | None
    done: int | None
    before: int | None
    source: str = ""
    counted: bool = False
    several: bool = False

    @property
    def speed_of(self) -> SpeedOf | None:
        """What the speed is the speed of; None without a speed."""
        if self.speed is None:
            return None
        return SpeedOf.COUNTED if self.counted else SpeedOf.REPEAT if self.timed else SpeedOf.EXPECTED


@dataclass(frozen=True, slots=True)
class Fall:
    """A swimmer's stroke rate fell in the last 100 of a repeat, or of the set if `repeat` is None.

    `early` and `late` are mean rates; the stroke lengths are means too. They are None if the speed in the last 100 was
    not measured apart from that before it: a length from the speed of the whole repeat only follows the rate.
    """

    lane: int
    who: int
    swim: Swum
    repeat: int | None
    early: Fraction
    late: Fraction
    early_length: Fraction | None
    late_length: Fraction | None
    taken: int

    @property
    def share(self) -> Fraction:
        """The share by which the rate fell."""
        return 1 - self.late / self.early


def strokes_of(taken: Iterable[tuple[int, object]], swims: Iterable[Swum]) -> tuple[Stroke, ...]:
    """Every stroke rate and counted length among the valid numbered entries, in the order they were taken."""
    entries = [(number, one) for number, one in taken if isinstance(one, Rated | LengthCounted)]
    if not entries:
        return ()
    by_place: dict[tuple[int, int], list[Swum]] = {}
    for swim in swims:
        if swim.shape.distance:
            by_place.setdefault((swim.lane, swim.place), []).append(swim)
    made = [found for number, one in entries if (found := _stroke(number, one, by_place)) is not None]
    rated = Counter(id(one.swim) for one in made if one.swim is not None and not one.counted)
    return tuple(replace(one, several=not one.counted and rated[id(one.swim)] > 1) for one in made)


def _stroke(number: int, entry: Rated | LengthCounted, by_place: Mapping[tuple[int, int], list[Swum]]) -> Stroke | None:
    rated = rating(entry) if isinstance(entry, Rated) else None
    told = counted(entry) if isinstance(entry, LengthCounted) else None
    took_cs = entry.marks_cs[-1] - entry.marks_cs[0] if isinstance(entry, Rated) else entry.time_cs
    middle_ms = entry.at_ms - 5 * took_cs
    mine = by_place.get((entry.lane, entry.swimmer or 0), [])
    at = bisect_right(mine, middle_ms, key=lambda swim: swim.left_ms) - 1
    swim = mine[at] if at >= 0 and middle_ms < mine[at].left_ms + 1.2 * mine[at].swum_ms else None
    done = speed = before = who = None
    if swim is not None:
        done, speed = _at(swim, middle_ms)
        before = sum(one.distance for one in mine[:at] if (one.section, one.line) == (swim.section, swim.line))
        who = None if entry.swimmer is None else swim.who
    place = (number, entry.lane, who, middle_ms)
    if told is not None:
        return Stroke(*place, told.rate, told.speed, told.length, told.index, True, swim, done, before, counted=True)
    if rated is None:
        return None
    source = entry.source if isinstance(entry, Rated) else ""
    length = None if speed is None else stroke_length(speed, rated.rate)
    index = None if speed is None or length is None else stroke_index(speed, length)
    timed = swim is not None and swim.time_ms is not None
    return Stroke(*place, rated.rate, speed, length, index, timed, swim, done, before, source)


def _at(swim: Swum, at_ms: int) -> tuple[int, Fraction]:
    """How far a swimmer is on a repeat, and at which speed, if the time is spread like the prediction."""
    times = swim.laneline.times(swim.repeat - 1, min(swim.place, len(swim.laneline.bases) - 1))
    ratio = Fraction(swim.time_ms or swim.predicted_ms, swim.predicted_ms)
    at = min(Fraction(at_ms - swim.left_ms) / ratio, Fraction(times[-1] - 1))
    segment = bisect_right(times, at)
    began, start = (times[segment - 1], swim.shape.ends[segment - 1]) if segment else (0, 0)
    far, takes = swim.shape.ends[segment] - start, times[segment] - began
    return int(start + far * (at - began) / takes), Fraction(1000 * far, takes) / ratio


def falls(strokes: Iterable[Stroke], swims: Iterable[Swum]) -> tuple[Fall, ...]:
    """Falls of stroke rate in the last 100 of a repeat that is longer, otherwise of a set; the greatest fall first."""
    sets: dict[tuple[int, int, int], list[_Taken]] = {}
    for one in strokes:
        if one.who is not None and one.swim is not None and one.done is not None:
            sets.setdefault((one.who, one.swim.section, one.swim.line), []).append(_Taken(one, one.swim, one.done))
    if not sets:
        return ()
    far: dict[tuple[int, int, int], int] = {}
    for swim in swims:
        key = (swim.who, swim.section, swim.line)
        if key in sets:
            far[key] = far.get(key, 0) + swim.distance
    made: list[Fall] = []
    for key, taken in sets.items():
        by_repeat: dict[int, list[_Taken]] = {}
        for each in taken:
            by_repeat.setdefault(each.swim.at, []).append(each)
        found = [
            fall
            for mine in by_repeat.values()
            if (fall := _fall(key[0], mine, mine[0].swim.shape.distance, mine[0].swim.repeat)) is not None
        ]
        whole = None if found else _fall(key[0], taken, far[key], None)
        made += found if whole is None else [whole]
    return tuple(sorted(made, key=lambda fall: -fall.share))


class _Taken(NamedTuple):
    """A stroke rate with a known place."""

    stroke: Stroke
    swim: Swum
    done: int


def _fall(who: int, taken: list[_Taken], far: int, repeat: int | None) -> Fall | None:
    if far <= LAST:
        return None
    early: list[Stroke] = []
    late: list[Stroke] = []
    for stroke, _, done in taken:
        at = done + (0 if repeat is not None else stroke.before or 0)
        (late if at >= far - LAST else early).append(stroke)
    if not early or not late:
        return None
    before, after = _mean([one.rate for one in early]), _mean([one.rate for one in late])
    if after > (1 - FALL) * before:
        return None
    swim = taken[-1].swim
    both = {id(one.swim) for one in early} & {id(one.swim) for one in late}
    lengths = [_mean_length([one for one in part if _measured(one, both)]) for part in (early, late)]
    if None in lengths:
        lengths = [None, None]
    return Fall(swim.lane, who, swim, repeat, before, after, lengths[0], lengths[1], len(taken))


def _measured(stroke: Stroke, both: Set[int]) -> bool:
    """Whether a stroke's speed is its own side's; `both`: repeats (by identity) that have rates on both sides."""
    return stroke.counted or (stroke.timed and id(stroke.swim) not in both)


def _mean_length(strokes: list[Stroke]) -> Fraction | None:
    lengths = [one.length for one in strokes if one.length is not None]
    return _mean(lengths) if lengths else None


def _mean(values: list[Fraction]) -> Fraction:
    return sum(values, Fraction(0)) / len(values)
