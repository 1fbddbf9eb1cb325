"""Apply a drill's time factor under every name that the drill book gives the drill."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from types import MappingProxyType

from pacer.plan.library.drillbook import DrillBook
from pacer.plan.model import NAMED, Stroke
from pacer.squad.squad import Lane, Squad

_STROKES = frozenset(str(stroke) for stroke in Stroke)


def with_other_names(squad: Squad, book: DrillBook) -> Squad:
    """The squad, with each drill's factor under all of the drill's names; a name with its own factor keeps it.

    A session keeps its own copy of the squad, so its times do not change when the book does.
    """
    return replace(
        squad, lanes=tuple(_of_lane(lane, book) for lane in squad.lanes), factors=_spread(squad.factors, book)
    )


def _of_lane(lane: Lane, book: DrillBook) -> Lane:
    if any(one.factors for one in lane.swimmers):
        swimmers = [replace(one, factors=_spread(one.factors, book)) if one.factors else one for one in lane.swimmers]
        lane = replace(lane, swimmers=tuple(swimmers))
    return replace(lane, factors=_spread(lane.factors, book)) if lane.factors else lane


def _spread(factors: Mapping[str, Fraction], book: DrillBook) -> Mapping[str, Fraction]:
    made = dict(factors)
    for key, factor in factors.items():
        activity, _, rest = key.partition(" ")
        stroke, _, name = rest.partition(" ")
        if stroke not in _STROKES:
            stroke, name = "", rest
        drill = book.drill(name) if activity in NAMED and name else None
        for other in drill.names if drill is not None else ():
            said = " ".join(part for part in (activity, stroke, " ".join(other.lower().split())) if part)
            made.setdefault(said, factor)
    return MappingProxyType(made)
