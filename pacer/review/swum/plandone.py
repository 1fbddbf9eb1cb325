"""How much of its plan a lane did: skipped, broken off, not reached, added; and its pauses.

All distances are the lane's leader's, in the pool's unit, and they add up:
done = planned − skipped − cut − unreached + added.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import NamedTuple

from pacer.review.swum.swims import Swum
from pacer.review.swum.whoswam import Pause, Replayed
from pacer.timeline.track import Track

#: A repeat of the plan: section, line, round, repeat.
Key = tuple[int, int, int, int]


class PlanDone(NamedTuple):
    """A lane's plan and what it did.

    `skipped`: skipped on deck, or sat out. `cut`: broken off. `unreached`: still ahead when the session ended.
    `added`: swum in addition to the plan. `paused_ms`: how long the lane was paused in all, in that many `pauses`.
    """

    lane: int
    planned: int
    done: int
    skipped: int
    cut: int
    unreached: int
    added: int
    paused_ms: int
    pauses: int


def plan_done(replay: Replayed, swims: Iterable[Swum]) -> tuple[PlanDone, ...]:
    """Every lane's plan and what it did."""
    led: dict[int, list[Swum]] = {}
    for swim in swims:
        if not swim.place:
            led.setdefault(swim.lane, []).append(swim)
    return tuple(
        _of_lane(lane, track, led.get(lane, []), replay.pauses) for lane, track in enumerate(replay.begun.tracks)
    )


def _of_lane(lane: int, planned: Track, led: list[Swum], pauses: Iterable[Pause]) -> PlanDone:
    wanted = dict(_keys(planned))
    order = {key: place for place, key in enumerate(wanted)}
    swum: Counter[Key] = Counter()
    cut = added = 0
    for swim in led:
        key = (swim.section, swim.line, swim.round, swim.repeat)
        most = min(swim.distance, wanted.get(key, 0) - swum[key])
        swum[key] += most
        added += swim.distance - most
    left_on = {(swim.section, swim.line, swim.round, swim.repeat) for swim in led}
    reached = max((order[key] for key in left_on if key in order), default=-1)
    skipped = unreached = 0
    for key, distance in wanted.items():
        if key in left_on:
            cut += distance - swum[key]
        elif order[key] < reached:
            skipped += distance
        else:
            unreached += distance
    mine = [pause for pause in pauses if pause.lane == lane]
    return PlanDone(
        lane,
        sum(wanted.values()),
        sum(swim.distance for swim in led),
        skipped,
        cut,
        unreached,
        added,
        sum(pause.until_ms - pause.from_ms for pause in mine),
        len(mine),
    )


def _keys(track: Track) -> Iterable[tuple[Key, int]]:
    """Every repeat of a track in order, and its distance."""
    for found in track.passes:
        for repeat in range(found.skipped, found.skipped + found.count):
            key = (found.section, found.laneline.number, found.round, repeat + 1)
            yield key, found.laneline.shapes[repeat].distance
