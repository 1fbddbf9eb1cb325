"""One session of the log in tables: its plan, lanes, times, rates, and everything that happened. No names."""

from __future__ import annotations

from collections.abc import Iterator, Set

from pacer.language import tr, tr_n
from pacer.plan.decimals import decimals
from pacer.plan.problem import Unreadable
from pacer.plan.sentence import sentence
from pacer.plan.titles import titled
from pacer.review.eventlist import happened, lost
from pacer.review.learning.learned import outliers
from pacer.review.logtables import Table, about
from pacer.review.report.writtenvalues import seconds
from pacer.review.sessionlog import CANNOT_RUN, against, known, lane_swum, shown_in_order
from pacer.review.swum.beyondchance import LEAST_IN_ALL, LEAST_OFF, by_hundred, is_off, share_over, times_of_lanes
from pacer.review.swum.sessionreview import Review
from pacer.review.swum.timedsets import Cell
from pacer.review.wasswum import TOO_SHORT, counts_as_swum
from pacer.session.records.entrytext import Names, clock, how_it_went, names_of
from pacer.session.records.headsandfeedback import heads, summaries
from pacer.session.records.strokefigures import ratings
from pacer.session.records.touches import tenths
from pacer.session.running.replay import replay
from pacer.session.running.runstate import Run
from pacer.session.storage.savedsession import KeptSession
from pacer.session.timezone import time_of_day
from pacer.timeline.findings import CannotRun
from pacer.timeline.timeline import Timeline

#: Where a new base comes from.
BASES = tr(
    "Every lane keeps its base until you change it. Review suggests new ones if these times are enough "
    "to be sure. Test swims (a 400 and a 200, all out) tell you more: open Squad, tap a lane, then "
    "Test swims."
)

ENDS = ".?!”"  #: of sentences: what is quoted ends them too


def session_tables(kept: KeptSession, review: Review | None = None) -> tuple[Table, ...]:
    """The session's plan, how far each lane swam, times, stroke rates, and everything that happened, in order.

    `review`: what its times are compared by; None if this version can't run its plan.
    """
    out = frozenset() if review is None else outliers(review)
    tables, names, run = [_head(kept)], Names((), ()), None
    try:
        timeline = kept.session.timeline()
        names, run = names_of(timeline), replay(timeline, kept.journal)
    except (Unreadable, CannotRun):
        tables.append(Table("", ((CANNOT_RUN,),)))
    if kept.lost:
        tables.append(Table("", tuple((sentence(row, ENDS),) for row in lost(kept))))
    if run is not None:
        tables += [
            _lanes(kept, timeline, run),
            *([] if review is None else [_against_bases(review, names, out)]),
            *_times(kept, run, names, out),
            _rates(kept, names),
        ]
    tables.append(_happened(kept, names))
    return tuple(table for table in tables if table.rows)


def _head(kept: KeptSession) -> Table:
    rows = [(about(kept.listed)[0],)]
    if kept.listed.ended_ms is not None and not counts_as_swum(kept.listed):
        rows.append((TOO_SHORT,))
    if words := known(kept.listed):
        rows.append((sentence(words, ENDS),))
    found = heads(kept.journal)
    if found.into is not None or found.out is not None:
        rows.append(
            (
                tr(
                    "{into} went in, {out} came out.",
                    into="?" if found.into is None else found.into,
                    out="?" if found.out is None else found.out,
                ),
            )
        )
    if found.warning:
        rows.append((sentence(found.warning, ENDS),))
    return Table(titled(kept.listed.title), tuple(rows))


def _lanes(kept: KeptSession, begun: Timeline, run: Run) -> Table:
    summed, rows, unit = summaries(kept.journal), [], run.timeline.plan.pool.unit
    swum = [lane_swum(kept, begun, run, lane) for lane in range(len(run.timeline.tracks))]
    shown = 2 + any(
        left != planned for _, planned, left in swum
    )  # the plan has a column; changes on deck have one if there were any
    for lane, distances in enumerate(swum):
        number, how = str(run.timeline.squad.lanes[lane].number), how_it_went(summed[lane]) if lane in summed else ""
        rows.append((number, *(f"{far:,} {unit}" for far in distances[:shown]), sentence(how, ENDS)))
    return Table(
        tr("Lanes"),
        tuple(rows),
        (
            tr("lane"),
            *(tr("swum"), tr("planned"), tr("plan after changes"))[:shown],
            tr("how it went") if summed else "",
        ),
    )


def _against_bases(review: Review, names: Names, out: Set[int]) -> Table:
    """How each lane's times compare with the prediction, and where new bases come from: a session changes none."""
    rows = []
    far_off = times_of_lanes(review.sets, {cell.entry for cell in _cells(review)} - out)
    for lane, times in times_of_lanes(review.sets, out).items():
        cells = [cell for _, cell in times]
        share, by = share_over(cells), seconds(abs(by_hundred(times)))
        how = (
            tr("as expected")
            if abs(share) < LEAST_OFF
            else tr("{by} per 100 slower than expected", by=by)
            if share > 0
            else tr("{by} per 100 faster than expected", by=by)
        )
        if abs(share) >= LEAST_OFF and not is_off(cells, 1 if share > 0 else -1, LEAST_IN_ALL):
            how = tr("{how}, which may be chance", how=how)
        said = tr_n(
            "{lane}: {n} timed repeat, {how}.",
            "{lane}: {n} timed repeats, on average {how}.",
            len(times),
            lane=sentence(names.lane(lane))[:-1],
            how=how,
        )
        n = len(far_off.get(lane, ()))
        far = tr_n("{n} more is far off and doesn't count.", "{n} more are far off and don't count.", n)
        rows.append((f"{said} {far}" if n else said,))
    return Table(tr("Times against the bases"), (*rows, (BASES,)))


def _cells(review: Review) -> Iterator[Cell]:
    return (cell for table in review.sets for row in table.rows for cell in row.cells)


def _times(kept: KeptSession, run: Run, names: Names, out: Set[int]) -> list[Table]:
    """A table for each line for which a lane has times; those that don't count are in brackets, as in the review."""
    gathered: dict[str, list[tuple[str, ...]]] = {}
    for number, entry in shown_in_order(kept):
        place = f"{names.lane(entry.lane)}, {names.line(entry.section, entry.line, entry.round)}"
        how = (*against(run, entry)[:1], tr("doesn't count")) if number in out else against(run, entry)
        compared = ", ".join(filter(None, (*how, tr("called") if entry.called else "", entry.source)))
        time = f"({tenths(entry.time_cs)})" if number in out else tenths(entry.time_cs)
        gathered.setdefault(place, []).append((str(entry.swimmer + 1), str(entry.repeat), time, compared))
    return [
        Table(
            tr("Times for {place}", place=place),
            tuple(rows),
            (tr("swimmer"), tr("repeat"), tr("time"), tr("vs expected")),
        )
        for place, rows in gathered.items()
    ]


def _rates(kept: KeptSession, names: Names) -> Table:
    found = ratings(kept.journal)
    rows = tuple(
        (
            sentence(names.who(entry.lane, entry.swimmer))[:-1],
            decimals(what.rate),
            tr(
                "over {cycles} cycles, from {least} to {most}",
                cycles=what.cycles,
                least=decimals(what.least),
                most=decimals(what.most),
            ),
        )
        for entry, what in found
        if what is not None
    )
    return Table(tr("Stroke rates"), rows, (tr("who"), tr("cycles a minute"), ""))


def _happened(kept: KeptSession, names: Names) -> Table:
    """Every entry as a sentence, with its time of day and session time."""
    rows = tuple(
        (time_of_day(line.wall_ms, kept.listed.zone), clock(line.entry.at_ms), sentence(words, ENDS))
        for line, words in happened(kept, names)
    )
    return Table(
        tr("What happened"), rows or ((tr("No changes were made."),),), (tr("at"), tr("session"), "") if rows else ()
    )
