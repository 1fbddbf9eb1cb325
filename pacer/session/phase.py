"""The clock on the pool's wall beside the session's own: readings follow it, no time moves."""

from __future__ import annotations

from pacer.session.journal import Matched

MINUTE_MS = 60_000


def matched(at_ms: int) -> Matched:
    """The entry for a tap at `at_ms`, as the hand of the clock on the wall passed the top.

    >>> matched(43_000).phase_ms, reading_ms(48_000, 17_000)
    (17000, 5000)
    """
    return Matched(at_ms, -at_ms % MINUTE_MS)


def reading_ms(at_ms: int, phase_ms: int) -> int:
    """What the clock on the wall shows at a session time, from 0 to 59.999 s (design: section 5.7)."""
    return (at_ms + phase_ms) % MINUTE_MS


def next_top(at_ms: int, phase_ms: int) -> int:
    """The first session time from `at_ms` on at which the clock on the wall passes the top.

    >>> next_top(61_000, 17_000)
    103000
    """
    return at_ms + -(at_ms + phase_ms) % MINUTE_MS
