"""Base pace from test swims: a line through trials, a timed 30 minutes or 3,000, or one race.

The line is the critical-speed model, distance = speed × time + anaerobic distance, fitted
by least squares of distance on time (Wakayoshi and others 1992, Eur J Appl Physiol
64:153-157); through two trials it is exact. A timed 30 minutes or 3,000 counts as swum at
base pace (Olbrecht and others 1985, Int J Sports Med 6:74-77). One race is projected to
30 minutes by time = a × distance^exponent (Riegel 1981, American Scientist 69:285-290).
The exponent is a setting, because we found none published for swimming.
"""

from __future__ import annotations

import contextlib
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum
from fractions import Fraction
from math import isqrt

from pacer.language import tr
from pacer.plan.decimals import short_decimal, whole_or_exact
from pacer.plan.model import Unit
from pacer.plan.times import MINUTE_MS
from pacer.squad.pace import checked_pace
from pacer.squad.refusal import Refused
from pacer.squad.squad import Pace, Squad, Trial
from pacer.squad.trials.endurance import DEFAULT_EXPONENT, LEAST_EXPONENT, LEAST_RACE_MS, MOST_EXPONENT, carried_to
from pacer.squad.trials.trial import TestSwimsRefused, doubts_about, in_one_unit

TIMED_SWIM_MS = 30 * MINUTE_MS
TIMED_DISTANCE = 3_000

#: Trials of about 2 to 15 minutes, about 5 minutes between the shortest and the longest: advice
#: in the introduction of a study of 200 and 400 m trials (32 national swimmers, PMC10875687).
SHORT_TRIAL_MS, LONG_TRIAL_MS, TRIALS_APART_MS = 2 * MINUTE_MS, 15 * MINUTE_MS, 5 * MINUTE_MS

#: A standard error up to this share of the pace is small enough. Our own choice, no source; in the
#: study above the speed's typical error was below 4 %.
GOOD_ERROR = Fraction(1, 50)

#: An anaerobic distance beyond this is a sign of a bad trial. Our own choice: means of age groups
#: were 9.6 to 17.1 m (IAT record 4037316).
MOST_BEYOND = 50


class Method(StrEnum):
    """How a base pace was found."""

    LINE = "line through three or more test swims"
    TWO_TRIALS = "line through two test swims"
    TIMED_SWIM = "timed swim"
    RACE = "one test swim"

    @property
    def said(self) -> str:
        """As a coach reads it."""
        return {
            Method.LINE: tr("line through three or more test swims"),
            Method.TWO_TRIALS: tr("line through two test swims"),
            Method.TIMED_SWIM: tr("timed swim"),
            Method.RACE: tr("one test swim"),
        }[self]


class Trust(StrEnum):
    """How far a base pace can be trusted."""

    GOOD = "good"
    FAIR = "fair"
    ROUGH = "rough"

    @property
    def said(self) -> str:
        """As a coach reads it."""
        return {Trust.GOOD: tr("good"), Trust.FAIR: tr("fair"), Trust.ROUGH: tr("rough")}[self]


@dataclass(frozen=True, slots=True)
class FoundBase:
    """A base pace from test swims, and how far it can be trusted.

    `trials` are those that gave it, the shortest first. Only a line has an `anaerobic_distance` (in the pace's unit,
    exact). Only a line through three or more trials has `r_squared` (exact) and `error_ms`, the standard error of the
    pace to the nearest millisecond. `speed_variance` is the exact square of the speed's standard error, in units of
    distance per millisecond. `advice` gives the reasons for `trust` in a coach's words. If there are `doubts`, they
    come first in `advice`, and the base counts only after the coach has confirmed it.
    """

    pace: Pace
    method: Method
    trials: tuple[Trial, ...]
    trust: Trust
    advice: tuple[str, ...]
    anaerobic_distance: Fraction | None = None
    r_squared: Fraction | None = None
    error_ms: int | None = None
    speed_variance: Fraction | None = None
    doubts: tuple[str, ...] = ()


def base_from_tests(
    trials: Iterable[Trial], unit: Unit | None = None, exponent: Decimal = DEFAULT_EXPONENT
) -> FoundBase:
    """The base pace that test swims give, per 100 of `unit`; their order does not matter.

    Units are converted by distance alone. With `unit` None the pace is in the trials'
    own unit (metres if they differ), or without a unit if they have none. The pace is exact
    for trials and timed swims, and in whole milliseconds for one race.

    Raises TestSwimsRefused if trials contradict each other.

    >>> base_from_tests([Trial(400, 320_000), Trial(200, 150_000)]).pace
    Pace(ms=85000, unit=None)
    """
    given = tuple(trials)
    in_unit = in_one_unit(given, unit)
    doubts = doubts_about(in_unit)
    if len(in_unit) > 1:
        found = _through(in_unit)
    elif in_unit[0].time_ms == TIMED_SWIM_MS or TIMED_DISTANCE in [trial.distance for trial in given]:
        found = _timed_swim(in_unit[0])
    else:
        found = _from_race(in_unit[0], exponent)
    try:
        checked_pace(found.pace)
    except Refused as wrong:
        raise TestSwimsRefused(
            tr("the test swims give no base pace: {why}", why=wrong.message), tr("check the times")
        ) from None
    return replace(found, trust=Trust.ROUGH, advice=doubts + found.advice, doubts=doubts) if doubts else found


def doubts_of(squad: Squad) -> tuple[tuple[int, str], ...]:
    """The doubts about the test swims in a squad.

    Each is a lane's number and a sentence that says which swimmer by place, never by name.
    """
    made = []
    for lane in squad.lanes:
        of = [
            (0, lane.tests),
            *((place, swimmer.tests) for place, swimmer in enumerate(lane.swimmers, 1)),
        ]
        for place, trials in of:
            if trials:
                with contextlib.suppress(Refused):  # they would give no base now: it is not from them
                    for doubt in doubts_about(in_one_unit(trials, None)):
                        said = tr("swimmer {place}: {doubt}", place=place, doubt=doubt) if place else doubt
                        made.append((lane.number, said))
    return tuple(made)


def _through(trials: tuple[Trial, ...]) -> FoundBase:
    """The least-squares line of distance on time."""
    count = len(trials)
    middle_t = Fraction(sum(trial.time_ms for trial in trials), count)
    middle_d = Fraction(sum(trial.distance for trial in trials), count)
    nought = Fraction(0)
    across = sum(((trial.time_ms - middle_t) ** 2 for trial in trials), nought)
    along = sum(((trial.time_ms - middle_t) * (trial.distance - middle_d) for trial in trials), nought)
    up = sum(((trial.distance - middle_d) ** 2 for trial in trials), nought)
    speed = along / across
    beyond = middle_d - speed * middle_t
    pace = 100 / speed
    r_squared = variance = error_ms = None
    if count > 2:
        r_squared = along**2 / (across * up)
        variance = (up - speed * along) / (count - 2) / across
        error_ms = (isqrt(int(4 * variance * (pace / speed) ** 2)) + 1) // 2
    trust, advice = _judged(trials, pace, error_ms, beyond)
    method = Method.TWO_TRIALS if count == 2 else Method.LINE
    return FoundBase(
        Pace(whole_or_exact(pace), trials[0].unit), method, trials, trust, advice, beyond, r_squared, error_ms, variance
    )


def _judged(
    trials: tuple[Trial, ...], pace_ms: Fraction, error_ms: int | None, beyond: Fraction
) -> tuple[Trust, tuple[str, ...]]:
    trust, advice = Trust.GOOD, []
    if len(trials) == 2:
        trust = Trust.FAIR
        advice.append(tr("A third test swim would show if one of these went wrong."))
    for trial in trials:
        if trial.time_ms < SHORT_TRIAL_MS:
            trust = Trust.ROUGH
            advice.append(
                tr(
                    "{trial} is under two minutes: that makes the base pace look faster than the swimmer can hold.",
                    trial=trial,
                )
            )
        elif trial.time_ms > LONG_TRIAL_MS:
            trust = max(trust, Trust.FAIR, key=list(Trust).index)
            advice.append(tr("{trial} is over fifteen minutes: swims of 2 to 15 minutes work best.", trial=trial))
    if trials[-1].time_ms - trials[0].time_ms < TRIALS_APART_MS:
        trust = max(trust, Trust.FAIR, key=list(Trust).index)
        advice.append(
            tr("The times are less than five minutes apart: good enough to start. For a surer base add a longer swim.")
        )
    if error_ms is not None and error_ms > GOOD_ERROR * pace_ms:
        trust = Trust.ROUGH
        advice.append(
            tr(
                "The test swims don't agree well: the base may be wrong by {fraction} s per 100.",
                fraction=short_decimal(Fraction(error_ms, 1000), 1),
            )
        )
    if beyond > MOST_BEYOND:
        trust = Trust.ROUGH
        advice.append(tr("The longer swims were probably not all out."))
    elif beyond < 0:
        trust = Trust.ROUGH
        advice.append(tr("One swim probably went wrong: the shorter one is too slow for the longer one."))
    return trust, tuple(advice)


def _timed_swim(trial: Trial) -> FoundBase:
    advice = (
        tr(
            "The pace of a 30-minute or 3,000 swim is often a little slower than a base from shorter "
            "swims, and only as good as the swimmer's pacing."
        ),
    )
    return FoundBase(
        Pace(whole_or_exact(trial.per_100_ms), trial.unit), Method.TIMED_SWIM, (trial,), Trust.FAIR, advice
    )


def _from_race(race: Trial, exponent: Decimal) -> FoundBase:
    """The pace that the race predicts for 30 minutes."""
    if not LEAST_EXPONENT <= exponent <= MOST_EXPONENT:
        raise TestSwimsRefused(
            tr(
                "the exponent must be between {least_exponent} and {most_exponent}",
                least_exponent=LEAST_EXPONENT,
                most_exponent=MOST_EXPONENT,
            ),
            tr("the default is {default_exponent}", default_exponent=DEFAULT_EXPONENT),
        )
    pace_ms = carried_to(TIMED_SWIM_MS, race, exponent)
    advice = [
        tr(
            "One test swim says little: this assumes the usual fade with distance, a power of "
            "{exponent}. Swim a second distance.",
            exponent=exponent,
        )
    ]
    if race.time_ms < LEAST_RACE_MS:
        advice.append(tr("{race} is too short for this estimate (under 3:30): swim a longer one.", race=race))
    return FoundBase(Pace(pace_ms, race.unit), Method.RACE, (race,), Trust.ROUGH, tuple(advice))
