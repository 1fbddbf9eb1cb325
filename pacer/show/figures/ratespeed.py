"""Stroke rate against speed, with curves of equal stroke length: speed is rate times length."""

from __future__ import annotations

from pacer.language import tr
from pacer.plan.decimals import decimals
from pacer.plan.sentence import sentence
from pacer.plan.times import text_from_ms
from pacer.review.report.reviewnames import ReviewNames
from pacer.review.swum.strokework import SpeedOf, Stroke
from pacer.show.figures.figure import Axis, Dot, Figure, Key, Note, Spot, Trace
from pacer.show.figures.scaleticks import nice_reach, nice_ticks
from pacer.show.figures.swummarks import People


def rate_against_speed(called: ReviewNames) -> Figure | None:
    """Every stroke rate whose speed is known; None if there is none.

    A dot is open if its speed is not from a time, or if several rates share one repeat's time: they don't show what the
    stroke length did.
    """
    review = called.review
    taken = [one for one in review.strokes if one.speed is not None and one.length is not None]
    if not taken:
        return None
    people = People(called, (one.who for one in taken if one.who is not None))
    dots = []
    for one in taken:
        fill, shape = people.dot(one.who)
        lane, swim = one.lane, one.swim
        spot = Spot(lane, swim.section, swim.line, swim.round, swim.repeat, one.who) if swim else Spot(lane)
        shown = "open" if _is_open(one) else shape
        dots.append(Dot(float(one.rate), float(one.speed or 0), fill, shown, _said(one, people, review.unit), spot))
    rates, speeds = nice_reach(*_span([dot.x for dot in dots])), nice_reach(*_span([dot.y for dot in dots]))
    unit = review.unit
    lengths = _lengths(rates, speeds, unit)
    keys = people.keys()
    if any(_is_open(one) for one in taken):
        ways = (tr("speed from the expected time"), tr("speed of the whole repeat"))
        whole = {one.timed for one in taken if _is_open(one)}
        text = tr("speed from the expected time or of the whole repeat") if len(whole) == 2 else ways[whole == {True}]
        keys = (*keys, Key("ink", text, "open"))
    return Figure(
        title=tr("Stroke rate and speed"),
        words=" ".join(sentence(dot.said) for dot in dots),
        x=Axis(*rates, nice_ticks(*rates), tr("stroke rate"), tr("cycles a minute")),
        y=Axis(*speeds, nice_ticks(*speeds), tr("speed"), f"{unit}/s"),
        traces=tuple(trace for trace, _ in lengths),
        dots=tuple(dots),
        heads=tuple(sorted(head for _, head in lengths if head is not None)),  # the leftmost has room first
        keys=keys,
        grid=True,
    )


def _span(values: list[float]) -> tuple[float, float]:
    """From the least to the greatest, with room around them."""
    low, high = min(values), max(values)
    room = max((high - low) * 0.08, high * 0.02)
    return low - room, high + room


def _is_open(one: Stroke) -> bool:
    return not one.timed or one.several


def _said(one: Stroke, people: People, unit: str) -> str:
    assert one.speed is not None and one.length is not None
    where = people.said(one.who)
    at = text_from_ms(max(0, one.at_ms) // 1000 * 1000)
    speed = f"{decimals(one.speed, 2)} {unit}/s"
    if one.speed_of is SpeedOf.EXPECTED:
        speed = tr("{speed} from the expected time", speed=speed)
    elif one.speed_of is SpeedOf.REPEAT:
        speed = tr("{speed} over the whole repeat", speed=speed)
    return tr(
        "{where}, at {at}: {rate} cycles a minute, {speed}, {length} {unit} a cycle",
        where=where,
        at=at,
        rate=decimals(one.rate),
        speed=speed,
        length=decimals(one.length, 2),
        unit=unit,
    )


def _lengths(
    rates: tuple[float, float], speeds: tuple[float, float], unit: str
) -> tuple[tuple[Trace, Note | None], ...]:
    """Straight lines through rate and speed zero, cut to the figure, each with its length.

    One that ends at the top has it above the figure, where no other line runs through the words.
    """
    least, most = 60 * speeds[0] / rates[1], 60 * speeds[1] / max(rates[0], 1e-9)
    made = []
    for tick in nice_ticks(least, most, 7):
        if tick.at <= 0:
            continue
        start, end = max(rates[0], 60 * speeds[0] / tick.at), min(rates[1], 60 * speeds[1] / tick.at)
        if end - start < (rates[1] - rates[0]) / 50:
            continue
        points = ((start, tick.at * start / 60), (end, tick.at * end / 60))
        length = f"{tick.text} {unit}"
        at_the_top = end < rates[1]
        made.append(
            (Trace(points, "curve", label="" if at_the_top else length), Note(end, 0, length) if at_the_top else None)
        )
    return tuple(made)
