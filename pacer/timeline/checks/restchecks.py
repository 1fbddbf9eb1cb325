"""Hard repeats without a rest: everybody swims straight on."""

from __future__ import annotations

from collections.abc import Iterator

from pacer.language import tr
from pacer.plan.model import ByLane, Effort, SetLine
from pacer.plan.planlines import numbered_lines
from pacer.plan.times import text_from_ms
from pacer.timeline.checks.gathering import page_line
from pacer.timeline.findings import Finding, Remedy, Severity
from pacer.timeline.timeline import Timeline

#: Efforts that nobody keeps up from repeat to repeat without a rest. Our own choice; common practice, no source.
_HARD = (Effort.THRESHOLD, Effort.FAST, Effort.SPRINT)
OFFERED_REST_MS = 15_000  #: the rest that is offered


def hard_without_rest(timeline: Timeline) -> Iterator[Finding]:
    """Sets of several hard repeats with neither an interval nor a rest."""
    for _, _, _, line in numbered_lines(timeline.plan):
        if line.interval is None and line.rest_ms is None and _repeats(line) and _all_hard(line):
            rest = text_from_ms(OFFERED_REST_MS)
            yield Finding(
                Severity.REMARK,
                page_line(line),
                (),
                tr("no rest between these repeats: everybody swims straight on"),
                tr("write an interval or a rest, such as “rest {rest}”", rest=rest),
                (Remedy("rest", rest),),
            )


def _repeats(line: SetLine) -> bool:
    """Whether a line has several repeats of one distance."""
    return isinstance(line.count, ByLane) and max(line.count.entries) > 1 and line.distance is not None


def _all_hard(line: SetLine) -> bool:
    works = [segment.work for part in line.pattern.parts for segment in part.segments]
    return all(work.effort in _HARD for work in works)
