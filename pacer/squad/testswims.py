"""Base pace from test swims: a line through trials, a timed 30 minutes or 3,000, or one race.

The line is the critical-speed model, distance = speed × time + anaerobic distance, fitted
by least squares of distance on time (Wakayoshi and others 1992, Eur J Appl Physiol
64:153-157); through two trials it is exact. A timed 30 minutes or 3,000 is taken as swum
at base pace (Olbrecht and others 1985, Int J Sports Med 6:74-77). One race is carried over
to 30 minutes by time = a × distance^exponent (Riegel 1981, American Scientist 69:285-290),
whose exponent is a setting: none was found published for swimming.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal, localcontext
from enum import StrEnum
from fractions import Fraction
from itertools import combinations
from math import isqrt

from pacer.plan.model import Unit
from pacer.plan.times import HOUR_MS, MINUTE_MS, BadTime, ms_from_text, text_from_ms
from pacer.squad.model import METRES_PER_YARD, Pace
from pacer.squad.pace import checked_pace, nearest_ms
from pacer.squad.refused import Refused

TIMED_SWIM_MS = 30 * MINUTE_MS
TIMED_DISTANCE = 3_000

#: Riegel's for running, from memory; a squad sets its own.
DEFAULT_EXPONENT = Decimal("1.06")
LEAST_EXPONENT, MOST_EXPONENT = Decimal(1), Decimal("1.3")

MAX_TRIALS = 20
MAX_DISTANCE = 30_000

#: Trials of about 2 to 15 minutes, about 5 minutes between the shortest and the longest: advice
#: in the introduction of a study of 200 and 400 m trials (32 national swimmers, PMC10875687).
SHORT_MS, LONG_MS, SPREAD_MS = 2 * MINUTE_MS, 15 * MINUTE_MS, 5 * MINUTE_MS

#: Up to this share of the pace its standard error is small enough. Our own choice, no source; in the
#: study above the speed's typical error was below 4 %.
GOOD_ERROR = Fraction(1, 50)

#: An anaerobic distance beyond this is a sign of a bad trial. Our own choice: means of age groups
#: were 9.6 to 17.1 m (IAT record 4037316).
MOST_BEYOND = 50

#: Among three and more trials a longer one may be quicker per 100 by this share: a poor
#: turn or day, which the others outvote. Our own choice, no source.
TOLERATED = Fraction(1, 50)

#: The shortest race that Riegel's rule was stated for, 3.5 minutes (as reported, not read in the paper).
LEAST_RACE_MS = 210_000

_DISTANCE = re.compile(r"(\d{1,5}(?:\.\d{1,2})?)\s*(m|yd)?", re.ASCII)


class TestSwimsRefused(Refused):
    """Test swims that give no base pace, and why."""


class Method(StrEnum):
    """How a base pace was found."""

    LINE = "line through three or more trials"
    TWO_TRIALS = "line through two trials"
    TIMED_SWIM = "timed swim"
    RACE = "one race"


class Trust(StrEnum):
    """How far a base pace can be trusted."""

    GOOD = "good"
    FAIR = "fair"
    ROUGH = "rough"


@dataclass(frozen=True, slots=True)
class Trial:
    """A distance swum once, all out. `unit` None: of the pool that is asked for."""

    distance: int | Fraction
    time_ms: int
    unit: Unit | None = None

    @property
    def per_100_ms(self) -> Fraction:
        """Pace of the whole trial, exact."""
        return Fraction(self.time_ms) * 100 / self.distance

    def __str__(self) -> str:
        """As a coach says it: `400 m in 5:40`."""
        unit = f" {self.unit}" if self.unit else ""
        return f"{_short(Fraction(self.distance), 2)}{unit} in {text_from_ms(self.time_ms)}"


@dataclass(frozen=True, slots=True)
class FoundBase:
    """A base pace from test swims, and how far it can be trusted.

    `trials` are those it rests on, the shortest first. `anaerobic_distance` (in the
    pace's unit, exact) belongs to a line; `r_squared` (exact) and `error_ms`, the standard
    error of the pace to the nearest millisecond, to one through three trials and more.
    `speed_variance` is the exact square of the speed's standard error, in units of distance
    per millisecond. `advice` says the reasons for `trust` in a coach's words.
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


def trial_from_text(swum: str, result: str) -> Trial:
    """`400` and `5:40`, or for a timed swim `30 min` and `2400 m`. Raises TestSwimsRefused.

    >>> str(trial_from_text("400 yd", "5:40")), str(trial_from_text("30 min", "2400 m"))
    ('400 yd in 5:40', '2400 m in 30:00')
    """
    by_distance = _DISTANCE.fullmatch(swum.strip())
    if by_distance:
        distance, time = by_distance, result
    else:
        distance, time = _DISTANCE.fullmatch(result.strip()), swum
    try:
        time_ms = ms_from_text(time)
    except BadTime as wrong:
        if by_distance:
            raise TestSwimsRefused(wrong.message, wrong.hint) from None
        raise TestSwimsRefused(
            f"“{swum[:30]}” is no test swim",
            'a distance and its time: "400" = "5:40", or a time and its distance: "30 min" = "2400 m"',
        ) from None
    if distance is None:
        raise TestSwimsRefused(f"“{result[:30]}” is not a distance", f'for example: "{swum.strip()}" = "2400 m"')
    return _checked(Trial(_plain(Fraction(distance[1])), time_ms, Unit(distance[2]) if distance[2] else None))


def names_a_trial(swum: str) -> bool:
    """Whether this is what `trial_from_text` takes first: a distance, or the time of a timed swim.

    >>> names_a_trial("400 yd"), names_a_trial("30 min"), names_a_trial("age")
    (True, True, False)
    """
    if _DISTANCE.fullmatch(swum.strip()):
        return True
    try:
        return ms_from_text(swum) > 0
    except BadTime:
        return False


def base_from_tests(
    trials: Iterable[Trial], unit: Unit | None = None, exponent: Decimal = DEFAULT_EXPONENT
) -> FoundBase:
    """The base pace that test swims come to, per 100 of `unit`; their order does not matter.

    Distances are converted by distance alone. With `unit` None the pace is in the trials'
    own unit (metres where they differ), and in none if they name none. The pace is exact
    for trials and timed swims, whole milliseconds for one race.

    Raises TestSwimsRefused where trials contradict each other.

    >>> base_from_tests([Trial(400, 320_000), Trial(200, 150_000)]).pace
    Pace(ms=85000, unit=None)
    """
    given = tuple(trials)
    in_unit = tuple(sorted(_converted(given, unit), key=lambda trial: (trial.distance, trial.time_ms)))
    in_unit = tuple(dict.fromkeys(in_unit))
    doubts = _contradictions(in_unit)
    if len(in_unit) > 1:
        found = _through(in_unit)
    elif in_unit[0].time_ms == TIMED_SWIM_MS or TIMED_DISTANCE in [trial.distance for trial in given]:
        found = _timed_swim(in_unit[0])
    else:
        found = _from_race(in_unit[0], exponent)
    try:
        checked_pace(found.pace)
    except Refused as wrong:
        raise TestSwimsRefused("the test swims give no base pace: " + wrong.message, "look the times up") from None
    return replace(found, trust=Trust.ROUGH, advice=doubts + found.advice) if doubts else found


def time_over(distance: int | Fraction, race: Trial, exponent: Decimal = DEFAULT_EXPONENT) -> int:
    """Riegel's prediction for `distance`, in the race's unit, to the nearest millisecond.

    >>> text_from_ms(time_over(800, Trial(400, 320_000)))
    '11:07.178'
    """
    return _nearest(race.time_ms * _power(Fraction(distance) / race.distance, exponent))


def endurance_exponent(races: Iterable[Trial]) -> Decimal:
    """The exponent that fits a swimmer's races: the slope of ln time on ln distance, to four places.

    Raises TestSwimsRefused for fewer than two distances, or races that contradict each other.
    """
    races = tuple(sorted(_converted(tuple(races), None), key=lambda race: (race.distance, race.time_ms)))
    _contradictions(races)
    if len(races) < 2:
        raise TestSwimsRefused("an exponent needs races over two distances or more", "add a race")
    with localcontext() as context:
        context.prec = 40
        x = [_decimal(Fraction(race.distance)).ln() for race in races]
        y = [Decimal(race.time_ms).ln() for race in races]
        middle_x, middle_y = sum(x) / len(x), sum(y) / len(y)
        slope = sum((a - middle_x) * (b - middle_y) for a, b in zip(x, y)) / sum((a - middle_x) ** 2 for a in x)
        return slope.quantize(Decimal("0.0001"))


def _converted(trials: tuple[Trial, ...], unit: Unit | None) -> tuple[Trial, ...]:
    if not trials:
        raise TestSwimsRefused("there is no test swim", "swim a 200 and a 400, each all out")
    if len(trials) > MAX_TRIALS:
        raise TestSwimsRefused(f"{len(trials)} test swims, at most {MAX_TRIALS}", "keep the latest")
    units = {_checked(trial).unit for trial in trials}
    if unit is None and len(units) > 1:
        if None in units:
            raise TestSwimsRefused(
                "some distances have a unit and some have none", "write the unit with all of them or with none"
            )
        unit = Unit.METRE
    unit = unit or units.pop()
    ratio = {Unit.METRE: Fraction(1), Unit.YARD: METRES_PER_YARD}
    return tuple(
        replace(trial, distance=_plain(trial.distance * ratio[trial.unit] / ratio[unit]), unit=unit)
        if trial.unit
        else replace(trial, unit=unit)
        for trial in trials
    )


def _checked(trial: Trial) -> Trial:
    if not 0 < trial.distance <= MAX_DISTANCE:
        raise TestSwimsRefused(f"a distance lies between 1 and {MAX_DISTANCE}", "look the distance up")
    if not 0 < trial.time_ms <= 24 * HOUR_MS:
        raise TestSwimsRefused("a test swim takes longer than no time and less than a day", "look the time up")
    try:
        checked_pace(Pace(trial.per_100_ms))
    except Refused:
        pace = text_from_ms(nearest_ms(trial.per_100_ms))
        raise TestSwimsRefused(
            f"{trial} would be {pace} per 100, which nobody swims", "look the distance and the time up"
        ) from None
    return trial


def _contradictions(trials: tuple[Trial, ...]) -> tuple[str, ...]:
    """Doubts about trials, the shortest first; raises TestSwimsRefused where they cannot all be right."""
    doubts: dict[Trial, str] = {}
    for short, long in combinations(trials, 2):
        if short.distance == long.distance and short.time_ms != long.time_ms:
            raise TestSwimsRefused(f"the same distance twice: {short} and {long}", "keep the one that counts")
        if long.distance > short.distance and long.time_ms <= short.time_ms:
            raise TestSwimsRefused(f"{long} is farther and takes no longer than {short}", "look the times up")
        if long.per_100_ms >= short.per_100_ms:
            continue
        said = f"{long} is quicker per 100 than {short}"
        if len(trials) == 2 or long.per_100_ms < short.per_100_ms * (1 - TOLERATED):
            raise TestSwimsRefused(said, "the shorter one was not all out, or a time is wrong: swim it again")
        doubts.setdefault(long, f"{said}: one of the two went wrong.")
    return tuple(doubts.values())


def _through(trials: tuple[Trial, ...]) -> FoundBase:
    """The least-squares line of distance on time."""
    count = len(trials)
    middle_t = Fraction(sum(trial.time_ms for trial in trials), count)
    middle_d = Fraction(sum(trial.distance for trial in trials), count)
    across = sum((trial.time_ms - middle_t) ** 2 for trial in trials)
    along = sum((trial.time_ms - middle_t) * (trial.distance - middle_d) for trial in trials)
    up = sum((trial.distance - middle_d) ** 2 for trial in trials)
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
        Pace(_plain(pace), trials[0].unit), method, trials, trust, advice, beyond, r_squared, error_ms, variance
    )


def _judged(
    trials: tuple[Trial, ...], pace_ms: Fraction, error_ms: int | None, beyond: Fraction
) -> tuple[Trust, tuple[str, ...]]:
    trust, advice = Trust.GOOD, []
    if len(trials) == 2:
        trust = Trust.FAIR
        advice.append("Two trials always lie on a line: a third would show whether one of them went wrong.")
    for trial in trials:
        if trial.time_ms < SHORT_MS:
            trust = Trust.ROUGH
            advice.append(
                f"{trial} is under two minutes: short trials make the base pace look faster than it can be held."
            )
        elif trial.time_ms > LONG_MS:
            trust = max(trust, Trust.FAIR, key=list(Trust).index)
            advice.append(f"{trial} is over fifteen minutes: trials of 2 to 15 minutes fit the line best.")
    if trials[-1].time_ms - trials[0].time_ms < SPREAD_MS:
        trust = max(trust, Trust.FAIR, key=list(Trust).index)
        advice.append(
            "The shortest and the longest are less than five minutes apart: add a longer one for a surer base."
        )
    if error_ms is not None and error_ms > GOOD_ERROR * pace_ms:
        trust = Trust.ROUGH
        advice.append(
            f"The trials do not lie well on one line: the pace may be out by {_short(Fraction(error_ms, 1000), 1)} s per 100."
        )
    if beyond > MOST_BEYOND:
        trust = Trust.ROUGH
        advice.append(
            f"The anaerobic distance comes out very long ({_short(beyond, 1)}): a longer trial was not all out."
        )
    elif beyond < 0:
        trust = Trust.ROUGH
        advice.append(f"The anaerobic distance comes out below zero ({_short(beyond, 1)}): a sign of a bad trial.")
    else:
        unit = f" {trials[0].unit}" if trials[0].unit else ""
        advice.append(
            f"The anaerobic distance ({_short(beyond, 1)}{unit}) is a rough figure: it differs much from test to test."
        )
    return trust, tuple(advice)


def _timed_swim(trial: Trial) -> FoundBase:
    advice = (
        "A 30-minute or 3,000 pace is often a little slower than a base from shorter trials, and only as good as its pacing.",
    )
    return FoundBase(Pace(_plain(trial.per_100_ms), trial.unit), Method.TIMED_SWIM, (trial,), Trust.FAIR, advice)


def _from_race(race: Trial, exponent: Decimal) -> FoundBase:
    """The pace that the race means for 30 minutes: its own × (30 min / time)^(1 − 1/exponent)."""
    if not LEAST_EXPONENT <= exponent <= MOST_EXPONENT:
        raise TestSwimsRefused(
            f"the exponent lies between {LEAST_EXPONENT} and {MOST_EXPONENT}", f"the default is {DEFAULT_EXPONENT}"
        )
    with localcontext() as context:
        context.prec = 40
        longer = _power(Fraction(TIMED_SWIM_MS, race.time_ms), 1 - 1 / exponent)
        pace_ms = _nearest(_decimal(race.per_100_ms) * longer)
    advice = [
        f"One race says little: this assumes that times grow with distance to the power of {exponent}. Swim a second distance."
    ]
    if race.time_ms < LEAST_RACE_MS:
        advice.append(f"{race} is under 3:30, for which that rule was never meant.")
    return FoundBase(Pace(pace_ms, race.unit), Method.RACE, (race,), Trust.ROUGH, tuple(advice))


def _power(base: Fraction, exponent: Decimal) -> Decimal:
    """To some forty digits, the same on every machine."""
    with localcontext() as context:
        context.prec = 40
        return _decimal(base) ** exponent


def _decimal(number: Fraction) -> Decimal:
    return Decimal(number.numerator) / Decimal(number.denominator)


def _nearest(ms: Decimal) -> int:
    return nearest_ms(Fraction(ms))


def _plain(number: Fraction) -> int | Fraction:
    """A whole number as an int, which is quicker to reckon with."""
    return number.numerator if number.denominator == 1 else number


def _short(number: Fraction, places: int) -> str:
    """With at most so many decimal places, cut off: 0.9979 never shows as 0.998."""
    cut = int(abs(number) * 10**places)
    whole, part = divmod(cut, 10**places)
    return ("-" if number < 0 else "") + f"{whole}.{part:0{places}d}".rstrip("0").rstrip(".")
