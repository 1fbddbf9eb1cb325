"""The calendar: days against the standard library's, swum and planned, and what is not both."""

import calendar
from datetime import date

from hypothesis import given
from hypothesis import strategies as st

from pacer.plan.library.plancards import card_of
from pacer.review.season.calendardays import entries_of, month_of, next_month, week_of
from pacer.session.storage.savedsession import Listed

PLAN = "title: {}\n{}pool: 25 m\n\nMain set\n  4 x 100 on 2:00\n"
THURSDAY_MS = 1_772_733_600_000  # 2026-03-05 18:00 UTC


def listed(number, title="Roll 1", begun_ms=THURSDAY_MS, zone="+00:00", took_ms=3_600_000):
    return Listed(number, title, "25 m", begun_ms, zone, begun_ms + took_ms, None, 9)


def card(title, on="", text=PLAN):
    return card_of(title.lower(), text.format(title, f"date: {on}\n" if on else ""))


def test_swum_and_planned_by_day_and_time():
    entries = entries_of(
        [listed(2, "Evening", zone="+09:00"), listed(1)],
        [card("Roll 2", "12 March 2026"), card("Roll 1", "2026-03-05 18:00"), card("Undated"), card("Roll 3", "soon")],
    )
    assert [(str(one.day), one.at, one.title, one.number, one.plan) for one in entries] == [
        ("2026-03-05", "18:00", "Roll 1", 1, ""),  # planned for that day as well: it was swum
        ("2026-03-06", "03:00", "Evening", 2, ""),  # the day is that of where it was swum
        ("2026-03-12", "", "Roll 2", None, "roll 2"),
    ]


def test_a_plan_with_errors_is_on_its_day_and_a_session_of_a_minute_is_not():
    broken = "title: {}\n{}pool: 25 m\n\nMain set\n  4 x 0n\n"
    entries = entries_of([listed(1, took_ms=60_000)], [card("Half", "2026-03-05", broken)])
    assert [(one.title, one.number) for one in entries] == [("Half", None)]


def test_the_same_plan_again_on_another_day_is_planned():
    entries = entries_of([listed(1)], [card("Roll 1", "2026-03-12")])
    assert [one.number for one in entries] == [1, None]


@given(st.dates(date(1990, 1, 1), date(2090, 12, 31)), st.integers(-40, 40))
def test_months(day, step):
    year, month = next_month(day.year, day.month, step)
    assert (year - day.year) * 12 + month - day.month == step and 1 <= month <= 12
    weeks = month_of(year, month, ())
    days = [one for week in weeks for one in week]
    assert [one.day.day for one in days if one.inside] == list(range(1, calendar.monthrange(year, month)[1] + 1))
    assert all(len(week) == 7 and week[0].day.weekday() == 0 for week in weeks)
    assert all(week_of(str(one.day)) == str(week[0].day) for week in weeks for one in week), "as in the totals by week"
