"""What a series has visited: focus and drills by session, how much by lane and swimmer, who missed it, what is due.

It has names of swimmers, so it is only for the coach's own pages.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType
from typing import NamedTuple

from pacer.plan.library.drillbook import DrillBook, same_name
from pacer.review.series.due import Due, Gaps, due_of
from pacer.review.series.seriesorder import Series, SeriesPage
from pacer.review.swum.practised import FOCUS


class SwumSession(NamedTuple):
    """A session of the log that counts as swum, from the ledger."""

    number: int
    begun_ms: int
    day: str
    title: str
    unit: str
    focus: str
    revisits: str
    squad: str

    @property
    def date(self) -> date:
        """The day on which it was swum."""
        return date.fromisoformat(self.day)


class Share(NamedTuple):
    """What one swimmer swam of something in a session; `name` is "" if none was written."""

    session: int
    lane: int
    who: int
    name: str
    what: str
    distance: int
    by_time_ms: int


class Diary(NamedTuple):
    """Many sessions together: the sessions in the order of their start, who was there, and what everybody swam."""

    sessions: tuple[SwumSession, ...]
    there: Mapping[int, frozenset[str]]  #: names by session
    shares: Mapping[int, tuple[Share, ...]]  #: by session
    heads: Mapping[int, int]  #: number of swimmers by session
    absent: Mapping[int, frozenset[str]] = MappingProxyType({})  #: names that were marked absent, by session

    def called(self, titles: Mapping[int, str], revisits: Mapping[str, str]) -> Diary:
        """The diary with other titles for these sessions, by number; what they revisit is by its old title."""
        sessions = tuple(
            one._replace(
                title=titles.get(one.number, one.title), revisits=revisits.get(one.revisits.casefold(), one.revisits)
            )
            for one in self.sessions
        )
        return self._replace(sessions=sessions)

    def pages(self) -> tuple[SeriesPage, ...]:
        """The pages that were swum, in order."""
        return tuple(SeriesPage(one.title, one.focus, one.revisits, one.begun_ms) for one in self.sessions)


def diary_of(ledger: sqlite3.Connection) -> Diary:
    """The diary from the ledger of all sessions."""
    rows = ledger.execute(
        "select number, begun_ms, day, title, unit, focus, revisits, squad from session where counts order by 2, 1"
    )
    sessions = tuple(SwumSession(*row) for row in rows)
    there: dict[int, set[str]] = {}
    heads: dict[int, int] = {}
    for session, name in ledger.execute("select session, name from swam"):
        heads[session] = heads.get(session, 0) + 1
        there.setdefault(session, set()).update({name} if name else ())
    absent: dict[int, set[str]] = {}
    for session, name in ledger.execute("select session, name from absent"):
        absent.setdefault(session, set()).add(name)
    shares: dict[int, list[Share]] = {}
    order = "select session, lane, who, name, what, distance, by_time_ms from practised order by 1, 3, 5"
    for row in ledger.execute(order):
        shares.setdefault(row[0], []).append(Share(*row))
    return Diary(
        sessions,
        {number: frozenset(names) for number, names in there.items()},
        {number: tuple(mine) for number, mine in shares.items()},
        heads,
        {number: frozenset(names - there.get(number, set())) for number, names in absent.items()},
    )


@dataclass(frozen=True, slots=True)
class Visit:
    """One focus or drill in one session: each swimmer's share, and who of the squad swam none of it."""

    session: SwumSession
    shares: tuple[Share, ...]
    heads: int
    missed: tuple[str, ...]

    @property
    def distance(self) -> int:
        """The distance that a swimmer swam of it on average, among all who were there; halves rounded up."""
        return _mean(sum(share.distance for share in self.shares), self.heads)

    @property
    def by_time_ms(self) -> int:
        """The same average for sets by time, in milliseconds."""
        return _mean(sum(share.by_time_ms for share in self.shares), self.heads)

    def lanes(self) -> dict[int, tuple[int, int]]:
        """The greatest distance and time that a swimmer of each lane swam."""
        made: dict[int, tuple[int, int]] = {}
        for share in self.shares:
            far, long_ms = made.get(share.lane, (0, 0))
            made[share.lane] = max(far, share.distance), max(long_ms, share.by_time_ms)
        return dict(sorted(made.items()))


@dataclass(frozen=True, slots=True)
class SeriesRow:
    """A focus, or a drill by its name in the book, with its visits by session number; `planned` on pages to come."""

    is_focus: bool
    name: str
    visits: Mapping[int, Visit]
    due: Due
    planned: frozenset[str] = frozenset()

    @property
    def last(self) -> Visit | None:
        """The last visit."""
        return next(reversed(tuple(self.visits.values())), None)


@dataclass(frozen=True, slots=True)
class Visited:
    """A series and what one squad has swum of it.

    `coming` holds its pages that are not swum yet. Rows: focuses, then drills, each in the order of their first visits;
    what is only planned comes last. `absent` by session: who of the squad was not there. `squads`: all that swam it.
    """

    series: Series
    squad: str
    squads: tuple[str, ...]
    sessions: tuple[SwumSession, ...]
    coming: tuple[SeriesPage, ...]
    rows: tuple[SeriesRow, ...]
    absent: Mapping[int, tuple[str, ...]]

    def missed(self) -> dict[str, tuple[SeriesRow, ...]]:
        """What each swimmer missed when it was last visited; those who missed most come first."""
        made: dict[str, list[SeriesRow]] = {}
        for row in self.rows:
            for name in row.last.missed if row.last is not None else ():
                made.setdefault(name, []).append(row)
        order = sorted(made, key=lambda name: (-len(made[name]), name.casefold(), name))
        return {name: tuple(made[name]) for name in order}

    def due_rows(self, today: date) -> tuple[SeriesRow, ...]:
        """What is due today; what has waited longest compared with its gap comes first."""
        found = []
        for place, row in enumerate(self.rows):
            late = row.due.late_days(today)
            if late is not None and late >= 0 and row.due.last is not None and row.due.due is not None:
                gap = (row.due.due - row.due.last).days
                found.append((-late / gap, place, row))
        return tuple(row for _, _, row in sorted(found, key=lambda one: one[:2]))


class PlannedPage(NamedTuple):
    """A page that is not swum yet: its title, focus, and drills by name."""

    title: str
    focus: str
    drills: tuple[str, ...]


def visited_of(
    diary: Diary,
    series: Series,
    book: DrillBook,
    gaps: Gaps,
    *,
    squad: str | None = None,
    members: Collection[str] = (),
    planned: Iterable[PlannedPage] = (),
) -> Visited:
    """What a series has visited, for the squad with that name (None: the squad that swam it last).

    `members` holds the names that are now in that squad.
    """
    of_series = [one for one in diary.sessions if one.title.casefold() in series.keys]
    squads = tuple(dict.fromkeys(one.squad for one in reversed(of_series)))
    if squad is None or squad not in squads:
        squad = squads[0] if squads else ""
    sessions = tuple(one for one in of_series if one.squad == squad)
    known = {
        one.number: diary.there.get(one.number, frozenset()) | diary.absent.get(one.number, frozenset())
        for one in sessions
    }
    belongs = _belonging(sessions, known, members)
    shares: dict[int, dict[tuple[bool, str], list[Share]]] = {}
    names: dict[tuple[bool, str], str] = {}
    for one in sessions:
        for share in diary.shares.get(one.number, ()):
            key, name = _key(share.what, one.focus, book)
            if name:
                names.setdefault(key, name)
                shares.setdefault(one.number, {}).setdefault(key, []).append(share)
    swum = {one.title.casefold() for one in sessions}
    coming = tuple(page for page in series.pages if page.key not in swum)
    to_come = _to_come({page.key for page in coming}, planned, names, book)
    rows = []
    for key, name in sorted(names.items(), key=lambda pair: not pair[0][0]):
        visits = {
            one.number: Visit(
                one,
                _added(shares[one.number][key]),
                diary.heads.get(one.number, 0),
                _missed(belongs[one.number], shares[one.number][key]),
            )
            for one in sessions
            if key in shares.get(one.number, {})
        }
        due = due_of((visit.session.date for visit in visits.values()), gaps)
        rows.append(SeriesRow(key[0], name, visits, due, frozenset(to_come.get(key, ()))))
    rows.sort(key=lambda row: not row.visits)
    absent = {one.number: tuple(sorted(belongs[one.number] - diary.there.get(one.number, set()))) for one in sessions}
    return Visited(series, squad, squads, sessions, coming, tuple(rows), absent)


def _key(what: str, focus: str, book: DrillBook) -> tuple[tuple[bool, str], str]:
    """The key and the name of a share: whether it is a focus, and a form that is the same for all ways to write it."""
    if what == FOCUS:
        return (True, focus.casefold()), focus
    name = book.name_of(what)
    return (False, same_name(name)), name


def _to_come(
    coming: Collection[str], planned: Iterable[PlannedPage], names: dict[tuple[bool, str], str], book: DrillBook
) -> dict[tuple[bool, str], list[str]]:
    """The titles to come that plan each row; `names` is completed with what is not swum yet."""
    made: dict[tuple[bool, str], list[str]] = {}
    for page in planned:
        if page.title.casefold() not in coming:
            continue
        wanted = [_key(FOCUS, page.focus, book)] if page.focus else []
        wanted += [_key(name, "", book) for name in page.drills]
        for key, name in dict(wanted).items():
            names.setdefault(key, name)
            made.setdefault(key, []).append(page.title.casefold())
    return made


def _belonging(
    sessions: Sequence[SwumSession], known: Mapping[int, frozenset[str]], members: Collection[str]
) -> dict[int, frozenset[str]]:
    """The names that belong to each session, whether they were there or not; `known`: those of whom one is known."""
    first: dict[str, int] = {}
    last: dict[str, int] = {}
    for place, one in enumerate(sessions):
        for name in known[one.number]:
            first.setdefault(name, place)
            last[name] = place
    for name in members:
        if name in last:
            last[name] = len(sessions)
    return {
        one.number: frozenset(name for name in first if first[name] <= place <= last[name])
        for place, one in enumerate(sessions)
    }


def _added(shares: Iterable[Share]) -> tuple[Share, ...]:
    """One share for each swimmer; a drill that a page calls by two names counts once."""
    made: dict[int, Share] = {}
    for share in shares:
        old = made.get(share.who)
        made[share.who] = (
            share
            if old is None
            else share._replace(distance=old.distance + share.distance, by_time_ms=old.by_time_ms + share.by_time_ms)
        )
    return tuple(made.values())


def _missed(belongs: Collection[str], shares: Iterable[Share]) -> tuple[str, ...]:
    swam = {share.name for share in shares}
    return tuple(sorted(name for name in belongs if name not in swam))


def _mean(total: int, count: int) -> int:
    return (2 * total + count) // (2 * count) if count else 0
