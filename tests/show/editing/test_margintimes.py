"""Times in the margin of a page: each line begins where the one above it has ended, by the timeline itself."""

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.plan.times import ms_from_text
from pacer.show.editing.margintimes import followed, margin_times
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.timeline import build_timeline
from tests.face.coach import ASSETS

PAGE = """pool: 25 m

Warm-up
  300 choice
  4 x 50 kick on 1:30
Main set, 2 rounds
  4 x 100 free on 2:00 / 2:30
  rest 1:00
  2 x 50 easy on 1:30
Swim-down
  200
"""


@pytest.fixture
def timeline():
    squad = read_squad((ASSETS / "squads" / "thursday.toml").read_text(encoding="utf-8"))
    return build_timeline(read_plan(PAGE), squad)


def test_a_line_takes_its_repeats_times_its_interval(timeline):
    lines = PAGE.split("\n")
    for lane, interval in ((0, "2:00"), (5, "2:30")):
        times = margin_times(timeline, lane)
        main, last = lines.index("  4 x 100 free on 2:00 / 2:30"), lines.index("  2 x 50 easy on 1:30")
        assert ms_from_text(times[main].takes) == 4 * ms_from_text(interval)
        start = ms_from_text(times[main].begins) + 4 * ms_from_text(interval) + 60_000
        assert ms_from_text(times[last].begins) == start, "after the line above and the break"
        assert lines.index("  rest 1:00") not in times


def test_a_section_begins_with_its_first_line_and_takes_all_its_rounds(timeline):
    lines, times = PAGE.split("\n"), margin_times(timeline, 0)
    for at, line in enumerate(lines):
        if line and line[0].isalpha() and ":" not in line:
            assert times[at].section and times[at].begins == times[at + 1].begins
    main = times[lines.index("Main set, 2 rounds")]
    end = max(found.end_ms for found in timeline.tracks[0].passes if found.section == 1)
    assert ms_from_text(main.takes) == -(-(end - ms_from_text(main.begins)) // 1000) * 1000


def test_times_move_with_lines_that_come_and_go(timeline):
    times = margin_times(timeline, 0)
    old = PAGE.split("\n")
    new = [*old[:5], "  # more", "  100", *old[5:]]
    moved = followed(times, old, new)
    assert moved[8] == times[6] and moved[3] == times[3] and followed(moved, new, old) == times


@pytest.mark.parametrize(
    "rounds",
    [
        "  3 x (4 x 100 free on 2:00)",
        "  3 x (2 x 100 free on 2:00 + 2 x 50 kick on 1:30)",
        "  3 rounds of 4 x 100 on 2:00",
    ],
)
def test_rounds_on_one_line_are_one_line(rounds):
    """It lasts all its rounds, as it is written."""
    page = f"pool: 25 m\n\nMain set\n{rounds}\n  100 easy\n"
    timeline = build_timeline(read_plan(page), read_squad('[[lane]]\nbase = "1:20"\n'))
    times = margin_times(timeline, 0)
    assert times[3].begins == "0:00" and ms_from_text(times[3].takes) == ms_from_text(times[4].begins)
    assert ms_from_text(times[3].takes) >= 3 * 7 * 60_000


def test_a_line_below_rounds_lasts_one_of_them():
    page = "pool: 25 m\n\nMain set\n  3 rounds\n    4 x 100 free on 2:00\n  100 easy\n"
    times = margin_times(build_timeline(read_plan(page), read_squad('[[lane]]\nbase = "1:20"\n')), 0)
    assert times[4].takes == "8:00"
