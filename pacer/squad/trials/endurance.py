"""How times grow with distance: Riegel's rule, time = a × distance^exponent.

Riegel 1981, American Scientist 69:285-290. The exponent is a setting, because we found
none published for swimming.
"""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction

from pacer.plan.decimals import half_up
from pacer.squad.squad import Trial

#: Riegel's exponent for running, from memory; a squad can set its own.
DEFAULT_EXPONENT = Decimal("1.06")
LEAST_EXPONENT, MOST_EXPONENT = Decimal(1), Decimal("1.3")

#: The shortest race that Riegel's rule was stated for, 3.5 minutes (as reported, not read in the paper).
LEAST_RACE_MS = 210_000

_DIGITS = 40  # of precision, the same on every machine


def carried_to(time_ms: int, race: Trial, exponent: Decimal = DEFAULT_EXPONENT) -> int:
    """The pace per 100 that the race predicts for a swim of `time_ms`, to the nearest millisecond.

    Its own pace × (time / race time)^(1 − 1/exponent).
    """
    with localcontext() as context:
        context.prec = _DIGITS
        longer = _power(Fraction(time_ms, race.time_ms), 1 - 1 / exponent)
        return _nearest(_decimal(race.per_100_ms) * longer)


def _power(base: Fraction, exponent: Decimal) -> Decimal:
    with localcontext() as context:
        context.prec = _DIGITS
        return _decimal(base) ** exponent


def _decimal(number: Fraction) -> Decimal:
    return Decimal(number.numerator) / Decimal(number.denominator)


def _nearest(ms: Decimal) -> int:
    return half_up(Fraction(ms))
