"""How many more repeats lanes have time for that wait at the end of a section."""

from __future__ import annotations

from collections.abc import Collection

from pacer.plan.model import ByLane, SetLine
from pacer.squad.bygroup import one_or_each
from pacer.timeline.checks.gathering import page_line
from pacer.timeline.hazards import flagged
from pacer.timeline.timeline import Timeline
from pacer.timeline.track import Pass


def filling_repeats(timeline: Timeline, section: int, lanes: Collection[int]) -> tuple[int, str] | None:
    """The line of the page and its counts by lane with which the `lanes` (by place) fill their wait after a section.

    It is the set that the lanes are in longest. None if no set of the section can have more repeats by lane: counts and
    distances by group, ladders, sets that descend, flagged sets and those that only some lanes swim stay as they are.
    """
    passes = [[each for each in track.passes if each.section == section] for track in timeline.tracks]
    best: tuple[int, SetLine] | None = None
    for found in passes[min(lanes)]:
        line = found.laneline.line
        takes = sum(each.laneline.takes_ms for each in passes[min(lanes)] if each.laneline.line is line)
        if _can_grow(timeline, section, line, passes) and (best is None or takes > best[0]):
            best = takes, line
    if best is None or (number := page_line(best[1])) is None:
        return None
    counts, grows = [], False
    last_ms = max(each.end_ms for found_here in passes for each in found_here)
    for lane, found_here in enumerate(passes):
        swum = [each for each in found_here if each.laneline.line is best[1]]
        spare = last_ms - max(each.end_ms for each in found_here) if lane in lanes else 0
        more = spare // (len(swum) * max(swum[0].laneline.intervals))
        counts.append(swum[0].laneline.count + more)
        grows = grows or more > 0
    if not grows:
        return None
    return number, " / ".join(map(str, one_or_each(counts)))


def _of(line: SetLine, passes: list[list[Pass]]) -> list[list[Pass]]:
    """Each lane's passes through one line."""
    return [[each for each in found if each.laneline.line is line] for found in passes]


def _can_grow(timeline: Timeline, section: int, line: SetLine, passes: list[list[Pass]]) -> bool:
    """Whether a line's count can be another for each lane."""
    plain = (
        isinstance(line.count, ByLane)
        and line.count.labels is None
        and line.change is None
        and not line.groups
        and not flagged(timeline.plan.sections[section], line)
        and all(len(each) == 1 for each in (line.interval.entries if line.interval else ()))
    )
    of_line = _of(line, passes)
    return plain and all(
        found and found[0].laneline.own is None and found[0].laneline.count > 1 and found[0].laneline.intervals
        for found in of_line
    )
