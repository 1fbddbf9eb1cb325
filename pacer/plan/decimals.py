"""Exact numbers, and how to write them."""

from __future__ import annotations

from fractions import Fraction

from pacer.plan.times import half_up


def whole_or_exact(number: Fraction) -> int | Fraction:
    """The number as an int if it is whole, because ints are faster."""
    return number.numerator if number.denominator == 1 else number


def short_decimal(number: Fraction, places: int) -> str:
    """The number cut off after at most `places` decimal places: 0.9979 never shows as 0.998."""
    cut = int(abs(number) * 10**places)
    whole, part = divmod(cut, 10**places)
    return ("-" if number < 0 else "") + f"{whole}.{part:0{places}d}".rstrip("0").rstrip(".")


def decimals(value: Fraction, digits: int = 1) -> str:
    """A value as it is shown, rounded halves up.

    >>> decimals(Fraction(40)), decimals(Fraction(15, 7), 2)
    ('40.0', '2.14')
    """
    scaled = half_up(value * 10**digits)
    return f"{scaled // 10**digits}.{scaled % 10**digits:0{digits}d}"
