"""A lane's send-offs, flat and ascending, ready for questions about any instant.

Finding an instant is a bisect in `Track.sendoffs`, a swimmer's place one more step. A list of events would be a hundred
times as long (80 swimmers make 15,000), and a tree of sections would need a walk. Lanes whose swimmers do not follow a
leader would need another structure.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from typing import Any, NamedTuple

from pacer.timeline.laneline import LaneLine

#: Chosen flexible counts: (section index, line number or None for the section's rounds) to one count per lane.
Counts = Mapping[tuple[int, int | None], tuple[int, ...]]

#: Later than any time of a session.
NOBODY = -1  #: in `gathers`, beside the numbers: also a lane that is all at the far wall swims home
NEVER = 2**63 - 1


class Pass(NamedTuple):
    """One pass of a lane through a set line: `count` repeats on the track from index `first`.

    The line's repeats before number `skipped` + 1 were left out. `ordinal` counts the lane's
    repeats of the section before this pass's first, including those left out. `start_ms` is the
    leader's first send-off. `place` is the line's index in the lane's program of the round.
    `end_ms` is the last touch of all its swimmers on all its repeats.
    """

    laneline: LaneLine
    section: int
    round: int
    skipped: int
    ordinal: int
    first: int
    count: int  # type: ignore[assignment]  # nobody uses a tuple's own `count`
    start_ms: int
    place: int = 0
    end_ms: int = 0

    def repeat_in_line(self, index: int) -> int:
        """The number of the track's repeat `index` within the line, from 0."""
        return self.skipped + index - self.first

    def leaves(self, index: int, swimmer: int) -> int:
        """When `swimmer` (the place, from 0) leaves on the track's repeat `index`, if not held up at the wall."""
        return self.start_ms + self.laneline.leaves(self.repeat_in_line(index), swimmer, self.skipped)


class Track:
    """The send-offs of one lane.

    `sendoffs[i]` is when the leader leaves on the lane's i-th repeat, ascending; `pass_of[i]` is the index of its pass
    in `passes`. `starts[s]` is when the lane starts, or would start, section s. `paused_ms` is when the lane was
    paused, None while it runs. `closed[i]` is when repeat i was closed on deck (by a pause or a move): swimmers who had
    not left on it by then do not leave. `cuts[i]` is when it was broken off: those still swimming stopped there, too. A
    repeat in `cuts` is in `closed`. `gathers[i]`: from when the lane gathers at the home wall after repeat i, if its
    swimmers are at both walls (`whereabouts.sides`), and their numbers then; `NOBODY` among them: also if they are all
    at the far one. `sent` is the last repeat on which the lane had left when it was sent to another place in the plan,
    -1 if it was not. `joining`: from when on each of its last swimmers can leave, who are still in another lane.
    `again`: once it leaves its pause, the lane swims the repeat again on which it was stopped.
    `final`: it no longer changes, and keeps what is worked out of it: who leaves late on which repeat (`behind`, by
    `instant.lates`), and who is at which wall (`walls`, by `whereabouts.sides`).
    """

    __slots__ = (
        "again",
        "behind",
        "closed",
        "cuts",
        "end_ms",
        "final",
        "gathers",
        "joining",
        "pass_of",
        "passes",
        "paused_ms",
        "sendoffs",
        "sent",
        "starts",
        "walls",
    )

    def __init__(self) -> None:
        self.passes: list[Pass] = []
        self.sendoffs: list[int] = []
        self.pass_of: list[int] = []
        self.starts: dict[int, int] = {}
        self.paused_ms: int | None = None
        self.again = False
        self.closed: dict[int, int] = {}
        self.cuts: dict[int, int] = {}
        self.gathers: dict[int, tuple[int, tuple[int, ...]]] = {}
        self.sent = -1
        self.joining: tuple[int, ...] = ()
        self.end_ms = 0
        self.final = False
        self.behind: Mapping[int, dict[int, int]] | None = None
        self.walls: Any = None

    def copy(self) -> Track:
        """An independent copy."""
        other = Track()
        other.passes, other.sendoffs, other.pass_of = self.passes[:], self.sendoffs[:], self.pass_of[:]
        other.starts, other.paused_ms, other.again = dict(self.starts), self.paused_ms, self.again
        other.end_ms = self.end_ms
        other.closed, other.cuts, other.sent = dict(self.closed), dict(self.cuts), self.sent
        other.gathers, other.joining = dict(self.gathers), self.joining
        return other

    def index_at(self, at_ms: int) -> int:
        """Index of the last repeat whose leader has left by `at_ms`, -1 before the first. A bisect."""
        return bisect_right(self.sendoffs, at_ms) - 1

    def pass_at(self, index: int) -> Pass:
        """The pass of repeat `index`."""
        return self.passes[self.pass_of[index]]

    def swimmers(self) -> tuple[int, ...]:
        """The numbers of all who swim one of its repeats, in the order in which they first do."""
        rows = dict.fromkeys([found.laneline.who for found in self.passes])
        return tuple(dict.fromkeys([number for who in rows for number in who]))

    def repeat_in_line(self, index: int) -> int:
        """The number of repeat `index` within its line, from 0."""
        return self.pass_at(index).repeat_in_line(index)

    def repeats_of(self, found: Pass) -> int:
        """How many repeats of a pass's line the lane swims: fewer than written if time or a press cuts them short."""
        here = found.section, found.round, found.place
        same = [each for each in self.passes if (each.section, each.round, each.place) == here]
        return max(each.skipped + each.count for each in same)

    def bounds(self, index: int) -> tuple[int, int]:
        """Until when swimmers leave on repeat `index`, and until when they swim it; `NEVER` if nothing ended it.

        >>> track = Track(); track.closed[3] = 61_000; track.bounds(3)
        (61000, 9223372036854775807)
        """
        leaves_by = self.closed.get(index, NEVER)
        if self.paused_ms is not None:
            leaves_by = min(leaves_by, self.paused_ms)
        return leaves_by, self.cuts.get(index, NEVER)

    def check(self) -> None:
        """Assert all invariants of a track."""
        assert len(self.sendoffs) == len(self.pass_of) == sum(p.count for p in self.passes)
        assert all(a < b for a, b in zip(self.sendoffs, self.sendoffs[1:])), "send-offs ascend"
        for number, found in enumerate(self.passes):
            assert found.count > 0 and found.skipped + found.count <= found.laneline.count
            assert self.pass_of[found.first] == number and self.sendoffs[found.first] == found.start_ms
        assert self.end_ms == max([found.end_ms for found in self.passes], default=0), "it ends with the last touch"
        assert self.cuts.keys() <= self.closed.keys() <= set(range(len(self.sendoffs)))
