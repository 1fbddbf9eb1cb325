"""What happened on deck, entry by entry. With the timeline, it gives the state at any instant.

`at_ms` counts from the session's zero and may be negative before it. `lanes` are indexes
in the squad's order; None means all. `leave_ms` is when those lanes leave again: it is
shown before the entry is made, and kept in it, so that replaying never decides anew.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Unit(StrEnum):
    """What a move goes by."""

    REPEAT = "repeat"
    LINE = "line"
    SECTION = "section"


@dataclass(frozen=True, slots=True)
class Begun:
    """The session's zero was set: `boot_ms` on the clock that never jumps, `wall_ms` on the wall's (UTC since 1970)."""

    at_ms: int
    boot_ms: int
    wall_ms: int
    zone: str = ""


@dataclass(frozen=True, slots=True)
class Held:
    """Lanes wait: nobody of theirs leaves until they are resumed."""

    at_ms: int
    lanes: tuple[int, ...] | None = None


@dataclass(frozen=True, slots=True)
class Stopped:
    """Stop all: every lane waits, at once."""

    at_ms: int


@dataclass(frozen=True, slots=True)
class Resumed:
    """Held lanes leave again at `leave_ms`, on the repeat after the one that was broken off."""

    at_ms: int
    leave_ms: int
    lanes: tuple[int, ...] | None = None


@dataclass(frozen=True, slots=True)
class Moved:
    """Lanes go to the next (`step` 1) or previous (−1) repeat, line or section, leaving at `leave_ms`."""

    at_ms: int
    unit: Unit
    step: int
    leave_ms: int
    lanes: tuple[int, ...] | None = None


@dataclass(frozen=True, slots=True)
class Ended:
    """The session is over."""

    at_ms: int


Entry = Begun | Held | Stopped | Resumed | Moved | Ended
Journal = tuple[Entry, ...]
