"""What happened in a session, entry by entry, for readers who do not see the entries' numbers.

An entry that corrects or undoes another one describes it in words.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from pacer.language import tr, tr_n
from pacer.plan.times import MINUTE_MS
from pacer.session.journal.entries import Begun, Change, Ended, Entry, Refitted, TakenBack
from pacer.session.journal.recordentries import Corrected, Record, Touched, Withdrawn
from pacer.session.records.entrytext import Names, said
from pacer.session.records.touches import tenths
from pacer.session.running.undo import undone
from pacer.session.storage.savedsession import KeptSession, Line
from pacer.session.timezone import time_of_day


class Telling:
    """Says the entries of a journal in order; an undo says what it undoes.

    `by_day`: a time to finish by is told as a time of day, as on the screen.
    """

    def __init__(self, names: Names, by_day: bool = False):
        self.names, self.by_day = names, by_day
        self._begun: Begun | None = None
        self._changes: list[Change] = []

    def told(self, entry: Entry | Record) -> str:
        """The next entry, as a sentence."""
        if isinstance(entry, Begun):
            self._begun = entry
        if isinstance(entry, TakenBack):
            last = undone(self._changes, entry)
            if isinstance(last, Ended):
                return tr("the session is resumed")
            if last is not None:
                return tr("undone: {said}", said=self._said(last))
        elif isinstance(entry, Change):
            self._changes.append(entry)
        return self._said(entry)

    def _said(self, entry: Entry | Record) -> str:
        if self.by_day and isinstance(entry, Refitted) and self._begun is not None:
            out_ms = -(-(self._begun.wall_ms + entry.out_ms) // MINUTE_MS) * MINUTE_MS
            return tr("changed to finish by {clock}", clock=time_of_day(out_ms, self._begun.zone)[:5])
        return said(entry, self.names)


def happened(kept: KeptSession, names: Names) -> Iterator[tuple[Line, str]]:
    """Every readable entry, and its sentence."""
    lines, telling = {line.number: line for line in kept.lines}, Telling(names, by_day=True)
    times: dict[
        int, int | None
    ] = {}  # the times after corrections so far, by the number of the entry that recorded them
    for line in kept.lines:
        entry = line.entry
        if isinstance(entry, Touched):
            times[line.number] = entry.time_cs
        earlier = lines.get(entry.entry) if isinstance(entry, Corrected | Withdrawn) else None
        if isinstance(entry, Corrected):
            yield line, _corrected(entry, earlier, times.get(entry.entry), names)
            times[entry.entry] = entry.time_cs
        elif isinstance(entry, Withdrawn):
            yield line, _withdrawn(earlier, kept.listed.zone, names)
        else:
            yield line, telling.told(entry)


def _corrected(entry: Corrected, earlier: Line | None, before_cs: int | None, names: Names) -> str:
    if earlier is None or not isinstance(earlier.entry, Touched):
        if entry.time_cs is None:
            return tr("a time that can't be read is deleted")
        return tr("a time that can't be read is corrected to {time}", time=tenths(entry.time_cs))
    swum = earlier.entry
    who = tr(
        "{who}, {line}, repeat {repeat}",
        who=names.who(swum.lane, swum.swimmer),
        line=names.line(swum.section, swum.line, swum.round),
        repeat=swum.repeat,
    )
    if entry.time_cs is None:
        return (
            tr("{who}: the time is deleted again", who=who)
            if before_cs is None
            else tr("{who}: {was} is deleted", who=who, was=tenths(before_cs))
        )
    if before_cs is None:
        return tr("{who}: the deleted time is back, as {time}", who=who, time=tenths(entry.time_cs))
    return tr("{who}: {was} corrected to {time}", who=who, was=tenths(before_cs), time=tenths(entry.time_cs))


def _withdrawn(earlier: Line | None, zone: str, names: Names) -> str:
    if earlier is None:
        return tr("something that can't be read is undone")
    return tr(
        "undid the {wall} record: {said}", wall=time_of_day(earlier.wall_ms, zone), said=said(earlier.entry, names)
    )


def lost(kept: KeptSession) -> tuple[str, ...]:
    """What could not be read; entries are named by when they were made, because readers do not see their numbers."""
    there = {line.number: line for line in kept.lines}
    gone = [number for number in range(1, kept.listed.entries + 1) if number not in there]
    rows = list(kept.lost_itself if gone else kept.lost)
    for first in (number for number in gone if number - 1 not in gone):
        after = next(number for number in range(first, kept.listed.entries + 2) if number not in gone)
        count = after - first
        when = _between(first - 1, after, there, kept.listed.zone)
        rows.append(
            tr_n(
                "Something recorded {when} can't be read.",
                "{n} things recorded {when} can't be read.",
                count,
                when=when,
            )
        )
    return tuple(rows)


def _between(first: int, last: int, there: Mapping[int, Line], zone: str) -> str:
    """The times of day of two entries, as far as they can be read."""
    since, by = (time_of_day(there[number].wall_ms, zone) if number in there else "" for number in (first, last))
    return (
        tr("between {since} and {by}", since=since, by=by)
        if since and by
        else tr("after {since}", since=since)
        if since
        else tr("before {by}", by=by)
        if by
        else tr("on that day")
    )
