"""Makes a session from a plan's text and who is here, or says why it cannot start. No Kivy."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from pacer.language import tr
from pacer.plan.filetext import lines_of
from pacer.plan.lanesaway import plan_for_lanes
from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook
from pacer.plan.model import Plan
from pacer.plan.planlabels import labels_of
from pacer.plan.problem import Problem, Unreadable
from pacer.plan.text.linename import line_said
from pacer.session.storage.recovery import Recovery, recover
from pacer.session.storage.startandresume import running
from pacer.session.storage.store import Store
from pacer.session.timesource import Now, boot_id, boot_ms, wall_ms
from pacer.squad.bygroup import by_group
from pacer.squad.defaultsquad import default_squad
from pacer.squad.drillfactors import with_other_names
from pacer.squad.register.roster import Roster, present
from pacer.timeline.findings import CannotRun, Finding
from pacer.timeline.summary.planned import all_findings, planned
from pacer.timeline.timeline import Timeline


class Clocks:
    """Where the app's time comes from."""

    def __init__(
        self, boot: Callable[[], int] = boot_ms, wall: Callable[[], int] = wall_ms, started: Callable[[], str] = boot_id
    ):
        self.boot, self.wall, self.started = boot, wall, started

    def now(self) -> Now:
        """The current instant on both clocks."""
        return Now(self.boot(), self.wall(), self.started())

    def day(self) -> str:
        """Today's date on the tablet: `2026-03-02`."""
        return time.strftime("%Y-%m-%d", time.localtime(self.wall() // 1000))


class CannotStart(Exception):
    """Why a session cannot start; `ways` to say it, the longest first."""

    def __init__(self, *ways: str):
        self.ways = ways
        super().__init__(ways[0])


@dataclass(frozen=True, slots=True)
class Start:
    """A session that can start.

    `text`: the plan as the coach wrote it; None if it was cut to the lanes that are here.
    """

    timeline: Timeline
    text: str | None

    def findings(self) -> tuple[Finding, ...]:
        """Everything worth saying about it, the worst first."""
        return all_findings(self.timeline)


def started(read: Callable[[], Plan], text: str | None, roster: Roster, book: DrillBook = EMPTY_BOOK) -> Start:
    """The session of the plan that `read` reads, for those who are here. A drill has one factor under all its names.

    Raises CannotStart.
    """
    try:
        plan, squad = read(), roster.squad
        if squad.assumed:
            squad = default_squad(labels_of(plan))
        elif roster.away:
            squad = present(squad, roster.away)
            if not squad.lanes:
                raise CannotStart(
                    tr("Nobody is here today. Open Squad and mark who is here"),
                    tr("nobody is here today"),
                    tr("nobody is here"),
                )
            if len(squad.lanes) < len(roster.squad.lanes):
                plan = plan_for_lanes(by_group(plan, roster.squad.lanes, said=True), roster.lanes_here(), roster.gone())
                text = None
        return Start(planned(plan, with_other_names(squad, book))[0], text)
    except Unreadable as error:
        raise CannotStart(*unread_ways(lines_of(text) if text else (), error.problems[0])) from None
    except CannotRun as error:
        raise CannotStart(*stopped_ways(error.findings[0])) from None


def unread_ways(lines: Sequence[str], problem: Problem) -> tuple[str, ...]:
    """Why a plan with such a line can't start, the longest way first; without the page's lines, not which it is."""
    place = f"{line_said(lines, problem.line)}: " if lines else ""
    return f"{place}{problem.message}", problem.message, tr("a line isn't understood")


def stopped_ways(finding: Finding) -> tuple[str, ...]:
    """Why a plan can't run with the squad, the longest way first."""
    return *finding.ways, tr("can't run with this squad")


def broken_off(store: Store, instant: Now) -> tuple[int, Recovery] | None:
    """The session that was running when the tablet went off: its number and state; None if there is none.

    Raises StoreTrouble, Unreadable or CannotRun if it cannot be resumed.
    """
    listed = running(store)
    if listed is None:
        return None
    recovery = recover(store.session(listed.number), instant)
    return None if recovery is None else (listed.number, recovery)
