"""A drill by any of its names."""

from __future__ import annotations

import pytest

from pacer.plan.library.drillbook import Drill, DrillBook, drills_of, drills_of_plan, named_in
from pacer.plan.notation.planreader import read_plan
from pacer.shippedfiles import DRILLS, PLANS
from pacer.squad.files.drillreader import drills_from_bytes

BOOK = drills_from_bytes(DRILLS.read_bytes())


@pytest.mark.parametrize(
    "written", ["six-kick switch", "Six kick switch", "6-kick  Switch", "KICK SWITCH", "6 kick switch"]
)
def test_any_name_finds_the_same_drill(written):
    assert BOOK.drill(written).name == BOOK.name_of(written) == "six-kick switch"


def test_a_name_not_in_the_book_stays_as_it_is():
    assert BOOK.drill("zipper") is None and BOOK.name_of("zipper") == "zipper"
    assert BOOK.near("catchp") == "catch-up" and BOOK.near("zzz") == ""


def test_names_that_begin_with_a_part():
    assert BOOK.beginning("si") == ("side kick", "six-kick switch", "single arm")
    assert BOOK.beginning("six kick s") == ("six-kick switch",)
    assert BOOK.beginning("six-kick switch") == () and BOOK.beginning("x") == ()
    assert len(BOOK.beginning("")) == len(BOOK)


def test_all_demo_drills_are_in_the_book():
    """Every drill of the demo plans is in the book, at least eight, each with everything a coach needs."""
    plans = [read_plan(path.read_text(encoding="utf-8")) for path in sorted(PLANS.glob("*.txt"))]
    names = [found for plan in plans for found in named_in(plan)]
    assert len(names) > 6 and not [found for found in names if BOOK.drill(found.name) is None]
    assert len(BOOK) == 8
    for drill in BOOK.drills:
        assert drill.focus and drill.look_for and drill.faults and (drill.easier or drill.harder)
        assert drill.how.endswith(".") and len(drill.how) <= 120


def test_drills_of_a_set_and_of_a_plan():
    plan = read_plan(
        "pool: 25 m\n2 x 100 as 25 drill catch up / 25 free / 25 drill one arm / 25 free\n"
        "50 drill catchup\n50 drill zipper\n"
    )
    line = plan.sections[0].items[0]
    assert [drill.name for drill in drills_of(line, BOOK)] == ["catch-up", "single arm"]
    assert [drill.name for drill in drills_of_plan(plan, BOOK)] == ["catch-up", "single arm"]
    assert [(found.line, found.name) for found in named_in(plan)][-1] == (4, "zipper")


def test_a_book_is_looked_up_quickly():
    book = DrillBook((Drill("a", "b"),))
    assert book != DrillBook((Drill("a", "b"),)) and book.drill("A") is not None
