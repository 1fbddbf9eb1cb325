"""When each line of a page starts for a lane, and how long it takes: for the page's margin. No Kivy."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from pacer.plan.times import whole_down, whole_up
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import Pass


class MarginTime(NamedTuple):
    """What the margin shows beside a line. `section`: whether the line is a section's name."""

    begins: str
    takes: str
    section: bool = False


def margin_times(timeline: Timeline, lane: int) -> dict[int, MarginTime]:
    """By the lines of the page, from 0: the first time that the lane at index `lane` swims each line and section.

    A line lasts until the next one starts, the last of a section until its last touch. A section lasts from its first
    send-off to its last touch, all rounds together.
    """
    made: dict[int, MarginTime] = {}
    sections: dict[int, tuple[int, int]] = {}
    passes = timeline.tracks[lane].passes
    for found, following in zip(passes, (*passes[1:], None)):
        start, _ = sections.get(found.section, (found.start_ms, 0))
        sections[found.section] = start, found.end_ms
        span = found.laneline.line.span
        if span is not None and span.line - 1 not in made:
            made[span.line - 1] = MarginTime(whole_down(found.start_ms), whole_up(_takes_ms(found, following)))
    for place, (start, end) in sections.items():
        span = timeline.plan.sections[place].span
        if span is not None and span.line - 1 not in made:
            made[span.line - 1] = MarginTime(whole_down(start), whole_up(end - start), section=True)
    return made


def _takes_ms(found: Pass, following: Pass | None) -> int:
    line = found.laneline
    if following is None or following.section != found.section or found.skipped + found.count < line.count:
        return found.end_ms - found.start_ms
    return line.remaining_ms(found.skipped) if found.skipped else line.takes_ms


def followed(times: Mapping[int, MarginTime], old: Sequence[str], new: Sequence[str]) -> dict[int, MarginTime]:
    """The same times after the page's lines became `new`: each moves with its line.

    >>> time = MarginTime("0:00", "4:00")
    >>> followed({1: time}, ["Main set", "  100"], ["Main set", "", "  100"])[2] is time
    True
    """
    more = len(new) - len(old)
    if not more:
        return dict(times)
    end = next((n for n in range(min(len(old), len(new))) if old[-1 - n] != new[-1 - n]), min(len(old), len(new)))
    first = len(old) - end  # from this line on, all lines have moved
    return {
        line + more if line >= first else line: time for line, time in times.items() if line < first or line + more >= 0
    }
