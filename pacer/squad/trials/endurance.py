"""How times grow with distance: Riegel's rule, time = a × distance^exponent.

Riegel 1981, American Scientist 69:285-290. The exponent is a setting, because we found
none published for swimming.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal, localcontext
from fractions import Fraction

from pacer.plan.times import half_up
from pacer.squad.squad import Trial
from pacer.squad.trials.testset import TestSwimsRefused, doubts_about, in_one_unit

#: Riegel's exponent for running, from memory; a squad can set its own.
DEFAULT_EXPONENT = Decimal("1.06")
LEAST_EXPONENT, MOST_EXPONENT = Decimal(1), Decimal("1.3")

#: The shortest race that Riegel's rule was stated for, 3.5 minutes (as reported, not read in the paper).
LEAST_RACE_MS = 210_000

_DIGITS = 40  # of precision, the same on every machine
_NOUGHT = Decimal(0)


def time_over(distance: int | Fraction, race: Trial, exponent: Decimal = DEFAULT_EXPONENT) -> int:
    """Riegel's prediction for `distance`, in the race's unit, to the nearest millisecond.

    >>> time_over(800, Trial(400, 320_000))
    667178
    """
    return _nearest(race.time_ms * _power(Fraction(distance) / race.distance, exponent))


def carried_to(time_ms: int, race: Trial, exponent: Decimal = DEFAULT_EXPONENT) -> int:
    """The pace per 100 that the race predicts for a swim of `time_ms`, to the nearest millisecond.

    Its own pace × (time / race time)^(1 − 1/exponent).
    """
    with localcontext() as context:
        context.prec = _DIGITS
        longer = _power(Fraction(time_ms, race.time_ms), 1 - 1 / exponent)
        return _nearest(_decimal(race.per_100_ms) * longer)


def endurance_exponent(races: Iterable[Trial]) -> Decimal:
    """The exponent that fits a swimmer's races: the slope of ln time on ln distance, to four places.

    Raises TestSwimsRefused for fewer than two distances, or races that contradict each other.
    """
    races = in_one_unit(tuple(races), None)
    doubts_about(races)
    if len(races) < 2:
        raise TestSwimsRefused("an exponent needs swims over two distances or more", "add a swim")
    with localcontext() as context:
        context.prec = _DIGITS
        x = [_decimal(Fraction(race.distance)).ln() for race in races]
        y = [Decimal(race.time_ms).ln() for race in races]
        middle_x, middle_y = sum(x, _NOUGHT) / len(x), sum(y, _NOUGHT) / len(y)
        along = sum(((a - middle_x) * (b - middle_y) for a, b in zip(x, y)), _NOUGHT)
        slope = along / sum(((a - middle_x) ** 2 for a in x), _NOUGHT)
        return slope.quantize(Decimal("0.0001"))


def _power(base: Fraction, exponent: Decimal) -> Decimal:
    with localcontext() as context:
        context.prec = _DIGITS
        return _decimal(base) ** exponent


def _decimal(number: Fraction) -> Decimal:
    return Decimal(number.numerator) / Decimal(number.denominator)


def _nearest(ms: Decimal) -> int:
    return half_up(Fraction(ms))
