"""A swimmer's history and a season as tables: only for the coach's own pages, because they have names."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from pacer.language import tr, tr_n
from pacer.plan.decimals import decimals
from pacer.plan.times import in_tenths, to_tenth
from pacer.review.logtables import Table
from pacer.review.report.writtenvalues import percent, seconds, whole_time
from pacer.review.season.season import Attendance, Season, Total, Trend, Visit
from pacer.session.timezone import date_said, month_said
from pacer.squad.trials.baseorigin import tenths

MOST_WEEKS = 12  #: the latest ones
MOST_VISITS = 20  #: the latest ones


def season_tables(season: Season) -> tuple[Table, ...]:
    """Weeks and months with how many swimmers came, lanes, swimmers with their attendance."""
    came = {one.name: one for one in season.attendance}
    heads = (tr("sessions"), tr("distance"), tr("time in water"), tr("swimmers"))
    tables = (
        Table(
            tr("By month"),
            tuple((_month(one.key), *_total(one)[1:], _heads(one)) for one in season.months),
            (tr("month"), *heads),
        ),
        Table(
            tr("By week"),
            tuple((_day(one.key), *_total(one)[1:], _heads(one)) for one in season.weeks[::-1][:MOST_WEEKS]),
            (tr("week of"), *heads),
        ),
        Table(tr("By starting lane"), tuple((*_total(one), _heads(one)) for one in season.lanes), (tr("lane"), *heads)),
        Table(
            tr("By swimmer"),
            (
                *((*_total(one), _came(came[one.key])) for one in season.swimmers),
                *((one.name, "0", "", "", _came(one)) for one in season.attendance if not one.came),
            ),
            (tr("swimmer"), tr("sessions"), tr("distance"), tr("time in water"), tr("attended")),
        ),
    )
    return tuple(table for table in tables if table.rows)


def _total(one: Total) -> tuple[str, str, str, str]:
    return one.key, f"{one.sessions:,}", f"{one.distance:,} m", whole_time(one.swum_ms)


def _heads(one: Total) -> str:
    """Swimmers at a session, on average."""
    return decimals(Fraction(one.came, one.sessions)).removesuffix(".0") if one.came and one.sessions else ""


def _came(one: Attendance) -> str:
    return tr("{came} of {of}", came=one.came, of=one.of)


def history_tables(name: str, visits: tuple[Visit, ...], trends: tuple[Trend, ...]) -> tuple[Table, ...]:
    """A swimmer's sessions, base over time and the same set compared, the latest first."""
    shown = visits[::-1][:MOST_VISITS]
    unit = visits[-1].base_unit if visits else "m"
    more = len(visits) - len(shown)
    heading = (
        tr("{name}: the last {shown} of {n:,} sessions", name=name, shown=len(shown), n=len(visits))
        if more
        else tr_n("{name}: {n:,} session", "{name}: {n:,} sessions", len(visits), name=name)
    )
    sessions = Table(
        heading,
        tuple(
            (_day(one.day), f"{one.distance:,} {one.unit}", tenths(one.base_ms), _over(one), one.title or "")
            for one in shown
        ),
        (tr("day"), tr("distance"), tr("base per 100 {unit}", unit=unit), tr("vs expected"), tr("session")),
    )
    return tuple(table for table in (sessions, *(_trend(one) for one in trends)) if table.rows)


def _day(day: str) -> str:
    """
    >>> _day("2026-03-02")
    '2 Mar 2026'
    """
    return date_said(date.fromisoformat(day), short=True) if day else "?"


def _month(key: str) -> str:
    """
    >>> _month("2026-03")
    'March 2026'
    """
    year, month = key.split("-")
    return month_said(int(year), int(month))


def _over(one: Visit) -> str:
    if one.over is None:
        return tr("no times")
    share = percent(one.over)
    how = (
        tr("as expected")
        if share == percent(0)
        else (tr("{share} slower", share=share) if one.over > 0 else tr("{share} faster", share=share))
    )
    return tr_n("{how} over {n:,} timed repeat", "{how} over {n:,} timed repeats", one.times, how=how)


def _trend(one: Trend) -> Table:
    """A set over time: the mean and the best of each session, and the change from session to session."""
    rows = [
        (
            _day(swum.day),
            in_tenths(swum.mean_ms),
            in_tenths(swum.best_ms),
            tr_n("{n:,} timed repeat", "{n:,} timed repeats", swum.times),
        )
        for swum in reversed(one.swum)
    ]
    change = to_tenth(one.swum[-1].mean_ms) - to_tenth(one.swum[0].mean_ms)  # of what the table shows
    since = {"what": one.what, "changed": _changed(change), "day": _day(one.swum[0].day)}
    heading = (
        tr("{what}: {changed} since {day}", **since)
        if one.change_ms is None
        else tr("{what}: {changed} since {day}, {each} each session", each=_changed(one.change_ms), **since)
    )
    return Table(heading, tuple(rows), (tr("day"), tr("average"), tr("best"), ""))


def _changed(ms: int) -> str:
    """
    >>> _changed(-1_750), _changed(20)
    ('1.8 s faster', 'no change')
    """
    return (
        (tr("{ms} slower", ms=seconds(ms)) if ms > 0 else tr("{ms} faster", ms=seconds(ms)))
        if to_tenth(ms)
        else tr("no change")
    )
