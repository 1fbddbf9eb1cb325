"""News of swimmers and lanes that were slower or faster than written over several sets."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from pacer.language import listed, tr, tr_n
from pacer.plan.sentence import sentence
from pacer.review.report.newskinds import FASTER, SLOWER, News
from pacer.review.report.reviewnames import ReviewNames
from pacer.review.report.writtenvalues import seconds
from pacer.review.swum.beyondchance import LEAST_IN_ALL, Timed, by_hundred, is_off, times_of_lanes
from pacer.review.swum.sessionreview import Review


def slow_or_fast_swimmers(
    review: Review, out: set[int], called: ReviewNames, slow_sets: set[tuple[int, int, int]]
) -> Iterator[News]:
    """Swimmers who were faster than written over all their times, or slower on sets where the lane was not."""
    mine: dict[int, list[Timed]] = {}
    for table in review.sets:
        for row in table.rows:
            mine.setdefault(row.who, []).extend((table, cell) for cell in row.cells if cell.entry not in out)
    fast = set()
    for person, rows in mine.items():
        if is_off([cell for _, cell in rows], -1, LEAST_IN_ALL):
            fast.add(person)
        beside = [pair for pair in rows if (pair[0].lane, pair[0].section, pair[0].line) not in slow_sets]
        cells = [cell for _, cell in beside]
        if is_off(cells, 1, LEAST_IN_ALL):
            text = tr(
                "{who} was {by_hundred} per 100 slower than expected",
                who=called.who(person),
                by_hundred=seconds(by_hundred(beside)),
            )
            weight = float(sum(cell.over_ms for cell in cells))
            lane = review.people[person].lane
            yield News(
                SLOWER,
                weight,
                sentence(text),
                tr_n("{n:,} timed repeat", "{n:,} timed repeats", len(cells)),
                lane,
                who=person,
            )
    if fast:
        yield _faster(review, fast, mine, called)


def slow_lanes(
    review: Review,
    out: set[int],
    called: ReviewNames,
    slow_sets: set[tuple[int, int, int]],
    told: set[int | None],
) -> Iterator[News]:
    """Lanes that were slower over several sets together, beside those on which they were by themselves; not those in
    which the swimmers are `told`.
    """
    for lane, rows in times_of_lanes(review.sets, out).items():
        beside = [pair for pair in rows if (lane, pair[0].section, pair[0].line) not in slow_sets]
        cells = [cell for _, cell in beside]
        if lane in told or not is_off(cells, 1, LEAST_IN_ALL):
            continue
        said = {"lane": called.lane(lane), "by": seconds(by_hundred(beside))}
        text = (
            tr("{lane} came in {by} per 100 slower than expected over all its sets", **said)
            if len(beside) == len(rows)
            else tr("{lane} came in {by} per 100 slower than expected over its other sets", **said)
        )
        figure = tr_n("{n:,} timed repeat", "{n:,} timed repeats", len(cells))
        yield News(SLOWER, float(sum(cell.over_ms for cell in cells)), sentence(text), figure, lane)


def _faster(review: Review, fast: set[int], mine: Mapping[int, list[Timed]], called: ReviewNames) -> News:
    """All who were faster than written, in one sentence; if a lane's swimmers all were, it names the lane."""
    rows: list[tuple[str, list[Timed]]] = []
    for lane in sorted({review.people[who].lane for who in fast}):
        there = [who for who in mine if review.people[who].lane == lane]
        if len(there) > 1 and fast.issuperset(there):
            rows.append((called.lane(lane), [pair for who in there for pair in mine[who]]))
        else:
            rows += [(called.who(who), mine[who]) for who in there if who in fast]
    rows.sort(key=lambda row: by_hundred(row[1]))
    text = "; ".join(
        tr("{name} by {by_hundred} per 100", name=name, by_hundred=seconds(by_hundred(pairs))) for name, pairs in rows
    )
    figure = listed(
        [
            *(f"{len(pairs):,}" for _, pairs in rows[:-1]),
            tr_n("{n:,} timed repeat", "{n:,} timed repeats", len(rows[-1][1])),
        ]
    )
    only = min(fast) if len(fast) == 1 else None
    alone = review.people[min(fast)].lane if len(rows) == 1 else None
    return News(
        FASTER, -by_hundred(rows[0][1]), tr("Faster than expected: {text}.", text=text), figure, alone, who=only
    )
