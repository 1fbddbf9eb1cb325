"""Exact numbers, and how to write them."""

from __future__ import annotations

from fractions import Fraction


def whole_or_exact(number: Fraction) -> int | Fraction:
    """The number as an int if it is whole, because ints are faster."""
    return number.numerator if number.denominator == 1 else number


def short_decimal(number: Fraction, places: int) -> str:
    """The number cut off after at most `places` decimal places: 0.9979 never shows as 0.998."""
    cut = int(abs(number) * 10**places)
    whole, part = divmod(cut, 10**places)
    return ("-" if number < 0 else "") + f"{whole}.{part:0{places}d}".rstrip("0").rstrip(".")
