"""Learn from a session's times: every swimmer's base pace, and each lane's own factors.

Lane by lane: the logarithm of each time over its prediction depends on the swimmer's base and on the factors of the
work (`lanemodel`, `posterior`). Times on a set with a target time say nothing about pace and are skipped.

Outliers are left out, and named, by the live prediction's rule (`outlyingtimes`); a robust standard deviation is at
least 1 %. A time that a coach puts back by hand counts as one among its swimmer's times. The outliers are found without
it: no good time is left out because of it, and only its own swimmer's values become less sure.

If a swimmer's times with a factor, eight or more, differ from the lane's by more than two standard errors, everybody in
the lane has that factor for themselves, around the lane's. A swimmer is said to differ from three standard errors on:
with so many swimmers and factors, chance alone passes two every evening. The lane's factor is then the mean of those
who don't differ, or can't have a factor of their own because they have neither a name nor a base.

Last, the lanes are put together: of a factor that several lanes have, with the same value so far, half of the prior
variance is the whole squad's and half each lane's. So a drill that is slow for everybody is expected to be slow in a
lane with few times, too.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence, Set
from fractions import Fraction
from math import exp, log, sqrt
from typing import NamedTuple

from pacer.plan.library.drillbook import EMPTY_BOOK, DrillBook
from pacer.review.learning.factorparts import Stretch, stretches_of
from pacer.review.learning.lanemodel import SQUAD_SHARE, SWIMMER_PRIOR, Key, LaneModel, Own, Ratio
from pacer.review.learning.posterior import Posterior, Shared, joined
from pacer.review.swum.sessionreview import Review
from pacer.session.records.outlyingtimes import far_off, limit
from pacer.squad.factors import DEFAULTS, merged_factors

NOISE, NOISE_WEIGHT = 0.02, 4  #: the assumed variation of one time, and the number of times that this guess counts as

LEAST_SPREAD = 0.01
AS_WRITTEN = 0.035  #: a time that is so near what was written does not look wrong, whatever the others suggest
LEAST_FOR_SWIMMER = 8  #: times with a factor before a swimmer gets their own
DIFFERS = 3  #: standard errors
ROUNDS = 12


class Estimate(NamedTuple):
    """The deviation of a base or a factor: the natural logarithm of new over old, and its standard deviation.

    `based_on`: the times it rests on, each a swimmer and an entry; `sets`: on how many sets. `whole`: how far these
    times are off, on average, by everything that they depend on, of which `log` is a part.
    """

    log: float
    deviation: float
    sets: int
    based_on: frozenset[tuple[int, int]]
    whole: float

    @property
    def times(self) -> int:
        """How many times it is based on."""
        return len(self.based_on)

    @property
    def sure(self) -> bool:
        """Whether it deviates by more than two standard deviations: chance alone does that once in twenty."""
        return abs(self.log) > 2 * self.deviation


class Learned(NamedTuple):
    """The results from a lane's times. `bases` by swimmer, `factors` by name.

    `own`, by swimmer and name: how far a swimmer's factor is from the lane's; `personal`: the same swimmers' whole
    deviation from the written factor. `left_out` are the outliers, the farthest first; `noise` is the variation of one
    time.
    """

    lane: int
    bases: Mapping[int, Estimate]
    factors: Mapping[str, Estimate]
    own: Mapping[Own, Estimate]
    personal: Mapping[Own, Estimate]
    left_out: tuple[Ratio, ...]
    noise: float


class _Lane(NamedTuple):
    """A lane's model as fitted by its own times: what was found, the outliers and the variation."""

    lane: int
    model: LaneModel
    found: Posterior
    out: frozenset[int]
    noise: float


def learn(review: Review, book: DrillBook = EMPTY_BOOK) -> tuple[Learned, ...]:
    """The results from each lane's times, without lanes that have none."""
    fitted = _lanes(review, book)
    squad = review.replay.begun.squad
    told_apart = {person.number for person in review.people if person.name or person.own}
    factors = [merged_factors(squad, lane) for lane in squad.lanes]
    return tuple(_learned(one, found, told_apart) for one, found in zip(fitted, _together(fitted, factors)))


def outliers(review: Review) -> frozenset[int]:
    """Only the entries of the times that are left out."""
    return frozenset(one.model.ratios[at].swim.entry for one in _lanes(review, EMPTY_BOOK) for at in one.out)


def _lanes(review: Review, book: DrillBook) -> list[_Lane]:
    """Each lane that has times, by these alone."""
    lanes: dict[int, list[Ratio]] = {}
    known: dict[tuple[int, int, int], tuple[Stretch, ...]] = {}
    squad = review.replay.begun.squad
    factors = [merged_factors(squad, lane) for lane in squad.lanes]
    own = {
        person.number: swimmer
        for person in review.people
        if person.place < len(squad.lanes[person.lane].swimmers)
        and (swimmer := squad.lanes[person.lane].swimmers[person.place]).factors
    }
    for swim in review.swims:
        if swim.time_ms and swim.predicted_ms and swim.shape.distance and not swim.held:
            line = swim.laneline.line
            place = (swim.repeat - 1) % line.change.over if line.change is not None else 0
            key = (id(swim.shape), id(line), place)
            if key not in known:
                named = factors[swim.lane]
                if swim.who in own:  # whose shapes are their own
                    named = merged_factors(squad, squad.lanes[swim.lane], own[swim.who])
                known[key] = stretches_of(swim.shape, line, swim.repeat, named, book)
            ratio = Ratio(swim, log(swim.time_ms / swim.predicted_ms), known[key])
            lanes.setdefault(review.people[swim.who].lane, []).append(ratio)
    return [_fitted(lane, ratios, review.put_back) for lane, ratios in sorted(lanes.items())]


def _fitted(lane: int, ratios: Sequence[Ratio], put_back: Set[int]) -> _Lane:
    """The model of one lane's times, without outliers except those put back by hand."""
    far = far_off([ratio.log for ratio in ratios])
    made = _without_outliers(lane, LaneModel(ratios), far)
    # A swimmer who differs looks like an outlier to a model that doesn't know it: ask all times but the far ones.
    apart = _apart(ratios, made.model.residuals(made.found), far, made.noise)
    if apart:
        made = _without_outliers(lane, LaneModel(ratios, apart), far)
    back = frozenset(at for at in made.out if ratios[at].swim.entry in put_back)
    return _with_put_back(made, back) if back else made


def _without_outliers(lane: int, model: LaneModel, out: frozenset[int]) -> _Lane:
    """Fit a model again and again, each time without the outliers of the fit before."""
    ratios, noise = model.ratios, NOISE
    found = model.fit(out, noise)
    for _ in range(ROUNDS):
        off = model.residuals(found)
        noise = _noise(off, out, model.learned(found))
        most = limit(off, LEAST_SPREAD)
        now = frozenset(at for at, each in enumerate(off) if abs(each) > most and abs(ratios[at].log) > AS_WRITTEN)
        if len(now) == len(ratios):  # no times would be left
            break
        same, out = now == out, now
        found = model.fit(out, noise, found)
        if same:
            break
    return _Lane(lane, model, found, out, noise)


def _with_put_back(made: _Lane, back: frozenset[int]) -> _Lane:
    """The same with some outliers put back: their swimmers' times count for less, as far apart as they now are."""
    model, out, off = made.model, made.out - back, made.model.residuals(made.found)
    for who in {model.ratios[at].swim.who for at in back}:
        mine = [off[at] for at, ratio in enumerate(model.ratios) if ratio.swim.who == who and at not in out]
        mean = sum(mine) / len(mine)
        spread = _noise([each - mean for each in mine], (), 1)
        model.trust[who] = min(1.0, (made.noise / spread) ** 2)
    return made._replace(found=model.fit(out, made.noise), out=out)


def _noise(off: Sequence[float], out: Collection[int], learned: float) -> float:
    """The variation of one time: from the residuals, and a guess that counts as much as four of them.

    `learned`: how many of the times were used up to find the unknowns; these say nothing about chance.
    """
    kept = [value for at, value in enumerate(off) if at not in out]
    left = max(1.0, len(kept) - learned)
    return sqrt((NOISE_WEIGHT * NOISE**2 + sum(value * value for value in kept)) / (NOISE_WEIGHT + left))


def _apart(ratios: Sequence[Ratio], off: Sequence[float], out: Collection[int], noise: float) -> set[str]:
    """The factors in which a swimmer seems to differ from the lane, by the shrunk mean of what is left of their times.

    Only times that depend on the factor for more than half of their distance count.
    """
    left: dict[Own, list[int]] = {}
    known: dict[int, tuple[str, ...]] = {}
    for at, ratio in enumerate(ratios):
        if at not in out:
            if id(ratio.stretches) not in known:
                known[id(ratio.stretches)] = tuple(_mostly(ratio.stretches))
            for name in known[id(ratio.stretches)]:
                left.setdefault((ratio.swim.who, name), []).append(at)
    k = (noise / SWIMMER_PRIOR) ** 2
    return {
        name
        for (_, name), places in left.items()
        if len(places) >= LEAST_FOR_SWIMMER
        and abs(sum(off[at] for at in places)) / (len(places) + k) > 2 * noise / sqrt(len(places) + k)
    }


def _mostly(stretches: Iterable[Stretch]) -> Iterable[str]:
    shares: dict[str, float] = {}
    for stretch in stretches:
        for part in stretch.parts:
            shares[part.name] = shares.get(part.name, 0.0) + stretch.share * part.weight
    return [name for name, share in shares.items() if share > 0.5]


def _together(lanes: Sequence[_Lane], factors: Sequence[Mapping[str, Fraction]]) -> list[Posterior]:
    """The lanes' unknowns with what they share. `factors` are the lanes' and the squad's own, by lane."""
    shared: dict[tuple[str, Fraction], list[int | None]] = {}
    for number, one in enumerate(lanes):
        for name in one.model.names:
            key = name, written_factor(name, factors[one.lane])
            shared.setdefault(key, [None] * len(lanes))[number] = one.model.at[name]
    levels = []
    priors = [list(one.model.priors) for one in lanes]
    for places in shared.values():
        here = [(number, at) for number, at in enumerate(places) if at is not None]
        if len(here) > 1:
            whole = priors[here[0][0]][here[0][1]]
            levels.append(Shared(places, whole * sqrt(1 - SQUAD_SHARE), whole * sqrt(SQUAD_SHARE)))
            for number, at in here:
                priors[number][at] = levels[-1].within
    if not levels:
        return [one.found for one in lanes]
    fits = [one.model.refit(one.out, one.noise, one.found, each) for one, each in zip(lanes, priors)]
    return joined(fits, levels)


def _learned(one: _Lane, found: Posterior, told_apart: Collection[int]) -> Learned:
    """A lane's results in words of the field."""
    model, ratios = one.model, one.model.ratios
    off = model.residuals(found)
    times: dict[Key, list[Ratio]] = {}
    for (who, _), places in model.cells.items():
        here = [ratios[at] for at in places if at not in one.out]
        stretches = ratios[places[0]].stretches
        names = {part.name for stretch in stretches for part in stretch.parts}
        mostly = [(who, name) for name in _mostly(stretches)]
        keys: list[Key] = [who, *names, *mostly] if here else []
        for key in keys:
            times.setdefault(key, []).extend(here)

    def estimate(key: Key, of: Mapping[Key, float]) -> Estimate:
        """What is known of a sum of unknowns; `key`: whose times count."""
        unknowns = [(model.at[each], weight) for each, weight in of.items()]
        variance = sum(one * other * found.covariance(a, b) for a, one in unknowns for b, other in unknowns)
        mean = sum(weight * found.means[at] for at, weight in unknowns)
        on = times[key]
        return Estimate(
            mean,
            sqrt(max(0.0, variance)),
            len({(ratio.swim.section, ratio.swim.line) for ratio in on}),
            frozenset([(ratio.swim.who, ratio.swim.entry) for ratio in on]),
            sum([ratio.log for ratio in on]) / len(on),
        )

    own: dict[Own, Estimate] = {}
    personal: dict[Own, Estimate] = {}
    factors: dict[str, Estimate] = {}
    for name in model.names:
        swimmers = [key for key in model.own if key[1] == name and key in times]
        order = sorted(swimmers, key=lambda key: found.means[model.at[key]])
        middle = order[(len(order) - 1) // 2 : len(order) // 2 + 1]  # one slow swimmer makes nobody else fast
        for key in swimmers:
            differs = estimate(key, {each: (each == key) - (each in middle) / len(middle) for each in {key, *middle}})
            if abs(differs.log) > DIFFERS * differs.deviation and differs.times >= LEAST_FOR_SWIMMER:
                own[key], personal[key] = differs, estimate(key, {name: 1.0, key: 1.0})
        if name in times:
            others = [key for key in swimmers if key not in own or key[0] not in told_apart] or swimmers
            factors[name] = estimate(name, {name: 1.0, **{key: 1 / len(others) for key in others}})
    return Learned(
        one.lane,
        {who: estimate(who, {who: 1.0}) for who in model.whos if who in times},
        factors,
        own,
        personal,
        tuple(ratios[at] for at in sorted(one.out, key=lambda at: -abs(off[at]))),
        one.noise,
    )


def written_factor(name: str, factors: Mapping[str, Fraction]) -> Fraction:
    """The factor in use for a name: the squad's or lane's own, the default, or its activity's.

    >>> written_factor("drill six-kick switch", {}), written_factor("snorkel", {})
    (Fraction(13, 10), Fraction(1, 1))
    """
    for known in (name, name.split(" ")[0]):
        for table in (factors, DEFAULTS):
            if known in table:
                return table[known]
    return Fraction(1)


def scaled(value: int | Fraction, by: float) -> float:
    """A value multiplied by a factor given as a logarithm."""
    return float(value) * exp(by)
