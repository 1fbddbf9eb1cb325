"""Every event of every swimmer of a lane, listed from its track.

A lane's repeats are taken as columns (when the leader leaves, what is said then, at each change
and at the touch), so that one swimmer's events are a few passes over whole columns.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import repeat
from operator import gt, itemgetter
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from pacer.timeline.model import Pass, Track

SEND_OFF, CHANGE, TOUCH = "send-off", "change", "touch"
_RANK = {TOUCH: 0, CHANGE: 1, SEND_OFF: 2}


class What(NamedTuple):
    """What is done in an event, the same for every swimmer of the lane. `done` is the distance done in the repeat."""

    section: str
    round: int
    line: int
    repeat: int
    of: int
    done: int
    doing: str
    cue: str


class Event(NamedTuple):
    """Something one swimmer does (`send-off`, `change` or `touch`). `at_ms` from the session's zero."""

    at_ms: int
    kind: str
    swimmer: int
    what: What


def events_of(track: Track, section_names: Sequence[str]) -> tuple[Event, ...]:
    """The track's events, ordered by time, then swimmer, then touch, change, send-off."""
    begins: list[What] = []
    ends: list[What] = []
    changes: list[tuple[int, int, What]] = []     # index of the repeat, of the segment that ends there, what begins
    spacings: list[int] = []
    for found in track.passes:
        _tell(found, section_names[found.section], begins, ends, changes)
        spacings += [found.laneline.spacing_ms] * found.count
    bounds = None
    if track.closed or track.held_ms is not None:
        bounds = [track.bounds(index) for index in range(len(track.sendoffs))]

    rows: list[Event] = []
    in_order = True
    for swimmer in range(max([len(found.laneline.bases) for found in track.passes], default=0)):
        times, absent = _times(track.passes, swimmer)
        leaves = [at + swimmer * spacing for at, spacing in zip(track.sendoffs, spacings)]
        for found in track.passes:
            if found.laneline.own is not None and swimmer and swimmer < len(found.laneline.bases):
                span = slice(found.first, found.first + found.count)
                leaves[span] = found.laneline.leaves_from(swimmer, found.skipped, found.start_ms)[found.skipped :][: found.count]
        touches = [at + swum[-1] for at, swum in zip(leaves, times)]
        turns = [leaves[index] + times[index][place] for index, place, _ in changes]
        told = [what for _, _, what in changes]
        # Of one swimmer's events at one instant the right one comes first here: a stable sort by time
        # alone is enough, unless someone has to leave again before the touch.
        in_order = in_order and not any(map(gt, touches, leaves[1:]))
        if bounds is None and not absent:
            rows += _events(TOUCH, swimmer, touches, ends)
            rows += _events(CHANGE, swimmer, turns, told)
            rows += _events(SEND_OFF, swimmer, leaves, begins)
            continue
        left = [index not in absent and (bounds is None or at <= bounds[index][0]) for index, at in enumerate(leaves)]
        swims = [here and (bounds is None or at <= bounds[index][1]) for index, (here, at) in enumerate(zip(left, touches))]
        rows += [e for e, kept in zip(_events(TOUCH, swimmer, touches, ends), swims) if kept]
        rows += [e for e, (index, _, _) in zip(_events(CHANGE, swimmer, turns, told), changes)
                 if left[index] and (bounds is None or e.at_ms <= bounds[index][1])]
        rows += [e for e, kept in zip(_events(SEND_OFF, swimmer, leaves, begins), left) if kept]
    rows.sort(key=itemgetter(0) if in_order else _order)
    return tuple(rows)


def _events(kind: str, swimmer: int, at: Iterable[int], what: Iterable[What]) -> Iterable[Event]:
    return map(tuple.__new__, repeat(Event), zip(at, repeat(kind), repeat(swimmer + 1), what))


def _order(event: Event) -> tuple[int, int, int]:
    return event.at_ms, event.swimmer, _RANK[event.kind]


def _times(passes: Sequence[Pass], swimmer: int) -> tuple[list[tuple[int, ...]], set[int]]:
    """The swimmer's times to each segment's end, repeat by repeat; and the repeats that are not the swimmer's (with anybody's times)."""
    times: list[tuple[int, ...]] = []
    absent: set[int] = set()
    for found in passes:
        line, skipped, count = found.laneline, found.skipped, found.count
        if swimmer >= len(line.bases):
            absent.update(range(found.first, found.first + count))
        base = line.bases[min(swimmer, len(line.bases) - 1)]
        if line.alike:
            times += [line.shapes[0].times(base, line.holds[0])] * count
        else:
            times += [shape.times(base, hold) for shape, hold in
                      zip(line.shapes[skipped : skipped + count], line.holds[skipped : skipped + count])]
    return times, absent


def _tell(found: Pass, section: str, begins: list[What], ends: list[What], changes: list[tuple[int, int, What]]) -> None:
    """Add what a pass says at its send-offs, touches and changes."""
    line = found.laneline
    for place in range(found.skipped, found.skipped + found.count):
        shape = line.shapes[place]
        numbers = (section, found.round, line.number, place + 1, line.count)
        begins.append(What(*numbers, 0, shape.doings[0], shape.cues[0]))
        ends.append(What(*numbers, shape.distance, shape.doings[-1], shape.cues[-1]))
        changes += [(found.first + place - found.skipped, j - 1, What(*numbers, shape.ends[j - 1], shape.doings[j], shape.cues[j]))
                    for j in shape.changes]
