"""Wall time in the zone that a session was begun in, without a calendar of the device."""

from __future__ import annotations

import re
from datetime import datetime, timedelta, timezone

_ZONE = re.compile(r"([+-])(\d\d):(\d\d)")


def day_and_time(wall_ms: int, zone: str) -> str:
    """Weekday, date and time to the minute of an instant, in a zone written `+01:00`; anything else is read as UTC.

    >>> day_and_time(1_772_470_883_456, "+01:00"), day_and_time(1_772_470_883_456, "")
    ('Mon 2026-03-02 18:01', 'Mon 2026-03-02 17:01')
    """
    match = _ZONE.fullmatch(zone)
    minutes = int(match[2]) * 60 + int(match[3]) if match else 0
    offset = timezone(timedelta(minutes=-minutes if match and match[1] == "-" else minutes))
    try:
        instant = datetime.fromtimestamp(wall_ms // 1000, offset)
    except (ValueError, OverflowError, OSError):
        return "at an unknown time"
    return f"{('Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun')[instant.weekday()]} {instant:%Y-%m-%d %H:%M}"
