"""Test swims as written and swum: distances, times, and whether they can all be right."""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from itertools import combinations

from pacer.language import tr
from pacer.plan.cutting.ordermistakes import Mistake
from pacer.plan.decimals import half_up, whole_or_exact
from pacer.plan.model import Unit
from pacer.plan.notation.dateline import date_of
from pacer.plan.times import HOUR_MS, MINUTE_MS, BadTime, ms_from_text, text_from_ms
from pacer.squad.pace import checked_pace
from pacer.squad.refusal import Refused, shown
from pacer.squad.squad import METRES_PER_YARD, Pace, Trial

MAX_TRIALS = 20
MAX_TEST_DISTANCE = 30_000

#: Among three or more trials, a longer one may be faster per 100 by this share: a poor
#: turn or a poor day, which the others outvote. Our own choice, no source.
TOLERATED = Fraction(1, 50)

_DISTANCE = re.compile(r"(\d{1,5}(?:\.\d{1,2})?)\s*(m|yd)?", re.ASCII)


class TestSwimsRefused(Refused):
    """Test swims give no base pace; the message says why."""


def trial_from_text(swum: str, result: str) -> Trial:
    """Read `400` and `5:40`, or for a timed swim `30 min` and `2400 m`. Raises TestSwimsRefused.

    The result may say its day: `5:40 on 2026-03-05`.

    >>> str(trial_from_text("400 yd", "5:40")), str(trial_from_text("30 min", "2400 m"))
    ('400 yd in 5:40', '2400 m in 30:00')
    >>> trial_from_text("400", "5:40 on 5 March 2026").day
    '2026-03-05'
    """
    result, _, said = result.partition(" on ")
    return replace(_trial_of(swum, result), day=_day_of(said.strip()) if said else "")


def _day_of(said: str) -> str:
    try:
        return date_of(said)[:10]
    except Mistake as wrong:
        raise TestSwimsRefused(wrong.message, tr('for example: "400" = "5:40 on 2026-03-05"')) from None


def _trial_of(swum: str, result: str) -> Trial:
    by_distance = _DISTANCE.fullmatch(swum.strip())
    distance, time = (by_distance, result) if by_distance else (_DISTANCE.fullmatch(result.strip()), swum)
    try:
        time_ms = ms_from_text(time)
    except BadTime as wrong:
        if by_distance:
            raise TestSwimsRefused(wrong.message, wrong.hint) from None
        raise TestSwimsRefused(
            tr("“{swum}” is not a test swim", swum=shown(swum)),
            tr('write a distance and its time: "400" = "5:40", or a time and its distance: "30 min" = "2400 m"'),
        ) from None
    if distance is None:
        raise TestSwimsRefused(
            tr("“{result}” is not a distance", result=shown(result)),
            tr('for example: "{swum}" = "2400 m"', swum=shown(swum.strip())),
        )
    return _checked(Trial(whole_or_exact(Fraction(distance[1])), time_ms, Unit(distance[2]) if distance[2] else None))


#: The least time for 100 m, in ms, over this many metres or more. Published times: men's 100 m 47.84 (2000; mosaicData,
#: "SwimRecords", 100 m world records 1905-2004); men's 400 m 3:51.93 and 1,500 m 15:02.40 (Jokl and Jokl 1976, Br J
#: Sports Med; Goodell's 1,500 of that year). Nine tenths of these times leave room for later records and for short
#: pools; three quarters below 100 m, where start and push-off count for more. Both shares are our own choice.
_FASTEST = (
    (0, Fraction(47_840) * 3 / 4),
    (100, Fraction(47_840) * 9 / 10),
    (400, Fraction(231_930, 4) * 9 / 10),
    (1_500, Fraction(902_400, 15) * 9 / 10),
)
#: Slower than this per 100 raises a doubt. Common practice, no source.
SLOW_MS = 5 * MINUTE_MS


def names_a_trial(swum: str) -> bool:
    """Whether `trial_from_text` accepts this as its first text: a distance, or the time of a timed swim.

    >>> names_a_trial("400 yd"), names_a_trial("30 min"), names_a_trial("age")
    (True, True, False)
    """
    if _DISTANCE.fullmatch(swum.strip()):
        return True
    try:
        return ms_from_text(swum) > 0
    except BadTime:
        return False


def in_one_unit(trials: tuple[Trial, ...], unit: Unit | None) -> tuple[Trial, ...]:
    """The trials, the shortest first and each once, with all distances in `unit`.

    `unit` None: in their own unit, or in metres if their units differ. Raises TestSwimsRefused.
    """
    if not trials:
        raise TestSwimsRefused(tr("there is no test swim"), tr("swim a 200 and a 400, each all out"))
    if len(trials) > MAX_TRIALS:
        raise TestSwimsRefused(
            tr(
                "{trials} test swims are too many; the limit is {max_trials}", trials=len(trials), max_trials=MAX_TRIALS
            ),
            tr("keep the latest"),
        )
    units = {_checked(trial).unit for trial in trials}
    if unit is None and len(units) > 1:
        if None in units:
            raise TestSwimsRefused(
                tr("some distances have a unit and some have none"),
                tr("write the unit with all distances or with none"),
            )
        unit = Unit.METRE
    common = unit or units.pop()
    ratio = {Unit.METRE: Fraction(1), Unit.YARD: METRES_PER_YARD}
    converted = [
        replace(trial, distance=whole_or_exact(trial.distance * ratio[trial.unit] / ratio[common]), unit=common)
        if trial.unit and common
        else replace(trial, unit=common)
        for trial in trials
    ]
    return tuple(sorted(dict.fromkeys(converted), key=lambda trial: (trial.distance, trial.time_ms)))


def _checked(trial: Trial) -> Trial:
    if not 0 < trial.distance <= MAX_TEST_DISTANCE:
        raise TestSwimsRefused(
            tr("a distance must be between 1 and {max_distance}", max_distance=MAX_TEST_DISTANCE),
            tr("check the distance"),
        )
    if not 0 < trial.time_ms <= 24 * HOUR_MS:
        raise TestSwimsRefused(tr("a test swim must take more than 0:00 and less than a day"), tr("check the time"))
    try:
        checked_pace(Pace(trial.per_100_ms))
    except Refused:
        pace = text_from_ms(half_up(trial.per_100_ms))
        raise TestSwimsRefused(
            tr("{trial} would be {pace} per 100, which nobody swims", trial=trial, pace=pace),
            tr("check the distance and the time"),
        ) from None
    return trial


def doubts_about(trials: tuple[Trial, ...]) -> tuple[str, ...]:
    """Doubts about trials, the shortest first; raises TestSwimsRefused if they cannot all be right."""
    doubts: dict[Trial, str] = {}
    for short, long in combinations(trials, 2):
        if short.distance == long.distance and short.time_ms != long.time_ms:
            raise TestSwimsRefused(
                tr("one distance has two times: {short} and {long}", short=short, long=long),
                tr("keep the one that counts"),
            )
        if long.distance > short.distance and long.time_ms <= short.time_ms:
            raise TestSwimsRefused(
                tr("{long} is farther but takes no longer than {short}", long=long, short=short), tr("check the times")
            )
        if long.per_100_ms >= short.per_100_ms:
            continue
        said = tr("{long} is faster per 100 than {short}", long=long, short=short)
        if len(trials) == 2 or long.per_100_ms < short.per_100_ms * (1 - TOLERATED):
            raise TestSwimsRefused(
                said, tr("the shorter swim was not all out, or a time is wrong: swim it again, or correct the time")
            )
        doubts.setdefault(long, tr("{said}: one of the two went wrong.", said=said))
    return (*filter(None, map(_beyond_swimmers, trials)), *doubts.values())


def _beyond_swimmers(trial: Trial) -> str:
    """The doubt about a swim that is faster than anybody's, or far too slow; "" if it can be right."""
    if trial.per_100_ms > SLOW_MS:
        return tr(
            "{trial} is slower than {slow_ms} per 100: are the distance and the time right?",
            trial=trial,
            slow_ms=text_from_ms(SLOW_MS),
        )
    ratio = Fraction(1) if trial.unit is Unit.METRE else METRES_PER_YARD  # a swim without a unit may be in yards
    per_100_m = trial.per_100_ms / ratio
    fastest = max(Fraction(ms) for metres, ms in _FASTEST if trial.distance * ratio >= metres)
    return (
        tr("{trial} is faster than anybody has swum: are the distance and the time right?", trial=trial)
        if per_100_m < fastest
        else ""
    )
