"""A review as tables under headings, for a page that draws them and for the terminal."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from math import expm1

from pacer.language import tr, tr_n
from pacer.plan.decimals import decimals
from pacer.plan.sentence import sentence
from pacer.plan.times import in_tenths
from pacer.review.learning.learned import Learned
from pacer.review.logtables import Table
from pacer.review.report.offerwords import left_out_text
from pacer.review.report.reviewnames import ReviewNames
from pacer.review.report.writtenvalues import percent, whole_time
from pacer.review.swum.distances import by_section, shares
from pacer.review.swum.sessionreview import Review
from pacer.review.swum.strokework import SpeedOf
from pacer.review.swum.timedsets import Cell, Row, TimedSet, without
from pacer.session.journal.recordentries import unnamed_source
from pacer.session.records.entrytext import clock
from pacer.session.records.touches import difference

TIMES_IN_A_ROW = 8  #: times side by side; more continue in the next row


def plan_table(review: Review) -> Table:
    """How much of the plan each lane did."""
    unit, columns = review.unit, (tr("skipped"), tr("cut short"), tr("not reached"), tr("added"), tr("paused"))
    rows = []
    for done in review.plan:
        values = (done.skipped, done.cut, done.unreached, done.added)
        cells = [f"{far:,} {unit}" if far else "" for far in values]
        rows.append([*cells, whole_time(done.paused_ms) if done.paused_ms else ""])
    shown = [at for at in range(len(columns)) if any(row[at] for row in rows)]
    made = [
        (str(review.lanes[done.lane]), f"{done.planned:,} {unit}", f"{done.done:,} {unit}", *(row[at] for at in shown))
        for done, row in zip(review.plan, rows)
    ]
    return Table(
        tr("Planned and swum"), tuple(made), (tr("lane"), tr("planned"), tr("swum"), *(columns[at] for at in shown))
    )


def distance_tables(review: Review) -> tuple[Table, ...]:
    """Each lane's distance (its leader's) by activity, stroke, effort and section."""
    cube, lanes = review.distances.by_lane, range(len(review.lanes))
    views = {
        "activity": [shares(cube, "activity", lane) for lane in (None, *lanes)],
        "stroke": [shares(cube, "stroke", lane) for lane in (None, *lanes)],
        "effort": [shares(cube, "effort", lane) for lane in (None, *lanes)],
        "section": [by_section(cube, review.sections, lane) for lane in (None, *lanes)],
    }
    headings = {
        "activity": tr("Distance by activity, {unit}", unit=review.unit),
        "stroke": tr("Distance by stroke, {unit}", unit=review.unit),
        "effort": tr("Distance by effort, {unit}", unit=review.unit),
        "section": tr("Distance by section, {unit}", unit=review.unit),
    }
    tables = []
    for field, (whole, *each) in views.items():
        names = [share.name for share in whole]
        rows = []
        for lane, mine in zip(lanes, each):
            told = {share.name: share.distance for share in mine}
            cells = (f"{told[name]:,}" if name in told else "" for name in names)
            rows.append((str(review.lanes[lane]), *cells))
        if names:
            heads = (tr("lane"), *(name or tr("no stroke") for name in names))
            tables.append(Table(headings[field], tuple(rows), heads))
    return tuple(tables)


def set_tables(
    sets: Iterable[TimedSet], called: ReviewNames, out: Collection[int] = (), most: int = TIMES_IN_A_ROW
) -> tuple[Table, ...]:
    """Timed sets: a row for each swimmer, with the mean against prediction, spread and drift after the times.

    Times of the entries `out` are in brackets, and do not count in those. At most `most` times are side by side; more
    continue below.
    """
    return tuple(_set(without(table, out), called, out, most) for table in sets)


def _set(table: TimedSet, called: ReviewNames, out: Collection[int], most: int) -> Table:
    several = len({column.round for column in table.columns}) > 1
    names = [f"{c.round}.{c.repeat}" if several else str(c.repeat) for c in table.columns]
    rows: list[tuple[str, ...]] = []
    for start in range(0, len(names), most):
        shown = range(start, min(start + most, len(names)))
        blank = [""] * (min(most, len(names)) - len(shown))
        if start:
            rows.append(("", *(names[at] for at in shown), *blank, "", "", ""))
        rows += _predictions(table, list(shown), blank)
        for row in table.rows:
            told = {cell.column: _time(cell, out) for cell in row.cells}
            last = _behind(row) if start + most >= len(names) else ("", "", "")
            rows.append((called.short(row.who), *(told.get(at, "") for at in shown), *blank, *last))
    heads = (tr("swimmer"), *names[:most], tr("average"), tr("varies"), tr("slows"))
    where = f"{called.section(table.section)}, {table.text}"
    return Table(tr("Lane {lane}: {where}", lane=called.review.lanes[table.lane], where=where), tuple(rows), heads)


def _time(cell: Cell, out: Collection[int]) -> str:
    return f"({in_tenths(cell.time_ms)})" if cell.entry in out else in_tenths(cell.time_ms)


def _predictions(table: TimedSet, shown: list[int], blank: list[str]) -> list[tuple[str, ...]]:
    """The target or predicted times, if they are the same for everybody."""
    values = []
    for at in shown:
        predicted = {cell.predicted_ms for row in table.rows for cell in row.cells if cell.column == at}
        if len(predicted) > 1:
            return []
        values.append(in_tenths(predicted.pop()) if predicted else "")
    return [(tr("target") if table.target else tr("expected"), *values, *blank, "", "", "")]


def _behind(row: Row) -> tuple[str, str, str]:
    return (
        "" if row.over_ms is None else difference(row.over_ms),
        "" if row.spread_ms is None else difference(row.spread_ms).lstrip("+"),
        "" if row.drift_ms is None else difference(row.drift_ms),
    )


def stroke_table(review: Review, called: ReviewNames) -> Table:
    """Stroke rates and counted lengths, with stroke length and index, and where they were taken."""
    unit, rows = review.unit, []
    for one in review.strokes:
        who = called.who(one.who) if one.who is not None else called.lane(one.lane)
        where = tr("nobody was swimming")
        if one.swim is not None:
            swim = one.swim
            at = {"section": called.section(swim.section), "line": swim.line, "repeat": swim.repeat, "done": one.done}
            where = tr("{section}, set {line}, repeat {repeat} at {done} {unit}", unit=unit, **at)
            if one.speed_of is SpeedOf.EXPECTED:
                where = tr("{where}, speed from the expected time", where=where)
            elif one.speed_of is SpeedOf.REPEAT:
                where = tr("{where}, speed of the whole repeat", where=where)
        length = "" if one.length is None else f"{decimals(one.length, 2)} {unit}"
        index = "" if one.index is None else decimals(one.index, 2)
        rows.append((who, decimals(one.rate), length, index, where))
    return Table(
        tr("Stroke rates"),
        tuple(rows),
        (tr("swimmer"), tr("cycles a minute"), tr("length"), tr("stroke index"), tr("where")),
    )


def sources_table(review: Review) -> Table:
    """Who timed what: the tablet and each lane screen, and at most how wrong a screen's clock was.

    There are no rows if the tablet timed everything.
    """
    sources = sorted({"", *(swim.source for swim in review.swims), *(stroke.source for stroke in review.strokes)})
    rows = []
    for source in sources if sources != [""] else ():
        timed = [swim for swim in review.swims if swim.time_ms is not None and swim.source == source]
        rates = sum(stroke.source == source for stroke in review.strokes)
        lanes = ", ".join(str(review.lanes[lane]) for lane in sorted({swim.lane for swim in timed}))
        bounds = [swim.bound_ms for swim in timed if swim.bound_ms is not None]
        off = f"{decimals(-(-max(bounds) // 10) / 100, 2)} s" if bounds else ""
        rows.append((unnamed_source(source) or tr("tablet"), lanes, str(len(timed) or ""), str(rates or ""), off))
    return Table(
        tr("Who timed"),
        tuple(rows),
        (tr("timed by"), tr("lanes"), tr("times"), tr("stroke rates"), tr("clock off by at most")),
    )


def spent_table(review: Review, called: ReviewNames) -> Table:
    """How long everybody swam, rested and waited, and how far they swam."""
    rows = tuple(
        (
            called.who(one.who),
            f"{review.distances.of_person(one.who):,} {review.unit}",
            whole_time(one.swum_ms),
            whole_time(one.rested_ms),
            whole_time(one.stood_ms),
        )
        for one in review.spent
    )
    return Table(tr("Time in the water"), rows, (tr("swimmer"), tr("distance"), tr("swum"), tr("rest"), tr("waiting")))


def notes_table(review: Review, called: ReviewNames) -> Table:
    """Notes, and where they were taken; without names their words are left out, because they may contain some."""
    rows = []
    for note in review.notes:
        about = (
            called.who(note.who) if note.who is not None else called.lane(note.lane) if note.lane is not None else ""
        )
        where = "" if note.section is None else called.section(note.section)
        if note.section is not None and note.line is not None:
            where = tr("{section}, set {line}", section=where, line=note.line)
        rows.append((clock(note.at_ms), about, where, sentence(note.text) if called.names else tr("only with names")))
    return Table(tr("Notes"), tuple(rows), (tr("at"), tr("about"), tr("where"), tr("note")))


def left_out_table(learned: Sequence[Learned], called: ReviewNames) -> Table:
    """Times too far from the prediction to learn from."""
    rows = tuple((left_out_text(ratio.swim, called),) for one in learned for ratio in one.left_out)
    return Table(tr("Left out: too far off to learn from"), rows)


def put_back_table(review: Review, called: ReviewNames) -> Table:
    """Times that count because the coach put them back, however far off they are."""
    rows = tuple((left_out_text(swim, called),) for swim in review.swims if swim.entry in review.put_back)
    return Table(tr("Put back: far off, but counted"), rows)


def own_table(learned: Sequence[Learned], called: ReviewNames) -> Table:
    """Swimmers who differ from their lane in one kind of work."""
    rows = tuple(
        (
            called.who(who),
            name,
            tr("{percent} slower", percent=percent(expm1(found.log)))
            if found.log > 0
            else tr("{percent} faster", percent=percent(expm1(found.log))),
            tr_n(
                "than the lane's factor says, over {n:,} timed repeat",
                "than the lane's factor says, over {n:,} timed repeats",
                found.times,
            ),
        )
        for one in learned
        for (who, name), found in sorted(one.own.items())
    )
    return Table(tr("Different from their lane"), rows)


def all_tables(review: Review, learned: Sequence[Learned], called: ReviewNames) -> tuple[Table, ...]:
    """Everything in a review except its news and offers, in reading order."""
    tables = (
        plan_table(review),
        *set_tables(review.sets, called, {ratio.swim.entry for one in learned for ratio in one.left_out}),
        stroke_table(review, called),
        sources_table(review),
        left_out_table(learned, called),
        put_back_table(review, called),
        own_table(learned, called),
        *distance_tables(review),
        spent_table(review, called),
        notes_table(review, called),
    )
    return tuple(table for table in tables if table.rows)
