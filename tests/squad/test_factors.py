"""Which factor applies to which work."""

from dataclasses import replace
from fractions import Fraction

import pytest

from pacer.plan.model import GEAR, Activity, Effort, Stroke, Work
from pacer.squad.defaultsquad import default_squad
from pacer.squad.factors import (
    DEFAULTS,
    activity_factor,
    effort_factor,
    factor_name,
    gear_factor,
    merged_factors,
    stroke_factor,
)
from pacer.squad.refusal import Refused

KICK = Work(Activity.KICK, None)
DRILL = Work(Activity.DRILL, None, None, "six-kick switch")


@pytest.mark.parametrize(
    ("work", "factors", "expected"),
    [
        # the figures of common practice, no source
        (Work(), {}, "1"),
        (Work(Activity.PULL), {}, "1.03"),
        (DRILL, {}, "1.3"),
        (KICK, {}, "1.45"),
        (Work(Activity.SCULL, None), {}, "2"),
        # the most specific name wins
        (DRILL, {"drill": "1.5"}, "1.5"),
        (DRILL, {"drill": "1.5", "drill six-kick switch": "1.6"}, "1.6"),
        (replace(DRILL, name="Six-Kick  Switch"), {"drill six-kick switch": "1.6"}, "1.6"),
        (replace(DRILL, name="fist"), {"drill six-kick switch": "1.6"}, "1.3"),
        (KICK, {"kick back": "1.7"}, "1.45"),
        (replace(KICK, stroke=Stroke.BACK), {"kick back": "1.7", "kick": "1.5"}, "1.7"),
        (replace(KICK, stroke=Stroke.FLY), {"kick back": "1.7", "kick": "1.5"}, "1.5"),
        (replace(DRILL, stroke=Stroke.BACK), {"drill back": "1.7", "drill six-kick switch": "1.6"}, "1.6"),
        (replace(DRILL, stroke=Stroke.BACK), {"drill back": "1.7"}, "1.7"),
        (
            replace(DRILL, stroke=Stroke.BACK),
            {"drill six-kick switch": "1.6", "drill back six-kick switch": "1.8", "drill": "1.5"},
            "1.8",
        ),
        # swim and pull have no named kinds
        (Work(stroke=Stroke.BACK), {"swim back": "3"}, "1"),
    ],
)
def test_the_most_specific_activity_wins(work, factors, expected):
    factors = {name: Fraction(value) for name, value in factors.items()}
    assert activity_factor(work, factors) == Fraction(expected)


@pytest.mark.parametrize("activity", Activity)
@pytest.mark.parametrize("stroke", [s for s in Stroke if s is not Stroke.IM_ORDER])
def test_strokes_count_only_for_swim_and_pull(activity, stroke):
    work = Work(activity, stroke)
    counts = activity in (Activity.SWIM, Activity.PULL)
    assert stroke_factor(work, {}) == (DEFAULTS[stroke] if counts else 1)
    assert stroke_factor(work, {str(stroke): Fraction(3)}) == (3 if counts else 1)


def test_im_order_has_no_factor_of_its_own():
    with pytest.raises(KeyError):
        stroke_factor(Work(stroke=Stroke.IM_ORDER), {})


@pytest.mark.parametrize(
    ("effort", "factors", "expected"),
    [
        ("easy", {}, "1.15"), ("steady", {}, "1.07"), ("threshold", {}, "1"), ("fast", {}, "0.95"),
        ("sprint", {}, "0.88"),
        ("easy", {"easy": "1.2"}, "1.2"),
        ("build", {}, "1.05"),
        ("build", {"easy": "1.25"}, "1.1"),
        ("build", {"easy": "1.25", "fast": "0.9"}, "1.075"),
        ("build", {"easy": "1.25", "build": "1"}, "1"),
    ],
)  # fmt: skip
def test_efforts(effort, factors, expected):
    factors = {name: Fraction(value) for name, value in factors.items()}
    assert effort_factor(Effort(effort), factors) == Fraction(expected)


@pytest.mark.parametrize(
    ("gear", "activity", "factors", "expected"),
    [
        ("fins", "swim", {}, "0.88"), ("fins", "kick", {}, "0.72"), ("paddles", "pull", {}, "0.97"),
        ("snorkel", "swim", {}, "1"),
        ("fins", "kick", {"fins kick": "0.7"}, "0.7"),
        ("fins", "kick", {"fins": "0.8"}, "0.72"),      # the default for fins with kick stays: it is more specific
        ("fins", "drill", {"fins": "0.8"}, "0.8"),
        ("bands", "swim", {}, "1"),
        ("bands", "swim", {"bands": "1.3"}, "1.3"),
        ("bands", "pull", {"bands": "1.3", "bands pull": "1.2"}, "1.2"),
    ],
)  # fmt: skip
def test_gear(gear, activity, factors, expected):
    factors = {name: Fraction(value) for name, value in factors.items()}
    assert gear_factor(gear, Activity(activity), factors) == Fraction(expected)


def test_every_gear_word_has_a_default():
    assert set(GEAR) <= set(DEFAULTS)
    assert all(isinstance(factor, Fraction) for factor in DEFAULTS.values())


def test_the_lanes_factors_override_the_squads():
    squad = replace(default_squad(), factors={"kick": Fraction(2), "drill": Fraction(3)})
    lane = squad.lanes[0]
    assert merged_factors(squad, lane) is squad.factors
    lane = replace(lane, factors={"kick": Fraction(4)})
    assert merged_factors(squad, lane) == {"kick": 4, "drill": 3}


def test_a_swimmers_factors_override_the_lanes_and_the_squads():
    squad = replace(default_squad(), factors={"kick": Fraction(2), "drill": Fraction(3), "fly": Fraction(1)})
    lane = replace(squad.lanes[0], factors={"kick": Fraction(4), "drill": Fraction(5)})
    swimmer = replace(lane.swimmers[0], factors={"kick": Fraction(2, 3)})
    assert merged_factors(squad, lane, swimmer) == {"kick": Fraction(2, 3), "drill": 5, "fly": 1}
    assert merged_factors(squad, lane, lane.swimmers[0]) == merged_factors(squad, lane)
    # A more specific name of the lane still wins over a swimmer's general one.
    named = replace(lane, factors={"drill six-kick switch": Fraction(3, 2)})
    swimmer = replace(swimmer, factors={"drill": Fraction(2)})
    assert activity_factor(DRILL, merged_factors(squad, named, swimmer)) == Fraction(3, 2)


@pytest.mark.parametrize(
    "name", [*DEFAULTS, "build", "fins swim", "ankle band kick", "kick", "kick back", "drill IM switch"]
)
def test_a_standard_name_stays_the_same(name):
    assert factor_name(name) == name
    assert factor_name(f"  {name.upper().replace(' ', '  ')} ") == name


@pytest.mark.parametrize(
    ("name", "hint"),
    [
        ("kik", "kick"),
        ("im order", "fly"),
        ("drill easy", "easy"),
        ("swim back", "back"),
        ("kick back fly", "kick fly"),
        ("", "an activity"),
        ("towel", "an activity"),
    ],
)
def test_what_is_not_the_name_of_a_factor(name, hint):
    with pytest.raises(Refused) as refused:
        factor_name(name)
    assert hint in refused.value.hint


def test_words_that_a_squad_adds_have_factors():
    assert factor_name("Bands kick", ("bands",)) == "bands kick"
