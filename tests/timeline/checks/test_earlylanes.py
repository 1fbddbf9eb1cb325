"""Lanes that are done long before the last one."""

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.livepage import LivePage
from pacer.squad.squad import Lane, Pace, Squad, Swimmer
from pacer.timeline.checks.earlylanes import EARLY_MS, done_early
from pacer.timeline.checks.remedies import fixes_of
from pacer.timeline.timeline import build_timeline


def squad(*bases_s):
    return Squad(tuple(Lane(n + 1, Pace(s * 1000), (Swimmer(Pace(s * 1000)),)) for n, s in enumerate(bases_s)))


def early(text, who):
    return list(done_early(build_timeline(read_plan(text), who)))


def test_a_lane_that_could_swim_more_is_named_with_when_it_is_done_and_how_many_repeats_fit():
    who = squad(80, 90, 110)
    page = "pool: 25 m\n\nMain set\n  20 x 100 on 1:30 / 1:45 / 2:10\n"
    (found,) = early(page, who)
    # Lane 1 leaves for the last time at 19 x 90 s and swims 80 s; lane 3 at 19 x 130 s and swims 110 s.
    first_s, last_s = 19 * 90 + 80, 19 * 130 + 110
    assert (first_s, last_s) == (1790, 2580)
    assert found.message == "done at 29:50, 13:10 before the last lane: could swim more" and found.lanes == (1,)
    lines, live = page.split("\n"), LivePage(who.words)
    (fix,) = fixes_of(found, lines, live.read(lines), who, live)
    # 790 s more at 1:30 are 8 repeats; lane 2 ends at 19 x 105 + 90 = 2085 s: 495 s more at 1:45 are 4.
    assert fix.applied(lines)[3] == "  28 / 24 / 20 x 100 on 1:30 / 1:45 / 2:10"
    assert not early("\n".join(fix.applied(lines)), who), "with them nobody is"


def test_several_lanes_are_said_with_the_first_to_be_done():
    (found,) = early("pool: 25 m\n\nMain set\n  20 x 100 on 1:20 / 1:30 / 2:10\n", squad(75, 85, 110))
    assert found.lanes == (1, 2) and found.message.startswith("done from 26:35 on, up to 16:25 before")


@pytest.mark.parametrize("over_s", [0, 1])
def test_lanes_within_ten_minutes_of_the_last_count_as_done_with_it(over_s):
    apart_s = EARLY_MS // 1000 + over_s
    who = squad(60, 60 + apart_s)
    assert bool(early("pool: 25 m\n\nMain set\n  100\n", who)) == bool(over_s)


def test_where_no_set_can_grow_it_is_said_all_the_same():
    (found,) = early("pool: 25 m\n\nMain set\n  3000\n", squad(70, 100))
    assert found.remedies == () and found.line is None
