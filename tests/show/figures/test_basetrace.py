"""The base over time: the line keeps to the bases, dots to the times, diamonds to new test swims."""

from datetime import date
from fractions import Fraction

import pytest

from pacer.review.season.season import TrialSwum, Visit
from pacer.show.figures.basetrace import base_trace

VISITS = (
    Visit(1, "2026-03-05", "Roll 1", 1500, "m", 80_000, 12, 979_200, 960_000, (TrialSwum("400 m in 5:40", ""),)),
    Visit(2, "2026-03-12", "Roll 2", 1500, "m", 80_000, 0, 0, 0, (TrialSwum("400 m in 5:40", ""),)),
    Visit(3, "2026-03-19", "Roll 3", 1500, "m", 78_000, 4, 312_000, 312_000, (TrialSwum("400 m in 5:32", ""),)),
)


def test_line_dots_and_diamonds():
    figure = base_trace("Kit", VISITS)
    figure.check()
    (line,) = figure.traces
    first = int(line.points[0][0])
    assert [(x - first, y) for x, y in line.points] == [
        (0, 80_000),
        (7, 80_000),
        (14, 80_000),
        (14, 78_000),
        (15, 78_000),
    ]
    timed = [dot for dot in figure.dots if dot.shape == "disc"]
    assert [(dot.x - first, dot.y) for dot in timed] == [(0, 81_600), (14, 78_000)]
    assert Fraction(979_200, 960_000) * 80_000 == 81_600
    tests = [dot for dot in figure.dots if dot.shape == "diamond"]
    assert [dot.said for dot in tests] == [
        "By 5 Mar 2026: base 1:20.0 from 400 m in 5:40",
        "By 19 Mar 2026: base 1:18.0 from 400 m in 5:32",
    ]
    assert timed[0].said == "5 Mar 2026: 12 timed repeats came to 1:21.6 per 100 m, base 1:20.0"
    assert figure.words == "Kit: base from 1:20.0 to 1:18.0 per 100 m over 3 sessions since 5 March 2026."
    assert [key.text for key in figure.keys] == ["base", "from session times", "test swims"]


def test_test_swims_are_on_their_own_day():
    tests = (TrialSwum("200 m in 2:40", "2026-02-24"), TrialSwum("400 m in 5:40", "2026-03-03"))
    again = (TrialSwum("200 m in 2:38", "2026-03-19"), TrialSwum("400 m in 5:30", "2026-03-19"))
    figure = base_trace("Kit", (VISITS[0]._replace(tests=tests), VISITS[2]._replace(tests=again)))
    figure.check()
    diamonds = [dot for dot in figure.dots if dot.shape == "diamond"]
    assert [(date.fromordinal(int(dot.x)).isoformat(), dot.said) for dot in diamonds] == [
        ("2026-02-24", "24 Feb 2026: base 1:20.0 from 200 m in 2:40"),
        ("2026-03-03", "3 Mar 2026: base 1:20.0 from 400 m in 5:40"),
        ("2026-03-19", "19 Mar 2026: base 1:18.0 from 200 m in 2:38 and 400 m in 5:30"),
    ]
    assert figure.x.low < diamonds[0].x


def test_a_season_in_pools_of_two_units_is_in_one():
    yards = VISITS[0]._replace(unit="yd")
    figure = base_trace("Kit", (yards, *VISITS[1:]))
    assert figure.title == "Kit: base per 100 m" and figure.y.name == "base per 100 m"
    assert figure.words.endswith("Bases of sessions in another unit are converted by distance: 1 yd is 0.9144 m.")
    assert "converted" not in base_trace("Kit", VISITS).words


def test_one_session_and_none():
    figure = base_trace("Lane 3", VISITS[1:2])
    figure.check()
    assert not [key for key in figure.keys if key.text == "from session times"] and len(figure.traces[0].points) == 2
    assert base_trace("Nobody", ()) is None


@pytest.mark.parametrize(("months", "ticks"), [(1, 2), (8, 8)])
def test_days_are_named_by_month_over_a_season(months, ticks):
    visits = [Visit(n, f"2026-{n + 1:02d}-15", "", 1000, "m", 80_000, 0, 0, 0) for n in range(months + 1)]
    figure = base_trace("Kit", visits)
    figure.check()
    assert len(figure.x.ticks) == ticks
