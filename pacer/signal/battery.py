"""Estimate, on the safe side, whether the battery will last the session."""

from __future__ import annotations

from dataclasses import dataclass

from pacer.language import tr

#: The most that a tablet with a bright screen uses: empty in four hours (rule of thumb, no
#: source). It is used until two readings are far enough apart.
WORST_PERCENT_PER_HOUR = 25
RESERVE_PERCENT = 10  #: below it many devices dim the screen or save power (no source)
SPAN_MS = 10 * 60_000  #: two readings closer together than this tell nothing

_HOUR_MS = 3_600_000
_MINUTE_MS = 60_000


@dataclass(frozen=True, slots=True)
class BatteryReading:
    """The battery at one instant of a steady clock: whole per cent, rounded down, and whether it is charging."""

    at_ms: int
    percent: int
    charging: bool = False


def minutes_left(first: BatteryReading, last: BatteryReading) -> int | None:
    """Whole minutes until the reserve is reached; None while charging.

    It uses the fall between the two readings plus one per cent, because readings are whole
    numbers; or `WORST_PERCENT_PER_HOUR` while they are less than `SPAN_MS` apart.

    >>> minutes_left(BatteryReading(0, 60), BatteryReading(0, 60))
    120
    >>> minutes_left(BatteryReading(0, 60), BatteryReading(1_200_000, 55))
    150
    """
    if last.charging:
        return None
    span_ms = last.at_ms - first.at_ms
    fall = first.percent - last.percent + 1
    if span_ms < SPAN_MS or first.charging or fall < 1:
        fall, span_ms = WORST_PERCENT_PER_HOUR, _HOUR_MS
    return max(0, last.percent - RESERVE_PERCENT) * span_ms // fall // _MINUTE_MS


def warning(first: BatteryReading, last: BatteryReading, minutes: int) -> str:
    """The warning for the coach before `minutes` more of a session; "" if all is well.

    >>> warning(BatteryReading(0, 20), BatteryReading(0, 20), 60)
    'Battery 20%: may last 24 min, the session needs 60.'
    """
    if last.charging:
        return tr("The tablet is charging. Keep mains leads off the wet deck: run on battery, outside the splash zone.")
    left = minutes_left(first, last)
    if left is not None and left < minutes:
        return tr(
            "Battery {percent}%: may last {left} min, the session needs {minutes}.",
            percent=last.percent,
            left=left,
            minutes=minutes,
        )
    return ""
