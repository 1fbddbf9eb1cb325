"""A session that was broken off, found again: at the second where it would have been.

Same start of the machine: by the clock that never jumps. After a reboot: by the wall clock, with what the two
clocks differed by when the session was last written down, so that setting the clock in between moves nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from pacer.plan.times import MINUTE_MS
from pacer.session.journal.entries import CarriedOn, Entry
from pacer.session.journal.recordentries import Record
from pacer.session.running.run import Run, apply, replay
from pacer.session.storage.kept import KeptSession
from pacer.session.timesource import Now
from pacer.timeline.layout import Timeline

OVER_MS = 30 * MINUTE_MS  #: so long after its last touch a session is hardly still running
DOUBT_MS = 2_000  #: by less than this two clocks differ in any case


@dataclass(frozen=True, slots=True)
class Recovery:
    """Where a session stands that was found unfinished.

    `at_ms` is its present session time, `entry` what to append when it is carried on (the run has it
    already). `rebooted`: the machine was started anew since. `doubtful`: whether it was cannot be told for
    certain, and the two clocks disagree by `differ_ms`. `over`: its last touch is long past.
    """

    run: Run
    at_ms: int
    entry: CarriedOn
    rebooted: bool
    doubtful: bool
    differ_ms: int
    over: bool


def recover(kept: KeptSession, instant: Now, timeline: Timeline | None = None) -> Recovery | None:
    """Where a kept session stands at `instant`.

    None where it never began or was ended. `timeline` where it is built already.

    Raises Unreadable or CannotRun where the plan cannot be run by the present rules.
    """
    return recovered(timeline or kept.session.timeline(), kept.journal, instant, kept.listed.seen_ms, kept.seen_boot_ms)


def recovered(
    timeline: Timeline,
    journal: Iterable[Entry | Record],
    instant: Now,
    seen_ms: int | None = None,
    seen_boot_ms: int | None = None,
) -> Recovery | None:
    """The same from the parts: `seen_ms` and `seen_boot_ms` are both clocks when the session was last written down."""
    run = replay(timeline, journal)
    begun = run.begun
    if begun is None or run.ended_ms is not None:
        return None
    written_at = begun.boot_ms + begun.at_ms if seen_boot_ms is None else seen_boot_ms
    zero_ms = begun.wall_ms if seen_ms is None or seen_boot_ms is None else seen_ms - (seen_boot_ms - begun.boot_ms)
    by_boot, by_wall = instant.boot_ms - begun.boot_ms, instant.wall_ms - zero_ms
    certain = bool(instant.boot and begun.boot)
    rebooted = instant.boot != begun.boot if certain else instant.boot_ms < written_at
    at_ms = by_wall if rebooted else by_boot
    entry = CarriedOn(at_ms, instant.boot_ms - at_ms, instant.wall_ms - at_ms, instant.boot)
    differ_ms = abs(by_wall - by_boot)
    return Recovery(
        apply(run, entry),
        at_ms,
        entry,
        rebooted,
        not certain and not rebooted and differ_ms > DOUBT_MS,
        differ_ms,
        over=not run.held() and at_ms > run.timeline.end_ms + OVER_MS,
    )
