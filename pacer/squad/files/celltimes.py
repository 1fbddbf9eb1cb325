"""A time in a cell of somebody else's file: `1:18.34`, `1:18,34`, `78.34` seconds, `1.18` for 1:18.

`28.45` may be seconds, or 28 minutes 45. If nobody swims the distance in one of them, it is the other.
"""

from __future__ import annotations

import re
from fractions import Fraction

from pacer.plan.times import MINUTE_MS, SECOND_MS, ms_from_text

#: Nobody swims 100 in less, and hardly anybody is timed who takes longer. Our own choice, no source.
LEAST_PER_100_MS, MOST_PER_100_MS = 36 * SECOND_MS, 6 * MINUTE_MS
_POINTED = re.compile(r"(\d{1,5})\.(\d{1,3})", re.ASCII)
_WHOLE = re.compile(r"\d{1,5}", re.ASCII)
_POINTS = re.compile(r"(\d{1,2})\.(\d\d)\.(\d{1,2})", re.ASCII)


def cell_ms(text: str, distance: int | Fraction) -> int:
    """A cell's time for a distance, in milliseconds. Raises BadTime.

    >>> cell_ms("28.45", 50), cell_ms("5.40", 400), cell_ms("1:18,3", 100), cell_ms("1.18.34", 100)
    (28450, 340000, 78300, 78340)
    """
    text = text.strip().replace(",", ".")
    if match := _POINTS.fullmatch(text):
        text = f"{match[1]}:{match[2]}.{match[3]}"
    if _WHOLE.fullmatch(text) and _likely(int(text) * SECOND_MS, distance):
        return int(text) * SECOND_MS
    if match := _POINTED.fullmatch(text):
        seconds_ms = int(match[1]) * SECOND_MS + int(match[2].ljust(3, "0"))
        if _likely(seconds_ms, distance):
            return seconds_ms
        minutes_ms = int(match[1]) * MINUTE_MS + int(match[2]) * SECOND_MS
        if len(match[2]) == 2 and int(match[2]) < 60 and _likely(minutes_ms, distance):
            return minutes_ms
    return ms_from_text(text)


def _likely(time_ms: int, distance: int | Fraction) -> bool:
    return distance > 0 and LEAST_PER_100_MS <= Fraction(time_ms * 100) / distance <= MOST_PER_100_MS
