"""Find an interrupted session again, at the second at which it would be now.

On the same start of the machine, use the clock that never jumps. After a reboot, use wall time, with the difference
between the two clocks when the session was last saved, so that setting the clock before then moves nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from pacer.plan.times import MINUTE_MS
from pacer.session.journal.entries import CarriedOn, Entry
from pacer.session.journal.recordentries import Record
from pacer.session.running.replay import Run, apply, replay
from pacer.session.storage.savedsession import KeptSession
from pacer.session.timesource import Now
from pacer.timeline.timeline import Timeline

OVER_MS = 30 * MINUTE_MS  #: this long after its last touch, a session is hardly still running
DOUBT_MS = 2_000  #: two clocks always differ by up to this much


@dataclass(frozen=True, slots=True)
class Recovery:
    """The state of a session that was found unfinished.

    `at_ms` is its current session time, `entry` the entry to append when it is resumed (the run has it
    already). `rebooted`: the machine was restarted since. `doubtful`: it is not certain whether it was, and
    the two clocks disagree. `over`: its last touch is long past. `title`: what the session is called.
    """

    run: Run
    at_ms: int
    entry: CarriedOn
    rebooted: bool
    doubtful: bool
    over: bool
    title: str = ""


def recover(kept: KeptSession, instant: Now, timeline: Timeline | None = None) -> Recovery | None:
    """The state of a saved session at `instant`.

    None if it never started or was ended. Pass `timeline` if it is built already.

    Raises Unreadable or CannotRun if the current rules cannot run the plan.
    """
    found = recovered(
        timeline or kept.session.timeline(), kept.journal, instant, kept.listed.seen_ms, kept.seen_boot_ms
    )
    return None if found is None else replace(found, title=kept.listed.title)


def recovered(
    timeline: Timeline,
    journal: Iterable[Entry | Record],
    instant: Now,
    seen_ms: int | None = None,
    seen_boot_ms: int | None = None,
) -> Recovery | None:
    """The same from its parts: `seen_ms` and `seen_boot_ms` are both clocks when the session was last saved."""
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
        over=not run.paused() and at_ms > run.timeline.end_ms + OVER_MS,
    )
