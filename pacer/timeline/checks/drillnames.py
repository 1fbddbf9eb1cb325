"""Find drill names that are not in the drill book: only ever a note, because a coach may make up a drill."""

from __future__ import annotations

from pacer.language import tr
from pacer.plan.library.drillbook import DrillBook, named_in
from pacer.plan.model import Activity, Plan
from pacer.timeline.findings import Finding, Severity


def findings_of_drills(plan: Plan, book: DrillBook) -> tuple[Finding, ...]:
    """A note for each drill name that is not in the book; none if the book is empty."""
    if not len(book):
        return ()
    return tuple(
        Finding(
            Severity.REMARK,
            found.line,
            (),
            tr("the drill book has no “{name}”", name=found.name),
            tr("did you mean {meant}?", meant=meant) if (meant := book.near(found.name)) else "",
        )
        for found in named_in(plan)
        if found.activity is Activity.DRILL and book.drill(found.name) is None
    )
