"""Read and write base paces: `1:18`, `1:18 /100 yd`."""

from __future__ import annotations

import re

from pacer.language import tr
from pacer.plan.decimals import half_up
from pacer.plan.model import Unit
from pacer.plan.times import BadTime, ms_from_text, text_from_ms
from pacer.squad.refusal import Refused
from pacer.squad.squad import Pace

#: Bounds of a base pace, per 100 of its own unit. Common practice, no source: even the fastest
#: sprinter is slower than the first, and a swimmer slower than the second makes no headway.
LEAST_BASE_MS = 20_000
MOST_BASE_MS = 600_000

_PACE = re.compile(r"(.*?)\s*(?:/\s*100\s*(m|yd)?)?", re.DOTALL)


def pace_from_text(text: str) -> Pace:
    """The pace in a text, in whole milliseconds; without a unit it is per 100 of the pool's.

    Raises Refused if the text is not a pace or outside 0:20 to 10:00.

    >>> pace_from_text("1:18 /100 yd")
    Pace(ms=78000, unit=<Unit.YARD: 'yd'>)
    """
    match = _PACE.fullmatch(text.strip())
    assert match is not None, "it matches any text"
    time, unit = match.groups()
    try:
        ms = ms_from_text(time)
    except BadTime as wrong:
        hint = tr("a base pace looks like 1:18 or 1:18 /100 yd")
        raise Refused(wrong.message, hint if "/" in time or not wrong.hint else wrong.hint) from None
    return checked_pace(Pace(ms, Unit(unit) if unit else None))


def checked_pace(pace: Pace) -> Pace:
    """The same pace; raises Refused if it is outside 0:20 to 10:00 per 100."""
    if not LEAST_BASE_MS <= pace.ms <= MOST_BASE_MS:
        raise Refused(
            tr(
                "a base pace must be between {least_ms} and {most_ms} per 100, not {pace}",
                least_ms=text_from_ms(LEAST_BASE_MS),
                most_ms=text_from_ms(MOST_BASE_MS),
                pace=text_from_ms(half_up(pace.ms)),
            )
        )
    return pace


def text_from_pace(pace: Pace) -> str:
    """The pace as a squad file writes it, rounded to the nearest millisecond, halves up.

    >>> text_from_pace(Pace(78_500, Unit.YARD)), text_from_pace(Pace(78_500))
    ('1:18.5 /100 yd', '1:18.5')
    """
    return text_from_ms(half_up(pace.ms)) + (f" /100 {pace.unit}" if pace.unit else "")
