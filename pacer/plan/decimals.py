"""Exact numbers, and how to write them."""

from __future__ import annotations

from fractions import Fraction

#: What stands before the decimal places of every number and time that a person reads; the notation reads the same.
#: Files for other programs (CSV, TOML, SVG) have a point in any case.
POINT = "."


def half_up(value: int | Fraction) -> int:
    """The nearest whole number, halves up.

    >>> half_up(Fraction(3, 2)), half_up(Fraction(-3, 2)), half_up(7)
    (2, -1, 7)
    """
    return int((2 * value + 1) // 2)


def whole_or_exact(number: Fraction) -> int | Fraction:
    """The number as an int if it is whole, because ints are faster."""
    return number.numerator if number.denominator == 1 else number


def short_decimal(number: Fraction, places: int) -> str:
    """The number cut off after at most `places` decimal places: 0.9979 never shows as 0.998."""
    whole, part = divmod(int(abs(number) * 10**places), 10**places)
    tail = f"{POINT}{part:0{places}d}".rstrip("0") if part else ""
    return ("-" if number < 0 else "") + f"{whole}{tail}"


def decimals(value: int | float | Fraction, digits: int = 1) -> str:
    """A value as it is shown, rounded halves up.

    >>> decimals(40), decimals(Fraction(15, 7), 2)
    ('40.0', '2.14')
    """
    scaled = half_up(Fraction(value) * 10**digits)
    return f"{scaled // 10**digits}{POINT}{scaled % 10**digits:0{digits}d}"
