"""A squad's own words for efforts: read, written, known in its plans, and as fast as their factor says."""

from __future__ import annotations

from fractions import Fraction

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.plan.problem import Unreadable
from pacer.plan.text.standardform import write_plan
from pacer.squad.files.squadreader import read_squad
from pacer.squad.files.squadwriter import write_squad
from pacer.timeline.timeline import build_timeline

SQUAD = """
[[lane]]
base = "1:40"

[factors]
kick = 1.5

[efforts]
cruise = 1.03
strong = 0.97
"""


def test_own_efforts_are_read_and_written():
    squad = read_squad(SQUAD)
    assert squad.efforts == ("cruise", "strong") and squad.factors["cruise"] == Fraction(103, 100)
    assert squad.words.efforts == ("cruise", "strong")
    again = read_squad(write_squad(squad))
    assert again.efforts == squad.efforts and again.factors == squad.factors


def test_a_set_uses_the_factor_of_an_own_effort():
    squad = read_squad(SQUAD)
    plan = read_plan("pool: 25 m\nMain set\n  100 cruise\n  100 strong\n  100 strong kick\n", squad.words)
    assert "100 free cruise\n  100 free strong\n  100 kick strong" in write_plan(plan)
    assert read_plan(write_plan(plan), squad.words) == plan
    (track,) = build_timeline(plan, squad).tracks
    times = [found.laneline.slowest[0] for found in track.passes]
    assert times == [103_000, 97_000, 145_500], "1:40 times 1.03, 0.97, 1.5 x 0.97"


def test_another_squad_does_not_know_the_word():
    with pytest.raises(Unreadable) as caught:
        read_plan("pool: 25 m\nMain set\n  100 cruise\n")
    assert "several things" in caught.value.problems[0].message
    assert "100 free fast" in write_plan(read_plan("pool: 25 m\nMain set\n  100 strong\n"))


@pytest.mark.parametrize(
    ("word", "said"),
    [
        ("easy", "a word of the plan's notation"),
        ("back", "a word of the plan's notation"),
        ('"two words"', "not one word"),
    ],
)
def test_words_that_mean_something_else_are_refused(word, said):
    with pytest.raises(Unreadable) as caught:
        read_squad(f'[[lane]]\nbase = "1:40"\n[efforts]\n{word} = 1.1\n')
    assert said in caught.value.problems[0].message
