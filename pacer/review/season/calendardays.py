"""A month as weeks of days: what was swum on each, and what is planned for it."""

from __future__ import annotations

from calendar import MONDAY, Calendar
from collections.abc import Iterable
from datetime import date, timedelta
from typing import NamedTuple

from pacer.plan.library.plancards import Card
from pacer.plan.titles import titled
from pacer.review.wasswum import counts_as_swum
from pacer.session.storage.savedsession import Listed
from pacer.session.timezone import local_day, time_of_day

FIRST_WEEKDAY = MONDAY  #: of every week here


class CalendarEntry(NamedTuple):
    """A session on a day: swum, by its number in the log, or planned, by its plan's name on the shelf.

    `at` is the time of day, "" where a plan does not say one.
    """

    day: date
    at: str
    title: str
    number: int | None = None
    plan: str = ""


class CalendarDay(NamedTuple):
    """A day, whether it is of the month that is shown, and what is on it by the time of day."""

    day: date
    inside: bool
    entries: tuple[CalendarEntry, ...]


def entries_of(sessions: Iterable[Listed], cards: Iterable[Card]) -> tuple[CalendarEntry, ...]:
    """All that was swum and is planned, by day and time. A plan that was swum on its day is not planned any more."""
    made = []
    for one in sessions:
        day = local_day(one.begun_ms, one.zone) if one.begun_ms is not None and counts_as_swum(one) else ""
        if day and one.begun_ms is not None:
            at = time_of_day(one.begun_ms, one.zone)[:5]
            made.append(CalendarEntry(date.fromisoformat(day), at, titled(one.title), one.number))
    swum = {(entry.day, entry.title.casefold()) for entry in made}
    for card in cards:
        on = card.planned
        if on and (date.fromisoformat(on[:10]), card.title.casefold()) not in swum:
            made.append(CalendarEntry(date.fromisoformat(on[:10]), on[11:], card.title, plan=card.name))
    return tuple(sorted(made, key=lambda entry: (entry.day, entry.at, entry.title.casefold(), entry.number or 0)))


def month_of(year: int, month: int, entries: Iterable[CalendarEntry]) -> tuple[tuple[CalendarDay, ...], ...]:
    """The weeks of a month, with the days of the months beside it that belong to them."""
    by_day: dict[date, list[CalendarEntry]] = {}
    for entry in entries:
        by_day.setdefault(entry.day, []).append(entry)
    return tuple(
        tuple(CalendarDay(day, day.month == month, tuple(by_day.get(day, ()))) for day in week)
        for week in Calendar(FIRST_WEEKDAY).monthdatescalendar(year, month)
    )


def week_of(day: str) -> str:
    """The first day of a day's week.

    >>> week_of("2026-03-05")
    '2026-03-02'
    """
    on = date.fromisoformat(day)
    return (on - timedelta(days=(on.weekday() - FIRST_WEEKDAY) % 7)).isoformat()


def next_month(year: int, month: int, step: int) -> tuple[int, int]:
    """The month that many after this one.

    >>> next_month(2026, 12, 1), next_month(2026, 1, -1)
    ((2027, 1), (2025, 12))
    """
    months = 12 * year + month - 1 + step
    return months // 12, months % 12 + 1
