"""The clocks behind a running session."""

from __future__ import annotations

import sys
import time
from typing import NamedTuple

# macOS and iOS have no CLOCK_BOOTTIME; their CLOCK_MONOTONIC keeps running during sleep (from memory).
_BOOT = getattr(time, "CLOCK_BOOTTIME", None) or (
    getattr(time, "CLOCK_MONOTONIC", None) if sys.platform == "darwin" else None
)


class Now(NamedTuple):
    """One instant on both clocks.

    `boot` identifies the machine's start from which `boot_ms` counts, "" if that is not known.
    """

    boot_ms: int
    wall_ms: int
    boot: str = ""


def now() -> Now:
    """The current instant."""
    return Now(boot_ms(), wall_ms(), boot_id())


def boot_ms() -> int:
    """Milliseconds from a fixed but unknown instant: it never jumps with wall time, and keeps running during sleep.

    It is CLOCK_BOOTTIME if the system has it, otherwise the monotonic clock (which may stop while
    the machine sleeps).
    """
    return boot_ns() // 1_000_000


def boot_ns() -> int:
    """The same in nanoseconds, for comparing clocks."""
    return time.monotonic_ns() if _BOOT is None else time.clock_gettime_ns(_BOOT)


def wall_ms() -> int:
    """Wall time: milliseconds since 1970, UTC."""
    return time.time_ns() // 1_000_000


def boot_id() -> str:
    """An identifier of this start of the machine, "" if the system has none."""
    try:
        with open("/proc/sys/kernel/random/boot_id", encoding="ascii") as file:
            return file.read().strip()
    except (OSError, UnicodeDecodeError):
        return ""
