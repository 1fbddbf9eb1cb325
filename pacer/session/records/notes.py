"""Notes and quick marks, head counts in and out of the water, and feedback on the session."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from pacer.session.journal.recordentries import HeadsCounted, LaneSummed, standing

#: The first quick marks; every coach has their own list.
MARKS = (
    "good",
    "long",
    "rushed",
    "head",
    "hips",
    "timing",
    "breathing",
    "tired",
    "short of rest",
    "stopped early",
    "again",
    "talk later",
)

MOST_MARKS = 24
MOST_LETTERS = 20


def marks_from_text(text: str) -> tuple[str, ...]:
    """Quick marks from a text with one on each line; repeated ones count once, `#` begins a comment.

    >>> marks_from_text("good\\n# mine\\n  late  catch \\ngood")
    ('good', 'late catch')
    """
    rows = [" ".join(row.split("#")[0].split())[:MOST_LETTERS].strip() for row in text.splitlines()]
    return tuple(dict.fromkeys(row for row in rows if row))[:MOST_MARKS]


def text_from_marks(marks: Iterable[str]) -> str:
    """The text that reads as these marks."""
    return "".join(f"{mark}\n" for mark in marks)


class Heads(NamedTuple):
    """How many swimmers went into the water and came out, by the last count of each; None: not counted."""

    into: int | None
    out: int | None

    @property
    def warning(self) -> str:
        """The warning if the counts differ, "" if they do not or one is missing."""
        if self.into is None or self.out is None or self.into == self.out:
            return ""
        if self.out < self.into:
            return f"{self.into} went in, {self.out} came out: {self.into - self.out} missing. Check the water first."
        return f"{self.into} went in, {self.out} came out. Count again."


def heads(journal: Iterable[object]) -> Heads:
    """The last counts."""
    into = out = None
    for _, entry in standing(journal):
        if isinstance(entry, HeadsCounted):
            into, out = (entry.heads, out) if entry.into else (into, entry.heads)
    return Heads(into, out)


def summaries(journal: Iterable[object]) -> dict[int, LaneSummed]:
    """The feedback by lane; the last entry counts."""
    return {entry.lane: entry for _, entry in standing(journal) if isinstance(entry, LaneSummed)}
