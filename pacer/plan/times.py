"""Read times as coaches write them, as whole milliseconds, and write them again.

Reads `1:22`, `1:22.5`, `:20`, `20 s`, `15"`, `1'30"`, `1'30`, `1:02:03`, `60 min`, `1 h`; up to three
decimals of a second. Anything else raises `BadTime`, which says what was probably meant.
"""

from __future__ import annotations

import re

from pacer.language import either, tr
from pacer.plan.decimals import POINT
from pacer.plan.regex import regex

SECOND_MS = 1_000
MINUTE_MS = 60_000
HOUR_MS = 3_600_000

_SECONDS = r"(\d{1,2})(?:\.(\d{1,3}))?"
_CLOCK = regex(rf"(?:(?:(\d{{1,2}}):)?(\d{{1,3}}))?:{_SECONDS}", re.ASCII)
_PRIMES = regex(rf"""(?:(\d{{1,3}})['’′]\s?)?(?:{_SECONDS}(?(1)(?:["”″]|''|’’)?|(?:["”″]|''|’’)))?""", re.ASCII)
_UNITS = regex(
    r"(\d{1,6})(?:\.(\d{1,3}))?\s*(s|sec|secs|seconds?|min|mins|minutes?|h|hours?)\.?", re.ASCII | re.IGNORECASE
)
_UNIT_MS = {"s": SECOND_MS, "m": MINUTE_MS, "h": HOUR_MS}


class BadTime(ValueError):
    """Not a time; `message` says why, `hint` what would be right (it may be ""), `ways` the times that may be meant."""

    def __init__(self, message: str, hint: str = "", *ways: str):
        self.message = message
        self.hint = hint
        self.ways = ways
        super().__init__(message)


def ms_from_text(text: str) -> int:
    """A written time in whole milliseconds; zero is allowed.

    >>> ms_from_text("1:22.5"), ms_from_text(":20"), ms_from_text('15"'), ms_from_text("60 min")
    (82500, 20000, 15000, 3600000)
    """
    text = text.strip()
    if match := _CLOCK.fullmatch(text):
        hours, minutes, seconds, decimals = match.groups()
        if minutes is not None:
            _check_sixty(text, hours, minutes, seconds)  # `:75` is 1:15
        return _total(hours, minutes, seconds, decimals)
    if text and (match := _PRIMES.fullmatch(text)):
        minutes, seconds, decimals = match.groups()
        if minutes is not None:
            _check_sixty(text, None, minutes, seconds)
        return _total(None, minutes, seconds, decimals)
    if match := _UNITS.fullmatch(text):
        number, decimals, unit = match.groups()
        if unit[0] in "mM" and decimals and re.fullmatch("[0-5][0-9]", decimals):
            time, other = f"{number}:{decimals}", text_from_ms(ms_from_text(f"{number}.{decimals}0 {unit}"))
            ways = tuple(dict.fromkeys((time, other)))
            raise BadTime(tr("{text} can be read in two ways", text=text), tr("write {ways}", ways=either(ways)), *ways)
        unit_ms = _UNIT_MS[unit[0].lower()]
        return int(number) * unit_ms + int((decimals or "0").ljust(3, "0")) * unit_ms // 1000
    if match := re.fullmatch(r"(\d{1,3})\.(\d\d)", text, re.ASCII):
        time = f"{match[1]}:{match[2]}"
        raise BadTime(tr("{text} has a point; a time has a colon", text=text), tr("write {time}", time=time), time)
    if match := re.fullmatch(r"(\d{1,3})[;,](\d\d)", text, re.ASCII):
        time = f"{match[1]}:{match[2]}"
        raise BadTime(tr("{text} is not a time", text=text), tr("write {time}", time=time), time)
    if re.fullmatch(r"\d{1,3}:\d", text, re.ASCII):
        ways = (f"{text[:-1]}0{text[-1]}", f"{text}0")
        raise BadTime(
            tr("seconds need two digits, {text} has one", text=text), tr("write {ways}", ways=either(ways)), *ways
        )
    if re.fullmatch(r"\d+", text, re.ASCII):
        ways = (text_from_ms(int(text) * 1000), f"{text} min")
        raise BadTime(
            tr("{text} alone could be minutes or seconds", text=text), tr("write {ways}", ways=either(ways)), *ways
        )
    raise BadTime(tr("“{text}” is not a time", text=text), tr("times look like 1:22, :20, 20 s or 1:02:03"))


def text_from_ms(ms: int) -> str:
    """A time in its standard form: `0:20`, `1:22.5`, `1:02:03`.

    >>> text_from_ms(20_000), text_from_ms(82_500), text_from_ms(3_723_000)
    ('0:20', '1:22.5', '1:02:03')
    """
    minutes, rest = divmod(ms, MINUTE_MS)
    seconds, decimals = divmod(rest, SECOND_MS)
    tail = f"{POINT}{decimals:03d}".rstrip("0") if decimals else ""
    if minutes >= 60:
        return f"{minutes // 60}:{minutes % 60:02d}:{seconds:02d}{tail}"
    return f"{minutes}:{seconds:02d}{tail}"


def whole_up(ms: int) -> str:
    """A time in whole seconds, rounded up.

    Ends, touches, swims and overruns are always rounded up: nobody is promised to be out before they are.

    >>> whole_up(3_555_001), whole_up(3_555_000)
    ('59:16', '59:15')
    """
    return text_from_ms(-(-ms // SECOND_MS) * SECOND_MS)


def whole_down(ms: int) -> str:
    """A time in whole seconds, rounded down.

    Clocks, rests and spare time are rounded down: they add up with times from `whole_up`.
    """
    return text_from_ms(ms // SECOND_MS * SECOND_MS)


def to_tenth(ms: float) -> int:
    """Milliseconds rounded to whole tenths of a second, halves away from zero.

    >>> to_tenth(78_350), to_tenth(-250)
    (78400, -300)
    """
    return int(abs(ms) / 100 + 0.5) * (100 if ms >= 0 else -100)


def late_by(end_ms: int, limit_ms: int | None) -> int:
    """How much too late an end is, in ms: 0 if it is in time, or if there is no limit.

    >>> late_by(61_000, 60_000), late_by(59_000, 60_000), late_by(59_000, None)
    (1000, 0, 0)
    """
    return 0 if limit_ms is None else max(0, end_ms - limit_ms)


def in_tenths(ms: float) -> str:
    """A time as taken times are shown: in tenths, rounded halves up.

    >>> in_tenths(78_340), in_tenths(78_350), in_tenths(40_000)
    ('1:18.3', '1:18.4', '0:40.0')
    """
    text = text_from_ms(to_tenth(ms))
    return text if POINT in text else f"{text}{POINT}0"


def _total(hours: str | None, minutes: str | None, seconds: str | None, decimals: str | None) -> int:
    whole = int(hours or 0) * HOUR_MS + int(minutes or 0) * MINUTE_MS + int(seconds or 0) * SECOND_MS
    return whole + int((decimals or "").ljust(3, "0"))


def _check_sixty(text: str, hours: str | None, minutes: str | None, seconds: str | None) -> None:
    if seconds is not None and int(seconds) > 59:
        total = int(hours or 0) * HOUR_MS + int(minutes or 0) * MINUTE_MS + int(seconds) * SECOND_MS
        raise BadTime(
            tr("seconds go from 00 to 59, not {seconds}", seconds=seconds),
            tr("did you mean {total}?", total=text_from_ms(total)),
            text_from_ms(total),
        )
    if seconds is not None and ":" in text and len(seconds) == 1:
        ways = (f"{text[:-1]}0{seconds}", f"{text}0")
        raise BadTime(
            tr("seconds need two digits, {text} has one", text=text), tr("write {ways}", ways=either(ways)), *ways
        )
    if hours is not None and (minutes is None or len(minutes) != 2 or int(minutes) > 59):
        raise BadTime(
            tr("minutes after an hour go from 00 to 59, not {minutes}", minutes=minutes),
            tr("times over an hour look like 1:02:03"),
        )
