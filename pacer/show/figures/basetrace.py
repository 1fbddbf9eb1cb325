"""A base pace over time: the base as a line, what the times of each session came to, and where test swims gave it.

All is per 100 of the unit that each session's pool had, as the squad says its bases.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from pacer.plan.times import half_up
from pacer.review.report.reviewnames import counted, tenths_of
from pacer.review.season.season import Visit
from pacer.session.timezone import date_said
from pacer.show.figures.figure import Axis, Dot, Figure, Key, Tick, Trace
from pacer.show.figures.scaleticks import time_reach, time_ticks

LEAST_SPAN_MS = 6_000  #: of the axis


def base_trace(name: str, visits: Sequence[Visit]) -> Figure | None:
    """The figure of one swimmer or lane, a session after the other; None where there are none."""
    shown = [visit for visit in visits if visit.day and visit.base_ms]
    if not shown:
        return None
    days = [date.fromisoformat(visit.day).toordinal() for visit in shown]
    bases = [visit.base_ms for visit in shown]
    dots: list[Dot] = []
    before = ""
    for visit, day, base in zip(shown, days, bases):
        said = date_said(date.fromordinal(day), short=True)
        if visit.over is not None:
            timed = half_up(visit.base_ms * (1 + visit.over))
            times = f"{counted(visit.times, 'time')} came to {tenths_of(timed)} per 100 {visit.unit}"
            told = f"{said}: {times}, base {tenths_of(base)}"
            dots.append(Dot(day, timed, "one", "disc", told))
        if visit.tests and visit.tests != before:
            dots.append(Dot(day, base, "two", "diamond", f"{said}: base {tenths_of(base)} from {visit.tests}"))
        before = visit.tests
    values = [*bases, *(int(dot.y) for dot in dots)]
    beside = max(0, LEAST_SPAN_MS - max(values) + min(values)) // 2  # so that chance does not look like a change
    low, high = time_reach(min(values) - beside, max(values) + beside)
    first, last = days[0], days[-1] + 1
    points = [point for place in range(len(days)) for point in _step(place, days, bases)]
    keys = [Key("target", "base", "line")]
    keys += [Key("one", "as timed", "disc")] if any(dot.shape == "disc" for dot in dots) else []
    keys += [Key("two", "test swims", "diamond")] if any(dot.shape == "diamond" for dot in dots) else []
    return Figure(
        title=f"{name}: base per 100",
        words=_words(name, shown, bases),
        x=Axis(first - 0.5, last, _day_ticks(first, days[-1])),
        y=Axis(low, high, time_ticks(low, high), "base per 100", "min:s"),
        traces=(Trace((*points, (last, bases[-1])), "target", heavy=True),),
        dots=tuple(dots),
        keys=tuple(keys),
        grid=True,
    )


def _step(place: int, days: Sequence[int], bases: Sequence[int]) -> list[tuple[int, int]]:
    """A base holds until the session that has another."""
    if place and bases[place] != bases[place - 1]:
        return [(days[place], bases[place - 1]), (days[place], bases[place])]
    return [(days[place], bases[place])]


def _day_ticks(first: int, last: int) -> tuple[Tick, ...]:
    """The days at the ends; between them the first of each month, where there are some."""
    ends = {first: _said(first), last: _said(last)}
    months = {day: _said(day) for day in range(first + 1, last) if date.fromordinal(day).day == 1 and last - first > 40}
    made = months if len(months) > 1 else ends
    return tuple(Tick(float(day), text) for day, text in sorted(made.items()))


def _said(day: int) -> str:
    return date_said(date.fromordinal(day), short=True).rsplit(" ", 1)[0]


def _words(name: str, shown: Sequence[Visit], bases: Sequence[int]) -> str:
    since = date_said(date.fromisoformat(shown[0].day))
    if len(set(bases)) == 1:
        return f"{name}: base {tenths_of(bases[0])} per 100 over {counted(len(shown), 'session')} since {since}."
    change = f"from {tenths_of(bases[0])} to {tenths_of(bases[-1])} per 100"
    return f"{name}: base {change} over {counted(len(shown), 'session')} since {since}."
