"""List every event of every swimmer of a lane from its track.

A lane's repeats are handled as columns (the leader's send-offs, and the `What` of send-offs, changes and
touches), so that listing one swimmer's events is a few passes over whole columns.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import chain, repeat
from operator import add, gt, itemgetter
from typing import NamedTuple

from pacer.timeline.laneline import LaneLine
from pacer.timeline.track import Pass, Track

SEND_OFF, CHANGE, TOUCH = "send-off", "change", "touch"
_RANK = {TOUCH: 0, CHANGE: 1, SEND_OFF: 2}


class What(NamedTuple):
    """What happens in an event, the same for every swimmer of the lane. `done` is the distance done in the repeat."""

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


class PassEvents(NamedTuple):
    """The `What` of one pass's send-offs, touches and changes, the same for all lanes that swim it.

    `turns_at`: for each change, the index of its repeat in the pass (from 0).
    """

    begins: list[What]
    ends: list[What]
    turned: list[What]
    turns_at: list[int]


def events_of(track: Track, section_names: Sequence[str], known: dict[tuple, PassEvents]) -> tuple[Event, ...]:
    """The track's events, ordered by time, then swimmer, then touch, change, send-off.

    `known` is the timeline's store of what was worked out before, shared by its lanes.
    """
    begins: list[What] = []
    ends: list[What] = []
    turns_at: list[int] = []  # for each change, the index of its repeat
    turned: list[What] = []  # and the work that begins there
    for found in track.passes:
        said = _said(found, section_names[found.section], known)
        begins += said.begins
        ends += said.ends
        turned += said.turned
        turns_at += [found.first + index for index in said.turns_at]
    bounds = None
    if track.closed or track.paused_ms is not None:
        bounds = [track.bounds(index) for index in range(len(track.sendoffs))]

    straight_through = [found for found in track.passes if found.laneline.own is not None]
    rows: list[Event] = []
    in_order = True
    for swimmer, (swims, segments, absent) in enumerate(_times(track.passes)):
        behind = [repeat(found.laneline.behind(swimmer), found.count) for found in track.passes]
        leaves = list(map(add, track.sendoffs, chain.from_iterable(behind)))
        for found in straight_through:
            if swimmer and swimmer < len(found.laneline.bases):
                span = slice(found.first, found.first + found.count)
                leaves[span] = found.laneline.leaves_from(swimmer, found.skipped, found.start_ms)[found.skipped :][
                    : found.count
                ]
        touches = list(map(add, leaves, swims))
        turns = list(map(add, map(leaves.__getitem__, turns_at), segments))
        # One swimmer's events at one instant are in the right order here: a stable sort by time alone
        # is enough, unless somebody has to leave again before their touch.
        in_order = in_order and not any(map(gt, touches, leaves[1:]))
        if bounds is None and not absent:
            rows += _events(TOUCH, swimmer, touches, ends)
            rows += _events(CHANGE, swimmer, turns, turned)
            rows += _events(SEND_OFF, swimmer, leaves, begins)
            continue
        left = [index not in absent and (bounds is None or at <= bounds[index][0]) for index, at in enumerate(leaves)]
        swam = [
            here and (bounds is None or at <= bounds[index][1]) for index, (here, at) in enumerate(zip(left, touches))
        ]
        rows += [e for e, kept in zip(_events(TOUCH, swimmer, touches, ends), swam) if kept]
        rows += [
            e
            for e, index in zip(_events(CHANGE, swimmer, turns, turned), turns_at)
            if left[index] and (bounds is None or e.at_ms <= bounds[index][1])
        ]
        rows += [e for e, kept in zip(_events(SEND_OFF, swimmer, leaves, begins), left) if kept]
    rows.sort(key=itemgetter(0) if in_order else _order)
    return tuple(rows)


def _events(kind: str, swimmer: int, at: Iterable[int], what: Iterable[What]) -> Iterable[Event]:
    return map(tuple.__new__, repeat(Event), zip(at, repeat(kind), repeat(swimmer + 1), what))


def _order(event: Event) -> tuple[int, int, int]:
    return event.at_ms, event.swimmer, _RANK[event.kind]


def _times(passes: Sequence[Pass]) -> list[tuple[list[int], list[int], set[int]]]:
    """For each swimmer: the time of every repeat, the time from its send-off to every change, and the repeats that
    others swim without this swimmer (those have anybody's times).
    """
    known: dict[tuple[LaneLine, int, int], list[tuple[list[int], list[int]]]] = {}
    columns: list[tuple[list[int], list[int], set[int]]] = [
        ([], [], set()) for _ in range(max([len(found.laneline.bases) for found in passes], default=0))
    ]
    for found in passes:
        line = found.laneline
        key = (line, found.skipped, found.count)
        times = known.get(key)  # a line has the same times in every round
        if times is None:
            times = known[key] = _line_times(*key)
        for (swims, segments, _), own in zip(columns, chain(times, repeat(times[-1]))):
            swims += own[0]
            segments += own[1]
        for _, _, absent in columns[len(line.bases) :]:
            absent.update(range(found.first, found.first + found.count))
    return columns


def _line_times(line: LaneLine, skipped: int, count: int) -> list[tuple[list[int], list[int]]]:
    """For each swimmer of a line: the times of its repeats, and the times to their changes."""
    made = []
    kinds = line.kind_of[skipped : skipped + count]
    changes = [(kind, j - 1) for kind in kinds for j in line.kinds[kind][0].changes]
    for swimmer, base in enumerate(line.bases):
        own = [shape.times(base, hold) for shape, hold in line.kinds_of(swimmer)]
        swims = [own[0][-1]] * count if len(own) == 1 else [own[kind][-1] for kind in kinds]
        made.append((swims, [own[kind][place] for kind, place in changes] if changes else []))
    return made


def _said(found: Pass, section: str, known: dict[tuple, PassEvents]) -> PassEvents:
    line, skipped = found.laneline, found.skipped
    key = (line.shapes, section, found.round, line.number, skipped, found.count)
    if key not in known:
        said = known[key] = PassEvents([], [], [], [])
        for place, shape in enumerate(line.shapes[skipped : skipped + found.count]):
            numbers = (section, found.round, line.number, skipped + place + 1, line.count)
            said.begins.append(What(*numbers, 0, shape.doings[0], shape.cues[0]))
            said.ends.append(What(*numbers, shape.distance, shape.doings[-1], shape.cues[-1]))
            said.turned.extend(
                [What(*numbers, shape.ends[j - 1], shape.doings[j], shape.cues[j]) for j in shape.changes]
            )
            said.turns_at.extend([place] * len(shape.changes))
    return known[key]
