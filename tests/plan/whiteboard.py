"""The corpus of coaches' lines: how the app reads each, as it is or with the first fix of every error."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from pacer.plan.freewords.fixesoffered import fixes_offered
from pacer.plan.model import Plan
from pacer.plan.notation.planreader import read_plan
from pacer.plan.pasted.understood import understand
from pacer.plan.problem import Unreadable
from pacer.plan.text.livepage import LivePage
from pacer.plan.text.standardform import write_plan
from pacer.squad.files.squadreader import read_squad
from pacer.squad.squad import Squad
from pacer.timeline.checks.remedies import fixes_of
from pacer.timeline.findings import CannotRun
from pacer.timeline.summary.planned import planned

HERE = Path(__file__).parent
POOL = "pool: 25 m\n"
ABOVE = {"set": f"{POOL}\nMain set\n", "page": f"{POOL}\n", "top": ""}
MOST_FIXES = 8  #: fixes that a line of the corpus may need, one after the other

READ, MENDED, UNREAD, MISREAD = "read", "mended", "unread", "misread"

_QUOTED = re.compile(r'\s*(?:"([^"]*)"|“([^”]*)”)')


@dataclass(frozen=True)
class Line:
    """A line of the corpus, from the data file."""

    coach: str
    written: str
    meant: str
    asked: bool  #: it can mean two things, so it must not be read unasked
    note: str = ""
    place: str = "set"
    squad: str = ""
    lanes: tuple[str, ...] = ()

    @property
    def page(self) -> str:
        """The whole page with the line."""
        indent = "  " if self.place == "set" else ""
        return ABOVE[self.place] + "".join(f"{indent}{row}\n" if row else "\n" for row in self.written.split("\n"))

    @property
    def name(self) -> str:
        """Its name in the lists of the corpus, with its squad if that matters."""
        return self.written + (f"  [{self.squad}]" if self.squad else "")


def lines() -> Iterator[Line]:
    """All lines of the corpus."""
    for coach, table in tomllib.loads((HERE / "whiteboard.toml").read_text(encoding="utf-8")).items():
        for entry in table["lines"]:
            asked = entry.pop("fixes", None)
            meant = asked or entry.pop("canonical")
            yield Line(coach, meant=meant, asked=asked is not None, **{**entry, "lanes": tuple(entry.get("lanes", ()))})


@dataclass(frozen=True)
class Outcome:
    """How a line was read, and the page at the end."""

    how: str
    says: str  #: what the app understood, or its first message
    page: str


def outcome(line: Line) -> Outcome:
    """Read a line as it is, then with the first fix of each error until none is left."""
    plan = readable(line.page)
    if plan is None and line.place == "top" and not (page := understand(line.page)).questions:
        plan = page.plan  # a page's head is read where the page is pasted
    if plan:
        if not line.asked and means(plan, line):
            return Outcome(READ, said_of(plan, line), write_plan(plan))
        if runs(plan, squad_for(line)):
            return Outcome(MISREAD, said_of(plan, line), line.page)
        # A label that no lane has is reported only when the plan meets the squad, and corrected there.
        page = refitted(line.page, squad_for(line))
        plan = page and readable(page)
        if plan and means(plan, line) and runs(plan, squad_for(line)):
            return Outcome(MENDED, said_of(plan, line), page)
        return Outcome(UNREAD, "no lane bears its label", line.page)
    message = LivePage().read(line.page.split("\n")).problems[0].message
    page = mended(line.page)
    plan = page and readable(page)
    if plan and means(plan, line) and runs(plan, squad_for(line)):
        return Outcome(MENDED, said_of(plan, line), page)
    return Outcome(UNREAD, f"{said_of(plan, line)} <- {message}" if plan else message, page or "")


def readable(page: str) -> Plan | None:
    """The plan of a page, None if it has mistakes."""
    try:
        return read_plan(page)
    except Unreadable:
        return None


def mended(page: str) -> str | None:
    """The page with the first fix of each error, one after the other; None if an error has no fix."""
    live = LivePage()
    rows = page.split("\n")
    for _ in range(MOST_FIXES):
        problems = live.read(rows).problems
        if not problems:
            return "\n".join(rows)
        fixes = fixes_offered(problems[0], rows, live)
        if not fixes:
            return None
        rows = fixes[0].applied(rows)
    return None


def refitted(page: str, squad: Squad) -> str | None:
    """The page with the first fix of what keeps it from running with a squad; None if there is none."""
    live = LivePage()
    rows = page.split("\n")
    reading = live.read(rows)
    try:
        planned(read_plan(page), squad)
    except CannotRun as error:
        fixes = [fix for finding in error.findings for fix in fixes_of(finding, rows, reading, squad, live)]
        return "\n".join(fixes[0].applied(rows)) if fixes else None
    return page


def said(plan: Plan, place: str) -> tuple[str, str]:
    """A plan's canonical form without the lines above a line at `place`, and its quoted words."""
    text = write_plan(plan)
    if place == "set":
        text = "\n".join(row.removeprefix("  ") for row in text.split("\n")).removeprefix(f"{POOL}\nMain set\n")
    elif place == "page":
        text = text.removeprefix(f"{POOL}\n")
    rows, notes = [], []
    for row in text.rstrip("\n").split("\n"):
        notes += [straight or curly for straight, curly in _QUOTED.findall(row)]
        bare = _QUOTED.sub("", row).rstrip(", ")
        if bare or not row:
            rows.append(bare)
    return "\n".join(rows), " ".join(notes)


def said_of(plan: Plan, line: Line) -> str:
    """What was understood of a line, in one row of text."""
    text, note = said(plan, line.place)
    return text.replace("\n", " / ") + (f" “{note}”" if note else "")


def means(plan: Plan, line: Line) -> bool:
    """Whether a plan says what the line means, including its note, and each lane swims its own part of it."""
    text, note = said(plan, line.place)
    return text == line.meant and _words(note) == _words(line.note) and (not line.lanes or lanes_swim(plan, line))


def lanes_swim(plan: Plan, line: Line) -> bool:
    """Whether each lane leaves as it would with only the line that was meant for it."""
    if not runs(plan, squad_for(line)):
        return False
    timeline, _ = planned(plan, squad_for(line))
    own = [
        planned(read_plan(f"{ABOVE['set']}  {alone}\n"), squad_of(["-"]))[0].tracks[0].sendoffs if alone else []
        for alone in line.lanes
    ]
    return [list(track.sendoffs) for track in timeline.tracks] == [list(sendoffs) for sendoffs in own]


def _words(text: str) -> list[str]:
    return re.findall(r"\w+", text.casefold())


def squad_for(line: Line) -> Squad:
    """The squad that a line is for; six lanes without groups if it does not matter."""
    return squad_of(line.squad.split() or ["-"] * 6)


def squad_of(groups: list[str]) -> Squad:
    """A squad with a lane for each group, `-` for a lane without one."""
    lanes = ["base = '1:40'" + ("" if group == "-" else f"\ngroup = '{group}'") for group in groups]
    return read_squad("name = 'Brackenmere'\n" + "".join(f"[[lane]]\n{lane}\n" for lane in lanes))


def runs(plan: Plan, squad: Squad) -> bool:
    """Whether a session can be planned from a plan."""
    try:
        planned(plan, squad)
    except CannotRun:
        return False
    return True
