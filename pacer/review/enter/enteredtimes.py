"""Times entered into a session after it was swum: entries of its journal, saved together and undone together."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from typing import NamedTuple

from pacer.language import tr
from pacer.review.enter.placedtimes import PlacedTime
from pacer.session.journal.entries import Begun, Ended, Entry
from pacer.session.journal.jsonlines import WORDS, entry_from_line, line_from_entry
from pacer.session.journal.recordentries import Corrected, Record, Touched, Withdrawn, standing, was_entered
from pacer.session.storage.hiding import check_ended, check_open_to_more
from pacer.session.storage.savedsession import KeptSession, Line, Listed, Session, counts_from_json
from pacer.session.storage.sessionimport import take_in
from pacer.session.storage.sessionmerge import KeptRows, Row, rows_of, with_rows
from pacer.session.storage.store import Store, StoreTrouble
from pacer.timeline.timeline import Timeline


class EnteredTimes(NamedTuple):
    """The result of entering times: the new entries, how many were there already, how many differ from those there."""

    entries: tuple[Touched | Corrected, ...]
    same: int
    other: int


def rows_without(session: Session, timeline: Timeline, begun_ms: int, zone: str, source: str) -> KeptRows:
    """A session that ran without pacer, exactly by its plan, from `begun_ms` (wall time) on."""
    begun = Begun(0, 0, begun_ms, zone, source=source)
    ended = Ended(timeline.end_ms)
    rows = (_row(1, begun_ms, begun), _row(2, begun_ms + ended.at_ms, ended))
    return with_rows(session, rows)


def entering(kept: KeptSession, times: Iterable[PlacedTime], source: str, correct: bool = False) -> EnteredTimes:
    """The entries for times; a swim that already has another time keeps it, unless `correct`."""
    at_ms = kept.lines[-1].entry.at_ms if kept.lines else 0
    entries: list[Touched | Corrected] = []
    same = other = 0
    for swim, time_cs in times:
        if swim.time_ms is None:
            place = (swim.lane, swim.place, swim.section, swim.round, swim.line, swim.repeat, swim.left_ms)
            entries.append(Touched(at_ms, *place, time_cs, source=source))
        elif swim.time_ms // 10 == time_cs:
            same += 1
        elif correct:
            entries.append(Corrected(at_ms, swim.entry, time_cs, source))
        else:
            other += 1
    return EnteredTimes(tuple(entries), same, other)


def keep(store: Store, kept: KeptSession, entries: Sequence[Entry | Record], wall_ms: int) -> None:
    """Add entries to a session that is over, all or none. Raises StoreTrouble."""
    check_ended(kept)
    check_open_to_more(kept)
    there = rows_of(kept)
    first = len(there.rows) + 1
    rows = tuple(_row(number, wall_ms, entry) for number, entry in enumerate(entries, first))
    take_in(store, [replace(there, rows=(*there.rows, *rows))])


def last_entered(kept: KeptSession) -> tuple[int, ...]:
    """The numbers of the entries that were entered together last and are not undone; () if there are none."""
    there = dict(standing(kept.journal))
    entered = [
        line
        for line in kept.lines
        if isinstance(line.entry, Touched | Corrected) and was_entered(line.entry.source) and line.number in there
    ]
    if not entered:
        return ()
    last = entered[-1]
    return tuple(line.number for line in entered if line.wall_ms == last.wall_ms)


def undoing(kept: KeptSession) -> tuple[Withdrawn, ...]:
    """The entries that undo the last entering."""
    at_ms = kept.lines[-1].entry.at_ms if kept.lines else 0
    return tuple(Withdrawn(at_ms, number) for number in last_entered(kept))


def ran_without(kept: KeptSession) -> bool:
    """Whether a session was swum without pacer, and entered afterwards."""
    return any(isinstance(entry, Begun) and entry.source for entry in kept.journal)


def _row(number: int, wall_ms: int, entry: Entry | Record) -> Row:
    return Row(number, wall_ms, WORDS[type(entry)], line_from_entry(entry))


def kept_from(rows: KeptRows) -> KeptSession:
    """A session as the store would return it, before it is saved: its number is 0. The rows must be of this version."""
    lines = tuple(Line(row.number, row.wall_ms, entry_from_line(row.line), row.line) for row in rows.rows)
    begun = next((line.entry for line in lines if isinstance(line.entry, Begun)), None)
    ended_ms = next((line.wall_ms for line in lines if isinstance(line.entry, Ended)), None)
    begun_ms, zone = (None, "") if begun is None else (begun.wall_ms, begun.zone)
    seen_ms = max((line.wall_ms for line in lines), default=None)
    listed = Listed(0, rows.title, rows.pool, begun_ms, zone, ended_ms, seen_ms, len(lines))
    session = Session(rows.plan, rows.squad, counts_from_json(rows.counts), rows.assumed, rows.title, rows.pool)
    return KeptSession(listed, session, lines)


def begin_without(store: Store, rows: KeptRows, entries: Sequence[Entry | Record] = ()) -> int:
    """Save a session that ran without pacer, with its times; return its number in the store.

    Raises StoreTrouble, also if another session started at that very time: add the times to that one instead.
    """
    begun_ms = rows.rows[0].wall_ms
    twin = next((one for one in store.sessions() if one.begun_ms == begun_ms), None)
    if twin is not None:
        raise StoreTrouble(tr("Session {number} started at that time: add the times to that one.", number=twin.number))
    away = next((one for one in store.sessions(hidden=True) if one.begun_ms == begun_ms), None)
    if away is not None and store.session(away.number).session.plan == rows.plan:
        raise StoreTrouble(tr("Session {number} is the same one, and hidden: show it again.", number=away.number))
    wall_ms = rows.rows[-1].wall_ms + 1  # a later time, so that the times count as one entering
    more = tuple(_row(number, wall_ms, entry) for number, entry in enumerate(entries, len(rows.rows) + 1))
    take_in(store, [replace(rows, rows=(*rows.rows, *more))])
    return next(one.number for one in store.sessions() if one.begun_ms == begun_ms)
