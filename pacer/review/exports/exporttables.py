"""The exported tables: one specification gives the CSV's headings, the JSON's keys, and its schema.

A time is in milliseconds here; CSV writes it in seconds.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta, timezone
from typing import NamedTuple

from pacer.language import tr
from pacer.plan.model import SetLine
from pacer.plan.problem import Unreadable
from pacer.plan.text.standardform import write_line
from pacer.review.exports.knownnames import KnownNames, known_names
from pacer.review.swum.sessionreview import Review, review_of, stayed_away
from pacer.review.swum.whoswam import Person
from pacer.review.wasswum import counts_as_swum
from pacer.session.journal.recordentries import unnamed_source
from pacer.session.storage.savedsession import KeptSession
from pacer.timeline.findings import CannotRun

TEXT, WHOLE, NUMBER, TRUTH, TIME = "text", "whole", "number", "truth", "time"
Value = str | int | float | bool | None


class Column(NamedTuple):
    """A column: its name (for a time, without its unit), the kind of its values, and a description."""

    name: str
    kind: str
    about: str


@dataclass(frozen=True, slots=True)
class Exported:
    """A session to export. `review` is None if this version cannot run its plan."""

    kept: KeptSession
    review: Review | None


@dataclass(frozen=True, slots=True)
class ExportTable:
    """A table: its columns, and the rows from a session. A column `NAME` is only exported if asked for."""

    name: str
    about: str
    columns: tuple[Column, ...]
    rows: Callable[[Exported], Iterable[tuple[Value, ...]]]


NAME = Column("name", TEXT, tr("the swimmer's name, if it is known"))
_SESSION = Column("session", WHOLE, tr("the session's number on this tablet"))
_WHO = (
    _SESSION,
    Column("lane", WHOLE, tr("the pool's lane number")),
    Column("person", WHOLE, tr("the swimmer's number in the session, from 0")),
    NAME,
)
_SET = (
    Column("section", TEXT, tr("the section's name")),
    Column("set", WHOLE, tr("set number within its section")),
)


def exported(kept: KeptSession) -> Exported:
    """A session with its review."""
    try:
        return Exported(kept, review_of(kept))
    except (Unreadable, CannotRun):
        return Exported(kept, None)


def iso_time(wall_ms: int | None, zone: str) -> str:
    """An instant in ISO 8601, to the second, with its offset; "" if it is unknown.

    >>> iso_time(1_772_470_883_456, "+01:00"), iso_time(None, "")
    ('2026-03-02T18:01:23+01:00', '')
    """
    if wall_ms is None:
        return ""
    sign, hours, minutes = (1 if zone[:1] != "-" else -1), zone[1:3], zone[4:6]
    known = hours.isdigit() and minutes.isdigit()
    offset = sign * timedelta(hours=int(hours), minutes=int(minutes)) if known else timedelta()
    return datetime.fromtimestamp(wall_ms // 1000, timezone(offset)).isoformat()


def _sessions(one: Exported) -> Iterator[tuple[Value, ...]]:
    listed, review = one.kept.listed, one.review
    lanes = far = people = None
    if review is not None:
        lanes, people = len(review.lanes), len(_there(review))
        far = sum(review.distances.of_person(person.number) for person in review.people)
    begun, ended = iso_time(listed.begun_ms, listed.zone), iso_time(listed.ended_ms, listed.zone)
    took = None if listed.begun_ms is None or listed.ended_ms is None else max(0, listed.ended_ms - listed.begun_ms)
    unit = listed.pool.rpartition(" ")[2]
    yield (
        listed.number, begun, ended, took, listed.title, listed.pool, unit, counts_as_swum(listed), lanes, people, far
    )  # fmt: skip


def _sets(one: Exported) -> Iterator[tuple[Value, ...]]:
    if (review := one.review) is None:
        return
    tracks = review.replay.run.timeline.tracks
    for lane, track in enumerate(tracks):
        seen: dict[tuple[int, int], set[tuple[int, int]]] = {}  # a pause cuts a round into several passes
        counts: dict[tuple[int, int], int] = {}
        lines: dict[tuple[int, int], SetLine] = {}
        intervals: dict[tuple[int, int], int | None] = {}
        for found in track.passes:
            key = found.section, found.laneline.number
            seen.setdefault(key, set()).add((found.round, found.place))
            counts[key] = counts.get(key, 0) + found.count
            lines[key] = found.laneline.line
            alike = set(found.laneline.intervals) if found.laneline.own is None else set()
            intervals.setdefault(key, alike.pop() if len(alike) == 1 else None)
        for (section, number), rounds in seen.items():
            text = " ".join(write_line(lines[section, number]).split())
            yield (
                review.listed.number, review.lane_number(lane), review.sections[section], number, text, len(rounds),
                counts[section, number], intervals[section, number],
            )  # fmt: skip


def _repeats(one: Exported) -> Iterator[tuple[Value, ...]]:
    if (review := one.review) is None:
        return
    for swim in review.swims:
        yield (
            *_who(review, review.people[swim.who], swim.lane), review.sections[swim.section], swim.line, swim.round,
            swim.repeat, swim.left_ms, swim.shape.distance, swim.distance, swim.predicted_ms, swim.time_ms,
        )  # fmt: skip


def _times(one: Exported) -> Iterator[tuple[Value, ...]]:
    if (review := one.review) is None:
        return
    for swim in review.swims:
        if swim.time_ms is not None:
            yield (
                *_who(review, review.people[swim.who], swim.lane), review.sections[swim.section], swim.line,
                swim.round, swim.repeat, swim.distance, swim.time_ms, swim.predicted_ms,
                swim.time_ms - swim.predicted_ms, swim.held, unnamed_source(swim.source), swim.bound_ms,
            )  # fmt: skip


def _strokes(one: Exported) -> Iterator[tuple[Value, ...]]:
    if (review := one.review) is None:
        return
    for stroke in review.strokes:
        person = None if stroke.who is None else review.people[stroke.who]
        numbers = (None if value is None else round(float(value), 4) for value in (stroke.speed, stroke.length))
        swim = stroke.swim
        yield (
            *_who(review, person, stroke.lane), None if swim is None else review.sections[swim.section],
            None if swim is None else swim.line, stroke.at_ms, round(float(stroke.rate), 4), *numbers, stroke.timed,
            None if stroke.speed_of is None else str(stroke.speed_of), unnamed_source(stroke.source),
        )  # fmt: skip


def _attendance(one: Exported) -> Iterator[tuple[Value, ...]]:
    if (review := one.review) is None or not counts_as_swum(review.listed):
        return
    for person in _there(review):
        far = review.distances.of_person(person.number)
        yield *_who(review, person, person.lane), _day(review), True, far
    for name in stayed_away(one.kept.session, review):
        yield review.listed.number, None, None, name or None, _day(review), False, 0


def _day(review: Review) -> str:
    return iso_time(review.listed.begun_ms, review.listed.zone)[:10]


def _there(review: Review) -> list[Person]:
    """Those who swam in a session, as the season counts them: not one who was added by mistake, and that undone."""
    return [review.people[one.who] for one in review.spent]


def _who(review: Review, person: Person | None, lane: int) -> tuple[Value, ...]:
    number, name = (None, None) if person is None else (person.number, person.name or None)
    return review.listed.number, review.lane_number(lane), number, name


_REPEAT = (
    *_SET,
    Column("round", WHOLE, tr("round number")),
    Column("repeat", WHOLE, tr("repeat number within the set")),
)
_PREDICTED = Column("predicted", TIME, tr("the expected time; the target, if the set has one"))

TABLES = (
    ExportTable(
        "sessions",
        tr("every saved session"),
        (
            _SESSION,
            Column("begun", TEXT, tr("when it started: ISO 8601, with the time zone's offset")),
            Column("ended", TEXT, tr("when it ended: ISO 8601; empty if it was never ended")),
            Column("took", TIME, tr("from start to end")),
            Column("title", TEXT, tr("the plan's title")),
            Column("pool", TEXT, tr("the pool's length and unit")),
            Column("unit", TEXT, tr("the unit of all distances in the session: m or yd")),
            Column("counts", TRUTH, tr("whether it counts as swum: it lasted two minutes or longer")),
            Column("lanes", WHOLE, tr("how many lanes")),
            Column("swimmers", WHOLE, tr("how many swimmers swam")),
            Column("distance", WHOLE, tr("what all swimmers swam together")),
        ),
        _sessions,
    ),
    ExportTable(
        "sets",
        tr("what each lane had to swim after all changes, set by set"),
        (
            _SESSION,
            Column("lane", WHOLE, tr("the pool's lane number")),
            *_SET,
            Column("text", TEXT, tr("the set as a plan writes it")),
            Column("rounds", WHOLE, tr("how many times the lane swims the set")),
            Column("repeats", WHOLE, tr("how many repeats, all rounds together")),
            Column("interval", TIME, tr("from one send-off to the next; empty if that differs")),
        ),
        _sets,
    ),
    ExportTable(
        "repeats",
        tr("every repeat that a swimmer left on"),
        (
            *_WHO,
            *_REPEAT,
            Column("left", TIME, tr("the send-off, as a time since the start of the session")),
            Column("of", WHOLE, tr("the repeat's whole distance")),
            Column("distance", WHOLE, tr("how far the swimmer swam")),
            _PREDICTED,
            Column("time", TIME, tr("the time that was taken; empty if none was")),
        ),
        _repeats,
    ),
    ExportTable(
        "times",
        tr("every time that was taken"),
        (
            *_WHO,
            *_REPEAT,
            Column("distance", WHOLE, tr("how far the swimmer swam")),
            Column("time", TIME, tr("the time that was taken")),
            _PREDICTED,
            Column("over", TIME, tr("the time minus the expected time: negative is faster")),
            Column("target", TRUTH, tr("whether the expected time is the set's target")),
            Column(
                "source", TEXT, tr("the lane screen that took it, or where it was typed from; empty for the tablet")
            ),
            Column("bound", TIME, tr("how far the lane screen's clock may have been off")),
        ),
        _times,
    ),
    ExportTable(
        "strokes",
        tr("every stroke rate, and every length with its strokes counted"),
        (
            *_WHO,
            *_SET,
            Column("at", TIME, tr("when it was taken, as a time since the start of the session")),
            Column("rate", NUMBER, tr("cycles a minute")),
            Column("speed", NUMBER, tr("in metres or yards a second")),
            Column("length", NUMBER, tr("in metres or yards a cycle")),
            Column(
                "timed", TRUTH, tr("whether the speed comes from a time that was taken, not from the expected time")
            ),
            Column(
                "speed_of",
                TEXT,
                tr(
                    "what the speed and the length are from: counted length, whole repeat or expected; empty if unknown"
                ),
            ),
            Column(
                "source", TEXT, tr("the lane screen that took it, or where it was typed from; empty for the tablet")
            ),
        ),
        _strokes,
    ),
    ExportTable(
        "attendance",
        tr("who swam in each session that counts as swum, and who of the squad was absent"),
        (
            _SESSION,
            Column("lane", WHOLE, tr("the number, on the wall, of the lane they started in; empty for the absent")),
            *_WHO[2:],
            Column("day", TEXT, tr("the day of the session: ISO 8601")),
            Column("here", TRUTH, tr("whether they swam; false: the coach had marked them absent")),
            Column("distance", WHOLE, tr("how far the swimmer swam")),
        ),
        _attendance,
    ),
)


def shown_columns(table: ExportTable, names: bool) -> tuple[Column, ...]:
    """A table's columns, without names unless they are asked for."""
    return tuple(column for column in table.columns if names or column is not NAME)


def names_in(sessions: Iterable[Exported]) -> KnownNames:
    """All swimmers' names of these sessions."""
    return known_names((), (one.kept for one in sessions))


def table_rows(
    table: ExportTable, sessions: Iterable[Exported], names: bool, known: KnownNames
) -> Iterator[tuple[tuple[Column, Value], ...]]:
    """The rows of a table, each value with its column. Without `names`, a text that has a `known` one is empty."""
    for one in sessions:
        for values in table.rows(one):
            yield tuple(
                (column, value if names or not (isinstance(value, str) and known.in_text(value)) else "")
                for column, value in zip(table.columns, values, strict=True)
                if names or column is not NAME
            )
