"""Sessions made for the reviews' tests: a plan, a squad and a journal as the store would give them."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable

from pacer.plan.notation.planreader import read_plan
from pacer.review.swum.swims import Swum, swims_of
from pacer.review.swum.whoswam import replayed
from pacer.session.journal.entries import Begun, Ended
from pacer.session.journal.recordentries import Touched
from pacer.session.storage.savedsession import KeptSession, Line, Listed, session_of
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.timeline import Timeline, build_timeline

S = 1000
ZERO_WALL_MS = 1_772_470_883_456  # a Monday evening


def kept_of(plan: str, squad: str, journal: Iterable[object] = (), *, number: int = 1) -> KeptSession:
    """A session of this plan and squad with this journal."""
    return kept(build_timeline(read_plan(plan), read_squad(squad)), journal, plan_text=plan, number=number)


def kept(
    timeline: Timeline, journal: Iterable[object] = (), *, plan_text: str | None = None, number: int = 1
) -> KeptSession:
    """A session of this timeline with this journal."""
    entries = tuple(journal)
    wall = [ZERO_WALL_MS + entry.at_ms for entry in entries]
    begun = next((entry for entry in entries if isinstance(entry, Begun)), None)
    ended = next((at for at, entry in zip(wall, entries) if isinstance(entry, Ended)), None)
    listed = Listed(
        number,
        timeline.plan.title,
        str(timeline.plan.pool),
        None if begun is None else ZERO_WALL_MS + begun.at_ms,
        "+00:00",
        ended,
        max(wall, default=None),
        len(entries),
    )
    lines = tuple(Line(at, when, entry, "") for at, (when, entry) in enumerate(zip(wall, entries), 1))
    return KeptSession(listed, session_of(timeline, plan_text), lines)


def predicted(timeline: Timeline) -> tuple[Swum, ...]:
    """Every swim of the session as it is written."""
    return swims_of(replayed(kept(timeline)), ())[0]


def timed(timeline: Timeline, takes: Callable[[Swum], int | None], *more: object) -> KeptSession:
    """The whole session swum as written, with a time (ms) for each swim that `takes` gives one for, and `more`."""
    entries: list = [*more]
    for swim in predicted(timeline):
        time_ms = takes(swim) if swim.distance else None
        if time_ms is not None:
            entries.append(touch(swim, time_ms))
    entries.sort(key=lambda entry: entry.at_ms)
    return kept(timeline, [Begun(-10 * S, 0, ZERO_WALL_MS, "+00:00"), *entries, Ended(timeline.end_ms + 60 * S)])


def touch(swim: Swum, time_ms: int) -> Touched:
    """The entry of a time."""
    return Touched(
        swim.left_ms + time_ms,
        swim.lane,
        swim.place,
        swim.section,
        swim.round,
        swim.line,
        swim.repeat,
        swim.left_ms,
        time_ms // 10,
    )


def noisy(rng: random.Random, share: float = 0.02) -> Callable[[Swum], int]:
    """Times as predicted, but for chance."""
    return lambda swim: round(swim.predicted_ms * rng.lognormvariate(0, share))
