"""Paces and factors learned from times, compared with another computation of the model and with simulated squads."""

import random
from dataclasses import replace
from math import log, sqrt

import numpy as np
import pytest
from scipy import stats

from pacer.review.learning.lanemodel import BASE_PRIOR
from pacer.review.learning.learned import NOISE, learn, outliers
from pacer.review.learning.posterior import Observed, Shared, joined, posterior
from pacer.review.swum.sessionreview import review_of
from pacer.session.records.outlyingtimes import FAR_OUT
from tests.review.learning.missedtouch import missed_touch
from tests.review.learning.squads import PLAN, simulated, squad_text
from tests.review.made import S, predicted, timed
from tests.session.pages import session

SQUADS = range(200)


@pytest.mark.parametrize("seed", range(40))
def test_the_posterior_is_the_conjugate_normal_one(seed):
    """Compare with the textbook matrix formula (conjugate normal linear model), computed with NumPy."""
    rng = random.Random(seed)
    size, sigma = rng.randint(1, 12), rng.uniform(0.005, 0.05)
    priors = [rng.uniform(0.01, 0.2) for _ in range(size)]
    observed, rows, values = [], [], []
    for _ in range(rng.randint(1, 30)):
        weights = {at: rng.uniform(-1, 1) for at in rng.sample(range(size), rng.randint(1, size))}
        logs = [rng.gauss(0, 0.1) for _ in range(rng.randint(1, 9))]
        observed.append(Observed(weights, len(logs), sum(logs) / len(logs)))
        for value in logs:
            rows.append([weights.get(at, 0.0) for at in range(size)])
            values.append(value)
    found = posterior(observed, priors, sigma)
    design = np.array(rows)
    covariance = np.linalg.inv(design.T @ design / sigma**2 + np.diag(1 / np.array(priors) ** 2))
    assert found.means == pytest.approx(covariance @ design.T @ np.array(values) / sigma**2, rel=1e-7, abs=1e-12)
    assert found.deviations == pytest.approx(np.sqrt(np.diag(covariance)), rel=1e-7)


@pytest.mark.parametrize("times", [1, 3, 20])
def test_one_unknown_is_the_shrunk_mean(times):
    """n/(n + k) of the mean, k = (σ/τ)²; a posterior integrated by SciPy has the same mean and deviation."""
    mean, sigma, tau = 0.05, 0.02, 0.06
    found = posterior([Observed({0: 1.0}, times, mean)], [tau], sigma)
    k = (sigma / tau) ** 2
    assert found.means[0] == pytest.approx(mean * times / (times + k))
    grid = np.linspace(-0.4, 0.4, 200_001)
    density = stats.norm.pdf(grid, 0, tau) * stats.norm.pdf(mean, grid, sigma / sqrt(times))
    density /= density.sum()
    assert found.means[0] == pytest.approx((grid * density).sum(), abs=1e-6)
    assert found.deviations[0] == pytest.approx(sqrt(((grid - found.means[0]) ** 2 * density).sum()), rel=1e-3)


@pytest.mark.parametrize("seed", range(20))
def test_lanes_with_a_level_above_them_are_the_two_level_conjugate_model(seed):
    """Compare with the dual form of the same model, which has no levels in it, computed with NumPy.

    The levels are averaged out beforehand: the unknowns of all lanes have one prior covariance K, the times one design
    X, and the posterior is K Xᵀ (X K Xᵀ + Σ)⁻¹ y with covariance K - K Xᵀ (X K Xᵀ + Σ)⁻¹ X K.
    """
    rng = random.Random(seed)
    lanes, unknowns, levels = rng.randint(2, 5), rng.randint(2, 6), rng.randint(1, 2)
    size, bases = lanes * unknowns, [rng.uniform(0.02, 0.1) for _ in range(unknowns)]
    shared = []
    for level in range(levels):
        places = [level if rng.random() < 0.8 else None for _ in range(lanes)]
        shared.append(Shared(places, rng.uniform(0.02, 0.1), rng.uniform(0.02, 0.1)))
    prior = np.diag(bases * lanes) ** 2
    priors = [list(bases) for _ in range(lanes)]
    for one in shared:
        there = [lane * unknowns + at for lane, at in enumerate(one.places) if at is not None]
        for lane, at in enumerate(one.places):
            if at is not None:
                priors[lane][at] = one.within
                prior[lane * unknowns + at, lane * unknowns + at] = one.within**2
        prior[np.ix_(there, there)] += one.between**2
    groups, rows, values, noises = [], [], [], []
    for lane in range(lanes):
        sigma, observed = rng.uniform(0.01, 0.04), []
        for _ in range(rng.randint(lane == 0, 8)):
            weights = {at: rng.uniform(-1, 1) for at in rng.sample(range(unknowns), rng.randint(1, unknowns))}
            logs = [rng.gauss(0, 0.1) for _ in range(rng.randint(1, 5))]
            observed.append(Observed(weights, len(logs), sum(logs) / len(logs)))
            for value in logs:
                row = np.zeros(size)
                for at, weight in weights.items():
                    row[lane * unknowns + at] = weight
                rows.append(row)
                values.append(value)
                noises.append(sigma**2)
        groups.append(posterior(observed, priors[lane], sigma))
    design = np.array(rows).reshape(len(rows), size)
    gain = prior @ design.T @ np.linalg.inv(design @ prior @ design.T + np.diag(noises))
    means, covariance = gain @ np.array(values), prior - gain @ design @ prior
    found = joined(groups, shared)
    assert [mean for one in found for mean in one.means] == pytest.approx(means, rel=1e-6, abs=1e-9)
    for lane, one in enumerate(found):
        for a in range(unknowns):
            for b in range(unknowns):
                there = covariance[lane * unknowns + a, lane * unknowns + b]
                assert one.covariance(a, b) == pytest.approx(there, rel=1e-6, abs=1e-9)


def test_a_lane_with_few_times_is_shrunk_towards_the_squad():
    """Three lanes swim a drill 20 % slower than written, the fourth has two odd times of it and no more."""
    plan = "pool: 25 m\nMain\n  12 x 50 drill six-kick switch on 2:10\n  8 x 50 free on 1:30\n"
    timeline = session(plan, squad_text(4, 2))

    def takes(swim):
        if swim.lane == 3 and (swim.repeat > 2 or swim.place):
            return None
        slow = 1.0 if swim.line == 2 else 1.05 if swim.lane == 3 else 1.2
        return round(swim.predicted_ms * slow * (1 + 0.01 * (swim.repeat % 3 - 1)))

    name = "drill six-kick switch"
    *three, last = learn(review_of(timed(timeline, takes)))
    (alone,) = learn(review_of(timed(timeline, lambda swim: takes(swim) if swim.lane == 3 else None)))
    assert all(one.factors[name].log == pytest.approx(log(1.2), abs=0.01) for one in three)
    assert alone.factors[name].log < last.factors[name].log < log(1.2)
    assert last.factors[name].log > 1.05 * alone.factors[name].log
    assert last.factors[name].deviation < alone.factors[name].deviation


def test_a_lane_with_a_value_of_its_own_is_not_drawn_to_the_others():
    """What the squad shares is how far it is from what was written: another value written is another question."""
    plan = "pool: 25 m\nMain\n  12 x 50 drill six-kick switch on 2:10\n  8 x 50 free on 1:30\n"
    own = '\n[[lane]]\nbase = "1:40"\n  [lane.factors]\n  "drill six-kick switch" = 1.56\n'
    timeline = session(plan, squad_text(3, 2) + own)

    def takes(swim):
        return round(swim.predicted_ms * (1.2 if swim.lane < 3 and swim.line == 1 else 1))

    *_, last = learn(review_of(timed(timeline, takes)))
    assert abs(last.factors["drill six-kick switch"].log) < 1e-3


@pytest.fixture(scope="module")
def squads():
    """The results and the true values of 200 squads, with one time in twenty spoilt."""
    made = []
    for seed in SQUADS:
        kept, truth = simulated(seed, outliers=0.05)
        review = review_of(kept)
        made.append((review.taken, learn(review), truth))
    return made


def test_two_standard_errors_contain_the_truth_in_95_per_cent(squads):
    off = []
    for _, learned, truth in squads:
        for one in learned:
            off += [(found.log - truth.bases[who]) / found.deviation for who, found in one.bases.items()]
            off += [
                (found.log - truth.factors[one.lane, name]) / found.deviation for name, found in one.factors.items()
            ]
    assert len(off) > 3000
    assert sum(abs(value) <= 2 for value in off) / len(off) >= 0.95
    assert stats.kstest(off, "norm").statistic < 0.03  # nor is the distribution wider than claimed


def test_outliers_are_found_and_little_else(squads):
    spoilt = found = false = 0
    for _, learned, truth in squads:
        out = {(one.swim.lane, one.swim.place, one.swim.left_ms) for lane in learned for one in lane.left_out}
        spoilt, found = spoilt + len(truth.spoilt), found + len(out & truth.spoilt)
        false += len(out - truth.spoilt)
    assert found / spoilt >= 0.95
    assert false / (sum(taken for taken, _, _ in squads) - spoilt) <= 0.01


def test_learned_values_are_nearer_to_the_truth_than_written_ones(squads):
    """Compare the mean square of the remaining error with that of the squad's values."""
    before, after = [], []
    for _, learned, truth in squads:
        for one in learned:
            for who, found in one.bases.items():
                before.append(truth.bases[who])
                after.append(found.log - truth.bases[who])
    assert np.std(before) == pytest.approx(BASE_PRIOR, rel=0.1)
    assert np.std(after) < np.std(before) / 5


def test_times_as_predicted_change_nothing():
    for one in learn(review_of(timed(session(PLAN, squad_text()), lambda swim: swim.predicted_ms))):
        assert all(abs(found.log) < 1e-4 and not found.sure for found in (*one.bases.values(), *one.factors.values()))
        assert one.left_out == () and one.own == {} and one.noise < NOISE


def test_a_missed_touch_is_left_out_until_it_is_put_back():
    """One doubled time out of thirty: left out by the rule, put back by hand."""
    timeline = session("pool: 25 m\nMain\n  30 x 50 free on 1:30\n", '[[lane]]\nbase = "1:20"\n')
    review = review_of(timed(timeline, lambda swim: 80 * S if swim.repeat == 7 else 40 * S + 100 * (swim.repeat % 5)))
    (lane,) = learn(review)
    (out,) = lane.left_out
    assert out.swim.repeat == 7 and out.log == pytest.approx(log(2))
    (back,) = learn(replace(review, put_back=frozenset({out.swim.entry})))
    assert back.left_out == () and back.bases[0].times == 30
    assert back.bases[0].log > lane.bases[0].log + 0.015


def test_a_time_put_back_is_one_of_eight_and_no_other_swimmers():
    review = review_of(missed_touch())
    (lane,) = learn(review)
    (out,) = lane.left_out
    (back,) = learn(replace(review, put_back=frozenset({out.swim.entry})))
    assert back.left_out == (), "no good time takes its place"
    assert [back.bases[who].times for who in range(3)] == [8, 8, 8]
    for who in (0, 2):
        assert back.bases[who].log == pytest.approx(lane.bases[who].log, abs=0.004) and back.bases[who].sure
    assert back.bases[1].log > lane.bases[1].log and back.bases[1].deviation > 3 * lane.bases[1].deviation
    assert not back.bases[1].sure, "seven times faster and one that is twice as long"


def test_to_put_a_time_back_never_leaves_another_one_out():
    """Twenty squads with one time in ten spoilt: each outlier put back by itself, then all of them together."""
    tried = 0
    for seed in range(20):
        review = review_of(simulated(seed, outliers=0.1)[0])
        out = outliers(review)
        for back in [*(frozenset({entry}) for entry in sorted(out)[:4]), out]:
            tried += 1
            assert outliers(replace(review, put_back=back)) == out - back, seed
    assert tried > 80


def test_a_time_as_written_does_not_look_wrong():
    """All the others are 6 % faster than written, a warm-up repeat was swum as the page said: it is no mistake."""
    timeline = session("pool: 25 m\nMain\n  20 x 100 free on 2:30\n", '[[lane]]\nbase = "1:20"\n')
    rng = random.Random(1)

    def takes(swim):
        return 81 * S if swim.repeat == 1 else round(swim.predicted_ms * 0.94 * rng.gauss(1, 0.005))

    (lane,) = learn(review_of(timed(timeline, takes)))
    assert lane.left_out == () and lane.bases[0].times == 20


def test_few_times_have_only_the_far_rule():
    timeline = session("pool: 25 m\nMain\n  3 x 50 free on 1:30\n", '[[lane]]\nbase = "1:20"\n')
    (lane,) = learn(review_of(timed(timeline, lambda swim: (40, 41, 44)[swim.repeat - 1] * S)))
    assert lane.left_out == () and lane.bases[0].times == 3
    (lane,) = learn(review_of(timed(timeline, lambda swim: (40, 40, 70)[swim.repeat - 1] * S)))
    assert [out.swim.repeat for out in lane.left_out] == [3] and log(70 / 40) > FAR_OUT


def test_sets_with_a_target_time_teach_nothing():
    timeline = session("pool: 25 m\nMain\n  10 x 50 free hold 0:45, on 1:30\n", '[[lane]]\nbase = "1:20"\n')
    assert learn(review_of(timed(timeline, lambda swim: 50 * S))) == ()


def test_a_swimmer_with_a_factor_of_their_own():
    """One of three is 6 % slower only on kick: reported beside the lane's factor, which hardly changes."""
    text = "pool: 25 m\nMain\n  20 x 50 kick on 2:00\n  20 x 50 free on 1:30\n"
    timeline = session(text, squad_text(1, 3))
    rng = random.Random(5)

    def takes(swim):
        slow = 1.06 if swim.who == 1 and swim.line == 1 else 1.0
        return round(swim.predicted_ms * slow * rng.gauss(1, 0.01))

    (lane,) = learn(review_of(timed(timeline, takes)))
    personal = lane.personal[1, "kick"]
    assert personal.log == pytest.approx(log(1.06), abs=2.5 * personal.deviation) and personal.times == 20
    assert abs(lane.bases[1].log) < 0.01, "the base is not blamed for the kick"
    assert abs(lane.factors["kick"].log) < 0.01, "nor the others of the lane"
    assert (0, "kick") not in lane.own


def test_swimmers_own_factors_are_within_two_standard_errors():
    """100 squads in which every swimmer differs from the lane in the drill, and in nothing else."""
    off, chance = [], 0
    for seed in range(100):
        kept, truth = simulated(seed, own=("drill six-kick switch",))
        for one in learn(review_of(kept)):
            for (who, name), found in one.personal.items():
                real = truth.factors[one.lane, name] + truth.own.get((who, name), 0.0)
                chance += name != "drill six-kick switch"
                off.append((found.log - real) / found.deviation)
    within = sum(abs(value) <= 2 for value in off)
    assert len(off) > 200
    assert stats.binomtest(within, len(off), 0.95, alternative="less").pvalue > 0.05, (
        "197 of 209, as 95 % would have it"
    )
    assert chance / len(off) < 0.05, "hardly anybody differs in something else by chance"


def test_predictions_with_learned_values_are_right():
    """Noiseless times with another base and another factor give both, if there are enough to separate them."""
    timeline = session(
        "pool: 25 m\nMain\n  20 x 100 free on 2:30\n  20 x 50 kick on 2:00\n", '[[lane]]\nbase = "1:20"\n'
    )
    takes = {1: 1.04, 2: 1.04 * 1.08}
    review = review_of(timed(timeline, lambda swim: round(swim.predicted_ms * takes[swim.line])))
    (lane,) = learn(review)
    assert lane.bases[0].log == pytest.approx(log(1.04), abs=0.002)
    assert lane.factors["kick"].log == pytest.approx(log(1.08), abs=0.004)
    assert len(predicted(timeline)) == 40
