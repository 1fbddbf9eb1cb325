"""Where the time of a running session comes from."""

from __future__ import annotations

import sys
import time
from typing import NamedTuple

# macOS and iOS have no CLOCK_BOOTTIME; their CLOCK_MONOTONIC goes on in sleep (from memory).
_BOOT = getattr(time, "CLOCK_BOOTTIME", None) or (
    getattr(time, "CLOCK_MONOTONIC", None) if sys.platform == "darwin" else None
)


class Now(NamedTuple):
    """One instant on both clocks.

    `boot` names the start of the machine that `boot_ms` counts from, "" where that cannot be told.
    """

    boot_ms: int
    wall_ms: int
    boot: str = ""


def now() -> Now:
    """The present instant."""
    return Now(boot_ms(), wall_ms(), boot_id())


def boot_ms() -> int:
    """Milliseconds from a fixed but unknown instant: never jumps with the wall clock and goes on in sleep.

    CLOCK_BOOTTIME where the system has it, else the monotonic clock (which may stand still
    while the machine sleeps).
    """
    return boot_ns() // 1_000_000


def boot_ns() -> int:
    """The same in nanoseconds, for what compares clocks."""
    return time.monotonic_ns() if _BOOT is None else time.clock_gettime_ns(_BOOT)


def wall_ms() -> int:
    """Milliseconds of the wall clock since 1970, UTC."""
    return time.time_ns() // 1_000_000


def boot_id() -> str:
    """What names this start of the machine, "" where the system does not tell."""
    try:
        with open("/proc/sys/kernel/random/boot_id", encoding="ascii") as file:
            return file.read().strip()
    except (OSError, UnicodeDecodeError):
        return ""
