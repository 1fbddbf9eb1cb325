"""A session as it really went: for each lane, when its leader swam what."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from pacer.review.swum.swims import Swum


class Bar(NamedTuple):
    """A period of one activity, in session time."""

    lane: int
    from_ms: int
    until_ms: int
    activity: str
    section: int


def strip_of(swims: Iterable[Swum]) -> tuple[Bar, ...]:
    """The bars of all lanes, in order; a timed repeat has its recorded time, and one broken off ends there.

    `swims` as counted: a time that is left out would be drawn over the next repeat.
    """
    made: list[Bar] = []
    for swim in swims:
        if swim.place or not swim.swum_ms:
            continue
        times = swim.laneline.times(swim.repeat - 1, 0)
        wholes = swim.time_ms or swim.predicted_ms
        last = made[-1] if made else None
        # If the send-off was too tight, the swimmer left late.
        left_ms = from_ms = max(
            swim.left_ms, last.until_ms if last is not None and last.lane == swim.lane else swim.left_ms
        )
        for end, work in zip(times, swim.shape.works):
            until_ms = left_ms + min(end * wholes // times[-1], swim.swum_ms)
            last = made[-1] if made else None
            if until_ms <= from_ms:
                continue
            if last is not None and _goes_on(last, swim, from_ms, str(work.activity)):
                made[-1] = last._replace(until_ms=until_ms)
            else:
                made.append(Bar(swim.lane, from_ms, until_ms, str(work.activity), swim.section))
            from_ms = until_ms
    return tuple(made)


def _goes_on(last: Bar, swim: Swum, from_ms: int, activity: str) -> bool:
    return (last.lane, last.section, last.activity) == (swim.lane, swim.section, activity) and last.until_ms == from_ms
