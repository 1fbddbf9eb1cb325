"""One session of the log as tables under headings, for a page that draws them in columns.

Swimmers by their places, no names.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Set
from dataclasses import dataclass

from pacer.language import tr, tr_n
from pacer.plan.decimals import decimals
from pacer.plan.problem import Unreadable
from pacer.plan.sentence import sentence
from pacer.plan.titles import titled
from pacer.review.eventlist import happened, lost
from pacer.review.sessionlog import CANNOT_RUN, against, known, lane_swum, shown_in_order, took
from pacer.review.wasswum import TOO_SHORT, counts_as_swum
from pacer.session.records.entrytext import Names, clock, how_it_went, names_of
from pacer.session.records.notes import heads, summaries
from pacer.session.records.strokefigures import ratings
from pacer.session.records.touches import swim_of, tenths, time_figures
from pacer.session.running.replay import replay
from pacer.session.running.runstate import Run
from pacer.session.storage.savedsession import KeptSession, Listed
from pacer.session.timezone import day_said, time_of_day
from pacer.timeline.findings import CannotRun
from pacer.timeline.timeline import Timeline

#: Where a new base comes from.
BASES = tr(
    "Every lane keeps its base until you change it. Review suggests new ones if these times are enough "
    "to be sure. Test swims (a 400 and a 200, all out) tell you more: open Squad, tap a lane, then "
    "Test swims."
)

ENDS = ".?!”"  #: of sentences: what is quoted ends them too


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells below a heading, "" for none.

    The last cell of a row may be a long text; `heads` are the columns' headings.
    """

    heading: str
    rows: tuple[tuple[str, ...], ...]
    heads: tuple[str, ...] = ()


def about(one: Listed) -> tuple[str, ...]:
    """When a session started, in which pool, and how long it took; the longest text first."""
    if one.begun_ms is None:
        return (tr("Not started"),)
    day, begun = day_said(one.begun_ms, one.zone), time_of_day(one.begun_ms, one.zone)[:5]
    long = took(one) if one.ended_ms is None else tr("lasted {took}", took=took(one))
    said = f"{day}, {begun}"
    full = (
        tr("{day}, {time}, {pool} pool, {lasted}", day=day, time=begun, pool=one.pool, lasted=long) if one.pool else ""
    )
    return *filter(None, (full,)), f"{said}, {long}", said


def card_said(one: Listed) -> tuple[str, ...]:
    """What the log's card says of a session below its title: `about` it, or that it doesn't count as swum."""
    if one.begun_ms is None or one.ended_ms is None or counts_as_swum(one):
        return about(one)
    day = day_said(one.begun_ms, one.zone)
    return (
        tr("{day}, lasted {took}: too short to count", day=day, took=took(one)),
        tr("{day}: too short to count", day=day),
        tr("too short to count"),
    )


def session_tables(kept: KeptSession, out: Set[int] = frozenset()) -> tuple[Table, ...]:
    """The session's plan, how far each lane swam, times, stroke rates, and everything that happened, in order.

    `out`: the entries of times that are too far off to count, as the review finds them.
    """
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
            _lanes(kept, timeline, run, names),
            _against_bases(kept, run, names, out),
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


def _lanes(kept: KeptSession, begun: Timeline, run: Run, names: Names) -> Table:
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


def _against_bases(kept: KeptSession, run: Run, names: Names, out: Set[int]) -> Table:
    """How each lane's times compare with the prediction, and where new bases come from: a session changes none."""
    over: dict[int, list[tuple[int, int]]] = {}
    far_off: Counter[int] = Counter()
    for number, entry in shown_in_order(kept):
        swim, what = swim_of(run, entry), time_figures(run, entry)
        # As in the review: a time of a repeat by the clock, or with a target, says nothing about the base.
        if swim and swim.distance and what and what.over_hold_ms is None and what.time_ms > what.over_predicted_ms:
            far_off[entry.lane] += number in out
            if number not in out:
                over.setdefault(entry.lane, []).append((what.time_ms, what.time_ms - what.over_predicted_ms))
    rows = []
    for lane, times in over.items():
        share = 100 * sum(time for time, _ in times) / sum(predicted for _, predicted in times) - 100
        how = (
            tr("as expected")
            if abs(share) < 0.5
            else (
                tr("{share:.0f}% slower than expected", share=abs(share))
                if share > 0
                else tr("{share:.0f}% faster than expected", share=abs(share))
            )
        )
        said = tr_n(
            "{lane}: {n} timed repeat, {how}.",
            "{lane}: {n} timed repeats, on average {how}.",
            len(times),
            lane=sentence(names.lane(lane))[:-1],
            how=how,
        )
        far = tr_n("{n} more is far off and doesn't count.", "{n} more are far off and don't count.", far_off[lane])
        rows.append((f"{said} {far}" if far_off[lane] else said,))
    return Table(tr("Times against the bases"), (*rows, (BASES,)))


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
            (tr("swimmer"), tr("repeat"), tr("time"), tr("against expected")),
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
