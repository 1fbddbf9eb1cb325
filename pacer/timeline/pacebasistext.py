"""Say which base and which factors a lane's numbers come from."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from pacer.language import tr, tr_n
from pacer.plan.decimals import short_decimal
from pacer.squad.factors import merged_factors
from pacer.squad.trials.baseorigin import base_text, is_written, origin, tenths
from pacer.timeline.timeline import Timeline


def origin_said(timeline: Timeline, lane: int) -> str:
    """Where the base is from, and the factors: `typed in, default factors`."""
    told = timeline.lanes[lane]
    return f"{origin(told, timeline.plan.pool.unit, timeline.squad.assumed)[0]}, {_factors(timeline, lane)}"


def unusual(timeline: Timeline, lane: int) -> str:
    """What is not usual about the lane's base: where it is from, unless it was written, and factors of its own."""
    told, unit = timeline.lanes[lane], timeline.plan.pool.unit
    origins = [] if is_written(told, unit, timeline.squad.assumed) else [origin(told, unit, timeline.squad.assumed)[1]]
    own = merged_factors(timeline.squad, told) or any(one.factors for one in told.swimmers)
    return ", ".join([*origins, *([tr("own factors")] if own else [])])


def pace_said(timeline: Timeline, lane: int) -> str:
    """The base behind a lane's numbers: `base 1:18 per 100 m`."""
    unit, told = timeline.plan.pool.unit, timeline.lanes[lane]
    said = tr("{base} per 100 {unit}", base=base_said(timeline, lane), unit=unit)
    if told.base.unit is not None and told.base.unit is not unit:
        return tr("{said} (written {base} per 100 {unit})", said=said, base=tenths(told.base.ms), unit=told.base.unit)
    return said


def base_said(timeline: Timeline, lane: int) -> str:
    """Only the base, per 100 of the pool's unit: `base 1:18`."""
    return tr("base {base}", base=base_text(timeline.lanes[lane].base, timeline.plan.pool.unit))


def _factors(timeline: Timeline, place: int) -> str:
    """The factors in words; a swimmer's own are told by place."""
    told = timeline.lanes[place]
    lane, swimmers = merged_factors(timeline.squad, told), [one.factors for one in told.swimmers]
    said = tr("own {factors}, default for the rest", factors=factors_said(lane)) if lane else tr("default factors")
    theirs = [
        tr("swimmer {place} own {factors}", place=place, factors=factors_said(own))
        for place, own in enumerate(swimmers, 1)
        if own
    ]
    return ", ".join([said, *theirs])


def factors_said(own: Mapping[str, Fraction]) -> str:
    """Factors in words.

    >>> factors_said({"kick": Fraction(8, 5), "fly": Fraction(11, 10)}), factors_said({"kick": Fraction(8, 5)})
    ('factors fly 1.1, kick 1.6', 'factor kick 1.6')
    """
    told = ", ".join(f"{name} {short_decimal(own[name], 2)}" for name in sorted(own))
    return tr_n("factor {told}", "factors {told}", len(own), told=told)
