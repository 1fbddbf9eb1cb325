"""The header's values: the pool, times, words."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

from pacer.language import tr
from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.model import MAX_SESSION_MS, Pool, Unit
from pacer.plan.notation.dateline import date_of
from pacer.plan.notation.pagelines import COLON, KEY, Row
from pacer.plan.problem import Edit
from pacer.plan.regex import regex
from pacer.plan.times import MINUTE_MS, SECOND_MS, BadTime, ms_from_text, text_from_ms
from pacer.plan.words.vocabulary import HEADER_KEYS, near

POOL_EXAMPLE = tr("such as “pool: 25 m”, “pool: 25 yd” or “pool: 33 1/3 m”")
MAX_POOL = 10_000

_POOL = regex(
    r"(?:(?P<whole>[0-9]{1,6})(?:\.(?P<decimals>[0-9]{1,4}))?)?\s*(?:(?<![0-9])(?P<top>[0-9]{1,4})/(?P<bottom>[0-9]{1,4}))?"
    r"\s*(?P<unit>[^\W\d_]*)",
    re.ASCII,
)
_UNITS = {
    **dict.fromkeys(("m", "metre", "metres", "meter", "meters"), Unit.METRE),
    **dict.fromkeys(("yd", "yds", "yard", "yards", "y"), Unit.YARD),
}
#: How many lanes there are.
LANES = regex(r"(?:(?:no\.?\s+of\s+|number\s+of\s+)?lanes\s*[:=]?\s*[0-9]{1,2}|[0-9]{1,2}\s+lanes)\s*", re.IGNORECASE)
_UNCLEAR = regex(r"0?[0-9]:[0-9]{2}(?:\.[0-9]+)?")


def pool_of(text: str, at: int = 0) -> Pool:
    """The pool that `25 m`, `33 1/3 m` or `12.5 yd` names. Raises Mistake.

    >>> str(pool_of("33 1/3 m")), str(pool_of("25 yards")), str(pool_of("12.5m")), str(pool_of("11/12 m"))
    ('33 1/3 m', '25 yd', '12.5 m', '11/12 m')
    """
    end = at + len(text)
    match = _POOL.fullmatch(text)
    if not match or not (match["whole"] or match["top"]):
        raise Mistake(at, end, tr("“{text}” is not the length of a pool", text=text), POOL_EXAMPLE)
    if not match["unit"]:
        ways = [Edit(at, end, f"{text} {unit}") for unit in ("m", "yd")]
        raise Mistake(at, end, tr("metres or yards?"), tr("write {text} m or {text} yd", text=text), *ways)
    unit = _UNITS.get(match["unit"].lower())
    if unit is None:
        raise Mistake(at, end, tr("“{unit}” is neither metres nor yards", unit=match["unit"]), POOL_EXAMPLE)
    if match["bottom"] and not int(match["bottom"]):
        raise Mistake(at, end, tr("a number can't be divided by 0"), POOL_EXAMPLE)
    if match["decimals"] and match["top"]:
        raise Mistake(at, end, tr("“{text}” is not the length of a pool", text=text), POOL_EXAMPLE)
    length = Fraction(f"{match['whole'] or 0}.{match['decimals'] or 0}")
    if match["top"]:
        length += Fraction(int(match["top"]), int(match["bottom"]))
    if not 0 < length <= MAX_POOL:
        raise Mistake(
            at, end, tr("a pool is longer than 0 and shorter than {max_pool:,}", max_pool=MAX_POOL), POOL_EXAMPLE
        )
    return Pool(length, unit)


class Header:
    """The `key: value` lines above the first section; `values` are fields of a Plan."""

    def __init__(self, pool: Pool | None = None):
        self.values: dict[str, Any] = {"pool": pool} if pool else {}
        self.keys: set[str] = set()

    def read(self, row: Row) -> bool:
        """Read the row if it belongs at the top of the plan; return whether it does. Raises Mistake."""
        if LANES.fullmatch(row.code, row.start):
            hint = tr("the squad says which lanes there are")
            raise Mistake(row.start, len(row.code), tr("a plan doesn't say how many lanes there are"), hint)
        match = KEY.match(row.code, row.start)
        if not match:
            return False
        word, key, at = match[1], match[1].casefold(), match.end()
        value = row.code[at:]
        end = row.start + len(word)
        if key not in HEADER_KEYS:
            meant = "" if row.indent or not COLON.match(row.code) else near(key, HEADER_KEYS)
            if not meant:
                return False
            self.keys.add(meant)
            edit = Edit(row.start, end, meant)
            raise Mistake(
                row.start,
                end,
                tr("“{word}” can't be at the top of a plan", word=word),
                tr("did you mean {meant}?", meant=meant),
                edit,
            )
        if key in self.keys:
            raise Mistake(row.start, end, tr("“{key}” is given twice", key=key), tr("keep one line"))
        self.keys.add(key)
        if not value:
            raise Mistake(
                row.start,
                len(row.code),
                tr("“{key}” has no value", key=key),
                tr("write its value after the colon, or leave the line out"),
                Edit(row.start, len(row.code), "", tr("without {key}", key=key)),
            )
        try:
            self.read_value(key, value, at)
        except Mistake as mistake:
            if "#" in value:
                mistake.hint = tr("a comment at the top of a plan needs a line of its own")
            raise
        return True

    def read_value(self, key: str, value: str, at: int) -> None:
        """Note the value of a key; the value begins at `at`. Raises Mistake."""
        if key == "pool":
            self.values["pool"] = pool_of(value, at)
        elif key == "date":
            self.values["date"] = date_of(value, at)
        elif key in ("title", "focus", "revisits"):
            self.values[key] = " ".join(value.split())
        else:
            self.values[f"{key}_ms"] = header_time(key, value, at)


def header_time(key: str, text: str, at: int) -> int:
    """A header's time in milliseconds. Raises Mistake."""
    end = at + len(text)
    if key == "booking":
        return long_time(text, at)
    try:
        ms = ms_from_text(text)
    except BadTime as bad:
        raise Mistake(at, end, bad.message, bad.hint, *(Edit(at, end, way) for way in bad.ways)) from None
    if ms > MAX_SESSION_MS:
        raise Mistake(at, end, tr("{text} is longer than a day", text=text), tr("a session can last up to 24 hours"))
    if key in ("starts", "clock") and (ms < SECOND_MS or ms % SECOND_MS):
        raise Mistake(
            at,
            end,
            tr("{key} must be whole seconds, at least 0:01", key=key),
            tr("such as “{key}: 0:30”", key=key) if key == "starts" else tr("such as “{key}: 0:05”", key=key),
        )
    return ms


def long_time(text: str, at: int) -> int:
    """A booking or a section's time in milliseconds; asks if 1:00 could be an hour. Raises Mistake."""
    end = at + len(text)
    try:
        ms = ms_from_text(text)
    except BadTime as bad:
        minutes = bool(re.fullmatch("[0-9]{1,4}", text))
        ways = [f"{text} min"] if minutes else bad.ways
        hint = tr("write {text} min", text=text) if minutes else bad.hint
        raise Mistake(at, end, bad.message, hint, *(Edit(at, end, way) for way in ways)) from None
    if ms > MAX_SESSION_MS:
        raise Mistake(at, end, tr("{text} is longer than a day", text=text), tr("a session can last up to 24 hours"))
    if ms == 0:
        raise Mistake(at, end, tr("a time must be more than 0"), tr("such as “60 min”"))
    if _UNCLEAR.fullmatch(text):
        hours = f"{text}:00" if "." not in text else ""
        short = f"{ms // MINUTE_MS} min" if ms % MINUTE_MS == 0 else f"0:{text.zfill(5)}"
        raise Mistake(
            at,
            end,
            tr("is {text} hours and minutes, or minutes and seconds?", text=text),
            tr("write {hours} or {short}", hours=hours, short=short) if hours else tr("write {short}", short=short),
            *(Edit(at, end, way) for way in (hours, short) if way),
        )
    return ms


def long_text(ms: int) -> str:
    """A booking or a section's time as a plan writes it: `60 min`, `15:30`, `0:01:30`.

    >>> long_text(3_600_000), long_text(930_000), long_text(90_000)
    ('60 min', '15:30', '0:01:30')
    """
    if ms % MINUTE_MS == 0:
        return f"{ms // MINUTE_MS} min"
    return text_from_ms(ms) if ms >= 10 * MINUTE_MS else f"0:0{text_from_ms(ms)}"
