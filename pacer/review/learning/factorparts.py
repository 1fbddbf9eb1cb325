"""Find the factors behind a repeat's predicted time, part by part.

All factors are relative to swim, free and threshold: those are 1 and are not learned.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from enum import StrEnum
from fractions import Fraction
from typing import NamedTuple

from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook
from pacer.plan.model import Activity, Effort, SetLine, Stroke, Trend, Work
from pacer.squad.factors import DEFAULTS, effort_factor
from pacer.timeline.shape import Shape


class Sort(StrEnum):
    """The sort of a factor."""

    ACTIVITY = "activity"
    KIND = "kind"  # a drill, scull or kick by its name, or by its stroke
    STROKE = "stroke"
    EFFORT = "effort"
    GEAR = "gear"


class Part(NamedTuple):
    """A factor, and how much of a change in its logarithm affects the time: 1, except for mixed efforts."""

    name: str
    sort: Sort
    weight: float


class Stretch(NamedTuple):
    """A part of a repeat: its share of the predicted time, and the factors behind it besides the base."""

    share: float
    parts: tuple[Part, ...]


def stretches_of(
    shape: Shape, line: SetLine, repeat: int, factors: Mapping[str, Fraction], book: DrillBook = EMPTY_BOOK
) -> tuple[Stretch, ...]:
    """A repeat's stretches, with those of the same factors combined. `repeat` counts from 1, `factors` are the lane's
    and the squad's own. A drill has its main name in the `book`, whatever the page calls it.
    """
    shares: dict[tuple[Part, ...], float] = {}
    before, whole = 0, shape.weights[-1]
    for work, weight in zip(shape.works, shape.weights):
        parts = tuple(_parts(work, line, repeat, factors, book))
        shares[parts] = shares.get(parts, 0.0) + (weight - before) / whole
        before = weight
    return tuple(Stretch(share, parts) for parts, share in shares.items())


def _parts(work: Work, line: SetLine, repeat: int, factors: Mapping[str, Fraction], book: DrillBook) -> Iterator[Part]:
    if work.activity is not Activity.SWIM:
        yield _activity(work, factors, book)
    if work.activity in (Activity.SWIM, Activity.PULL) and work.stroke not in (None, Stroke.FREE, Stroke.IM_ORDER):
        yield Part(str(work.stroke), Sort.STROKE, 1.0)
    for effort, weight in _efforts(work, line, repeat, factors).items():
        if effort is not Effort.THRESHOLD:
            yield Part(str(effort), Sort.EFFORT, weight)
    for gear in line.gear:
        with_activity = f"{gear} {work.activity}"
        name = with_activity if with_activity in factors or with_activity in DEFAULTS else gear
        yield Part(name, Sort.GEAR, 1.0)


def _activity(work: Work, factors: Mapping[str, Fraction], book: DrillBook) -> Part:
    """A named drill's own factor; otherwise the most specific that the squad has, or the activity's."""
    kind = " ".join(book.name_of(work.name).lower().split())
    names = [f"{work.activity} {work.stroke} {kind}", f"{work.activity} {kind}", f"{work.activity} {work.stroke}"]
    for name in names:
        if name in factors:
            return Part(name, Sort.KIND, 1.0)
    return Part(f"{work.activity} {kind}", Sort.KIND, 1.0) if kind else Part(str(work.activity), Sort.ACTIVITY, 1.0)


def _efforts(work: Work, line: SetLine, repeat: int, factors: Mapping[str, Fraction]) -> Mapping[Effort, float]:
    """The efforts that make up a stretch's factor, each with its share."""
    if work.effort is Effort.BUILD and Effort.BUILD not in factors:
        return _mixed(Effort.EASY, Effort.FAST, Fraction(1, 2), factors)
    if isinstance(work.effort, Effort):
        return {work.effort: 1.0}
    if work.effort is not None or line.change is None:
        return {}  # the squad's own word has the factor that the squad gave it
    over = Fraction((repeat - 1) % line.change.over, line.change.over - 1)
    if line.change.trend is Trend.ASCEND:
        over = 1 - over
    return _mixed(Effort.STEADY, Effort.FAST, over, factors)


def _mixed(first: Effort, second: Effort, share: Fraction, factors: Mapping[str, Fraction]) -> Mapping[Effort, float]:
    one, other = (1 - share) * effort_factor(first, factors), share * effort_factor(second, factors)
    return {first: float(one / (one + other)), second: float(other / (one + other))}
