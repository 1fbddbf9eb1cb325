"""The day and the time of day that a plan's header says it is for."""

from __future__ import annotations

import re
from datetime import date

from pacer.language import tr
from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.regex import regex

EXAMPLE = tr("such as “date: 2026-03-05 18:30” or “date: 5 March 2026”")
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")

_TIME = r"(?:[ T,]\s*(?:at\s+)?(?P<hour>\d{1,2})[:.](?P<minute>\d\d))?"
_NUMBERS = regex(rf"(?P<year>\d{{4}})-(?P<month>\d\d?)-(?P<day>\d\d?){_TIME}")
_WORDS = regex(
    rf"(?:[a-z]{{3,9}}\.?,?\s+)?(?P<day>\d\d?)(?:st|nd|rd|th)?\s+(?P<word>[a-z]{{3,9}})\.?,?\s+(?P<year>\d{{4}}){_TIME}",
    re.IGNORECASE,
)


def date_of(text: str, at: int = 0) -> str:
    """A date in its canonical form. Raises Mistake.

    >>> date_of("5 March 2026"), date_of("Thu 5 Mar 2026, 18:30"), date_of("2026-3-5 9:05")
    ('2026-03-05', '2026-03-05 18:30', '2026-03-05 09:05')
    """
    end = at + len(text)
    match = _NUMBERS.fullmatch(text) or _WORDS.fullmatch(text)
    if match is None:
        raise Mistake(at, end, tr("“{text}” is not a date", text=text), EXAMPLE)
    found = match.groupdict()
    month = found.get("month") or _month(found["word"])
    try:
        day = date(int(found["year"]), int(month), int(found["day"]))
    except ValueError:
        raise Mistake(at, end, tr("there is no day “{text}”", text=text), EXAMPLE) from None
    if found["hour"] is None:
        return day.isoformat()
    if int(found["hour"]) > 23 or int(found["minute"]) > 59:
        raise Mistake(
            at, end, tr("there is no time {hour}:{minute}", hour=found["hour"], minute=found["minute"]), EXAMPLE
        )
    return f"{day.isoformat()} {int(found['hour']):02d}:{found['minute']}"


def _month(word: str) -> int:
    """A month's number by the beginning of its name; 0 if there is none (no date has the month 0)."""
    return MONTHS.index(word[:3].casefold()) + 1 if word[:3].casefold() in MONTHS else 0
