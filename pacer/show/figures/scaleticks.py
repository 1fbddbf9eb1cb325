"""The values named on an axis: round ones, few enough to read.

Steps are 1, 2 or 5 times a power of ten; for time, the steps of a clock.
"""

from __future__ import annotations

from fractions import Fraction
from math import ceil, floor

from pacer.plan.times import HOUR_MS, MINUTE_MS, SECOND_MS, text_from_ms
from pacer.show.figures.figure import Tick

#: Steps of an axis of time.
TIME_STEPS_MS = tuple(
    step * unit
    for unit, steps in (
        (SECOND_MS, (1, 2, 5, 10, 15, 30)),
        (MINUTE_MS, (1, 2, 5, 10, 15, 30)),
        (HOUR_MS, (1, 2, 6, 12, 24)),
    )
    for step in steps
)


def nice_step(span: float, most: int) -> Fraction:
    """The least step of 1, 2 or 5 times a power of ten that goes into `span` at most `most` times.

    >>> nice_step(37, 6), nice_step(0.9, 5)
    (Fraction(10, 1), Fraction(1, 5))
    """
    wanted = Fraction(span).limit_denominator(10**9) / most
    power = Fraction(1)
    while power * 10 <= wanted:
        power *= 10
    while power > wanted:
        power /= 10
    return next(power * times for times in (1, 2, 5, 10) if power * times >= wanted)


def multiples(low: float, high: float, step: Fraction | int) -> list[Fraction]:
    """Every multiple of `step` from `low` to `high`, both included."""
    least, most = Fraction(low).limit_denominator(10**9), Fraction(high).limit_denominator(10**9)
    return [step * Fraction(number) for number in range(ceil(least / step), floor(most / step) + 1)]


def nice_ticks(low: float, high: float, most: int = 6) -> tuple[Tick, ...]:
    """Round values between `low` and `high`, with as many decimals as the step has.

    >>> [tick.text for tick in nice_ticks(0, 2.1)]
    ['0', '0.5', '1.0', '1.5', '2.0']
    """
    step = nice_step(high - low, most)
    decimals = _decimals(step)
    made = []
    for value in multiples(low, high, step):
        text = f"{int(value):,}" if not decimals else f"{float(value):.{decimals}f}"
        made.append(Tick(float(value), "0" if not value else text))
    return tuple(made)


def _decimals(step: Fraction) -> int:
    decimals = 0
    while (step * 10**decimals).denominator != 1:
        decimals += 1
    return decimals


def nice_reach(low: float, high: float, most: int = 6) -> tuple[float, float]:
    """The range that holds all values between `low` and `high` and begins and ends at a round value.

    >>> nice_reach(31, 47), nice_reach(5, 5)
    ((30.0, 50.0), (4.0, 6.0))
    """
    if low == high:
        low, high = low - 1, high + 1
    step = nice_step(high - low, most)
    least, greatest = Fraction(low).limit_denominator(10**9), Fraction(high).limit_denominator(10**9)
    return float(floor(least / step) * step), float(ceil(greatest / step) * step)


def time_step_ms(span_ms: int, most: int = 7) -> int:
    """The least clock step that goes into `span_ms` at most `most` times."""
    return next((step for step in TIME_STEPS_MS if step * most >= span_ms), TIME_STEPS_MS[-1])


def minute_ticks(high_ms: int, most: int = 7) -> tuple[Tick, ...]:
    """Ticks of a session's time, from its zero: whole minutes, or seconds if it is that short.

    >>> [tick.text for tick in minute_ticks(3_600_000)]
    ['0', '10', '20', '30', '40', '50', '60']
    """
    step = time_step_ms(high_ms, most)
    made = range(0, high_ms + 1, step)
    if step % MINUTE_MS:
        return tuple(Tick(at, text_from_ms(at) if at else "0") for at in made)
    return tuple(Tick(at, str(at // MINUTE_MS)) for at in made)


def time_reach(low_ms: int, high_ms: int, most: int = 6) -> tuple[int, int]:
    """The range of an axis of swum times that holds these and begins and ends at a tick.

    >>> time_reach(76_300, 88_100)
    (76000, 90000)
    """
    step = _swum_step_ms(max(1_000, high_ms - low_ms), most)
    low, high = low_ms // step * step, -(-high_ms // step) * step
    return (low, high) if low < high else (low - step, high + step)


def _swum_step_ms(span_ms: float, most: int) -> int:
    """The step between swum times: a clock step, or tenths of a second."""
    return time_step_ms(ceil(span_ms), most) if span_ms > most * SECOND_MS else max(100, int(nice_step(span_ms, most)))


def time_ticks(low_ms: float, high_ms: float, most: int = 6) -> tuple[Tick, ...]:
    """Ticks of swum times, as a coach writes them: `1:20`, `0:45`; with tenths if they are close together."""
    step = _swum_step_ms(high_ms - low_ms, most)
    return tuple(Tick(float(at), text_from_ms(int(at))) for at in multiples(low_ms, high_ms, step))
