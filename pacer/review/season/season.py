"""Sum up a season: distance, time, sessions by week, month, lane and swimmer; attendance, base, the same set over time.

Distances are summed over all swimmers, in metres: a yard is 0.9144 m.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby
from operator import itemgetter
from typing import NamedTuple

from pacer.plan.decimals import half_up
from pacer.plan.model import Unit
from pacer.review.season.calendardays import week_of
from pacer.review.swum.meanandspread import drift_ms
from pacer.squad.squad import METRES_PER_YARD, Pace

_SPAN = "counts and begun_ms >= ? and begun_ms < ?"
_TOTALS = f"""
select {{key}}, unit, count(distinct session), sum(distance), sum(swum_ms), count(*)
from swam join session on number = session where {_SPAN} {{only}} group by 1, 2 order by 1
"""
#: The sessions with at least one named swimmer.
_NAMED = f"select count(distinct session) from swam join session on number = session where {_SPAN} and name <> ''"
#: For each name, how many sessions they attended, and how many sessions came before the first that they swam or missed.
_CAME = f"""
with visit as (select distinct name, session, begun_ms, 1 as came from swam join session on number = session
               where {_SPAN} and name <> ''),
     known as (select * from visit union all
               select absent.name, absent.session, begun_ms, 0 from absent join session on number = session
               where {_SPAN} and not exists
                     (select * from visit where visit.name = absent.name and visit.session = absent.session)),
     place as (select session, row_number() over (order by begun_ms, session) - 1 as at
               from (select distinct session, begun_ms from visit))
select name, sum(came), min(at) from known join place using (session) group by name order by name
"""


#: What swimmers swam, and the sets with their times, in the order of the tables' keys: by name, set and session.
_CAME_TO = "select {key}, session, distance, base_ms, tests from swam where {only}"
_TOOK = """
select {key}, session, sum(times), sum(sum_ms), sum(predicted_ms) from timed where {only} group by 1, 2
"""
_SAME = "select name, what, session, times, sum_ms, best_ms, predicted_ms from timed where {only}"


class Total(NamedTuple):
    """The totals of one week, month, lane or swimmer.

    `key` is `2026-03` (a week: its first day), a lane's number, or a name. `came`: swimmers, counted at each session.
    """

    key: str
    sessions: int
    distance: int
    swum_ms: int
    came: int = 0


class Attendance(NamedTuple):
    """How often a swimmer came, out of the sessions since the first that they swam or were absent from.

    Only sessions with named swimmers count.
    """

    name: str
    came: int
    of: int


class TrialSwum(NamedTuple):
    """A test swim in words (`400 m in 5:40`), and its day; "" if not known."""

    text: str
    day: str


class Visit(NamedTuple):
    """A swimmer at one session. `time_ms` is the sum of their times, `predicted_ms` the sum of the predictions.

    `distance` is in the session's own `unit`; `base_ms` is per 100 of `base_unit`, the same for all sessions: that of
    most of them, converted by distance alone (1 yd = 0.9144 m).
    """

    session: int
    day: str
    title: str
    distance: int
    unit: str
    base_ms: int
    times: int
    time_ms: int
    predicted_ms: int
    tests: tuple[TrialSwum, ...] = ()
    base_unit: str = "m"

    @property
    def over(self) -> Fraction | None:
        """The share by which the times were slower than predicted (negative: faster); None without times."""
        return Fraction(self.time_ms - self.predicted_ms, self.predicted_ms) if self.predicted_ms else None


class SameSet(NamedTuple):
    """A swimmer's times on one set at one session: their number, their sum and that of the predictions, the best."""

    session: int
    day: str
    times: int
    sum_ms: int
    best_ms: int
    predicted_ms: int

    @property
    def mean_ms(self) -> int:
        """The mean of the repeats, rounded halves up."""
        return (2 * self.sum_ms + self.times) // (2 * self.times)


class Trend(NamedTuple):
    """A swimmer's times on a set at several sessions, in order; `change_ms` is how much the mean of the repeats changes
    from one session to the next (least squares), None with fewer than three sessions.
    """

    what: str
    swum: tuple[SameSet, ...]
    change_ms: int | None


@dataclass(frozen=True, slots=True)
class Season:
    """A whole season. Swimmers without a name are only in the totals of months and lanes."""

    months: tuple[Total, ...]
    lanes: tuple[Total, ...]
    swimmers: tuple[Total, ...]
    attendance: tuple[Attendance, ...]
    weeks: tuple[Total, ...] = ()


def season_of(ledger: sqlite3.Connection, since_ms: int = 0, until_ms: int = 2**62) -> Season:
    """The season of the sessions that started from `since_ms` to before `until_ms`."""
    span = (since_ms, until_ms)
    months, lanes, swimmers = (
        _totals(ledger.execute(_TOTALS.format(key=key, only=only), span))
        for key, only in (("substr(day, 1, 7)", ""), ("lane", ""), ("name", "and name <> ''"))
    )
    of = ledger.execute(_NAMED, span).fetchone()[0]
    rows = ledger.execute(_CAME, span * 2)
    attendance = tuple(Attendance(name, came, of - before) for name, came, before in rows)
    weeks = _totals((week_of(day), *sums) for day, *sums in ledger.execute(_TOTALS.format(key="day", only=""), span))
    return Season(months, lanes, swimmers, attendance, weeks)


def _totals(rows: Iterable[tuple]) -> tuple[Total, ...]:
    """Totals by key, with yards converted to metres."""
    made: dict[object, Total] = {}
    for key, unit, sessions, distance, swum_ms, came in rows:
        far = distance if unit == "m" else half_up(distance * METRES_PER_YARD)
        old = made.get(key, Total(str(key), 0, 0, 0))
        sums = (old.sessions + sessions, old.distance + far, old.swum_ms + swum_ms, old.came + came)
        made[key] = Total(old.key, *sums)
    return tuple(made.values())


def visits(ledger: sqlite3.Connection, name: str | None = None) -> dict[str, tuple[Visit, ...]]:
    """Everybody's sessions (or one swimmer's), by name, the earliest first. Two swimmers of one name count as one."""
    return _visits(ledger, "name", *_only(name))


def lane_visits(ledger: sqlite3.Connection) -> dict[str, tuple[Visit, ...]]:
    """Every lane's sessions, by its number: all its swimmers' distances and times, the base of its slowest."""
    return _visits(ledger, "lane", "1", ())


def _visits(ledger: sqlite3.Connection, key: str, only: str, asked: tuple[str, ...]) -> dict[str, tuple[Visit, ...]]:
    of = _sessions(ledger)
    base_unit = _usual_unit(of.values())
    took = {(who, session): sums for who, session, *sums in ledger.execute(_TOOK.format(key=key, only=only), asked)}
    made: dict[str, dict[int, Visit]] = {}
    for who, session, distance, base_ms, told in ledger.execute(_CAME_TO.format(key=key, only=only), asked):
        mine, tests = made.setdefault(str(who), {}), tuple(TrialSwum(*one) for one in json.loads(told))
        _, day, title, unit = of[session]
        base_ms = half_up(Pace(base_ms, Unit(unit)).per_100(Unit(base_unit)))
        if session in mine:
            before = mine[session]
            tests = tests if base_ms >= before.base_ms else before.tests  # of whom the base is
            distance, base_ms = distance + before.distance, max(base_ms, before.base_ms)
        times, time_ms, predicted_ms = took.get((who, session), (0, 0, 0))
        sums = (times, time_ms, predicted_ms)
        mine[session] = Visit(session, day, title, distance, unit, base_ms, *sums, tests, base_unit)
    return {who: tuple(sorted(rows.values(), key=lambda one: of[one.session])) for who, rows in made.items()}


def trends(ledger: sqlite3.Connection, name: str | None = None) -> dict[str, tuple[Trend, ...]]:
    """The sets with times at two or more sessions, of everybody or one swimmer, by name, the latest first."""
    of, only, asked = _sessions(ledger), *_only(name)
    texts = dict(ledger.execute("select number, text from line"))
    days = {session: day for session, (_, day, _, _) in of.items()}
    made: dict[str, list[Trend]] = {}
    for (who, what), mine in groupby(ledger.execute(_SAME.format(only=only), asked), key=itemgetter(0, 1)):
        swum: list[SameSet] = []
        for _, _, session, times, sum_ms, best_ms, predicted_ms in mine:
            one = SameSet(session, days[session], times, sum_ms, best_ms, predicted_ms)
            if swum and swum[-1].session == session:
                one = _added(swum.pop(), one)
            swum.append(one)
        if len(swum) > 1:
            swum.sort(key=lambda one: of[one.session])
            change = drift_ms(range(len(swum)), [one.mean_ms for one in swum])
            made.setdefault(who, []).append(Trend(texts[what], tuple(swum), change))
    return {
        who: tuple(sorted(found, key=lambda one: of[one.swum[-1].session], reverse=True)) for who, found in made.items()
    }


def _added(one: SameSet, other: SameSet) -> SameSet:
    """Add two rows of one session, for two swimmers of one name."""
    return SameSet(
        one.session,
        one.day,
        one.times + other.times,
        one.sum_ms + other.sum_ms,
        min(one.best_ms, other.best_ms),
        one.predicted_ms + other.predicted_ms,
    )


def _sessions(ledger: sqlite3.Connection) -> dict[int, tuple[int, str, str, str]]:
    """Each session's start, day, title and unit."""
    rows = ledger.execute("select number, begun_ms, day, title, unit from session where counts")
    return {number: (begun_ms, day, title, unit) for number, begun_ms, day, title, unit in rows}


def _usual_unit(sessions: Iterable[tuple[int, str, str, str]]) -> str:
    """The unit of most sessions; of the last one if there are as many of both."""
    units = [unit for *_, unit in sorted(sessions, reverse=True)]
    return max(dict.fromkeys(units), key=units.count, default="m")


def _only(name: str | None) -> tuple[str, tuple[str, ...]]:
    return ("name > ''", ()) if name is None else ("name = ?", (name,))
