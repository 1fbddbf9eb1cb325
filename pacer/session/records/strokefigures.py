"""Stroke rate, stroke length and stroke index: exact formulas, and results from taps and counts.

A cycle is both arms in freestyle and backstroke, one action in breaststroke and butterfly (USA Swimming, Athlete
Development Charts 2007: from the entry of one arm to the next entry of the same arm). With speed v,
rate S and length d/S: v = S × d/S (Craig and Pendergast 1979, Med Sci Sports 11:278-283); the index is
v × length (after Costill et al. 1985, from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from fractions import Fraction
from typing import NamedTuple

from pacer.plan.model import RateRange
from pacer.plan.times import MINUTE_MS
from pacer.session.journal.recordentries import LengthCounted, Rated, standing

TIMED_CYCLES = 3  #: cycles timed with one watch (common practice, no source)


class Rating(NamedTuple):
    """A stroke rate in cycles a minute: over all `cycles`, and the lowest and highest between two marks."""

    rate: Fraction
    least: Fraction
    most: Fraction
    cycles: int


class Length(NamedTuple):
    """The results of one counted length. Speed and stroke length are in the pool's unit, `rate` in cycles a minute.

    `seconds_and_strokes`: the sum of both, only for comparing lengths in the same pool.
    """

    speed: Fraction
    rate: Fraction
    length: Fraction
    index: Fraction  # type: ignore[assignment]  # nobody uses a tuple's own `index`
    seconds_and_strokes: Fraction


def stroke_rate(cycles: int, time_cs: int) -> Fraction:
    """Cycles a minute: 60 n / t.

    >>> stroke_rate(3, 450)
    Fraction(40, 1)
    """
    return Fraction(6000 * cycles, time_cs)


def stroke_length(speed: Fraction, rate: Fraction) -> Fraction:
    """Distance per cycle from distance per second and cycles a minute: 60 v / S."""
    return 60 * speed / rate


def stroke_index(speed: Fraction, length: Fraction) -> Fraction:
    """Speed times distance per cycle."""
    return speed * length


def ratings(journal: Iterable[object]) -> list[tuple[Rated, Rating | None]]:
    """The stroke rates in a journal."""
    return [(entry, rating(entry)) for _, entry in standing(journal) if isinstance(entry, Rated)]


def rating(entry: Rated) -> Rating | None:
    """The stroke rate from an entry's marks; None with fewer than two marks, or marks that do not ascend."""
    gaps = [after - before for before, after in zip(entry.marks_cs, entry.marks_cs[1:])]
    if not gaps or min(gaps) <= 0:
        return None
    cycles = entry.cycles * len(gaps)
    return Rating(
        stroke_rate(cycles, sum(gaps)),
        stroke_rate(entry.cycles, max(gaps)),
        stroke_rate(entry.cycles, min(gaps)),
        cycles,
    )


def rated(lane: int, taps_ms: tuple[int, ...], *, swimmer: int | None = None, cycles: int = 1) -> Rated:
    """The entry for taps at session times.

    One at the start of each cycle, or with `cycles` 3 at the start and the end of three.
    """
    first = taps_ms[0]
    return Rated(taps_ms[-1], lane, tuple([(tap - first) // 10 for tap in taps_ms]), cycles, swimmer)


def counted(entry: LengthCounted) -> Length | None:
    """The results of a counted length; None if one of its numbers is zero."""
    if entry.strokes <= 0 or entry.distance <= 0 or entry.time_cs <= 0:
        return None
    cycles = Fraction(entry.strokes, entry.strokes_per_cycle)
    speed = Fraction(100 * entry.distance, entry.time_cs)
    rate = Fraction(6000, entry.time_cs) * cycles
    length = stroke_length(speed, rate)
    return Length(speed, rate, length, stroke_index(speed, length), Fraction(entry.time_cs, 100) + entry.strokes)


def target_rate(wanted: RateRange, done: int, distance: int) -> Fraction:
    """The rate that `rate 32-40` asks for after `done` of a repeat's distance: it changes evenly from start to end.

    >>> target_rate(RateRange(32, 40), 50, 100)
    Fraction(36, 1)
    """
    return (
        Fraction(wanted.start)
        if not distance
        else wanted.start + Fraction((wanted.end - wanted.start) * done, distance)
    )


def ticks(wanted: RateRange, distance: int, done_at: Callable[[int], int], total_ms: int) -> tuple[int, ...]:
    """When to tick through a repeat of `total_ms`, once a cycle at the rate wanted there, in ms from the send-off.

    `done_at(ms)` is the distance swum by then.
    """
    made, at = [], Fraction(0)
    while at < total_ms:
        made.append(int(at))
        at += MINUTE_MS / target_rate(wanted, done_at(int(at)), distance)
    return tuple(made)
