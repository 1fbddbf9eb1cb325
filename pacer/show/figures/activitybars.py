"""How far each lane swam, by activity: bars end to end."""

from __future__ import annotations

from pacer.language import tr
from pacer.plan.model import Activity
from pacer.review.swum.distances import shares
from pacer.review.swum.sessionreview import Review
from pacer.show.figures.figure import Axis, Bar, Figure, Key, Note, Spot, Tick
from pacer.show.figures.planstrip import BAR
from pacer.show.figures.scaleticks import nice_reach, nice_ticks


def distance_by_activity(review: Review) -> Figure:
    """A row for each lane: its leader's distance by activity."""
    unit, bars = review.unit, []
    totals, told = [], []
    for row, number in enumerate(review.lanes):
        found = {share.name: share.distance for share in shares(review.distances.by_lane, "activity", row)}
        at = 0
        for name in map(str, Activity):
            if far := found.get(name):
                said = tr("lane {number}: {name} {far:,} {unit}", number=number, name=name, far=far, unit=unit)
                bars.append(Bar(at, at + far, row + BAR[0], row + BAR[1], name, said, Spot(row)))
                at += far
        totals.append(at)
        parts = ", ".join(f"{name} {far:,}" for name, far in found.items())
        told.append(
            tr("Lane {number}: {at:,} {unit} ({parts}).", number=number, at=at, unit=unit, parts=parts)
            if parts
            else tr("Lane {number}: {at:,} {unit}.", number=number, at=at, unit=unit)
        )
    high = nice_reach(0, 1.1 * max(totals) or 1)[1]  # leaves room for the sums
    used = {bar.fill for bar in bars}
    return Figure(
        title=tr("Distance by activity"),
        words=" ".join(told),
        x=Axis(0, high, nice_ticks(0, high), tr("distance"), unit),
        y=Axis(
            len(review.lanes),
            0,
            tuple(Tick(row + 0.5, str(number)) for row, number in enumerate(review.lanes)),
            tr("lane"),
        ),
        bars=tuple(bars),
        notes=tuple(Note(far, row + 0.5, f"{far:,}") for row, far in enumerate(totals)),
        keys=tuple(Key(str(name), str(name)) for name in Activity if name in used),
    )
