"""A plan's strip: lanes over time, work as bars by activity, rest as gaps, the booking as an edge."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from pacer.language import tr
from pacer.plan.model import Activity, Plan
from pacer.plan.times import MINUTE_MS, text_from_ms, whole_up
from pacer.show.figures.figure import Axis, Bar, Figure, Key, Note, Spot, Tick, Trace
from pacer.show.figures.scaleticks import minute_ticks
from pacer.squad.squad import Lane
from pacer.timeline.laneline import LaneLine
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import NEVER

#: The part of a lane's row filled by its bars.
BAR = (0.14, 0.86)
_SAID = {activity: str(activity) for activity in Activity}


def strip(timeline: Timeline, until_ms: int | None = None) -> Figure:
    """The strip of a session as planned, or, with its changes laid out, as swum up to `until_ms`.

    Each lane is a row, the first on top; its bars are the leader's swims. The ground of a section runs from the lane's
    start in it to its last swimmer's touch.
    """
    until = NEVER if until_ms is None else until_ms
    names = [section.name for section in timeline.plan.sections]
    bars: list[Bar] = []
    grounds: list[Bar] = []
    for row in range(len(timeline.tracks)):
        bars += _bars(timeline, row, until)
        for section, (start, end) in _sections(timeline, row, until).items():
            grounds.append(Bar(start, end, row, row + 1, "water", names[section], Spot(row, section)))
    return strip_figure(timeline.plan, timeline.lanes, bars, grounds)


def strip_figure(plan: Plan, on_wall: Sequence[Lane], bars: Sequence[Bar], grounds: list[Bar]) -> Figure:
    """The figure of a strip from its bars and its sections' grounds."""
    booked, names = plan.booking_ms, [section.name for section in plan.sections]
    begins: dict[int, float] = {}
    for ground in grounds:
        if ground.spot.section is not None:
            begins[ground.spot.section] = min(ground.left, begins.get(ground.spot.section, ground.left))
    end_ms = int(max([bar.right for bar in (*grounds, *bars)], default=0))
    high = max(end_ms, booked or 0) or MINUTE_MS
    lanes = len(on_wall)
    traces: list[Trace] = []
    if booked is not None:
        if end_ms > booked:
            grounds.insert(0, Bar(booked, end_ms, 0, lanes, "over", tr("after the booking")))
        traces.append(Trace(((booked, 0), (booked, lanes)), "edge", heavy=True))
    used = {bar.fill for bar in bars}
    return Figure(
        title=plan.title,
        words=_words(booked, on_wall, bars, end_ms),
        x=Axis(0, high, minute_ticks(high), tr("time"), tr("min") if high >= MINUTE_MS else tr("min:s")),
        y=Axis(lanes, 0, tuple(Tick(row + 0.5, str(lane.number)) for row, lane in enumerate(on_wall)), tr("lane")),
        grounds=tuple(grounds),
        bars=tuple(bars),
        traces=tuple(traces),
        heads=tuple(Note(begins[section], 0, names[section]) for section in sorted(begins) if names[section]),
        keys=tuple(Key(word, word) for word in _SAID.values() if word in used),
    )


def _bars(timeline: Timeline, row: int, until: int) -> Iterator[Bar]:
    track, low, high = timeline.tracks[row], row + BAR[0], row + BAR[1]
    ended = bool(track.closed) or track.paused_ms is not None or until != NEVER
    stretches: dict[tuple[int, int], list[tuple[str, int, int, str]]] = {}
    for found in track.passes:
        line = found.laneline
        if not line.bases:
            continue
        for place in range(found.count):
            index, repeat = found.first + place, found.skipped + place
            at = track.sendoffs[index]
            stop = NEVER
            if ended:
                leaves_by, swims_by = track.bounds(index)
                if at > leaves_by or at >= until:
                    continue
                stop = min(swims_by, until)
            key = (id(line), line.kind_of[repeat])
            if key not in stretches:
                stretches[key] = list(_stretches(line, repeat))
            spot = Spot(row, found.section, line.number, found.round, repeat + 1)
            for activity, start, end, said in stretches[key]:
                if at + start < min(at + end, stop):
                    yield Bar(at + start, min(at + end, stop), low, high, activity, said, spot)


def _stretches(line: LaneLine, repeat: int) -> Iterator[tuple[str, int, int, str]]:
    """What the leader does in a repeat and when, from its send-off; neighbours of one activity are joined."""
    shape, times = line.shapes[repeat], line.times(repeat, 0)
    start, began = 0, 0
    for place, work in enumerate(shape.works):
        last = place + 1 == len(shape.works)
        if last or shape.works[place + 1].activity is not work.activity:
            said = " / ".join(dict.fromkeys(shape.doings[began : place + 1]))
            yield _SAID[work.activity], start, times[place], said
            start, began = times[place], place + 1


def _sections(timeline: Timeline, row: int, until: int) -> dict[int, tuple[int, int]]:
    """For each section that the lane swims: when its leader first leaves, and when its last swimmer touches."""
    made: dict[int, tuple[int, int]] = {}
    for found in timeline.tracks[row].passes:
        if found.start_ms < min(found.end_ms, until):
            start, end = made.get(found.section, (found.start_ms, 0))
            made[found.section] = start, max(end, min(found.end_ms, until))
    return made


def _words(booked: int | None, on_wall: Sequence[Lane], bars: Sequence[Bar], end_ms: int) -> str:
    """The strip in words: when it ends, and how each lane's time is spent."""
    told = [
        tr("Lasts {time}.", time=whole_up(end_ms))
        if booked is None
        else tr("Lasts {time}, booked {booked}.", time=whole_up(end_ms), booked=text_from_ms(booked))
    ]
    for row, lane in enumerate(on_wall):
        minutes: dict[str, float] = {}
        for bar in bars:
            if bar.spot.lane == row:
                minutes[bar.fill] = minutes.get(bar.fill, 0) + bar.right - bar.left
        said = ", ".join(f"{name} {whole_up(round(minutes[name]))}" for name in _SAID.values() if name in minutes)
        told.append(tr("Lane {number}: {said}.", number=lane.number, said=said or tr("nothing to swim")))
    return " ".join(told)
