"""Times as the face writes them: count-downs, count-ups, the pace clock, the time of day.

A count-down never looks like a count-up: it shows minutes only when it needs them (`23`, `1:04`); a count-up always
shows minutes (`0:23`).
"""

from __future__ import annotations

import time
from functools import lru_cache

from pacer.plan.times import MINUTE_MS, SECOND_MS
from pacer.timeline.summary.timelinetable import clock_reading

__all__ = ["clock_reading", "count_down", "count_up", "finish_reading", "hand_degrees", "seconds_to_go", "wall_reading"]


@lru_cache(512)
def count_down(seconds: int) -> str:
    """Whole seconds to go.

    >>> count_down(23), count_down(64), count_down(3723)
    ('23', '1:04', '1:02:03')
    """
    return str(seconds) if seconds < 60 else count_up(seconds)


@lru_cache(512)
def count_up(seconds: int) -> str:
    """Whole seconds gone.

    >>> count_up(23), count_up(64), count_up(3723)
    ('0:23', '1:04', '1:02:03')
    """
    minutes, seconds = divmod(seconds, 60)
    if minutes < 60:
        return f"{minutes}:{seconds:02d}"
    return f"{minutes // 60}:{minutes % 60:02d}:{seconds:02d}"


def seconds_to_go(ms: int) -> int:
    """Seconds that a count-down shows: rounded up, so that it and the pace clock turn together.

    >>> seconds_to_go(1), seconds_to_go(1000), seconds_to_go(1001)
    (1, 1, 2)
    """
    return -(-ms // SECOND_MS)


def hand_degrees(at_ms: int) -> float:
    """The angle of the pace clock's hand, clockwise from the top.

    >>> hand_degrees(15_000), hand_degrees(500)
    (90.0, 3.0)
    """
    return at_ms % MINUTE_MS * 360 / MINUTE_MS


@lru_cache(64)
def wall_reading(wall_ms: int, zone: str = "") -> str:
    """Hours and minutes of the time of day at `wall_ms` (UTC since 1970), rounded up to the minute.

    `zone` is an offset (`+02:00`), a name (`Europe/London`), or "" for the device's own; a name that the device does
    not know counts as its own.

    >>> wall_reading(0, "+01:30"), wall_reading(1, "UTC")
    ('01:30', '00:01')
    """
    seconds = -(-wall_ms // MINUTE_MS) * 60
    offset = _offset(zone, seconds)
    if offset is None:
        local = time.localtime(seconds)
        return f"{local.tm_hour:02d}:{local.tm_min:02d}"
    minutes = (seconds + offset) // 60 % (24 * 60)
    return f"{minutes // 60:02d}:{minutes % 60:02d}"


def finish_reading(zero_wall_ms: int, end_ms: int, booking_ms: int | None, zone: str = "") -> str:
    """When everybody is out, as a time of day: rounded up to the minute.

    If that is within the booking, it is the minute to which the pool is booked at the latest: a session is never called
    over for its seconds. `zero_wall_ms`: the time of day of the session's zero.

    >>> booking = 3_600_000
    >>> [finish_reading(40_000, end, booking, "UTC") for end in (3_540_000, 3_590_000, booking, 3_600_001)]
    ['01:00', '01:00', '01:00', '01:01']
    """
    out_ms = zero_wall_ms + end_ms
    if booking_ms is not None and end_ms <= booking_ms:
        out_ms = min(out_ms, (zero_wall_ms + booking_ms) // MINUTE_MS * MINUTE_MS)
    return wall_reading(out_ms, zone)


def _offset(zone: str, seconds: int) -> int | None:
    """Seconds east of UTC of `zone` at that time; None if it is not known."""
    if zone[:1] in ("+", "-") and len(zone) == 6:
        sign = -1 if zone[0] == "-" else 1
        return sign * (int(zone[1:3]) * 3600 + int(zone[4:6]) * 60)
    if not zone:
        return None
    from datetime import UTC, datetime, timedelta  # named zones are rare: not for the first picture
    from zoneinfo import ZoneInfo

    try:
        local = datetime.fromtimestamp(seconds, UTC).astimezone(ZoneInfo(zone))
    except (KeyError, ValueError, OSError):
        return None
    return (local.utcoffset() or timedelta()) // timedelta(seconds=1)


def spaced_code(code: str) -> str:
    """A code of digits in threes, as it is read aloud.

    >>> spaced_code("482913")
    '482 913'
    """
    return " ".join(code[at : at + 3] for at in range(0, len(code), 3))
