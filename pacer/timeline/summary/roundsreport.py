"""What `pacer rounds` and the app say about a fit: each lane's rounds, where lanes wait, what more time would add."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace

from pacer.language import listed, tr, tr_n
from pacer.plan.model import ByLane, Flexible, SetLine
from pacer.plan.planlines import numbered_lines
from pacer.plan.text.standardform import write_line
from pacer.plan.times import MINUTE_MS, text_from_ms, whole_down, whole_up
from pacer.timeline.fit.fitcounts import Fit, fit
from pacer.timeline.fit.mostdistance import missed_said
from pacer.timeline.stepcounter import TooMuch
from pacer.timeline.timeline import Timeline, build_timeline
from pacer.timeline.track import Track

FORMAT = "pacer-rounds/1"

_MOST_STEPS = 100_000  #: the budget (see `Work`) for fitting again and again to find what more time would add
_WORTH_SAYING_MS = MINUTE_MS  #: the report mentions longer waits than this, beyond the changeover


@dataclass(frozen=True, slots=True)
class Chosen:
    """A chosen count: `line` None for the section's rounds, otherwise a line's repeats."""

    section: int
    line: int | None
    count: int
    least: int
    most: int


@dataclass(frozen=True, slots=True)
class LaneSwims:
    """What one lane swims; `lane` is its number on the wall."""

    lane: int
    distance: int
    end_ms: int
    chosen: tuple[Chosen, ...]


@dataclass(frozen=True, slots=True)
class Stands:
    """A lane that waits at the wall before a section, for `wait_ms` beyond the changeover.

    `last` are the lanes for which it waits.
    """

    section: int
    lane: int
    wait_ms: int
    last: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Gain:
    """What so much more booking would add: distance summed over swimmers, and what lanes would then swim."""

    extra_ms: int
    distance: int
    lanes: tuple[LaneSwims, ...]


@dataclass(frozen=True, slots=True)
class Cost:
    """A section's time in a session that overruns, changeover included, and the longest line of its slowest lane."""

    section: int
    takes_ms: int
    lane: int | None
    line: int | None
    line_ms: int


@dataclass(frozen=True, slots=True)
class RoundsReport:
    """The whole report as data; `text()` as a coach reads it. `minute` is what one more minute adds, None if nothing.

    `sought` is false if fitting takes so much work that the report does not say what more time would add.
    """

    fit: Fit
    lanes: tuple[LaneSwims, ...]
    stands: tuple[Stands, ...]
    minute: Gain | None
    next_gain: Gain | None
    costs: tuple[Cost, ...]
    sought: bool = True

    def text(self) -> str:
        """The report in a coach's words."""
        return "\n".join(_said(self))


def rounds_report(fitted: Fit) -> RoundsReport:
    """The report on the fit of a whole session. It fits again to find what more time would add."""
    timeline = build_timeline(fitted.plan, fitted.squad, fitted.counts)
    lanes = tuple(_lane_swims(fitted, timeline))
    minute = following = None
    sought = fitted.steps <= _MOST_STEPS
    if fitted.limit_ms is not None and not fitted.over_ms and sought:
        try:
            minute = _gain(fitted, fitted.limit_ms, MINUTE_MS)
            following = minute or _next_gain(fitted, fitted.limit_ms)
        except TooMuch:
            sought = False
    costs = tuple(_costs(timeline)) if fitted.over_ms else ()
    return RoundsReport(fitted, lanes, tuple(_stands(timeline)), minute, following, costs, sought)


def rounds_json(report: RoundsReport) -> dict:
    """The report as data ready for `json.dumps`; sections by index, lanes by number, times in ms."""
    fitted = report.fit
    return {
        "format": FORMAT,
        "sections": [section.name for section in fitted.plan.sections],
        "end_ms": fitted.end_ms,
        "limit_ms": fitted.limit_ms,
        "over_ms": fitted.over_ms,
        "distance": fitted.distance,
        "missed": fitted.missed,
        "lanes": [asdict(lane) for lane in report.lanes],
        "stands": [asdict(each) for each in report.stands],
        "minute": None if report.minute is None else asdict(report.minute),
        "next_gain": None if report.next_gain is None else asdict(report.next_gain),
        "costs": [asdict(cost) for cost in report.costs],
        "sought": report.sought,
    }


# -- finding out -----------------------------------------------------------------------------------------


def _lane_swims(fitted: Fit, timeline: Timeline) -> Iterator[LaneSwims]:
    lines = {(section, number): line for section, number, _, line in numbered_lines(fitted.plan)}
    for index, lane in enumerate(fitted.squad.lanes):
        track = timeline.tracks[index]
        swum = {(found.section, found.laneline.number) for found in track.passes}
        sections = {section for section, _ in swum}
        chosen = []
        for (section, number), counts in fitted.counts.items():
            flexible = fitted.plan.sections[section].rounds if number is None else lines[section, number].count
            able = lane.rounds is None and section in sections if number is None else (section, number) in swum
            if not isinstance(flexible, Flexible):
                continue
            if able or (counts[index] == 0 and number is None and lane.rounds is None):
                chosen.append(Chosen(section, number, counts[index], flexible.least, flexible.most))
        yield LaneSwims(lane.number, fitted.distances[index], track.end_ms, tuple(sorted(chosen, key=_in_plan_order)))


def _in_plan_order(chosen: Chosen) -> tuple[int, int]:
    return chosen.section, chosen.line or 0


def _last_touches(track: Track) -> dict[int, int]:
    """The lane's last touch in each section that it swims."""
    made: dict[int, int] = {}
    for found in track.passes:
        made[found.section] = max(found.end_ms, made.get(found.section, 0))
    return made


def _stands(timeline: Timeline) -> Iterator[Stands]:
    touches = [_last_touches(track) for track in timeline.tracks]
    for section, start in sorted(timeline.gates.items()):
        before = [max([touch for at, touch in lane.items() if at < section], default=None) for lane in touches]
        if start is None or not any(touch is not None for touch in before):
            continue
        latest = max(touch for touch in before if touch is not None)
        last = tuple(lane.number for lane, touch in zip(timeline.lanes, before) if touch == latest)
        for lane, touch in zip(timeline.lanes, before):
            if touch is not None and start - touch > timeline.plan.changeover_ms:
                yield Stands(section, lane.number, start - touch - timeline.plan.changeover_ms, last)


def _gain(fitted: Fit, limit_ms: int, extra_ms: int) -> Gain | None:
    more = fit(fitted.plan, fitted.squad, end_ms=limit_ms + extra_ms, frozen=fitted.frozen)
    if more.missed is not None:
        raise TooMuch
    if more.distance <= fitted.distance:
        return None
    swims = _lane_swims(more, build_timeline(more.plan, more.squad, more.counts))
    changed = tuple(lane for lane, before in zip(swims, fitted.distances) if lane.distance != before)
    return Gain(extra_ms, more.distance - fitted.distance, changed)


def _next_gain(fitted: Fit, limit_ms: int) -> Gain | None:
    """The gain from the least extra time, in whole seconds, that adds any distance; None if all counts are greatest."""
    low, high = MINUTE_MS // 1000, 2 * MINUTE_MS // 1000
    while (gain := _gain(fitted, limit_ms, high * 1000)) is None:
        low, high = high, 2 * high
        if high > 4 * 3600:
            return None
    while high - low > 1:
        middle = (low + high) // 2
        found = _gain(fitted, limit_ms, middle * 1000)
        low, high, gain = (middle, high, gain) if found is None else (low, middle, found)
    return gain


def _costs(timeline: Timeline) -> Iterator[Cost]:
    """Sections by the time they take, the longest first."""
    touches = [_last_touches(track) for track in timeline.tracks]
    made = []
    for section in range(len(timeline.plan.sections)):
        ends = [(lane[section], index) for index, lane in enumerate(touches) if section in lane]
        if not ends:
            continue
        end, slowest = max(ends)
        starts = [track.starts[section] for track in timeline.tracks if section in track.starts]
        after = timeline.gates.get(section + 1)
        line, line_ms = _longest_line(timeline.tracks[slowest], section, end)
        made.append(
            Cost(
                section, (end if after is None else after) - min(starts), timeline.lanes[slowest].number, line, line_ms
            )
        )
    return iter(sorted(made, key=lambda cost: -cost.takes_ms))


def _longest_line(track: Track, section: int, end_ms: int) -> tuple[int, int]:
    """The line that takes the most time of a lane's section, all rounds together, and its time."""
    passes = [found for found in track.passes if found.section == section]
    takes: dict[int, int] = {}
    for found, later in zip(passes, [*passes[1:], None]):
        number = found.laneline.number
        takes[number] = takes.get(number, 0) + (end_ms if later is None else later.start_ms) - found.start_ms
    number = max(takes, key=takes.__getitem__)
    return number, takes[number]


# -- saying --------------------------------------------------------------------------------------------


def _said(report: RoundsReport) -> Iterator[str]:
    fitted = report.fit
    unit, swimmers = fitted.plan.pool.unit, sum(len(lane.swimmers) for lane in fitted.squad.lanes)
    lines = {(section, number): line for section, number, _, line in numbered_lines(fitted.plan)}
    whole = tr_n(
        "{distance:,} {unit} by {n} swimmer",
        "{distance:,} {unit}, all {n} swimmers added up",
        swimmers,
        distance=fitted.distance,
        unit=unit,
    )
    if fitted.limit_ms is None:
        yield tr(
            "no booking, so every lane gets the smallest counts: lasts {end}, {whole}",
            end=whole_up(fitted.end_ms),
            whole=whole,
        )
    elif fitted.over_ms:
        yield (
            tr(
                "too long: even with the smallest counts it lasts {end}, {over} more than {limit}",
                end=whole_up(fitted.end_ms),
                over=whole_up(fitted.over_ms),
                limit=whole_down(fitted.limit_ms),
            )
        )
    else:
        yield (
            tr(
                "lasts {end}, {spare} less than {booked}: {whole}",
                end=whole_up(fitted.end_ms),
                spare=whole_down(fitted.limit_ms - fitted.end_ms),
                booked=whole_down(fitted.limit_ms),
                whole=whole,
            )
        )
    if fitted.missed is not None:
        yield missed_said(fitted.missed, str(unit))
    for cost in report.costs:
        if cost.line is None:
            continue
        yield "  " + (
            tr(
                "{section} lasts {takes}; longest part: {what}, {time} in lane {lane}",
                section=_section(fitted, cost.section),
                takes=whole_up(cost.takes_ms),
                time=whole_up(cost.line_ms),
                what=_short(lines[cost.section, cost.line]),
                lane=cost.lane,
            )
        )
    for lane in report.lanes:
        yield tr(
            "lane {lane}: {report_lane}, in {end}",
            lane=lane.lane,
            report_lane=_lane_said(report, lane, lines),
            end=whole_up(lane.end_ms),
        )
    for section, group in _by_section(report.stands):
        numbers = ", ".join(tr("lane {lane} {time}", lane=each.lane, time=whole_up(each.wait_ms)) for each in group)
        last = listed([*map(str, group[0].last)])
        yield (
            tr(
                "before {section}, waiting for lane {last} after the changeover: {numbers}",
                section=_section(fitted, section),
                last=last,
                numbers=numbers,
            )
        )
    yield from _gain_said(report, lines)


def _by_section(stands: tuple[Stands, ...]) -> Iterator[tuple[int, list[Stands]]]:
    """The long waits, by section."""
    grouped: dict[int, list[Stands]] = {}
    for each in stands:
        if each.wait_ms >= _WORTH_SAYING_MS:
            grouped.setdefault(each.section, []).append(each)
    return iter(grouped.items())


def _gain_said(report: RoundsReport, lines: dict[tuple[int, int], SetLine]) -> Iterator[str]:
    if report.fit.limit_ms is None or report.fit.over_ms:
        return
    if not report.sought:
        yield tr("what more time would add takes too long to work out")
        return
    gain, unit = report.next_gain, report.fit.plan.pool.unit
    if gain is None:
        yield tr("more time adds nothing: all lanes already swim the most rounds and repeats")
        return
    now = {lane.lane: lane.distance for lane in report.lanes}
    swims = "; ".join(
        tr(
            "lane {lane} {more:,} {unit} more: {report_lane}",
            lane=lane.lane,
            more=lane.distance - now.get(lane.lane, 0),
            unit=unit,
            report_lane=_lane_said(report, lane, lines),
        )
        for lane in gain.lanes
    )
    yield (
        tr("with one more minute: {swims}", swims=swims)
        if report.minute
        else tr(
            "one more minute adds nothing; with {extra} more: {swims}",
            extra=text_from_ms(gain.extra_ms),
            swims=swims,
        )
    )


def _lane_said(report: RoundsReport, lane: LaneSwims, lines: dict[tuple[int, int], SetLine]) -> str:
    said = [f"{lane.distance:,} {report.fit.plan.pool.unit}"]
    for chosen in lane.chosen:
        if chosen.line is None:
            said.append(
                tr_n(
                    "{section} {n} round",
                    "{section} {n} rounds",
                    chosen.count,
                    section=_section(report.fit, chosen.section),
                )
            )
        else:
            line = replace(lines[chosen.section, chosen.line], count=ByLane((chosen.count,)))
            said.append(f"{_section(report.fit, chosen.section)} {_short(line)}")
    return ", ".join(said)


def _section(fitted: Fit, section: int) -> str:
    return fitted.plan.sections[section].name or tr("the first lines")


def _short(line: SetLine) -> str:
    """A line's count, distance and work, without its details."""
    return write_line(line).split(",")[0].split(" as ")[0]
