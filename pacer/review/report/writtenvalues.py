"""How a review writes values: times, seconds, percentages."""

from __future__ import annotations

from fractions import Fraction

from pacer.plan.decimals import decimals, short_decimal
from pacer.plan.times import text_from_ms


def seconds(ms: float, digits: int = 1) -> str:
    """Seconds without a sign, rounded halves up.

    >>> seconds(-4_150), seconds(4_000), seconds(1_240, 2)
    ('4.2 s', '4 s', '1.24 s')
    """
    scaled = int(abs(ms) * 10**digits / 1000 + 0.5)
    return f"{short_decimal(Fraction(scaled, 10**digits), digits)} s"


def percent(share: float | Fraction) -> str:
    """A share as a percentage without its sign, rounded halves up.

    >>> percent(Fraction(-1, 80)), percent(0.05)
    ('1.3%', '5.0%')
    """
    return f"{decimals(abs(Fraction(share)) * 100)}%"


def whole_time(ms: int) -> str:
    """A time to the second, rounded halves up."""
    return text_from_ms((ms + 500) // 1000 * 1000)
