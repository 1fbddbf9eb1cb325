"""A base pace over time: the base as a line, what the times of each session came to, and where test swims gave it.

All is per 100 of one unit; test swims are on their own day, as far as it is known.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from pacer.language import listed, tr, tr_n
from pacer.plan.decimals import half_up
from pacer.plan.times import in_tenths
from pacer.review.season.season import TrialSwum, Visit
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
    per = tr("per 100 {base_unit}", base_unit=shown[-1].base_unit)
    dots: list[Dot] = []
    before: tuple[TrialSwum, ...] = ()
    for visit, day, base in zip(shown, days, bases):
        if visit.over is not None:
            timed = half_up(visit.base_ms * (1 + visit.over))
            times = tr(
                "{counted} came to {timed} {per}",
                counted=tr_n("{n:,} timed repeat", "{n:,} timed repeats", visit.times),
                timed=in_tenths(timed),
                per=per,
            )
            dots.append(
                Dot(
                    day,
                    timed,
                    "one",
                    "disc",
                    tr("{whole}: {times}, base {base}", whole=_whole(day), times=times, base=in_tenths(base)),
                )
            )
        if visit.tests and visit.tests != before:
            dots += _tests(visit.tests, day, base)
        before = visit.tests
    values = [*bases, *(int(dot.y) for dot in dots)]
    beside = max(0, LEAST_SPAN_MS - max(values) + min(values)) // 2  # so that chance does not look like a change
    low, high = time_reach(min(values) - beside, max(values) + beside)
    first, last = min([days[0], *(int(dot.x) for dot in dots)]), days[-1] + 1
    points = [point for place in range(len(days)) for point in _step(place, days, bases)]
    keys = [Key("target", tr("base"), "line")]
    keys += [Key("one", tr("from session times"), "disc")] if any(dot.shape == "disc" for dot in dots) else []
    keys += [Key("two", tr("test swims"), "diamond")] if any(dot.shape == "diamond" for dot in dots) else []
    return Figure(
        title=tr("{name}: base {per}", name=name, per=per),
        words=_words(name, shown, bases),
        x=Axis(first - 0.5, last, _day_ticks(first, days[-1])),
        y=Axis(low, high, time_ticks(low, high), tr("base {per}", per=per), tr("min:s")),
        traces=(Trace((*points, (last, bases[-1])), "target", heavy=True),),
        dots=tuple(dots),
        keys=tuple(keys),
        grid=True,
    )


def _tests(tests: Sequence[TrialSwum], session: int, base: int) -> Iterator[Dot]:
    """A dot for each day on which test swims gave a base; those of an unknown day are on that of the session."""
    by_day: dict[str, list[str]] = {}
    for test in tests:
        by_day.setdefault(test.day, []).append(test.text)
    for day, texts in sorted(by_day.items()):
        at = min(session, date.fromisoformat(day).toordinal()) if day else session
        when = _whole(at) if day else tr("By {whole}", whole=_whole(at))
        yield Dot(
            at,
            base,
            "two",
            "diamond",
            tr("{when}: base {base} from {texts}", when=when, base=in_tenths(base), texts=listed(texts)),
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
    change = in_tenths(bases[0])
    if len(set(bases)) > 1:
        change = tr("from {change} to {base}", change=change, base=in_tenths(bases[-1]))
    per = tr("per 100 {base_unit}", base_unit=shown[-1].base_unit)
    said = tr(
        "{name}: base {change} {per} over {counted} since {since}.",
        name=name,
        change=change,
        per=per,
        counted=tr_n("{n:,} session", "{n:,} sessions", len(shown)),
        since=since,
    )
    return " ".join(filter(None, (said, converted_said(shown))))


def converted_said(visits: Sequence[Visit]) -> str:
    """A sentence where some sessions were in a pool of another unit than the bases are said in; else ""."""
    other = {visit.unit for visit in visits} - {visit.base_unit for visit in visits}
    return tr("Bases of sessions in another unit are converted by distance: 1 yd is 0.9144 m.") if other else ""


def _whole(day: int) -> str:
    return date_said(date.fromordinal(day), short=True)
