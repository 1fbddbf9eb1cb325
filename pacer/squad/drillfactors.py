"""A drill's time factor for all names that the drill book gives it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from types import MappingProxyType

from pacer.plan.library.drillbook import DrillBook
from pacer.plan.model import Activity, Stroke
from pacer.squad.squad import Squad

_NAMED = (Activity.DRILL, Activity.SCULL)
_STROKES = frozenset(str(stroke) for stroke in Stroke)


def with_other_names(squad: Squad, book: DrillBook) -> Squad:
    """The squad with every factor of a drill under all of its names; a name's own factor stays.

    A session keeps its squad, so that its times stay what they were when the book changes.
    """
    lanes = tuple(replace(lane, factors=_spread(lane.factors, book)) if lane.factors else lane for lane in squad.lanes)
    return replace(squad, lanes=lanes, factors=_spread(squad.factors, book))


def _spread(factors: Mapping[str, Fraction], book: DrillBook) -> Mapping[str, Fraction]:
    made = dict(factors)
    for key, factor in factors.items():
        activity, _, rest = key.partition(" ")
        stroke, _, name = rest.partition(" ")
        if stroke not in _STROKES:
            stroke, name = "", rest
        drill = book.drill(name) if activity in _NAMED and name else None
        for other in drill.names if drill is not None else ():
            said = " ".join(part for part in (activity, stroke, " ".join(other.lower().split())) if part)
            made.setdefault(said, factor)
    return MappingProxyType(made)
