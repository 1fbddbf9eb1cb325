"""What a plan comes to for a squad, lane by lane: for a page that is being written, and for a shelf."""

from __future__ import annotations

from dataclasses import dataclass, field

from pacer.plan.model import Flexible, Plan
from pacer.squad.squad import Squad
from pacer.timeline.checks.planchecks import findings, worst_first
from pacer.timeline.checks.traffic import findings_of_traffic
from pacer.timeline.findings import CannotRun, Finding, Severity
from pacer.timeline.layout import Timeline
from pacer.timeline.linenumbers import numbered_lines
from pacer.timeline.summary.planned import planned


@dataclass(frozen=True, slots=True)
class LaneTotal:
    """What one lane swims: `distance` per swimmer in the pool's unit, until `end_ms`.

    `chosen` are the counts that the fit gives it: what is counted (a section's name, or a line's as written), and how
    often.
    """

    lane: int
    distance: int
    end_ms: int
    chosen: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Totals:
    """All lanes, in the squad's order; none where the plan `stops`.

    `limit_ms` is when the session has to be over, None without a booking. `findings` the worst first.
    """

    unit: str
    lanes: tuple[LaneTotal, ...]
    end_ms: int
    limit_ms: int | None
    findings: tuple[Finding, ...] = ()
    failed: bool = False  #: whether working it out failed, by an error of ours
    timeline: Timeline | None = field(default=None, compare=False, repr=False)  #: what they are the totals of

    @property
    def stops(self) -> bool:
        """Whether plan and squad make no session."""
        return any(finding.severity is Severity.STOPS for finding in self.findings)

    @property
    def over_ms(self) -> int:
        """By how much it ends too late."""
        return 0 if self.limit_ms is None else max(0, self.end_ms - self.limit_ms)


def totals(plan: Plan, squad: Squad, checks: bool = True) -> Totals:
    """What a plan comes to.

    Without `checks` no more is found out than whether it runs. Never raises for what is written.
    """
    try:
        timeline, _ = planned(plan, squad)
    except CannotRun as error:
        return Totals(str(plan.pool.unit), (), 0, _limit_ms(plan), tuple(error.findings))
    return totals_of(timeline, worst_first((*findings(timeline), *findings_of_traffic(timeline))) if checks else ())


def failed_totals(plan: Plan) -> Totals:
    """What stands for a plan's totals where working them out failed."""
    return Totals(str(plan.pool.unit), (), 0, _limit_ms(plan), failed=True)


def totals_of(timeline: Timeline, found: tuple[Finding, ...] = ()) -> Totals:
    """What a session comes to that is laid out already, with what was found about it."""
    plan = timeline.plan
    names = _names(plan)
    lanes = tuple(
        LaneTotal(
            lane.number,
            timeline.distance(place),
            timeline.tracks[place].end_ms,
            tuple((names[key], counts[place]) for key, counts in timeline.counts.items() if key in names),
        )
        for place, lane in enumerate(timeline.lanes)
    )
    return Totals(str(plan.pool.unit), lanes, timeline.end_ms, _limit_ms(plan), found, timeline=timeline)


def _limit_ms(plan: Plan) -> int | None:
    return None if plan.booking_ms is None else plan.booking_ms - plan.spare_ms


def _names(plan: Plan) -> dict[tuple[int, int | None], str]:
    """What the flexible counts of a plan count: a section by its name, a line by its distance."""
    names: dict[tuple[int, int | None], str] = {}
    for place, section in enumerate(plan.sections):
        if isinstance(section.rounds, Flexible):
            names[place, None] = section.name or "session"
    for place, number, _, line in numbered_lines(plan):
        if isinstance(line.count, Flexible):
            each = line.distance.entries[0] if line.distance is not None else 0
            names[place, number] = f"x {each}" if each else "times"
    return names
