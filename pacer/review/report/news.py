"""What is worth knowing about a session, the worst first, each in a sentence with the figure behind it.

From which limit on it is told: `newskinds`. Outliers do not count here either.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction

from pacer.language import listed, tr, tr_n
from pacer.plan.decimals import decimals, half_up
from pacer.plan.sentence import sentence
from pacer.plan.times import HOUR_MS, in_tenths, to_tenth
from pacer.review.learning.learned import Learned
from pacer.review.report.newskinds import (
    DRIFT,
    HEADS,
    LEAST_COLUMNS,
    LONG_PAUSE_MS,
    LOOSE,
    MISSED,
    MISSED_SHARE,
    NO_REST,
    NOTHING,
    RATE,
    SEVERAL,
    SLOWER,
    SLOWING,
    TIRED,
    News,
)
from pacer.review.report.overallpace import slow_lanes, slow_or_fast_swimmers
from pacer.review.report.reviewnames import ReviewNames
from pacer.review.report.writtenvalues import seconds, whole_time
from pacer.review.swum.beyondchance import LEAST_OF_SET, LEAST_OFF, by_hundred, is_off, share_over
from pacer.review.swum.meanandspread import drift_ms
from pacer.review.swum.sessionreview import Review
from pacer.review.swum.swims import Swum
from pacer.review.swum.timedsets import Cell, TimedSet
from pacer.session.journal.recordentries import Feel
from pacer.timeline.restlimits import LEAST_REST_MS


def news_of(review: Review, learned: Iterable[Learned], called: ReviewNames) -> tuple[News, ...]:
    """All the news of a session, the worst first. There is always something to say."""
    out = {ratio.swim.entry for one in learned for ratio in one.left_out}
    texts = {(table.section, table.line): table.text for table in review.sets}
    made = [
        *_heads(review),
        *_rates(review, called, texts),
        *_missed(review, called),
        *_felt(review, called),
        *_loose(review),
    ]
    slow: dict[tuple[int, tuple[int, bool], bool], list[Late]] = {}
    for table in review.sets:
        cells = [cell for row in table.rows for cell in row.cells if cell.entry not in out]
        since = _since(table, cells)
        if since is not None:
            slow.setdefault((table.lane, since[0], table.target), []).append((table, since[1]))
        elif (slowing := _slowing(table, cells, called)) is not None:
            made.append(slowing)
    made += _slower_lanes(slow, called)
    slow_sets = {(table.lane, table.section, table.line) for late in slow.values() for table, _ in late}
    swimmers = list(slow_or_fast_swimmers(review, out, called, slow_sets))
    told = {one.lane for one in swimmers if one.kind == SLOWER}
    made += [*swimmers, *slow_lanes(review, out, called, slow_sets, told)]
    made += _short_rest(review, called, texts)
    if all(one.kind == LOOSE for one in made):
        made.append(_nothing(review, called))
    return tuple(sorted(made, key=lambda one: (one.kind, -one.weight)))


def paragraph(news: Sequence[News]) -> str:
    """The paragraph at the top: all the news in plain sentences, each with its figure in brackets."""
    return " ".join(f"{one.text[:-1]} ({one.figure})." if one.figure else one.text for one in news)


# -- kind by kind -------------------------------------------------------------------------------------


def _heads(review: Review) -> Iterator[News]:
    if review.heads.warning:
        yield News(
            HEADS,
            0.0,
            review.heads.warning,
            tr("head count {into} in, {out} out", into=review.heads.into, out=review.heads.out),
        )


#: A set that a lane swam slower than written, and its times from the point at which it was.
Late = tuple[TimedSet, list[Cell]]


def _slower_lanes(slow: Mapping[tuple[int, tuple[int, bool], bool], list[Late]], called: ReviewNames) -> Iterator[News]:
    """The lanes that were slower than written; three or more on the same sets are told in one sentence."""
    alike: dict[tuple[str, tuple[tuple[int, int], ...]], list[list[Late]]] = {}
    for (_, since, target), late in slow.items():
        than = _than(target, *since)
        alike.setdefault((than, tuple((table.section, table.line) for table, _ in late)), []).append(late)
    for (than, _), lanes in alike.items():
        if len(lanes) < SEVERAL:
            yield from (_slower(than, [late], called) for late in lanes)
        else:
            yield _slower(than, lanes, called)


def _slower(than: str, lanes: Sequence[list[Late]], called: ReviewNames) -> News:
    """Lanes that were slower than written on the same sets, and from which round or repeat on; of the worst, where."""
    by_lane = [[(table, cell) for table, mine in late for cell in mine] for late in lanes]
    worst = max(by_lane, key=lambda cells: sum(cell.over_ms for _, cell in cells))
    table = worst[0][0]
    offs = sorted(by_hundred(cells) for cells in by_lane)
    if len(lanes) == 1:
        who, by, figure = (
            called.lane(table.lane),
            seconds(offs[0]),
            f"{tr_n('{n:,} timed repeat', '{n:,} timed repeats', len(worst))}, {_against(worst)}",
        )
    else:
        who = tr("lanes {lanes}", lanes=listed([str(called.review.lanes[late[0][0].lane]) for late in lanes]))
        by = tr("{least} to {most}", least=seconds(offs[0]), most=seconds(offs[-1]))
        figure = tr(
            "{counted}; {lane}: {against}",
            counted=tr_n("{n:,} timed repeat", "{n:,} timed repeats", sum(map(len, by_lane))),
            lane=called.lane(table.lane),
            against=_against(worst),
        )
    told = [one for one, _ in lanes[0]]
    sets = listed([called.timed(one) if not at else called.beside(one, told[0]) for at, one in enumerate(told)])
    text = tr("{who} came in {by} per 100 slower than {than}, in {sets}", who=who, by=by, than=than, sets=sets)
    weight = float(sum(cell.over_ms for _, cell in worst))
    return News(SLOWER, weight, sentence(text), figure, table.lane, table.section, table.line)


def _against(cells: Sequence[tuple[TimedSet, Cell]]) -> str:
    """`1:24.1 on average against 1:20.0` if all have one distance, otherwise the same per hundred.

    The first is made of the second and the difference as they are shown, so that a sentence adds up.
    """
    fars = [table.columns[cell.column].distance for table, cell in cells]
    over, predicted = (sum(values) for values in zip(*((cell.over_ms, cell.predicted_ms) for _, cell in cells)))
    alike = len(set(fars)) == 1
    each = Fraction(1, len(cells)) if alike else Fraction(100, sum(fars))
    written = to_tenth(half_up(predicted * each))
    took = written + to_tenth(half_up(over * each))
    return (
        tr("{took} on average against {written}", took=in_tenths(took), written=in_tenths(written))
        if alike
        else tr("{took} per 100 against {written}", took=in_tenths(took), written=in_tenths(written))
    )


def _since(table: TimedSet, cells: list[Cell]) -> tuple[tuple[int, bool], list[Cell]] | None:
    """From which round (or repeat, if there is one round) on a set was slower than written, and its times from there.

    None if it was not. It counts from the start if the times before were at least half as bad.
    """
    several = len({column.round for column in table.columns}) > 1
    steps = [column.round if several else column.repeat for column in table.columns]
    by_step: dict[int, list[Cell]] = {}
    for cell in cells:
        by_step.setdefault(steps[cell.column], []).append(cell)
    order = sorted(by_step)
    first = len(order)
    while first and share_over(by_step[order[first - 1]]) >= LEAST_OFF:
        first -= 1
    early = [cell for step in order[:first] for cell in by_step[step]]
    late = [cell for step in order[first:] for cell in by_step[step]]
    turned = early and share_over(early) < LEAST_OFF / 2 and (several or len(order) - first > 1)
    if turned and is_off(late, 1):
        return (order[first], several), late
    return ((0, several), cells) if is_off(cells, 1) else None


def _than(target: bool, since: int, rounds: bool) -> str:
    """What a lane was slower than, and from which round or repeat on; 0: from the start."""
    if not since:
        return tr("the target") if target else tr("expected")
    if rounds:
        return tr("the target from round {n} on", n=since) if target else tr("expected from round {n} on", n=since)
    return tr("the target from repeat {n} on", n=since) if target else tr("expected from repeat {n} on", n=since)


def _slowing(table: TimedSet, cells: list[Cell], called: ReviewNames) -> News | None:
    """A lane that lost time from repeat to repeat, and how much."""
    columns = {cell.column for cell in cells}
    if len(columns) < LEAST_COLUMNS:
        return None
    drift = drift_ms([cell.column for cell in cells], [cell.over_ms for cell in cells])
    predicted = sum(cell.predicted_ms for cell in cells) / len(cells)
    if drift is None or drift < DRIFT * predicted:
        return None
    lost = drift * (max(columns) - min(columns))
    text = tr(
        "{lane} slowed by {drift} a repeat through {timed}",
        lane=called.lane(table.lane),
        drift=seconds(drift),
        timed=called.timed(table),
    )
    figure = tr(
        "{counted}, {lost} from first to last",
        counted=tr_n("{n:,} timed repeat", "{n:,} timed repeats", len(cells)),
        lost=seconds(lost),
    )
    return News(SLOWING, float(lost), sentence(text), figure, table.lane, table.section, table.line)


def _rates(review: Review, called: ReviewNames, texts: Mapping[tuple[int, int], str]) -> Iterator[News]:
    for fall in review.falls:
        where = called.set(fall.swim.section, fall.swim.line, texts.get((fall.swim.section, fall.swim.line), ""))
        said = {"who": called.who(fall.who), "early": decimals(fall.early), "late": decimals(fall.late), "where": where}
        text = (
            tr("{who}'s stroke rate fell from {early} to {late} cycles a minute in the last 100 in {where}", **said)
            if fall.repeat is None
            else tr(
                "{who}'s stroke rate fell from {early} to {late} cycles a minute in the last 100 of "
                "repeat {repeat} in {where}",
                repeat=fall.repeat,
                **said,
            )
        )
        figure = tr("{taken} stroke rates; no split for the last 100", taken=fall.taken)
        if fall.early_length is not None and fall.late_length is not None:
            figure = tr(
                "{taken} rates, stroke length {early_length} {unit}, then {late_length} {unit}",
                taken=fall.taken,
                early_length=decimals(fall.early_length, 2),
                unit=review.unit,
                late_length=decimals(fall.late_length, 2),
            )
        place = (fall.lane, fall.swim.section, fall.swim.line)
        yield News(RATE, float(fall.share), sentence(text), figure, *place, fall.who)


def _missed(review: Review, called: ReviewNames) -> Iterator[News]:
    """Lanes that did clearly less than written, or were paused for long."""
    unit = review.unit
    for done in review.plan:
        gone = done.skipped + done.cut + done.unreached
        if done.planned and gone >= MISSED_SHARE * done.planned:
            text = tr(
                "{lane} swam {done:,} of {planned:,} {unit}",
                lane=called.lane(done.lane),
                done=done.done,
                planned=done.planned,
                unit=unit,
            )
            parts = ((done.skipped, tr("skipped")), (done.cut, tr("cut short")), (done.unreached, tr("not reached")))
            figure = ", ".join(f"{far:,} {unit} {word}" for far, word in (*parts, (done.added, tr("added"))) if far)
            yield News(MISSED, gone / done.planned, sentence(text), figure, done.lane)
        if done.paused_ms >= LONG_PAUSE_MS:
            text = tr("{lane} was paused for {paused}", lane=called.lane(done.lane), paused=whole_time(done.paused_ms))
            weight = done.paused_ms / HOUR_MS
            yield News(MISSED, weight, sentence(text), tr_n("{n:,} pause", "{n:,} pauses", done.pauses), done.lane)


def _felt(review: Review, called: ReviewNames) -> Iterator[News]:
    for lane, summed in review.summaries.items():
        if summed.feel is Feel.BADLY and lane < len(review.lanes):
            yield News(
                TIRED, 0.0, sentence(tr("you noted that it went badly in {lane}", lane=called.lane(lane))), "", lane
            )


def _short_rest(review: Review, called: ReviewNames, texts: Mapping[tuple[int, int], str]) -> Iterator[News]:
    """Lanes whose swimmers touched too late to rest on a third or more of a set's repeats."""
    counts: dict[tuple[int, int, int], list[int]] = {}
    before: dict[tuple[int, int], Swum] = {}
    for swim in review.swims:
        last = before.get((swim.lane, swim.who))
        before[swim.lane, swim.who] = swim
        if last is None or last.time_ms is None or swim.laneline.own is not None:
            continue
        if (last.section, last.line, last.round) == (swim.section, swim.line, swim.round):
            row = counts.setdefault((swim.lane, swim.section, swim.line), [0, 0])
            row[0] += swim.left_ms - last.left_ms - last.time_ms < LEAST_REST_MS
            row[1] += 1
    for (lane, section, line), (short, of) in counts.items():
        if short >= LEAST_OF_SET and 3 * short >= of:
            text = tr(
                "{lane} had less than 5 s rest in {set}",
                lane=called.lane(lane),
                set=called.set(section, line, texts[section, line]),
            )
            yield News(
                NO_REST,
                short / of,
                sentence(text),
                tr("{short} of {of} rests", short=short, of=of),
                lane,
                section,
                line,
            )


def _loose(review: Review) -> Iterator[News]:
    if review.loose == 1:
        yield News(LOOSE, 0.0, tr("1 time doesn't count: its repeat was changed afterwards."), "")
    elif review.loose:
        text = tr("{loose} times don't count: their repeats were changed afterwards.", loose=review.loose)
        yield News(LOOSE, 0.0, text, "")


def _nothing(review: Review, called: ReviewNames) -> News:
    if not review.taken:
        return News(NOTHING, 0.0, tr("No times were taken. Distances are worked out from the send-offs."), "")
    timed = sorted({table.lane for table in review.sets})
    text = tr("All lanes swam about as expected.")
    if len(timed) < len(review.lanes):
        lanes = listed([called.lane(lane) for lane in timed])
        text = sentence(tr("{lanes} swam about as expected; no times were taken in the others", lanes=lanes))
    return News(
        NOTHING,
        0.0,
        text,
        tr_n("{n:,} timed repeat", "{n:,} timed repeats", review.taken),
    )
