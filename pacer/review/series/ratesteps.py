"""Stroke rates of the main set on the next page, by the rates that were taken.

A set has one range for everybody. It goes down where the rates of at least half of the swimmers whose rates were taken
fell in the last 100, unless the rates were above it on average: then it asks for less already. If fewer fell, it does
not go up either. The step says of how many swimmers the rates are.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from pacer.language import tr, tr_n
from pacer.plan.decimals import half_up
from pacer.plan.model import RateRange, SetLine
from pacer.review.series.pagestep import Kind, PageStep, with_line
from pacer.review.series.skillsteps import short_line
from pacer.review.swum.beyondchance import LEAST_OF_SET
from pacer.review.swum.sessionreview import Review

RATE_STEP = 2
LEAST_RATE, MOST_RATE = 15, 90


def rate_step(at: int, number: int, line: SetLine, review: Review) -> Iterator[PageStep]:
    if line.rate is None:
        return
    taken = [
        stroke
        for stroke in review.strokes
        if stroke.swim is not None and (stroke.swim.section, stroke.swim.line) == (at, number)
    ]
    if len(taken) < LEAST_OF_SET:
        return
    whose = {stroke.who for stroke in taken if stroke.who is not None}
    fell = {fall.who for fall in review.falls if (fall.swim.section, fall.swim.line) == (at, number)}
    mean = sum((stroke.rate for stroke in taken), Fraction(0)) / len(taken)
    low, high = sorted((line.rate.start, line.rate.end))
    why = _averaged(len(taken), len(whose), mean)
    if fell and 2 * len(fell) >= len(whose):
        if mean > high:
            return
        step = -RATE_STEP
        why = tr_n(
            "the rate of {fell} of {n} swimmer fell in the last 100",
            "the rates of {fell} of {n} swimmers fell in the last 100",
            len(whose),
            fell=len(fell),
        )
    elif mean >= high and not fell:
        step = RATE_STEP
    elif mean < low:
        step = -RATE_STEP
    else:
        return
    made = RateRange(line.rate.start + step, line.rate.end + step)
    if min(made.start, made.end) < LEAST_RATE or max(made.start, made.end) > MOST_RATE:
        return
    text = tr(
        "{short_line}: rate {range} instead of {rate_range} for everybody ({why}).",
        short_line=short_line(line),
        range=_range(made),
        rate_range=_range(line.rate),
        why=why,
    )
    yield PageStep(
        f"rate {number}",
        text,
        Kind.CHANGE,
        lambda page: with_line(page, at, number, lambda old: replace(old, rate=made)),
    )


def _averaged(rates: int, swimmers: int, mean: Fraction) -> str:
    if not swimmers:  # only lanes were named
        return tr("{count} rates averaged {mean}", count=rates, mean=half_up(mean))
    return tr_n(
        "{count} rates of {n} swimmer averaged {mean}",
        "{count} rates of {n} swimmers averaged {mean}",
        swimmers,
        count=rates,
        mean=half_up(mean),
    )


def _range(rate: RateRange) -> str:
    return str(rate.start) if rate.start == rate.end else f"{rate.start}-{rate.end}"
