"""Numbers with decimal places are written in one place, so that they look the same everywhere."""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path

from pacer.plan.decimals import decimals, short_decimal

PACER = Path(__file__).parents[2] / "pacer"
#: A number of decimal places in a format, or a point between two values.
BY_HAND = re.compile(r':\.[1-9]f\}|\}\.\{[^{}]*(%|:0)[^{}]*\}|f"\.\{\w+:0|"\.0"')
#: What other programs read has a point whatever the app shows.
FOR_PROGRAMS = {"svgfigure.py", "csvfiles.py", "squadwriter.py"}


def test_only_one_place_writes_the_decimal_sign():
    by_hand = [
        f"{path.name}: {line.strip()}"
        for path in sorted(PACER.rglob("*.py"))
        if path.name not in FOR_PROGRAMS
        for line in path.read_text(encoding="utf-8").splitlines()
        if BY_HAND.search(line) and "removesuffix" not in line
    ]
    assert by_hand == []


def test_cut_off_or_rounded_halves_up():
    assert short_decimal(Fraction(9979, 10_000), 3) == "0.997"
    assert short_decimal(Fraction(-5, 2), 3) == "-2.5"
    assert short_decimal(Fraction(7), 2) == "7"
    assert decimals(Fraction(1, 20)) == "0.1"
    assert decimals(12.0) == "12.0"
