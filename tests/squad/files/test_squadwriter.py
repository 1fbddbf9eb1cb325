"""A written squad reads back as the same squad."""

import random
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pacer.plan.model import Unit
from pacer.squad.files.squadreader import read_squad
from pacer.squad.files.squadwriter import write_squad
from pacer.squad.files.tomlcomments import with_comments
from pacer.squad.squad import Lane, Pace, Squad, Swimmer
from tests.reference.random_squads import random_squad_toml

UNITS = st.sampled_from([None, Unit.METRE, Unit.YARD])
NAMES = st.sampled_from(["", "Kit", 'Jo "Jo" \\ Ash', "Zoë", "#1, = [x]"])
FACTORS = st.dictionaries(
    st.sampled_from(
        [
            "kick",
            "bänder",
            "kick back",
            "drill six-kick switch",
            "IM",
            "fins kick",
            "bands",
            "build",
            'drill zoë\'s "own"',
        ]
    ),
    st.integers(200_000, 5_000_000).map(lambda n: Fraction(n, 1_000_000)),
)


@st.composite
def squads(draw):
    lanes = []
    numbers = draw(st.one_of(st.none(), st.lists(st.integers(0, 99), min_size=4, max_size=4, unique=True)))
    for place in range(draw(st.integers(1, 4))):
        unit = draw(UNITS)
        paces = st.integers(20_000, 600_000).map(lambda ms, unit=unit: Pace(ms, unit))
        base = draw(paces)
        alike = (Swimmer(base),) * draw(st.integers(1, 5))
        lanes.append(
            Lane(
                numbers[place] if numbers else place + 1,
                base,
                draw(
                    st.one_of(
                        st.just(alike),
                        st.lists(st.builds(Swimmer, paces, NAMES, factors=FACTORS), min_size=1, max_size=4).map(tuple),
                    )
                ),
                draw(st.sampled_from([5_000, 10_000, 1_000, 2_500])),
                draw(st.sampled_from([None, "A", "B", "juniors"])),
                draw(st.sampled_from([None, 0, 2])),
                draw(FACTORS),
            )
        )
    return Squad(tuple(lanes), draw(NAMES), draw(FACTORS), ("bands", "bänder"))


@given(squads())
@settings(max_examples=50, deadline=None)
def test_any_squad_reads_back_equal(squad):
    text = write_squad(squad)
    assert read_squad(text) == squad
    assert write_squad(read_squad(text)) == text


@pytest.mark.parametrize("seed", range(40))
def test_a_read_squad_reads_back_equal(seed):
    squad = read_squad(random_squad_toml(random.Random(seed)))
    assert read_squad(write_squad(squad)) == squad


def test_the_written_form():
    squad = Squad(
        (
            Lane(1, Pace(78_000), (Swimmer(Pace(78_000)),) * 5, group="A"),
            Lane(
                5,
                Pace(102_000, Unit.YARD),
                (Swimmer(Pace(100_000, Unit.YARD), "Kit"), Swimmer(Pace(102_000, Unit.YARD))),
                spacing_ms=10_000,
                rounds=2,
                factors={"kick back": Fraction(3, 2)},
            ),
        ),
        "Thursday squad",
        {"kick": Fraction(29, 20)},
    )
    assert write_squad(squad) == (
        'name = "Thursday squad"\n\n'
        '[[lane]]\ngroup = "A"\nbase = "1:18"\nswimmers = 5\n\n'
        '[[lane]]\nnumber = 5\nspacing = "0:10"\nrounds = 2\n\n'
        '  [lane.factors]\n  "kick back" = 1.5\n\n'
        '  [[lane.swimmer]]\n  name = "Kit"\n  base = "1:40 /100 yd"\n\n'
        '  [[lane.swimmer]]\n  base = "1:42 /100 yd"\n\n'
        "[factors]\nkick = 1.45\n"
    )


def test_swimmers_alike_but_for_a_factor_are_written_one_by_one():
    base = Pace(90_000)
    slow = Swimmer(base, own=False, factors={"kick": Fraction(8, 5)})
    squad = Squad((Lane(1, base, (Swimmer(base, own=False), slow, Swimmer(base, own=False))),))
    text = write_squad(squad)
    assert text == (
        '[[lane]]\nbase = "1:30"\n\n  [[lane.swimmer]]\n\n'
        "  [[lane.swimmer]]\n    [lane.swimmer.factors]\n    kick = 1.6\n\n  [[lane.swimmer]]\n"
    )
    again = read_squad(text)
    assert again == squad and not again.lanes[0].swimmers[1].own
    said = text.replace("kick = 1.6", "kick = 1.6  # since her knee")
    assert with_comments(text.replace("1.6", "1.5"), said) == said.replace("1.6", "1.5")


def test_a_computed_pace_is_written_to_the_nearest_millisecond():
    pace = Pace(Fraction(154_819, 2))
    text = write_squad(Squad((Lane(1, pace, (Swimmer(pace),)),)))
    assert 'base = "1:17.41"' in text
    assert read_squad(text).lanes[0].base == Pace(77_410)


@pytest.mark.parametrize(
    "tests",
    [
        '{ 200 = "2:40", 400 = "5:40" }',
        '{ "200 yd" = "2:40.37", "400 yd" = "5:41.03" }',
        '{ 100 = "1:11", 200 = "2:40", 400 = "5:40", 800 = "11:40" }',
        '{ "30 min" = "2025 m" }',
        '{ 3000 = "48:00" }',
        '{ 400 = "5:40" }',
    ],
)
def test_a_pace_from_test_swims_is_written_as_test_swims(tests):
    squad = read_squad(
        f"[[lane]]\ntests = {tests}\n[[lane]]\n[[lane.swimmer]]\ntests = {tests}\n[[lane.swimmer]]\ntests = {tests}\n"
    )
    text = write_squad(squad)
    assert text.count("tests = ") == 3
    again = read_squad(text)
    assert again == squad and again.lanes[0].tests == squad.lanes[0].tests != ()
    assert again.lanes[1].swimmers[0].tests == squad.lanes[1].swimmers[0].tests != ()
    assert write_squad(again) == text


def test_test_swims_with_and_without_their_days():
    """Files of before have no days, and are read as ever."""
    old = '[[lane]]\ntests = { "200" = "2:40", "400" = "5:40", "30 min" = "2025" }'
    new = '[[lane]]\ntests = { "200" = "2:40 on 2026-02-24", "400" = "5:40", "30 min" = "2025 on 5 March 2026" }'
    before, squad = read_squad(old), read_squad(new)
    assert squad.lanes == before.lanes and {trial.day for trial in before.lanes[0].tests} == {""}
    days = {trial.time_ms: trial.day for trial in squad.lanes[0].tests}
    assert days == {160_000: "2026-02-24", 340_000: "", 1_800_000: "2026-03-05"}
    text = write_squad(squad)
    assert '"200" = "2:40 on 2026-02-24", "400" = "5:40", "30 min" = "2025 on 2026-03-05"' in text
    assert write_squad(read_squad(text)) == text


def test_test_swims_that_give_another_pace_are_not_written():
    trials = read_squad('[[lane]]\ntests = { 200 = "2:40", 400 = "5:40" }').lanes[0].tests
    pace = Pace(91_000)
    squad = Squad((Lane(1, pace, (Swimmer(pace, "Kit", trials),), tests=trials),))
    assert "tests" not in write_squad(squad) and read_squad(write_squad(squad)) == squad
