"""When each line of a page starts for a lane, and how long it takes: for the page's margin. No Kivy."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from pacer.plan.model import Group, Item
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

    A line lasts until the next one starts, the last of a section until its last touch; rounds that are written on one
    line (`3 x (4 x 100)`) are one line, all of them together. A section lasts from its first send-off to its last
    touch, all rounds together.
    """
    made: dict[int, MarginTime] = {}
    sections: dict[int, tuple[int, int]] = {}
    passes = timeline.tracks[lane].passes
    for place, found in enumerate(passes):
        start, _ = sections.get(found.section, (found.start_ms, 0))
        sections[found.section] = start, found.end_ms
        span = found.laneline.line.span
        if span is not None and span.line - 1 not in made:
            last = place
            if span.line in _lines_with_rounds(timeline.plan.sections[found.section].items):
                while last + 1 < len(passes) and _together(found, passes[last + 1]):
                    last += 1
            following = passes[last + 1] if last + 1 < len(passes) else None
            takes_ms = passes[last].start_ms - found.start_ms + _takes_ms(passes[last], following)
            made[span.line - 1] = MarginTime(whole_down(found.start_ms), whole_up(takes_ms))
    for place, (start, end) in sections.items():
        span = timeline.plan.sections[place].span
        if span is not None and span.line - 1 not in made:
            made[span.line - 1] = MarginTime(whole_down(start), whole_up(end - start), section=True)
    return made


def _lines_with_rounds(items: Sequence[Item]) -> set[int]:
    """The page's lines (from 1) that have rounds and their sets on them."""
    groups = [item for item in items if isinstance(item, Group)]
    lines = {group.span.line for group in groups if group.span and any(_on(each, group) for each in group.items)}
    return lines.union(*(_lines_with_rounds(group.items) for group in groups))


def _on(item: Item, group: Group) -> bool:
    return item.span is not None and group.span is not None and item.span.line == group.span.line


def _together(one: Pass, other: Pass) -> bool:
    """Whether two passes are of one line, in one round of their section."""
    lines = [each.laneline.line.span for each in (one, other)]
    same = lines[0] is not None and lines[1] is not None and lines[0].line == lines[1].line
    return same and (one.section, one.round) == (other.section, other.round)


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
