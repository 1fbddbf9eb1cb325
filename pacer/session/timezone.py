"""Wall time in the time zone in which a session was started, independent of the device's calendar."""

from __future__ import annotations

import re
from datetime import date, datetime, timedelta, timezone

from pacer.language import tr

_DAYS = (tr("Monday"), tr("Tuesday"), tr("Wednesday"), tr("Thursday"), tr("Friday"), tr("Saturday"), tr("Sunday"))
_DAYS_SHORT = (tr("Mon"), tr("Tue"), tr("Wed"), tr("Thu"), tr("Fri"), tr("Sat"), tr("Sun"))
_MONTHS = (
    tr("January"),
    tr("February"),
    tr("March"),
    tr("April"),
    tr("May"),
    tr("June"),
    tr("July"),
    tr("August"),
    tr("September"),
    tr("October"),
    tr("November"),
    tr("December"),
)
_MONTHS_SHORT = (
    tr("Jan"),
    tr("Feb"),
    tr("Mar"),
    tr("Apr"),
    tr("May"),
    tr("Jun"),
    tr("Jul"),
    tr("Aug"),
    tr("Sep"),
    tr("Oct"),
    tr("Nov"),
    tr("Dec"),
)
_ZONE = re.compile(r"([+-])(\d\d):(\d\d)")


def day_and_time(wall_ms: int, zone: str) -> str:
    """Weekday, date and time to the minute of an instant, in a zone such as `+01:00`; anything else means UTC.

    >>> day_and_time(1_772_470_883_456, "+01:00"), day_and_time(1_772_470_883_456, "")
    ('Mon 2026-03-02 18:01', 'Mon 2026-03-02 17:01')
    >>> day_and_time(1_772_470_883_456, "+99:59")
    'at an unknown time'
    """
    instant = _instant(wall_ms, zone)
    return tr("at an unknown time") if instant is None else f"{weekday_short(instant)} {instant:%Y-%m-%d %H:%M}"


def day_said(wall_ms: int, zone: str) -> str:
    """The day of an instant in words.

    >>> day_said(1_772_470_883_456, "+01:00")
    'Monday 2 March 2026'
    """
    instant = _instant(wall_ms, zone)
    return tr("an unknown day") if instant is None else weekday_and_date(instant)


def weekday_and_date(day: date) -> str:
    """A date in words, with its weekday.

    >>> weekday_and_date(date(2026, 3, 2))
    'Monday 2 March 2026'
    """
    return f"{_DAYS[day.weekday()]} {date_said(day)}"


def day_title(day: date) -> str:
    """The title of a plan that has none but its day.

    >>> day_title(date(2026, 3, 2))
    'Monday 2 March'
    """
    return weekday_and_date(day).rpartition(" ")[0]


def is_day_title(title: str, near: date) -> bool:
    """Whether a title is no more than a day, at most a year from `near`.

    >>> is_day_title("Monday 2 March", date(2026, 11, 30)), is_day_title("Turns 2", date(2026, 11, 30))
    (True, False)
    """
    return any(title == day_title(near + timedelta(days=away)) for away in range(-366, 367))


def weekday_short(day: date) -> str:
    """
    >>> weekday_short(date(2026, 3, 2))
    'Mon'
    """
    return _DAYS_SHORT[day.weekday()]


def planned_said(written: str) -> str:
    """A plan's date in words, with its time of day if it says one.

    >>> planned_said("2026-03-02 18:30"), planned_said("2026-03-02")
    ('Monday 2 March 2026, 18:30', 'Monday 2 March 2026')
    """
    said = weekday_and_date(date.fromisoformat(written[:10]))
    return f"{said}, {written[11:]}" if written[11:] else said


def date_said(day: date, *, short: bool = False) -> str:
    """A date in words.

    >>> date_said(date(2026, 3, 2)), date_said(date(2026, 3, 2), short=True)
    ('2 March 2026', '2 Mar 2026')
    """
    month = (_MONTHS_SHORT if short else _MONTHS)[day.month - 1]
    return tr("{day} {month} {year}", day=day.day, month=month, year=day.year)


def month_said(year: int, month: int) -> str:
    """
    >>> month_said(2026, 3)
    'March 2026'
    """
    return f"{_MONTHS[month - 1]} {year}"


def local_day(wall_ms: int, zone: str) -> str:
    """The day of an instant in a form that sorts; "" if the instant is invalid.

    >>> local_day(1_772_470_883_456, "+01:00")
    '2026-03-02'
    """
    instant = _instant(wall_ms, zone)
    return "" if instant is None else f"{instant:%Y-%m-%d}"


def time_of_day(wall_ms: int, zone: str) -> str:
    """The time of day of an instant to the second.

    >>> time_of_day(1_772_470_883_456, "+01:00")
    '18:01:23'
    """
    instant = _instant(wall_ms, zone)
    return "?" if instant is None else f"{instant:%H:%M:%S}"


def _instant(wall_ms: int, zone: str) -> datetime | None:
    match = _ZONE.fullmatch(zone)
    minutes = int(match[2]) * 60 + int(match[3]) if match else 0
    try:
        offset = timezone(timedelta(minutes=-minutes if match and match[1] == "-" else minutes))
        return datetime.fromtimestamp(wall_ms // 1000, offset)
    except (ValueError, OverflowError, OSError):
        return None
