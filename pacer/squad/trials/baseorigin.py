"""A lane's base pace and where it is from, in the same words everywhere."""

from __future__ import annotations

from fractions import Fraction

from pacer.language import listed, tr
from pacer.plan.decimals import half_up, short_decimal
from pacer.plan.model import Unit
from pacer.plan.times import text_from_ms
from pacer.squad.squad import Lane, Pace, Trial


def tenths(ms: int | Fraction) -> str:
    """A time in tenths, or in seconds if they are whole.

    >>> tenths(88_500), tenths(90_000)
    ('1:28.5', '1:30')
    """
    return text_from_ms((half_up(ms) + 50) // 100 * 100)


def base_text(pace: Pace, unit: Unit) -> str:
    """A base per 100 of the pool's unit: `1:18`."""
    return tenths(pace.per_100(unit))


def origin(lane: Lane, unit: Unit, assumed: bool = False) -> tuple[str, str]:
    """Where a lane's base is from, in full and in short; no swimmer is named.

    A lane has the base that was written for it, or its slowest swimmer's. `assumed`: there is no squad, and this is
    the one that is assumed.
    """
    if assumed:
        return tr("assumed, as there is no squad"), tr("assumed")
    tests, whose = lane.tests, ""
    slowest = _slowest(lane, unit)
    if not tests and slowest is not None:
        tests, whose = lane.swimmers[slowest].tests, tr("of swimmer {slowest}, the slowest", slowest=slowest + 1)
    if not tests:
        return (
            (tr("{whose}, typed in", whose=whose), tr("of the slowest")) if whose else (tr("typed in"), tr("typed in"))
        )
    swum = listed([*map(_swum, tests)])
    short = listed([*map(_distance, tests)])
    return (tr("{whose}, from {swum}", whose=whose, swum=swum) if whose else tr("from {swum}", swum=swum)), tr(
        "from {short}", short=short
    )


def is_written(lane: Lane, unit: Unit, assumed: bool = False) -> bool:
    """Whether a lane's base is one that was written for it, as most are."""
    return not (assumed or lane.tests) and _slowest(lane, unit) is None


def _slowest(lane: Lane, unit: Unit) -> int | None:
    """The place of the slowest swimmer, if the lane's base is theirs; None if all have one pace or the base is another.

    Somebody's pace may equal the lane's base while another swimmer is slower: the base is not from them then.
    """
    paces = [swimmer.base for swimmer in lane.swimmers]
    if lane.base not in paces or all(pace == lane.base for pace in paces):
        return None
    slowest = max(pace.per_100(unit) for pace in paces)
    return paces.index(lane.base) if lane.base.per_100(unit) == slowest else None


def _distance(trial: Trial) -> str:
    return short_decimal(Fraction(trial.distance), 2)


def _swum(trial: Trial) -> str:
    return tr(
        "{distance}{unit} in {time}",
        distance=_distance(trial),
        unit=f" {trial.unit}" if trial.unit else "",
        time=text_from_ms(trial.time_ms),
    )
