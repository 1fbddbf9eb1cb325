"""Head counts in and out of the water, and feedback on the session."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from pacer.language import tr
from pacer.session.journal.entries import Change, SwimmerJoined, SwimmerLeft, TakenBack
from pacer.session.journal.recordentries import HeadsCounted, LaneSummed, standing
from pacer.session.running.undo import undone


class Heads(NamedTuple):
    """How many swimmers went into the water and came out, by the last count of each; None: not counted.

    `joined` and `left`: how many came into a lane, and got out of one for good, after they were counted in.
    """

    into: int | None
    out: int | None
    joined: int = 0
    left: int = 0

    @property
    def warning(self) -> str:
        """The warning if the counts differ, "" if they do not or one is missing."""
        if self.into is None or self.out is None:
            return ""
        missing = self.into + self.joined - self.left - self.out
        if not missing:
            return ""
        later = (
            tr("{joined} joined later", joined=self.joined) if self.joined else "",
            tr("{left} got out before", left=self.left) if self.left else "",
        )
        said = ", ".join(
            filter(None, (tr("{into} went in", into=self.into), *later, tr("{out} came out", out=self.out)))
        )
        return (
            tr("{said}: {missing} missing. Check the water first.", said=said, missing=missing)
            if missing > 0
            else tr("{said}. Count again.", said=said)
        )


def heads(journal: Iterable[object]) -> Heads:
    """The last counts, and who came and went since they were counted in."""
    into = out = None
    changes: list[Change] = []
    counted: list[Change] = []  # the changes until then
    for _, entry in standing(journal):
        if isinstance(entry, HeadsCounted):
            into, out = (entry.heads, out) if entry.into else (into, entry.heads)
            counted = changes[:] if entry.into else counted
        elif isinstance(entry, TakenBack):
            undone(changes, entry)
        elif isinstance(entry, Change):
            changes.append(entry)
    since = [change for change in changes if not any(change is each for each in counted)]
    joined, left = (sum(isinstance(each, kind) for each in since) for kind in (SwimmerJoined, SwimmerLeft))
    return Heads(into, out, joined, left) if into is not None else Heads(into, out)


def summaries(journal: Iterable[object]) -> dict[int, LaneSummed]:
    """The feedback by lane; the last entry counts."""
    return {entry.lane: entry for _, entry in standing(journal) if isinstance(entry, LaneSummed)}
