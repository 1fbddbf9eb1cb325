"""Suggested intervals: the nearest mark that gives the wanted rest."""

from fractions import Fraction

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.standardform import write_plan
from pacer.squad.files.squadreader import read_squad
from pacer.squad.squad import Lane, Pace, Squad, Swimmer
from pacer.timeline.checks.planchecks import too_tight
from pacer.timeline.findings import CannotRun
from pacer.timeline.rewrite.intervals import USUAL_RATIO, suggest
from pacer.timeline.timeline import build_timeline

THREE = '[[lane]]\nbase = "1:18"\n[[lane]]\nbase = "1:29"\n[[lane]]\nbase = "1:47"\n'


def page(*rows, head=""):
    return read_plan("pool: 25 m\n" + head + "\n" + "\n".join(rows) + "\n")


def intervals(found):
    return [[lane.interval_ms // 1000 for lane in each.lanes] for each in found.suggestions]


@pytest.mark.parametrize(
    ("line", "swims_ms", "marks_of_one", "marks_of_five"),
    [("5 x 400 free", 312_500, 352, 350), ("10 x 200 free", 156_250, 176, 175), ("20 x 100 free", 78_125, 88, 90)],
)
def test_rest_one_to_eight_at_critical_speed(line, swims_ms, marks_of_one, marks_of_five):
    """Toubekis et al. 2011 (J Sci Med Sport 14:363-368).

    5 x 400, 10 x 200, 20 x 100 m at critical velocity with rest to swimming 1:8; their ten swimmers' mean velocity from
    200 and 400 m was 1.28 m/s. From that, 400 m in 312.5 s and 39.0625 s of rest is 351.5625 s; 200 m 175.78 s; 100 m
    87.89 s: to the nearest mark of 1 s and of 5 s.
    """
    base = Pace(Fraction(100_000 * 100, 128))
    squad = Squad((Lane(1, base, (Swimmer(base),)),))
    assert Fraction(1, 8) == USUAL_RATIO
    for clock, expected in (("0:01", marks_of_one), ("0:05", marks_of_five)):
        found = suggest(page(f"  {line}", head=f"clock: {clock}\n"), squad)
        assert found.suggestions[0].lanes[0].swims_ms == swims_ms
        assert intervals(found) == [[expected]]


def test_lines_without_an_interval_get_one_for_each_lane():
    plan = page(
        "Warm-up",
        "  300 choice",
        "  8 x 50 free, rest 0:15",
        "",
        "Main",
        "  4 x 100 free",
        "  2 rounds",
        "    4 x 50 back",
        "  4 x 50 free, on 1:00",
    )
    found = suggest(plan, read_squad(THREE), rest_ms=15_000)
    assert [(each.section, each.line, each.page_line) for each in found.suggestions] == [(1, 1, 8), (1, 2, 10)]
    # 78, 89, 107 s and 15 s are 93, 104, 122; the halves at 1.1 are 42.9, 48.95, 58.85 and 57.9, 63.95, 73.85.
    assert intervals(found) == [[95, 105, 120], [60, 65, 75]]
    text = write_plan(found.plan)
    assert "4 x 100 free, on 1:35 / 1:45 / 2:00\n" in text and "4 x 50 back, on 1:00 / 1:05 / 1:15\n" in text
    assert "300 choice\n" in text and "8 x 50 free, rest 0:15\n" in text
    assert read_plan(text) == found.plan
    assert list(too_tight(build_timeline(found.plan, read_squad(THREE)))) == []
    assert found.text().startswith("line 8, lane 1: on 1:35 (swims 1:18, rests 0:17, 1 to 4.6)\n")


def test_on_request_and_by_the_lines_own_rest():
    plan = page("  8 x 50 free, rest 0:20 / 0:10", "  4 x 100 free, on 1:00")
    found = suggest(plan, read_squad(THREE), lines=[(0, 1), (0, 2)])
    assert intervals(found) == [[60, 55, 65], [90, 100, 120]]  # 59, 54.5 -> 55, 63.5; 87.75, 100.1, 120.4
    assert found.plan.sections[0].items[0].rest_ms is None
    assert suggest(plan, read_squad(THREE)).suggestions == ()


def test_the_slowest_swimmer_and_repeat_count():
    squad = read_squad('[[lane]]\n[[lane.swimmer]]\nbase = "1:20"\n[[lane.swimmer]]\nbase = "1:30"\n')
    assert intervals(suggest(page("  4 x 100 odd free / even drill"), squad, rest_ms=10_000)) == [[125]]  # 117 + 10
    assert intervals(suggest(page("  1 to 6 x 100 in turn 5 free / 1 drill"), squad, rest_ms=10_000)) == [[125]]
    assert intervals(suggest(page("  3 x 0:30 kick vertical"), squad, ratio=Fraction(1))) == [[60]]


def test_a_rest_is_never_rounded_away():
    squad = read_squad('[[lane]]\nbase = "1:18"\n')
    assert intervals(suggest(page("  8 x 25 free"), squad)) == [[25]]  # 19.5 + 2.4; 0:20 would be half a second
    assert intervals(suggest(page("  8 x 100 free"), squad, rest_ms=6_000)) == [[85]]  # 84
    assert intervals(suggest(page("  8 x 100 free"), squad, rest_ms=0)) == [[80]]
    assert intervals(suggest(page("  8 x 100 free", head="clock: 0:10\n"), squad, rest_ms=3_000)) == [
        [90]
    ]  # 81, but 0:80 leaves 2 s


@pytest.mark.parametrize(("every", "expected"), [(1, 120), (5, 120), (7, 120), (12, 120)])
def test_one_interval_for_all_so_that_every_nth_send_off_is_on_the_top(every, expected):
    found = suggest(page("  8 x 100 free"), read_squad(THREE), rest_ms=13_000, every=every)  # the slowest: 107 + 13
    assert intervals(found) == [[expected] * 3]
    assert every * expected % 60 == 0
    assert "on 2:00\n" in write_plan(found.plan)


@pytest.mark.parametrize(
    ("every", "rest", "expected"), [(2, 30, 150), (3, 30, 140), (4, 30, 135), (6, 30, 140), (12, 30, 135), (3, 10, 120)]
)
def test_shared_marks(every, rest, expected):
    """Send-offs come back to the same clock reading after 60 / gcd(interval, 60).

    1:30 after two, 1:20 after three, 1:15 after four (so taught on the Louisville masters' coaching page).
    """
    [[interval, *_]] = intervals(suggest(page("  8 x 100 free"), read_squad(THREE), rest_ms=rest * 1000, every=every))
    assert interval == expected and every * interval % 60 == 0
    timeline = build_timeline(
        suggest(page("  8 x 100 free"), read_squad(THREE), rest_ms=rest * 1000, every=every).plan, read_squad(THREE)
    )
    assert all(track.sendoffs[every] % 60_000 == 0 for track in timeline.tracks if every < 8)


def test_lanes_that_leave_the_line_out():
    squad = read_squad(THREE.replace('base = "1:29"', 'base = "1:29"\ngroup = "B"'))
    found = suggest(page("  8 x 100 free", "  B: 4 x 100 free"), squad, rest_ms=13_000)
    assert [[lane.lane for lane in each.lanes] for each in found.suggestions] == [[1, 2, 3], [2]]
    assert "B: 4 x 100 free, on 1:40\n" in write_plan(found.plan)
    with pytest.raises(CannotRun, match="no group A"):
        suggest(page("  A: 4 x 100 free"), squad)


def test_repeats_of_different_lengths_get_no_interval():
    found = suggest(page("  50 - 100 - 50 free", "  100 - 100 free"), read_squad(THREE))
    assert [(each.line, each.page_line) for each in found.left] == [(1, 3)] and len(found.suggestions) == 1
    assert "line 3: its repeats differ in length" in found.text()


@pytest.mark.parametrize("wrong", [{"rest_ms": -1}, {"ratio": Fraction(-1, 8)}, {"every": 0}])
def test_values_that_make_no_sense(wrong):
    with pytest.raises(ValueError, match="0 or more"):
        suggest(page("  4 x 100 free"), read_squad(THREE), **wrong)
