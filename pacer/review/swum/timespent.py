"""How long each swimmer swam, rested and waited, from the first send-off to the last touch.

A gap between a touch and the next send-off is rest if both are in one section and it is no longer than two minutes. A
longer gap, or one between sections, is waiting. Without a recorded time that counts, the touch is the predicted one.
"""

from __future__ import annotations

from collections.abc import Iterable, Set
from math import log
from operator import attrgetter
from typing import NamedTuple

from pacer.review.swum.swims import Swum
from pacer.session.records.outlyingtimes import far_off
from pacer.timeline.restlimits import MOST_REST_MS


class TimeSpent(NamedTuple):
    """How a swimmer spent the time in the water; the three add up to the time from first send-off to last touch."""

    who: int
    swum_ms: int
    rested_ms: int
    stood_ms: int


def as_counted(swims: Iterable[Swum], put_back: Set[int] = frozenset()) -> tuple[Swum, ...]:
    """The swims, those whose time is far off as if they had none; `put_back` are entries of times that count anyway."""
    swims = tuple(swims)
    if not (far := _far_off(swims) - put_back):
        return swims
    return tuple(
        swim._replace(swum_ms=swim.predicted_ms, time_ms=None) if swim.entry in far else swim for swim in swims
    )


def time_spent(counted: Iterable[Swum]) -> tuple[TimeSpent, ...]:
    """Everybody's time, in the order of their numbers, by their swims as counted."""
    mine: dict[int, list[Swum]] = {}
    for swim in counted:
        mine.setdefault(swim.who, []).append(swim)
    return tuple(_of(who, rows) for who, rows in sorted(mine.items()))


def _far_off(swims: Iterable[Swum]) -> set[int]:
    """The entries of times that are far from their prediction, in each lane."""
    lanes: dict[int, list[Swum]] = {}
    for swim in swims:
        if swim.time_ms and swim.predicted_ms:
            lanes.setdefault(swim.lane, []).append(swim)
    return {
        timed[at].entry
        for timed in lanes.values()
        for at in far_off([log(swim.time_ms / swim.predicted_ms) for swim in timed if swim.time_ms])
    }


def _of(who: int, swims: list[Swum]) -> TimeSpent:
    swims.sort(key=attrgetter("left_ms"))
    swum_ms = rested_ms = stood_ms = 0
    touch_ms, before = swims[0].left_ms, swims[0].section
    for _, _, _, _, section, _, _, _, left_ms, _, _, took_ms, _, _, _, _, _, _ in swims:
        gap_ms = left_ms - touch_ms
        if gap_ms < 0:  # the send-off was too tight: the swimmer left late
            took_ms = max(0, took_ms + gap_ms)
            left_ms = touch_ms
        elif section == before and gap_ms <= MOST_REST_MS:
            rested_ms += gap_ms
        else:
            stood_ms += gap_ms
        swum_ms += took_ms
        touch_ms, before = left_ms + took_ms, section
    return TimeSpent(who, swum_ms, rested_ms, stood_ms)
