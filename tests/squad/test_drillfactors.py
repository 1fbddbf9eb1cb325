"""One factor applies to all names of a drill."""

from __future__ import annotations

from fractions import Fraction

from pacer.plan.notation.planreader import read_plan
from pacer.squad.drillfactors import with_other_names
from pacer.squad.files.squadreader import read_squad
from pacer.squad.files.squadwriter import write_squad
from pacer.timeline.timeline import build_timeline
from tests.plan.library.test_drillbook import BOOK

SQUAD = """[[lane]]
base = "1:40"
[lane.factors]
"drill back single arm" = 1.5
[factors]
"drill catch-up" = 1.6
"drill kick switch" = 1.9
"drill six-kick switch" = 1.8
kick = 1.4
"""


def times(written, squad):
    plan = read_plan("pool: 25 m\n" + "".join(f"100 drill {name}\n" for name in written))
    return [found.laneline.times(0, 0)[-1] for found in build_timeline(plan, squad).tracks[0].passes]


def test_another_name_is_as_fast():
    squad = with_other_names(read_squad(SQUAD), BOOK)
    assert times(["catch-up", "catchup", "Catchup"], squad) == [160_000] * 3
    assert times(["one arm back", "single arm back", "one arm"], squad) == [150_000, 150_000, 130_000]
    assert times(["catchup"], read_squad(SQUAD)) == [130_000]


def test_a_name_with_its_own_factor_keeps_it():
    squad = with_other_names(read_squad(SQUAD), BOOK)
    assert squad.factors["drill kick switch"] == Fraction(19, 10)
    assert squad.factors["drill 6-kick switch"] in (Fraction(18, 10), Fraction(19, 10))
    assert squad.factors["kick"] == Fraction(14, 10)


def test_a_swimmers_own_factor_has_all_names_too():
    text = (
        '[[lane]]\nbase = "1:40"\n[[lane.swimmer]]\n[[lane.swimmer]]\n[lane.swimmer.factors]\n"drill catch-up" = 1.5\n'
    )
    plan = read_plan("pool: 25 m\n100 drill catchup\n")
    (found,) = build_timeline(plan, with_other_names(read_squad(text), BOOK)).tracks[0].passes
    assert [found.laneline.times(0, who)[-1] for who in (0, 1)] == [130_000, 150_000]


def test_the_squad_is_written_and_read_back():
    squad = with_other_names(read_squad(SQUAD), BOOK)
    assert read_squad(write_squad(squad)) == squad
