"""The words for the base and factors behind a lane's numbers."""

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.squad.defaultsquad import default_squad
from pacer.squad.files.squadreader import read_squad
from pacer.squad.trials.baseorigin import origin
from pacer.timeline.pacebasistext import base_said, origin_said, pace_said
from pacer.timeline.timeline import build_timeline

PLAN = read_plan("pool: 25 m\nMain set\n  4 x 100 on 2:00\n")


@pytest.mark.parametrize(
    ("squad", "long", "short"),
    [
        ('[[lane]]\nbase = "1:18"', "base 1:18 per 100 m typed in, default factors", "base 1:18 typed in"),
        (
            '[[lane]]\ntests = { "400" = "5:40", "200" = "2:40" }',
            "base 1:30 per 100 m from 200 in 2:40 and 400 in 5:40, default factors",
            "base 1:30 from 200 and 400",
        ),
        (
            '[[lane]]\nbase = "1:18 /100 yd"\n[factors]\nkick = 1.5\n"drill six-kick switch" = 1.625',
            "base 1:25.3 per 100 m (written 1:18 per 100 yd) typed in, own factors drill six-kick switch "
            "1.62, kick 1.5, default for the rest",
            "base 1:25.3 typed in",
        ),
        (
            '[[lane]]\n[[lane.swimmer]]\nname = "Kit"\nbase = "1:40"\n[[lane.swimmer]]\nname = "Jo"\n'
            'tests = { "200" = "3:20", "400" = "7:00" }',
            "base 1:50 per 100 m of swimmer 2, the slowest, from 200 in 3:20 and 400 in 7:00, default factors",
            "base 1:50 from 200 and 400",
        ),
        (
            '[[lane]]\n[[lane.swimmer]]\nbase = "1:40"\n[[lane.swimmer]]\nbase = "1:47"\n[lane.factors]\nkick = 1.6',
            "base 1:47 per 100 m of swimmer 2, the slowest, typed in, own factor kick 1.6, default for the rest",
            "base 1:47 of the slowest",
        ),
        (
            '[[lane]]\nbase = "1:18"\n[[lane.swimmer]]\nbase = "1:20"\n[[lane.swimmer]]\nbase = "1:18"',
            "base 1:18 per 100 m typed in, default factors",
            "base 1:18 typed in",
        ),
        (
            '[[lane]]\nbase = "1:30"\n[[lane.swimmer]]\n[[lane.swimmer]]\nname = "Jo"\n'
            "[lane.swimmer.factors]\nkick = 1.6\nfly = 1.1",
            "base 1:30 per 100 m typed in, default factors, swimmer 2 own factors fly 1.1, kick 1.6",
            "base 1:30 typed in",
        ),
        ('[[lane]]\ntests = { "400 yd" = "5:40", "30 min" = "1800 m" }', None, None),
    ],
)
def test_the_pace_and_where_it_is_from(squad, long, short):
    timeline = build_timeline(PLAN, read_squad(squad))
    told = f"{pace_said(timeline, 0)} {origin_said(timeline, 0)}"
    assert "Kit" not in told and "Jo" not in told
    if long is None:
        assert "365.76 m in 5:40" in told and "1800 m in 30:00" in told
    else:
        where = origin(timeline.lanes[0], PLAN.pool.unit, timeline.squad.assumed)[1]
        assert (told, f"{base_said(timeline, 0)} {where}") == (long, short)


def test_without_a_squad_the_pace_is_assumed():
    timeline = build_timeline(PLAN, default_squad(()))
    assert pace_said(timeline, 0) == "base 1:40 per 100 m"
    assert origin_said(timeline, 0) == "assumed, as there is no squad, default factors"


def test_the_slowest_of_a_set_is_who_takes_longest_for_it():
    """By hand: 50 kick at base 1:40 and 1.45 takes 1:12.5, at base 1:30 and an own 2.0 1:30."""
    squad = read_squad(
        '[[lane]]\n[[lane.swimmer]]\nbase = "1:30"\n[lane.swimmer.factors]\nkick = 2\n[[lane.swimmer]]\nbase = "1:40"\n'
    )
    plan = read_plan("pool: 25 m\n4 x 50 kick, rest 0:10\n4 x 100, rest 0:10\n200 kick\n4 x 50 kick on 1:30\n")
    kick, free, straight, tight = (found.laneline for found in build_timeline(plan, squad).tracks[0].passes)
    assert [kick.times(0, who)[-1] for who in (0, 1)] == [90_000, 72_500]
    assert kick.slowest == (90_000,) * 4 and set(kick.intervals) == {100_000}
    assert free.slowest == (100_000,) * 4 and set(free.intervals) == {110_000}
    assert straight.own is not None and [sums[-1] for sums in straight.own] == [360_000, 290_000]
    assert straight.end_ms == 360_000 and tight.too_tight and tight.ends[0] == 90_000
