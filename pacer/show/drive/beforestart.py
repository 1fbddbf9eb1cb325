"""What the coach is told just before the start, in the order in which it is needed on deck. No Kivy.

The finish, how many swimmers, what to get and to confirm, what will not work; then lane by lane.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

from pacer.language import tr, tr_n
from pacer.plan.filetext import lines_of
from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook, drills_of_plan
from pacer.plan.model import Plan
from pacer.plan.notation.pagelines import row_of
from pacer.plan.sentence import capital, sentence
from pacer.plan.text.fixes import Fix
from pacer.plan.text.linename import line_said
from pacer.plan.titles import titled
from pacer.show.wording.drilltext import how_said
from pacer.show.wording.timereadings import finish_reading
from pacer.show.wording.totalstext import summary
from pacer.squad.lanenumbers import lane_numbers
from pacer.squad.trials.baseorigin import base_text
from pacer.timeline.findings import Finding, Severity
from pacer.timeline.pacebasistext import unusual
from pacer.timeline.summary.totals import Totals, totals_of
from pacer.timeline.timeline import Timeline

CHECKS_SHOWN = 3  #: checks shown at once; the rest on request


@dataclass(frozen=True, slots=True)
class Check:
    """One check: what it is about (`Main set: 10 x 100, lane 6`), what it says, the same in short, and what would
    help.

    `line` is the plan's, None for the whole session; `bad`: it cannot work out as written; `finding`: where it is from.
    """

    place: str
    says: str
    short: str
    hint: str
    line: int | None
    bad: bool
    finding: Finding


@dataclass(frozen=True, slots=True)
class Ready:
    """Everything the coach is told.

    `confirm`: the flagged lines. `checks`: the others that matter, worst first; remarks are left out.

    `sets`: the page's lines from its first section on, to read out, each with whether it is a section's name.
    `drills`: how each drill of the page is swum, to tell the swimmers. `totals`: the lanes'. `swimmers`: how many each
    lane has. What all of this is based on: each lane's base, or `paces` if there is more to say of some.
    """

    title: str
    about: str
    heads: tuple[str, ...]
    out: tuple[str, ...]
    late: bool
    end_ms: int
    booking_ms: int | None
    gear: tuple[str, ...]
    drills: tuple[str, ...]
    confirm: tuple[Check, ...]
    checks: tuple[Check, ...]
    totals: Totals
    swimmers: tuple[int, ...]
    sets: tuple[tuple[str, bool], ...]
    bases: tuple[str, ...]
    paces: str

    def out_at(self, wall_ms: int, zone: str = "") -> str:
        """When everybody is out by the time of day, if the session starts now; rounded up to the minute."""
        return tr("start now, finish {wall}", wall=finish_reading(wall_ms, self.end_ms, self.booking_ms, zone))


class ReadyActs(Protocol):
    """What the page acts through: the office, for the session that is about to start."""

    counts_heads: bool  #: whether there is a squad whose heads can be counted
    can_write: bool  #: whether its plan is on the shelf
    can_mend: bool  #: whether it can be changed there for those who are here

    def wall_ms(self) -> int:
        """The time of day."""

    def now_ms(self) -> int:
        """The clock that never jumps."""

    def battery(self) -> str:
        """A warning about the battery, "" for none."""

    def sound(self) -> str:
        """That no beeps will be heard, "" if they will."""

    def starts(self, how: str, at: tuple[int, int]) -> tuple[str, ...]:
        """When the session would start: `how` is the key that starts it, `at` the hour and minute for one of them."""

    def begin(self, how: str, at: tuple[int, int] | None) -> None:
        """Start it so; `at` None: no other time of day was chosen."""

    def clock(self) -> None:
        """Show the clock."""

    def heads(self) -> None:
        """Count heads."""

    def squad(self) -> None:
        """Say who is here."""

    def write(self, line: int | None) -> None:
        """Write the plan, at a line."""

    def mend(self, fix: Fix) -> None:
        """Change the plan on the shelf, and show this page of it again."""

    def new(self) -> None:
        """Write another plan."""

    def close(self) -> None:
        """Leave the page."""


def ready(
    timeline: Timeline,
    page: str,
    findings: Sequence[Finding] = (),
    *,
    away: int = 0,
    title: str = "",
    book: DrillBook = EMPTY_BOOK,
) -> Ready:
    """What there is to say about a session of the written `page` that is about to start.

    `away`: how many of the squad are absent.
    """
    plan, squad = timeline.plan, timeline.squad
    told = totals_of(timeline)
    lanes, lines = len(squad.lanes), lines_of(page)
    confirm = tuple(_check(finding, lanes, lines) for finding in findings if finding.severity is Severity.HAZARD)
    matter = [finding for finding in findings if finding.severity in (Severity.WRONG, Severity.CARE)]
    checks = tuple(_check(finding, lanes, lines) for finding in _longest_first(matter))
    return Ready(
        titled(title or plan.title),
        ", ".join(filter(None, (str(plan.pool), plan.focus))),
        _heads(timeline, away),
        summary(told),
        told.over_ms > 0,
        timeline.end_ms,
        plan.booking_ms,
        gear_out(timeline),
        tuple(how_said(drill, True) for drill in drills_of_plan(plan, book)),
        confirm,
        checks,
        told,
        tuple(len(lane.swimmers) for lane in squad.lanes),
        sets_said(timeline.plan, lines),
        _bases(timeline),
        paces_said(timeline),
    )


def _longest_first(findings: Sequence[Finding]) -> list[Finding]:
    """The findings as they are, but those that are waits the longest first, in the places of waits as bad."""
    waits = sorted((one for one in findings if one.wait_ms), key=lambda one: (one.severity, -one.wait_ms))
    following = iter(waits)
    return [next(following) if one.wait_ms else one for one in findings]


def sets_said(plan: Plan, lines: Sequence[str]) -> tuple[tuple[str, bool], ...]:
    """The lines of a page from its first section or set on, without comments; whether each is a section's name.

    >>> from pacer.plan.notation.planreader import read_plan
    >>> page = ["pool: 25 m", "", "Main set", "  4 x 50 free on 1:00  # easy", ""]
    >>> sets_said(read_plan("\\n".join(page)), page)
    (('Main set', True), ('  4 x 50 free on 1:00', False))
    """
    heads = {section.span.line for section in plan.sections if section.name and section.span}
    firsts = [item.span.line for section in plan.sections for item in section.items[:1] if item.span]
    begins = min([*heads, *firsts], default=len(lines) + 1)
    rows = ((row_of(number, lines[number - 1], False).code, number) for number in range(begins, len(lines) + 1))
    return tuple((code.rstrip(), number in heads) for code, number in rows if code.strip())


def _bases(timeline: Timeline) -> tuple[str, ...]:
    """Each lane's base; nothing if there is more to say of one."""
    places = range(len(timeline.lanes))
    if any(unusual(timeline, place) for place in places):
        return ()
    return tuple(base_text(lane.base, timeline.plan.pool.unit) for lane in timeline.lanes)


def paces_said(timeline: Timeline) -> str:
    """The pace that each lane's numbers are based on; lanes with the same kind of base are listed together.

    Only what is not usual is said of it: not that it was written, nor that factors are the default ones.
    """
    known: dict[str, list[str]] = {}
    for place, lane in enumerate(timeline.lanes):
        base = base_text(lane.base, timeline.plan.pool.unit)
        known.setdefault(unusual(timeline, place), []).append(
            tr("lane {number} at {base}", number=lane.number, base=base) if len(timeline.lanes) > 1 else base
        )
    said = "; ".join(", ".join(lanes) + (f" ({how})" if how else "") for how, lanes in known.items())
    return tr("Base: {lanes}", lanes=said)


def counted_said(counted: int, differ: int) -> str:
    """A head count, and by how much it differs from those who should be there."""
    if not differ:
        return tr("{counted} counted", counted=counted)
    return tr(
        "{counted} counted, {expected} expected: count again, or mark who is absent",
        counted=counted,
        expected=counted - differ,
    )


def gear_out(timeline: Timeline) -> tuple[str, ...]:
    """The gear to get, in the order of the page: one for each swimmer of the lanes that use it."""
    used: dict[str, set[int]] = {}
    first: dict[str, tuple[int, int, int]] = {}
    for place, track in enumerate(timeline.tracks):
        for found in track.passes:
            for number, gear in enumerate(found.laneline.line.gear):
                used.setdefault(gear, set()).add(place)
                at = (found.section, found.laneline.number, number)
                first[gear] = min(first.get(gear, at), at)
    made = []
    for gear in sorted(used, key=first.__getitem__):
        lanes = [timeline.lanes[place] for place in sorted(used[gear])]
        some = len(lanes) < len(timeline.lanes)
        where = f" ({lane_numbers([lane.number for lane in lanes], len(timeline.lanes))})" if some else ""
        made.append(f"{gear} × {sum(len(lane.swimmers) for lane in lanes)}{where}")
    return tuple(made)


def _heads(timeline: Timeline, away: int) -> tuple[str, ...]:
    squad = timeline.squad
    if squad.assumed:
        return (tr("no squad: one swimmer at 1:40"), tr("no squad"))
    here = sum(len(lane.swimmers) for lane in squad.lanes)
    count = tr_n("{n} swimmer", "{n} swimmers", here)
    many = len(squad.lanes)
    whole = (
        tr_n("{n} swimmer in {lanes} lanes", "{n} swimmers in {lanes} lanes", here, lanes=many) if many > 1 else count
    )
    gone = [tr("{away} absent", away=away)] if away else []
    return (", ".join([whole, *gone]), ", ".join([count, *gone]))


def _check(finding: Finding, of: int, lines: Sequence[str]) -> Check:
    lanes = lane_numbers(finding.lanes, of)
    place = line_said(lines, finding.line) if finding.line is not None else capital(lanes) or tr("Whole session")
    if finding.line is not None and lanes:
        place = f"{place}, {lanes}"
    return Check(
        place,
        sentence(finding.message),
        sentence(_short(finding.message)),
        sentence(finding.hint),
        finding.line,
        finding.severity <= Severity.WRONG,
        finding,
    )


def _short(message: str) -> str:
    """A message without the part between its first comma and its colon.

    >>> _short("wait up to 4:33, until all start the next section together: swimmers get cold")
    'wait up to 4:33: swimmers get cold'
    """
    lead, colon, rest = message.partition(": ")
    return lead.partition(", ")[0] + colon + rest
