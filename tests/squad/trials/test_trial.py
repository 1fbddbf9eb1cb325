"""Test swims that nobody can have swum raise a doubt, wherever they come from."""

import pytest

from pacer.cli.commands import main
from pacer.plan.model import Unit
from pacer.squad.refusal import Refused
from pacer.squad.squad import Trial
from pacer.squad.trials.basefromtrials import Trust, base_from_tests
from pacer.squad.trials.trial import doubts_about, trial_from_text

ASKED = "are the distance and the time right?"


@pytest.mark.parametrize(
    ("distance", "ms", "unit"),
    [
        (100, 21_700, Unit.METRE),
        (100, 21_700, None),
        (100, 21_700, Unit.YARD),
        (100, 43_000, Unit.METRE),
        (50, 17_900, Unit.METRE),
        (400, 208_000, Unit.METRE),
        (1500, 810_000, Unit.METRE),
        (100, 301_000, Unit.METRE),
        (400, 1_300_000, None),
    ],
)
def test_a_swim_that_cannot_be_right_raises_a_doubt(distance, ms, unit):
    doubts = doubts_about((Trial(distance, ms, unit),))
    assert len(doubts) == 1 and doubts[0].endswith(ASKED)


@pytest.mark.parametrize(
    ("distance", "ms"),
    [
        (100, 47_840),
        (100, 65_800),  # men's world records of 2000 and 1905 (mosaicData, SwimRecords)
        (100, 53_520),
        (100, 95_000),  # women's of 2004 and 1908 (the same)
        (400, 231_930),
        (400, 249_890),
        (1500, 902_400),  # 1976 (Jokl and Jokl, Br J Sports Med)
        (100, 44_840),
        (400, 212_250),
        (50, 19_900),  # short-course records since, from memory
        (100, 290_000),
    ],
)
def test_a_swim_that_people_have_swum_raises_none(distance, ms):
    assert doubts_about((Trial(distance, ms, Unit.METRE),)) == ()


def test_a_base_from_such_a_swim_is_rough_and_says_so_first():
    found = base_from_tests((Trial(100, 21_700, Unit.METRE),))
    assert found.trust is Trust.ROUGH
    assert found.advice[0] == f"100 m in 0:21.7 is faster than anybody has swum: {ASKED}"


def test_pacer_pace_asks(capsys):
    assert main(["pace", "100=0:21.7"]) == 0
    assert ASKED in capsys.readouterr().out


@pytest.mark.parametrize("said", ["5:40 on Thursday", "5:40 on 2026-02-30"])
def test_a_day_that_is_none_is_refused_with_an_example(said):
    with pytest.raises(Refused) as wrong:
        trial_from_text("400", said)
    assert "400" in wrong.value.hint
