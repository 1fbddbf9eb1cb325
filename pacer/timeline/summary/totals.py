"""A plan's totals for a squad, lane by lane: for the page while it is written, and for the shelf."""

from __future__ import annotations

from dataclasses import dataclass, field

from pacer.language import tr
from pacer.plan.model import Flexible, Plan
from pacer.plan.planlines import numbered_lines
from pacer.plan.times import late_by
from pacer.squad.squad import Squad
from pacer.timeline.checks.planchecks import findings, worst_first
from pacer.timeline.checks.traffic import findings_of_traffic
from pacer.timeline.findings import CannotRun, Finding, Severity
from pacer.timeline.summary.planned import planned
from pacer.timeline.timeline import Timeline


@dataclass(frozen=True, slots=True)
class LaneTotal:
    """What one lane swims: `distance` per swimmer in the pool's unit, until `end_ms`.

    `chosen` are the counts that the fit gives it: the section's name or the line as written, and its count.
    """

    lane: int
    distance: int
    end_ms: int
    chosen: tuple[tuple[str, int], ...] = ()


@dataclass(frozen=True, slots=True)
class Totals:
    """The totals of all lanes, in the squad's order; none if the plan `stops`.

    `limit_ms` is when the session has to end, None without a booking. `findings` are sorted, the worst first.
    """

    unit: str
    lanes: tuple[LaneTotal, ...]
    end_ms: int
    limit_ms: int | None
    findings: tuple[Finding, ...] = ()
    failed: bool = False  #: whether working it out failed because of a bug in pacer
    timeline: Timeline | None = field(default=None, compare=False, repr=False)  #: the timeline that they sum up

    @property
    def stops(self) -> bool:
        """Whether the plan cannot run with this squad."""
        return any(finding.severity is Severity.STOPS for finding in self.findings)

    @property
    def over_ms(self) -> int:
        """How much too late the session ends."""
        return late_by(self.end_ms, self.limit_ms)


def totals(plan: Plan, squad: Squad, checks: bool = True) -> Totals:
    """A plan's totals.

    Without `checks` the only findings are those that keep it from running. Never raises, whatever is on the page.
    """
    try:
        timeline, _ = planned(plan, squad)
    except CannotRun as error:
        return Totals(str(plan.pool.unit), (), 0, plan.out_ms, tuple(error.findings))
    return totals_of(timeline, worst_first((*findings(timeline), *findings_of_traffic(timeline))) if checks else ())


def failed_totals(plan: Plan) -> Totals:
    """The totals to show for a plan if working them out failed."""
    return Totals(str(plan.pool.unit), (), 0, plan.out_ms, failed=True)


def totals_of(timeline: Timeline, found: tuple[Finding, ...] = ()) -> Totals:
    """The totals of a session that is already laid out, with its findings."""
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
    return Totals(str(plan.pool.unit), lanes, timeline.end_ms, plan.out_ms, found, timeline=timeline)


def _names(plan: Plan) -> dict[tuple[int, int | None], str]:
    """Names for the flexible counts of a plan: a section by its name, a line by its distance."""
    names: dict[tuple[int, int | None], str] = {}
    for place, section in enumerate(plan.sections):
        if isinstance(section.rounds, Flexible):
            names[place, None] = section.name or tr("session")
    for place, number, _, line in numbered_lines(plan):
        if isinstance(line.count, Flexible):
            each = line.distance.entries[0] if line.distance is not None else 0
            names[place, number] = f"x {each}" if each else "times"
    return names
