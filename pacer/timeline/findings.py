"""What is found out about a plan before anyone is wet, in a coach's words."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import IntEnum
from typing import NamedTuple


class Severity(IntEnum):
    """How bad a finding is; the lower number is the worse."""

    STOPS = 0  # the plan cannot be run as it is
    HAZARD = 1  # can hurt somebody: the coach confirms it for each session
    WRONG = 2  # cannot work out as written
    CARE = 3  # works out, but somebody may be the worse for it
    REMARK = 4  # worth knowing


class Remedy(NamedTuple):
    """Something that could be written instead, for whoever shows the page (`remedies.fixes_of`).

    `kind` and `value`: `on` so many ms for the finding's lanes; `distance` so much instead of `was`; `with` a piece of
    gear; `without` a word and its value; `effort` instead of the word `was` in a drill's name; `run on` for the line's
    section; `label` a group instead of the line's groups, "" for all lanes, with `was` as a cue.
    """

    kind: str
    value: int | str = ""
    was: int | str = 0


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing worth saying. `line` is the plan's (None: the whole session), `lanes` by number on the wall."""

    severity: Severity
    line: int | None
    lanes: tuple[int, ...]
    message: str
    hint: str = ""
    remedies: tuple[Remedy, ...] = field(default=(), compare=False)

    @property
    def ways(self) -> tuple[str, ...]:
        """To say it, the longest first: with what would be right, and without."""
        return (f"{self.message}; {self.hint}", self.message) if self.hint else (self.message,)


class CannotRun(Exception):
    """Plan and squad make no session; `findings` say why."""

    def __init__(self, findings: list[Finding]):
        self.findings = findings
        super().__init__("; ".join(f.message for f in findings))
