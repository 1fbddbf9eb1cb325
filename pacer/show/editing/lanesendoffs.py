"""How often each lane leaves in a set, where the page leaves that to pacer: `rest 0:15`, `on base+0:25`. No Kivy."""

from __future__ import annotations

from collections.abc import Sequence

from pacer.language import tr
from pacer.plan.model import FixedInterval
from pacer.plan.sentence import sentence
from pacer.plan.times import text_from_ms
from pacer.squad.lanenumbers import lane_numbers
from pacer.timeline.laneline import LaneLine
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import Track


def send_offs_said(timeline: Timeline | None, line: int, lane: int = 0) -> tuple[str, ...]:
    """What each lane leaves on in the page's line `line` (from 1), the longest way first; () if the page says it.

    The shortest way is only of the lane at the index `lane`.
    """
    lanes = [_lane_line(track, line) for track in timeline.tracks] if timeline is not None else []
    there = [found for found in lanes if found is not None]
    if timeline is None or not there or any(found.own is not None for found in there) or _is_written(there[0]):
        return ()
    every = ["–" if found is None else _interval(found.intervals) for found in lanes]
    had: dict[str, list[int]] = {}
    for one, found, said in zip(timeline.squad.lanes, lanes, every):
        if found is not None:
            had.setdefault(said, []).append(one.number)
    told = [
        tr(
            "{lanes} every {interval}",
            lanes=lane_numbers(numbers, len(lanes)) or tr("lane {number}", number=numbers[0]),
            interval=interval,
        )
        for interval, numbers in had.items()
    ]
    mine = tr("Lane {number} every {interval}", number=timeline.squad.lanes[lane].number, interval=every[lane])
    return sentence("; ".join(told)), tr("Every {intervals}", intervals=" / ".join(every)), mine


def _lane_line(track: Track, line: int) -> LaneLine | None:
    """The set of that line of the page as the lane swims it first; None if it does not."""
    spans = ((found.laneline, found.laneline.line.span) for found in track.passes)
    return next((laneline for laneline, span in spans if span is not None and span.line == line), None)


def _is_written(line: LaneLine) -> bool:
    """Whether the page has the intervals as they are."""
    written = line.line.interval
    return written is not None and all(isinstance(one, FixedInterval) for entry in written.entries for one in entry)


def _interval(intervals: Sequence[int]) -> str:
    """One interval, or the shortest and the longest: they differ in a set that descends."""
    least, most = min(intervals), max(intervals)
    return text_from_ms(least) if least == most else f"{text_from_ms(least)}–{text_from_ms(most)}"
