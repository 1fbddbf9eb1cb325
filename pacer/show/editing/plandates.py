"""What the shelf says of a plan's day: when it is planned, or when it was last swum. No Kivy."""

from __future__ import annotations

from datetime import datetime

from pacer.language import tr
from pacer.plan.library.plancards import Card, day_of, planned_day
from pacer.session.timezone import date_said, day_title, weekday_and_date


def title_of_today(now_ms: int) -> str:
    """The title that a new plan has until it gets another: the day, `Monday 2 March`."""
    return day_title(datetime.fromtimestamp(now_ms / 1000))


def when_said(card: Card, now_ms: int) -> tuple[str, ...]:
    """When a plan is planned, else when it was last swum, in local time; the longest way first."""
    day, at = day_of(card.planned), card.planned[11:]
    if planned_day(card, now_ms) is not None and day is not None:
        whole, short = weekday_and_date(day), date_said(day, short=True).rpartition(" ")[0]
        near = f"{whole[:3]} {short}"
        if day == datetime.fromtimestamp(now_ms / 1000).date():
            whole = short = tr("today")
            near = tr("for today")
        comma = f", {at}" if at else ""
        ways = (
            tr("planned for {whole}{comma}", whole=whole, comma=comma),
            tr("planned {near}{comma}", near=near, comma=comma),
            tr("planned {near}", near=near),
            tr("planned {short}", short=short),
        )
        return tuple(dict.fromkeys(ways))
    if card.swum_ms is None:
        return (
            (tr("not swum yet"),)
            if day is None
            else (tr("not swum on {date}", date=date_said(day)), tr("not swum yet"))
        )
    swum = datetime.fromtimestamp(card.swum_ms / 1000)
    if swum.date() == datetime.fromtimestamp(now_ms / 1000).date():
        return (tr("swum today"),)
    short = date_said(swum, short=True)
    return (
        tr("last swum {date}", date=date_said(swum)),
        tr("swum {short}", short=short),
        tr("swum {short}", short=short.rpartition(" ")[0]),
    )
