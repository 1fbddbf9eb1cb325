"""A session as it is saved: its plan, its squad, its journal."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass, field

from pacer.plan.model import Plan
from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.standardform import write_plan
from pacer.session.journal.entries import Entry
from pacer.session.journal.recordentries import Record
from pacer.squad.files.squadreader import default_squad, read_squad
from pacer.squad.files.squadwriter import write_squad
from pacer.squad.files.withoutnames import without_names
from pacer.squad.squad import Squad
from pacer.timeline.timeline import Timeline, build_timeline

_ABSENT = "# absent: "  #: in a session's squad, before a name


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
        """The names of those of the squad who were absent; "" where a copy of the session has no names."""
        rows = self.squad.splitlines() if _ABSENT in self.squad else ()
        return tuple(row.removeprefix(_ABSENT) for row in rows if row.startswith(_ABSENT))

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


def session_of(timeline: Timeline, plan_text: str | None = None, name: str = "", absent: Iterable[str] = ()) -> Session:
    """The session to save; `plan_text` as the coach wrote it, if there is one; `name` is for a plan without a title.

    `absent`: the names of those of the squad who are not here.

    Run its own `timeline()`, because saved paces are whole milliseconds.
    """
    plan, squad = timeline.plan, timeline.squad
    rows = tuple((section, line, tuple(lanes)) for (section, line), lanes in timeline.counts.items())
    text = write_plan(plan) if plan_text is None else plan_text
    squad_text = write_squad(squad) + "".join(f"{_ABSENT}{one}\n" for one in absent)
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
