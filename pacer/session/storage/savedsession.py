"""A session as it is saved: its plan, its squad, its journal."""

from __future__ import annotations

import json
import math
import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from itertools import pairwise

from pacer.plan.model import Plan
from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.standardform import write_plan
from pacer.session.journal.entries import Entry
from pacer.session.journal.recordentries import Record
from pacer.squad.defaultsquad import default_squad
from pacer.squad.files.squadreader import read_squad
from pacer.squad.files.squadwriter import write_squad
from pacer.squad.files.withoutnames import without_names
from pacer.squad.pace import pace_from_text, text_from_pace
from pacer.squad.refusal import Refused
from pacer.squad.squad import Absent, Squad
from pacer.timeline.timeline import Timeline, build_timeline

_ABSENT = "# absent: "  #: in a session's squad, before a name
#: The row below it: the lane and, if they have one, their own base. An older pacer reads past it, as past any comment.
_OF_LANE = re.compile(r"# of lane (\d{1,3})(?:, base (.+))?")


@dataclass(frozen=True, slots=True)
class Session:
    """The start of a session: the plan's text, the squad's text (TOML), and the chosen flexible counts.

    `counts`: section index, line number (None: the section's rounds), a count per lane. `assumed`: the
    session had no squad, and this is the one that was assumed. The squad's text has those who were here, and in
    comments the names of those who were absent.
    """

    plan: str
    squad: str
    counts: tuple[tuple[int, int | None, tuple[int, ...]], ...] = ()
    assumed: bool = False
    title: str = ""
    pool: str = ""

    def read(self) -> tuple[Plan, Squad]:
        """Plan and squad as they run. Raises Unreadable if they were written by earlier rules and no longer read."""
        squad = read_squad(self.squad)
        if self.assumed:
            groups = tuple(lane.group for lane in squad.lanes if lane.group is not None)
            squad = default_squad(groups)
        return read_plan(self.plan, squad.words), squad

    @property
    def absent(self) -> tuple[str, ...]:
        """Their names."""
        return tuple(one.name for one in self.absentees)

    @property
    def absentees(self) -> tuple[Absent, ...]:
        """Those of the squad who were absent; their name is "" where a copy of the session has no names."""
        rows = [*self.squad.splitlines(), ""] if _ABSENT in self.squad else []
        return tuple(_absent(row, below) for row, below in pairwise(rows) if row.startswith(_ABSENT))

    @property
    def unnamed_squad(self) -> str:
        """The squad's text without names; how many were absent stays. "" if it cannot be read."""
        text = without_names(self.squad)
        return text and text + f"{_ABSENT}\n" * len(self.absent)

    def timeline(self) -> Timeline:
        """The timeline of the session at its start. Raises Unreadable or CannotRun."""
        plan, squad = self.read()
        return build_timeline(plan, squad, {(section, line): lanes for section, line, lanes in self.counts})

    def counts_json(self) -> str:
        """`counts` as text."""
        return json.dumps(self.counts)


def _absent(row: str, below: str) -> Absent:
    """An absent swimmer by their row of the squad's text and the one below."""
    name, told = row.removeprefix(_ABSENT), _OF_LANE.fullmatch(below)
    if told is None:
        return Absent(name)
    try:
        return Absent(name, int(told[1]), None if told[2] is None else pace_from_text(told[2]))
    except Refused:
        return Absent(name, int(told[1]))


def _absent_rows(one: Absent) -> str:
    of = "" if one.lane is None else f"# of lane {one.lane}"
    base = "" if one.base is None else f", base {text_from_pace(one.base)}"
    return f"{_ABSENT}{one.name}\n" + (of and f"{of}{base}\n")


def session_of(
    timeline: Timeline, plan_text: str | None = None, name: str = "", absent: Iterable[Absent] = ()
) -> Session:
    """The session to save; `plan_text` as the coach wrote it, if there is one; `name` is for a plan without a title.

    `absent`: those of the squad who are not here.

    Run its own `timeline()`, because saved paces are whole milliseconds.
    """
    plan, squad = timeline.plan, timeline.squad
    rows = tuple((section, line, tuple(lanes)) for (section, line), lanes in timeline.counts.items())
    text = write_plan(plan) if plan_text is None else plan_text
    squad_text = write_squad(squad) + "".join(map(_absent_rows, absent))
    return Session(text, squad_text, rows, squad.assumed, plan.title or name, str(plan.pool))


def counts_from_json(text: str) -> tuple[tuple[int, int | None, tuple[int, ...]], ...]:
    """Read counts as `counts_json` wrote them. Raises ValueError."""
    try:
        return tuple(
            [
                (int(section), None if line is None else int(line), tuple(map(int, lanes)))
                for section, line, lanes in json.loads(text)
            ]
        )
    except TypeError:
        raise ValueError("not counts") from None


@dataclass(frozen=True, slots=True)
class Listed:
    """A session in the list of sessions.

    `begun_ms`, `ended_ms` and `seen_ms` are wall time, UTC since 1970; None if unknown.

    `seen_ms`: when something of it was last saved. `entries`: how many the journal has. `hidden`: it is not in the log.
    """

    number: int
    title: str
    pool: str
    begun_ms: int | None
    zone: str
    ended_ms: int | None
    seen_ms: int | None
    entries: int
    hidden: bool = False


def recency(one: Listed) -> tuple[float, int]:
    """The key that sorts sessions from the first started to the last, whatever their numbers.

    One that has not started comes last.
    """
    return math.inf if one.begun_ms is None else one.begun_ms, one.number


@dataclass(frozen=True, slots=True)
class Line:
    """An entry of a journal: its number (from 1), the wall time at which it was made, the entry, and its text."""

    number: int
    wall_ms: int
    entry: Entry | Record
    text: str


@dataclass(frozen=True, slots=True)
class KeptSession:
    """All that is saved of one session.

    `lost` says what could not be read; `lost_itself` is the part that is not about an entry.
    """

    listed: Listed
    session: Session
    lines: tuple[Line, ...]
    seen_boot_ms: int | None = None
    lost: tuple[str, ...] = field(default=())
    lost_itself: tuple[str, ...] = field(default=())

    @property
    def journal(self) -> tuple[Entry | Record, ...]:
        """The entries, in order."""
        return tuple([line.entry for line in self.lines])
