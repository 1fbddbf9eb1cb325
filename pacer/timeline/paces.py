"""Which pace a lane's numbers rest on: how it is known, and by which factors the rest follows from it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction

from pacer.plan.model import Unit
from pacer.plan.times import text_from_ms
from pacer.squad.factors import merged_factors
from pacer.squad.model import Lane
from pacer.squad.trials import Trial, short_decimal
from pacer.timeline.model import Timeline
from pacer.timeline.shape import half_up


def rests_on(timeline: Timeline, lane: int) -> tuple[str, ...]:
    """What the numbers of the lane at index `lane` rest on, the longest way to say it first; no swimmer is named.

    `base 1:30 per 100 m from 200 in 2:40 and 400 in 5:40, own factor for kick`.
    """
    base, told = base_said(timeline, lane), timeline.lanes[lane]
    long, short = _origin(told, timeline.plan.pool.unit, timeline.squad.assumed)
    own = _factors(merged_factors(timeline.squad, told))
    return f"{pace_said(timeline, lane)} {long}, {own[0]}", f"{base} {short}, {own[1]}", f"{base} {short}", base


def pace_said(timeline: Timeline, lane: int) -> str:
    """The pace that a lane's numbers rest on: `base 1:18 per 100 m`."""
    unit, told = timeline.plan.pool.unit, timeline.lanes[lane]
    said = f"{base_said(timeline, lane)} per 100 {unit}"
    if told.base.unit is not None and told.base.unit is not unit:
        said += f" (written {tenths(half_up(told.base.ms))} per 100 {told.base.unit})"
    return said


def base_said(timeline: Timeline, lane: int) -> str:
    """The pace alone, per 100 of the pool's unit: `base 1:18`."""
    return f"base {tenths(half_up(timeline.lanes[lane].base.per_100(timeline.plan.pool.unit)))}"


def tenths(ms: int) -> str:
    """A time in tenths where it is not whole seconds."""
    return text_from_ms((ms + 50) // 100 * 100)


def _origin(lane: Lane, unit: Unit, assumed: bool) -> tuple[str, str]:
    """Where the pace is from, and the same in short."""
    if assumed:
        return "assumed, as there is no squad", "assumed"
    tests, whose = lane.tests, ""
    slowest = _slowest(lane, unit)
    if not tests and slowest is not None:
        tests, whose = lane.swimmers[slowest].tests, f"of swimmer {slowest + 1}, the slowest"
    if not tests:
        return (f"{whose}, as written", "of the slowest") if whose else ("as written", "as written")
    swum = " and ".join(filter(None, (", ".join(map(_swum, tests[:-1])), _swum(tests[-1]))))
    short = " and ".join(filter(None, (", ".join(map(_distance, tests[:-1])), _distance(tests[-1]))))
    return (f"{whose}, from {swum}" if whose else f"from {swum}"), f"from {short}"


def _slowest(lane: Lane, unit: Unit) -> int | None:
    """The place of the swimmer whose pace is the lane's, where they have different ones; None where the lane's own is another.

    A swimmer who swims at the lane's base while somebody is slower is not who it is from.
    """
    paces = [swimmer.base for swimmer in lane.swimmers]
    if lane.base not in paces or all(pace == lane.base for pace in paces):
        return None
    slowest = max(pace.per_100(unit) for pace in paces)
    return paces.index(lane.base) if lane.base.per_100(unit) == slowest else None


def _distance(trial: Trial) -> str:
    return short_decimal(Fraction(trial.distance), 2)


def _swum(trial: Trial) -> str:
    return f"{_distance(trial)}{f' {trial.unit}' if trial.unit else ''} in {text_from_ms(trial.time_ms)}"


def _factors(own: Mapping[str, Fraction]) -> tuple[str, str]:
    """By which factors times follow from the pace, and the same in short."""
    if not own:
        return "by the default factors", "default factors"
    names: Sequence[str] = sorted(own)
    told = ", ".join(f"{name} {short_decimal(own[name], 2)}" for name in names)
    return f"own factor{'s' if len(names) > 1 else ''} {told}, the rest by default", "own factors"
