"""Where the time of a running session comes from."""

from __future__ import annotations

import time

_BOOT = getattr(time, "CLOCK_BOOTTIME", None)


def boot_ms() -> int:
    """Milliseconds from a fixed but unknown instant: never jumps with the wall clock and goes on in sleep.

    CLOCK_BOOTTIME where the system has it, else the monotonic clock (which may stand still
    while the machine sleeps).
    """
    if _BOOT is not None:
        return time.clock_gettime_ns(_BOOT) // 1_000_000
    return time.monotonic_ns() // 1_000_000


def wall_ms() -> int:
    """Milliseconds of the wall clock since 1970, UTC."""
    return time.time_ns() // 1_000_000
