"""The pool clock beside the session's own: readings and new send-offs follow it; no send-off moves."""

from __future__ import annotations

from dataclasses import dataclass

from pacer.plan.times import MINUTE_MS

TRUSTED_MS = 12 * 60 * MINUTE_MS  #: after that, somebody may have set the pool clock (our choice)


@dataclass(frozen=True, slots=True)
class WallTop:
    """An instant at which the coach saw the pool clock pass its top.

    `boot_ms` on the clock that never jumps, since the machine's start that `boot` identifies ("": the current one). It
    is valid for the sessions that follow, too.

    >>> top = WallTop(43_000, "start 1")
    >>> top.phase_ms(60_000), top.holds(60_000, "start 1"), top.holds(60_000, "start 2")
    (17000, True, False)
    """

    boot_ms: int
    boot: str = ""

    def holds(self, boot_ms: int, boot: str) -> bool:
        """Whether it still gives the pool clock at that instant of that start of the machine."""
        return self.boot == boot and 0 <= boot_ms - self.boot_ms <= TRUSTED_MS

    def phase_ms(self, zero_ms: int) -> int:
        """What the pool clock shows past its top at a session's zero, `zero_ms` of the same start."""
        return (zero_ms - self.boot_ms) % MINUTE_MS


def next_top(at_ms: int, phase_ms: int) -> int:
    """The first session time from `at_ms` on at which the pool clock passes the top.

    >>> next_top(61_000, 17_000)
    103000
    """
    return at_ms + -(at_ms + phase_ms) % MINUTE_MS
