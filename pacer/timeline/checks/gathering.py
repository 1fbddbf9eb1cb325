"""Visit each line once for each lane that swims it, and combine equal findings of several lanes."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.plan.model import SetLine
from pacer.timeline.cancellation import step
from pacer.timeline.laneline import LaneLine
from pacer.timeline.timeline import Timeline


def each_line(timeline: Timeline) -> Iterator[tuple[int, LaneLine]]:
    """Each line once for each lane that swims it: (lane index, line)."""
    for lane, track in enumerate(timeline.tracks):
        seen = set()
        for found in track.passes:
            step()
            if id(found.laneline) not in seen:
                seen.add(id(found.laneline))
                yield lane, found.laneline


def by_lanes(
    timeline: Timeline, told: Iterator[tuple[int, SetLine, tuple]]
) -> Iterator[tuple[SetLine, tuple, tuple[int, ...]]]:
    """Combine what is the same for several lanes: line, what was found, the lanes' numbers."""
    gathered: dict[tuple, tuple[SetLine, list[int]]] = {}
    for lane, line, what in told:
        gathered.setdefault((id(line), what), (line, []))[1].append(timeline.lanes[lane].number)
    for (_, what), (line, lanes) in gathered.items():
        yield line, what, tuple(lanes)


def page_line(line: SetLine) -> int | None:
    return line.span.line if line.span else None
