"""A review on paper: what was swum, with figures. Names are on it only if asked for."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.language import tr
from pacer.paper.letterwidths import width_of
from pacer.paper.papersize import Page, PaperSize
from pacer.paper.sheetpages import HAND_CAP, Cell, Flow, Piece, bookmark, gap, picture, row, rule, words
from pacer.plan.times import in_tenths
from pacer.plan.titles import titled
from pacer.review.report.reviewnames import ReviewNames
from pacer.review.report.reviewtext import ReviewText
from pacer.review.swum.sessionreview import Review
from pacer.review.swum.timedsets import TimedSet
from pacer.session.records.touches import difference
from pacer.session.timezone import day_said, time_of_day
from pacer.show.figures.activitybars import distance_by_activity
from pacer.show.figures.drawing import drawn, height_for
from pacer.show.figures.figure import Figure
from pacer.show.figures.ratespeed import rate_against_speed
from pacer.show.figures.repeattimes import repeat_times
from pacer.show.figures.swummarks import People
from pacer.show.figures.swumstrip import swum_strip
from pacer.show.measure.wordwrap import wrapped_words

CAP = HAND_CAP
LANE_MM = 5.5  #: height of a lane in a figure
FIGURE_MM = 62.0  #: height of a figure without a row for each lane


def review_sheet(reading: ReviewText, size: PaperSize) -> list[Page]:
    """The pages: the news first, the worst on top."""
    flow, review, called = Flow(size), reading.review, reading.called
    flow.block(_head(review, flow.width))
    for one in reading.news:
        flow.block(words(f"{one.text} ({one.figure})" if one.figure else one.text, flow.width, CAP, hang=4))
    flow.block([gap(2)])
    lanes_mm = height_for(len(review.lanes), CAP, LANE_MM)
    _figure(flow, tr("What was swum"), swum_strip(review), lanes_mm)
    _figure(flow, tr("Distance by activity"), distance_by_activity(review), lanes_mm)
    rates = rate_against_speed(called)
    if rates is not None:
        _figure(flow, tr("Stroke rate and speed"), rates, FIGURE_MM)
    for timed in review.sets:
        figure = repeat_times(timed, called, reading.out)
        _figure(flow, figure.title, figure, FIGURE_MM, _table(timed, called, flow.width))
    if not review.sets:
        flow.block([gap(2), *words(tr("No times were taken."), flow.width, CAP)])
    return flow.finished(
        tr("Session {number}, {title}", number=review.listed.number, title=titled(review.listed.title))
    )


def figures_of(reading: ReviewText, name: str) -> dict[str, Figure]:
    """Every figure of a review, by a name that begins with `name`."""
    review, called = reading.review, reading.called
    figures = {f"{name}, strip": swum_strip(review), f"{name}, distance": distance_by_activity(review)}
    rates = rate_against_speed(called)
    if rates is not None:
        figures[f"{name}, stroke rate"] = rates
    for timed in review.sets:
        place = tr(
            "lane {lane_number} section {section} set {line}",
            lane_number=review.lane_number(timed.lane),
            section=timed.section + 1,
            line=timed.line,
        )
        figures[f"{name}, {place}"] = repeat_times(timed, called, reading.out)
    return figures


def _head(review: Review, width: float) -> list[Piece]:
    one = review.listed
    begun = ""
    if one.begun_ms is not None:
        begun = f"{day_said(one.begun_ms, one.zone)}, {time_of_day(one.begun_ms, one.zone)[:5]}"
    far = sum(review.distances.of_lane(lane) for lane in range(len(review.lanes)))
    facts = [
        begun,
        tr("{pool} pool", pool=one.pool),
        tr("{far:,} {unit} swum by the {lanes} lane leaders", far=far, unit=review.unit, lanes=len(review.lanes)),
    ]
    return [
        *words(titled(one.title), width, 2 * CAP, bold=True),
        *words(" · ".join(fact for fact in facts if fact), width, CAP),
        gap(2),
    ]


def _figure(flow: Flow, title: str, figure: Figure, high: float, below: Sequence[Piece] = ()) -> None:
    """A figure with its heading; `below` stays with it."""
    laid = drawn(figure, flow.width, high, CAP, width_of)
    heading = words(title, flow.width, 1.25 * CAP, bold=True, hang=4)
    flow.block([bookmark(title), rule(flow.width), *heading, gap(1), picture(laid), *below, gap(3)])


def _table(timed: TimedSet, called: ReviewNames, width: float) -> list[Piece]:
    """A row for each swimmer: number of times, fastest, slowest, difference from target or prediction, spread and
    drift.
    """
    people = People(called, (one.who for one in timed.rows))
    heads = (
        tr("times"),
        tr("fastest"),
        tr("slowest"),
        tr("vs target") if timed.target else tr("vs expected"),
        tr("varies"),
        tr("slows"),
    )
    widths = [max(width_of(head, CAP), width_of("10:00.0", CAP)) + 2 * CAP for head in heads]
    left = width - sum(widths)
    rights = [left + sum(widths[: at + 1]) for at in range(len(widths))]
    rows = [row([Cell(r, head, "right", colour="dim") for r, head in zip(rights, heads)], CAP, "water", width)]
    for one in timed.rows:
        times = [cell.time_ms for cell in one.cells]
        values = (
            str(len(times)),
            in_tenths(min(times)),
            in_tenths(max(times)),
            "" if one.over_ms is None else f"{difference(one.over_ms)} s",
            "" if one.spread_ms is None else f"{difference(one.spread_ms).lstrip('+')} s",
            "" if one.drift_ms is None else f"{difference(one.drift_ms)} s",
        )
        names = wrapped_words(people.said(one.who), left - CAP, lambda part: width_of(part, CAP), breaks=True)
        rows.append(row([Cell(0, names[0]), *(Cell(r, value, "right") for r, value in zip(rights, values))], CAP))
        rows += [row([Cell(0, more)], CAP) for more in names[1:]]
    return rows
