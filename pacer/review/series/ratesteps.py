"""Stroke rates of the main set on the next page, by the rates that were taken."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from pacer.language import tr, tr_n
from pacer.plan.model import RateRange, SetLine
from pacer.plan.times import half_up
from pacer.review.series.pagesteps import Kind, PageStep, with_line
from pacer.review.series.skillsteps import short_line
from pacer.review.swum.beyondchance import LEAST
from pacer.review.swum.sessionreview import Review

RATE_STEP = 2
LEAST_RATE, MOST_RATE = 15, 90


def rate_step(at: int, number: int, line: SetLine, review: Review) -> Iterator[PageStep]:
    if line.rate is None:
        return
    taken = [
        stroke.rate
        for stroke in review.strokes
        if stroke.swim is not None and (stroke.swim.section, stroke.swim.line) == (at, number)
    ]
    if len(taken) < LEAST:
        return
    fell = [fall for fall in review.falls if (fall.swim.section, fall.swim.line) == (at, number)]
    mean = sum(taken, Fraction(0)) / len(taken)
    low, high = sorted((line.rate.start, line.rate.end))
    if fell:
        step, why = (
            -RATE_STEP,
            tr("{counted} fell in the last 100", counted=tr_n("{n:,} swimmer", "{n:,} swimmers", len(fell))),
        )
    elif mean >= high:
        step, why = RATE_STEP, tr("{count} rates averaged {mean}", count=len(taken), mean=half_up(mean))
    elif mean < low:
        step, why = -RATE_STEP, tr("{count} rates averaged {mean}", count=len(taken), mean=half_up(mean))
    else:
        return
    made = RateRange(line.rate.start + step, line.rate.end + step)
    if min(made.start, made.end) < LEAST_RATE or max(made.start, made.end) > MOST_RATE:
        return
    text = tr(
        "{short_line}: rate {range} instead of {rate_range} ({why}).",
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


def _range(rate: RateRange) -> str:
    return str(rate.start) if rate.start == rate.end else f"{rate.start}-{rate.end}"
