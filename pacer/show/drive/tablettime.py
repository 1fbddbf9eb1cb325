"""The tablet's own time of day, for the start of a session."""

from __future__ import annotations

import time

from pacer.language import tr
from pacer.plan.times import HOUR_MS

FARTHEST_MS = 12 * HOUR_MS  #: a time of day farther ahead is hardly what the coach meant


def time_of_day(wall_ms: int) -> str:
    """The time of day, to the second."""
    return time.strftime("%H:%M:%S", time.localtime(wall_ms // 1000)).removeprefix("0")


def start_ways(wall_ms: int) -> tuple[str, ...]:
    """When a session starts, the longest way first."""
    exact = time_of_day(wall_ms)
    return tr("starts {exact}", exact=exact), tr("starts {exact}", exact=exact[:-3]), exact[:-3]


def zone_of(wall_ms: int) -> str:
    """The offset of the tablet's time from UTC at that instant: `+02:00`."""
    minutes = time.localtime(wall_ms // 1000).tm_gmtoff // 60
    return f"{'-' if minutes < 0 else '+'}{abs(minutes) // 60:02d}:{abs(minutes) % 60:02d}"


def next_time_of_day(wall_ms: int, hour: int, minute: int) -> int:
    """The first instant after `wall_ms` at which the tablet's time of day is `hour`:`minute`:00."""
    today = time.localtime(wall_ms // 1000)
    for days in (0, 1):
        start = int(time.mktime((today.tm_year, today.tm_mon, today.tm_mday + days, hour, minute, 0, 0, 0, -1))) * 1000
        if start > wall_ms:
            break
    return start


def has_passed(wall_ms: int, start_ms: int) -> bool:
    """Whether a start from `next_time_of_day` is tomorrow's: so far ahead, the coach meant the time that has passed."""
    return start_ms - wall_ms > FARTHEST_MS
