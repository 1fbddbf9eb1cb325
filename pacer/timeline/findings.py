"""Findings about a plan before anyone is in the water, in a coach's words."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import IntEnum
from typing import NamedTuple


class Severity(IntEnum):
    """How bad a finding is; the lowest number is the worst."""

    STOPS = 0  # the plan cannot run as it is
    HAZARD = 1  # can hurt somebody: the coach confirms it for each session
    WRONG = 2  # cannot work as written
    CARE = 3  # works, but somebody may suffer
    REMARK = 4  # worth knowing


class Remedy(NamedTuple):
    """A change of the page that would help; `remedies.fixes_of` applies it.

    `kind` and `value`: `on` that many ms for the finding's lanes; `distance` that much instead of `was`; `with` a piece
    of gear; `without` a word and its value; `effort` instead of the word `was` in a drill's name; `run on` for the
    line's section, `run on in all` for every section; `rest above`: a rest of that time on a line above it; `counts` by
    lane for the set `was` lines further down; `label` a group instead of the line's groups, "" for all lanes, with
    `was` as a cue.
    """

    kind: str
    value: int | str = ""
    was: int | str = 0


class Tight(NamedTuple):
    """What the slowest swimmer needs for a repeat, and how often the lane leaves, in ms."""

    needs_ms: int
    every_ms: int


@dataclass(frozen=True, slots=True)
class Finding:
    """One finding. `line` is a line of the plan (None: the whole session), `lanes` are numbers on the wall.

    `tight`, if the message says just that. `wait_ms`: how long swimmers wait at most, if it says that.
    """

    severity: Severity
    line: int | None
    lanes: tuple[int, ...]
    message: str
    hint: str = ""
    remedies: tuple[Remedy, ...] = field(default=(), compare=False)
    tight: Tight | None = field(default=None, compare=False)
    wait_ms: int = field(default=0, compare=False)

    @property
    def ways(self) -> tuple[str, ...]:
        """The ways to say it, the longest first: with the hint, and without."""
        return (f"{self.message}; {self.hint}", self.message) if self.hint else (self.message,)


class CannotRun(Exception):
    """The plan cannot run with this squad; `findings` say why."""

    def __init__(self, findings: list[Finding]):
        self.findings = findings
        super().__init__("; ".join(f.message for f in findings))
