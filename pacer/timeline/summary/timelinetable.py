"""A timeline as a table that a coach can read aloud, and as JSON for other programs."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction

from pacer.language import tr
from pacer.plan.decimals import half_up, short_decimal
from pacer.plan.model import SetLine, Unit
from pacer.plan.times import text_from_ms, whole_down, whole_up
from pacer.timeline.laneline import LaneLine
from pacer.timeline.pacebasistext import origin_said, pace_said
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import Pass

FORMAT = "pacer-timeline/1"
TOLD_REST_MS = 3_000


def clock_reading(at_ms: int, phase_ms: int = 0) -> str:
    """What the seconds hand shows at a session time: (time + phase) mod 60 s, in whole seconds, rounded down.

    >>> clock_reading(285_000), clock_reading(60_000)
    (':45', ':00')
    """
    return f":{(at_ms + phase_ms) // 1_000 % 60:02d}"


def timeline_json(timeline: Timeline) -> dict:
    """The object of `timeline --json`, ready for `json.dumps`."""
    plan = timeline.plan
    unit = plan.pool.unit
    return {
        "format": FORMAT,
        "title": plan.title,
        "pool": {"length": str(plan.pool).removesuffix(f" {unit}"), "unit": str(unit)},
        "booking_ms": plan.booking_ms,
        "end_ms": timeline.end_ms,
        "lanes": [
            {
                "lane": lane.number,
                "base_ms": half_up(lane.base.per_100(unit)),
                "spacing_ms": lane.spacing_ms,
                "swimmers": len(lane.swimmers),
                "distance": timeline.distance(index),
                "end_ms": timeline.tracks[index].end_ms,
                "events": [
                    {
                        "at_ms": e.at_ms,
                        "kind": e.kind,
                        "swimmer": e.swimmer,
                        **e.what._asdict(),
                        "clock": whole_down(e.at_ms),
                    }
                    for e in timeline.events(index)
                ],
            }
            for index, lane in enumerate(timeline.lanes)
        ],
    }


def timeline_table(timeline: Timeline, line_text: Callable[[SetLine], str], *, phase_ms: int = 0) -> str:
    """Every lane's send-offs: clock reading, session time, and the leader's expected touch and rest.

    `line_text` writes a set line as a plan does.
    """
    return "\n".join(
        row for lane in range(len(timeline.lanes)) for row in _lane_rows(timeline, lane, line_text, phase_ms)
    )


def rest_ratio(rest_ms: int, swum_ms: int) -> str:
    """Rest to swimming as a coach says it: `1 to 8`; "" if the rest is too short to count.

    >>> rest_ratio(39_000, 312_000), rest_ratio(60_000, 40_000)
    ('1 to 8', '1.5 to 1')
    """
    if rest_ms < TOLD_REST_MS or swum_ms <= 0:
        return ""
    if rest_ms > swum_ms:
        return tr("{one_digit} to 1", one_digit=_one_digit(rest_ms, swum_ms))
    return tr("1 to {one_digit}", one_digit=_one_digit(swum_ms, rest_ms))


def _one_digit(top: int, below: int) -> str:
    return short_decimal(Fraction((10 * top + below // 2) // below, 10), 1)


def _lane_rows(timeline: Timeline, lane: int, line_text, phase_ms: int) -> Iterator[str]:
    told, track = timeline.lanes[lane], timeline.tracks[lane]
    unit = tr("metres") if timeline.plan.pool.unit is Unit.METRE else tr("yards")
    count = len(told.swimmers)
    who = (
        tr("1 swimmer")
        if count == 1
        else tr("{count} swimmers {spacing} apart", count=count, spacing=text_from_ms(told.spacing_ms))
    )
    if lane:
        yield ""
    facts = {
        "number": told.number,
        "pace": pace_said(timeline, lane),
        "who": who,
        "distance": timeline.distance(lane),
        "unit": unit,
        "end": whole_up(track.end_ms),
    }
    yield (
        tr("LANE {number}, group {group}: {pace}, {who}, {distance:,} {unit} in {end}", group=told.group, **facts)
        if told.group
        else tr("LANE {number}: {pace}, {who}, {distance:,} {unit} in {end}", **facts)
    )
    yield tr("base {origin}", origin=origin_said(timeline, lane))
    heading = None
    for number, found in enumerate(track.passes):
        section = timeline.plan.sections[found.section]
        if heading != (found.section, found.round):
            heading = (found.section, found.round)
            rounds = max(p.round for p in track.passes if p.section == found.section)
            yield ""
            name = section.name or tr("Session")
            yield (
                tr("{section}, round {round} of {rounds}", section=name, round=found.round, rounds=rounds)
                if rounds > 1
                else name
            )
        yield f"  {line_text(found.laneline.line)}"
        following = track.passes[number + 1] if number + 1 < len(track.passes) else None
        yield from _pass_rows(found, track.sendoffs, following, phase_ms)
    if not track.passes:
        yield f"  {tr('nothing to swim')}"


_SWUM = tr("{repeat:>2} of {count:<2}  leaves {reading}  at {time:>7}   touches {touch:>7}   swims {swum:>5}   {rest}")
#: Of a repeat that is timed, such as kick in place: nobody touches.
_TIMED = tr("{repeat:>2} of {count:<2}  starts {reading}  at {time:>7}   stops   {touch:>7}   for   {swum:>5}   {rest}")


def _pass_rows(found: Pass, sendoffs: list[int], following: Pass | None, phase_ms: int) -> Iterator[str]:
    line = found.laneline
    for place in range(found.count):
        repeat = found.skipped + place
        left = sendoffs[found.first + place]
        swum = line.times(repeat, 0)[-1]
        touch = left + swum
        after = (
            sendoffs[found.first + place + 1] if place + 1 < found.count else following.start_ms if following else None
        )
        yield "    " + (_TIMED if line.shapes[repeat].time_ms is not None else _SWUM).format(
            repeat=repeat + 1,
            count=line.count,
            reading=clock_reading(left, phase_ms),
            time=whole_down(left),
            touch=whole_up(touch),
            swum=whole_up(swum),
            rest=_rest_said(line, found, following, place, after, touch, swum),
        )


def _rest_said(
    line: LaneLine, found: Pass, following: Pass | None, place: int, after: int | None, touch: int, swum: int
) -> str:
    if after is None:
        return tr("done")
    if place + 1 == found.count and following and following.section != found.section:
        return tr("then changeover, {after}", after=whole_down(after - touch))
    if line.own is not None and place + 1 < found.count:
        return tr("no rest")
    rest = after - touch
    if rest < 0:
        return tr("{rest} too slow for the interval", rest=whole_up(-rest))
    # The time left over before the next line is not a rest that anybody chose.
    ratio = "" if line.own is not None else rest_ratio(rest, swum)
    said = tr("rests {rest:>5}", rest=whole_down(rest))
    return f"{said}  ({ratio})" if ratio else said
