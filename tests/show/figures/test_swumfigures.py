"""The figures of a review against its values, and against published stroke data."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import combinations, pairwise

import numpy as np
import pytest

from pacer.plan.times import ms_from_text
from pacer.review.report.reviewnames import ReviewNames
from pacer.review.report.writtenvalues import seconds
from pacer.review.swum.sessionreview import review_of
from pacer.session.journal.recordentries import Rated
from pacer.shippedfiles import PLANS, SQUADS
from pacer.show.figures.activitybars import distance_by_activity
from pacer.show.figures.drawing import drawn
from pacer.show.figures.fills import FILLS, PATTERNS, SWIMMERS
from pacer.show.figures.planstrip import strip
from pacer.show.figures.ratespeed import rate_against_speed
from pacer.show.figures.repeattimes import repeat_times
from pacer.show.figures.swummarks import SHAPES, People
from pacer.show.figures.swumstrip import swum_strip
from tests.review.made import S, noisy, predicted, timed
from tests.session.pages import session
from tests.show.figures.test_planstrip import swum
from tests.show.measure.test_theme import APART, SIGHTS, lab, linear

HOLDS = "pool: 25 m\nMain set, 2 rounds\n  8 x 50 free on 1:00, hold 0:42\n"
THREE = '[[lane]]\nnumber = 4\nbase = "1:20"\nswimmers = 3\n'
DEMO = session(
    (PLANS / "long-axis-rotation-3.txt").read_text(encoding="utf-8"),
    (SQUADS / "thursday.toml").read_text(encoding="utf-8"),
)


def taps(at_ms, rate, swimmer=0, lane=0):
    """Taps at the start of each of ten cycles, the middle of them at `at_ms`."""
    marks = tuple(round(Fraction(6000) / Fraction(rate) * n) for n in range(11))
    return Rated(at_ms + marks[-1] * 5, lane, marks, 1, swimmer)


@pytest.fixture(scope="module")
def held():
    rng = random.Random(5)
    return review_of(timed(session(HOLDS, THREE), lambda swim: round(42_000 * rng.uniform(0.97, 1.04)) // 10 * 10))


@pytest.fixture(scope="module")
def evening():
    rng = random.Random(3)
    swims = [swim for swim in predicted(DEMO) if swim.section == 2 and swim.distance == 100]
    middles = [(swim.left_ms + swim.predicted_ms // 2, swim) for swim in swims]
    rates = [taps(at, rng.randrange(30, 45), swim.place, swim.lane) for at, swim in middles[::3]]
    return review_of(timed(DEMO, noisy(rng, 0.03), *rates))


def test_every_time_is_a_dot_at_its_repeat_and_its_time(held):
    figure = repeat_times(held.sets[0], ReviewNames(held))
    figure.check()
    wanted = {
        (row.who, held.sets[0].columns[cell.column][:2], cell.time_ms)
        for row in held.sets[0].rows
        for cell in row.cells
    }
    assert len(wanted) == 48
    assert {(dot.spot.swimmer, (dot.spot.round, dot.spot.repeat), dot.y) for dot in figure.dots} == wanted
    for dot in figure.dots:
        column = round(dot.x)
        assert abs(dot.x - column) < 0.5 and held.sets[0].columns[column].repeat == dot.spot.repeat
    assert {trace.points[0][1] for trace in figure.traces} == {42_000}
    assert [head.text for head in figure.heads] == ["round 1", "round 2"]


def test_a_time_that_does_not_count_does_not_stretch_the_scale():
    """A doubled time of 1:24 among 0:42s is at the upper edge, with its value beside it."""
    held = session("pool: 25 m\nMain set\n  6 x 50 free on 2:00\n", '[[lane]]\nbase = "1:24"\n')
    review = review_of(timed(held, lambda swim: 84_000 if swim.repeat == 5 else 42_000 + 100 * swim.repeat))
    (table,) = review.sets
    (out,) = [cell.entry for row in table.rows for cell in row.cells if cell.time_ms == 84_000]
    whole, cut = repeat_times(table, ReviewNames(review)), repeat_times(table, ReviewNames(review), {out})
    assert whole.y.high >= 84_000 and 42_600 <= cut.y.high < 50_000
    cut.check()
    assert [dot.y for dot in cut.dots] == [42_100, 42_200, 42_300, 42_400, cut.y.high, 42_600]
    assert [(note.x, note.y, note.text) for note in cut.notes] == [(4, cut.y.high, "(1:24.0)")]
    assert cut.dots[4].said.endswith("1:24.0, 42 s slower than expected; it doesn't count")


def test_a_dot_says_who_when_and_how(held):
    figure = repeat_times(held.sets[0], ReviewNames(held))
    said = figure.dots[0].said
    who, time = said.split(": ")
    assert who == "lane 4, swimmer 1, repeat 1 of round 1, left at 0:00"
    shown, against = time.split(", ")
    over = ms_from_text(shown) - 42_000
    assert against == f"{seconds(over)} {'slower' if over > 0 else 'faster'} than the target"


def test_where_paces_differ_everybody_has_a_target_of_their_own(evening):
    lane_3 = next(one for one in evening.sets if one.lane == 2 and len(one.rows) == 4)
    figure = repeat_times(lane_3, ReviewNames(evening))
    for dot, cell in zip(figure.dots, [cell for row in lane_3.rows for cell in row.cells]):
        mine = [t for t in figure.traces if t.points[0][0] <= dot.x <= t.points[1][0]]
        assert cell.predicted_ms in {trace.points[0][1] for trace in mine}


def test_names_are_said_only_where_they_are_asked_for(evening):
    lane_3 = next(one for one in evening.sets if one.lane == 2)
    for named in (False, True):
        figure = repeat_times(lane_3, ReviewNames(evening, named))
        told = figure.words + "".join(dot.said for dot in figure.dots) + "".join(key.text for key in figure.keys)
        assert ("Orla" in told) is named
        rates = rate_against_speed(ReviewNames(evening, named))
        assert any(name in rates.words for name in ("Orla", "Greta", "Ines", "Wendel")) is named


def test_up_to_25_swimmers_have_dots_of_their_own(evening):
    people = People(ReviewNames(evening), range(25))
    assert len({people.dot(who) for who in range(25)}) == 25
    assert {shape for _, shape in map(people.dot, range(5))} == set(SHAPES)
    assert "open" not in SHAPES, "that is a speed which was not timed"


@pytest.mark.parametrize("theme", FILLS)
@pytest.mark.parametrize("sight", SIGHTS)
def test_every_eye_tells_swimmers_and_activities_apart(theme, sight):
    """Shapes and patterns do it without colour for the first five; here their colours do, through goggles too."""
    for names in (SWIMMERS, PATTERNS):
        seen = [lab(SIGHTS[sight] @ linear(FILLS[theme][name].colour)) for name in names]
        assert min(float(np.linalg.norm(one - other)) for one, other in combinations(seen, 2)) >= APART


def test_rates_and_speeds_are_those_of_the_review(evening):
    figure = rate_against_speed(ReviewNames(evening))
    figure.check()
    taken = [one for one in evening.strokes if one.speed is not None]
    assert [(dot.x, dot.y) for dot in figure.dots] == [(float(one.rate), float(one.speed)) for one in taken]
    assert len(taken) > 5


def test_every_curve_has_its_length_in_words_on_the_figure(evening):
    figure = rate_against_speed(ReviewNames(evening))
    laid = drawn(figure, 800, 300, 12, lambda text, cap, bold: 0.6 * cap * len(text))
    lengths = [text for one in laid.letterings if (text := one.text).endswith(" m")]
    assert len(lengths) == len(set(lengths)) == len(figure.traces)


def length_of(trace, figure):
    """The length that a curve is named by: beside its end, or above the figure where it ends at the top."""
    above = [head.text for head in figure.heads if head.x == trace.points[-1][0]]
    assert [trace.label, *above].count("") == len(above) <= 1
    return float((trace.label or above[0]).removesuffix(" m"))


def test_curves_are_speeds_of_their_stroke_length(evening):
    """v = S × d/S (Craig and Pendergast 1979, Med Sci Sports 11:278-283)."""
    figure = rate_against_speed(ReviewNames(evening))
    assert len(figure.traces) >= 3
    for trace in figure.traces:
        length = length_of(trace, figure)
        for rate, speed in trace.points:
            assert speed == pytest.approx(rate * length / 60)
            assert -1e-9 <= figure.x.share(rate) <= 1 + 1e-9 and -1e-9 <= figure.y.share(speed) <= 1 + 1e-9


@pytest.mark.parametrize(
    ("speed", "rate", "length"), [(1.30, 33.07, 2.41), (1.17, 35.57, 2.04), (1.23, 31.38, 2.38), (1.07, 33.54, 1.97)]
)
def test_published_means_lie_where_they_belong(speed, rate, length):
    """Group means as a study printed them (SciELO 2007); its speeds meet the product within 3.5 %."""
    pages = session("pool: 50 m\nMain set\n  400 free\n", THREE)
    review = review_of(timed(pages, lambda swim: round(400 / speed) * S, taps(60 * S, str(rate))))
    figure = rate_against_speed(ReviewNames(review))
    (dot,) = figure.dots
    assert 60 * dot.y / dot.x == pytest.approx(length, rel=0.035)
    below = [length_of(t, figure) for t in figure.traces if _at(t, dot.x, dot.y) < dot.y]
    assert below and max(below) < 60 * dot.y / dot.x


def _at(trace, x, otherwise):
    (x0, y0), (x1, y1) = trace.points
    return y0 + (y1 - y0) * (x - x0) / (x1 - x0) if x0 <= x <= x1 else otherwise


def test_a_speed_as_predicted_is_an_open_dot():
    swims = predicted(session(HOLDS, THREE))
    review = review_of(timed(session(HOLDS, THREE), lambda swim: None, taps(swims[0].left_ms + 20 * S, 36)))
    figure = rate_against_speed(ReviewNames(review))
    assert [dot.shape for dot in figure.dots] == ["open"] and figure.keys[-1].text == "speed from the expected time"


def test_rates_that_share_one_repeats_time_are_open_dots_and_say_so():
    """Their lengths only follow the rates. One rate alone in its repeat stays a filled dot."""
    swims = predicted(session(HOLDS, THREE))
    mine = [swim for swim in swims if swim.place == 0]
    two = [taps(mine[0].left_ms + at * S, rate) for at, rate in ((20, 40), (50, 30))]
    review = review_of(timed(session(HOLDS, THREE), lambda swim: 80 * S, *two, taps(mine[1].left_ms + 20 * S, 36)))
    figure = rate_against_speed(ReviewNames(review))
    assert [dot.shape == "open" for dot in figure.dots] == [True, True, False]
    assert figure.keys[-1].text == "speed of the whole repeat"
    assert all("over the whole repeat" in dot.said for dot in figure.dots)


def test_no_rates_no_figure(held):
    assert rate_against_speed(ReviewNames(held)) is None


def test_distances_add_up(evening):
    figure = distance_by_activity(evening)
    figure.check()
    for lane in range(len(evening.lanes)):
        mine = [bar for bar in figure.bars if bar.spot.lane == lane]
        assert sum(bar.right - bar.left for bar in mine) == evening.distances.of_lane(lane)
        assert all(here.right == there.left for here, there in pairwise(mine))


def test_the_strip_of_a_session_swum_as_written_is_the_plans(evening):
    untimed = review_of(timed(DEMO, lambda swim: None))
    went, written = swum_strip(untimed), strip(DEMO)
    went.check()
    for lane in range(len(DEMO.tracks)):
        assert swum(went.bars, lane) == swum(written.bars, lane)
    assert [head.text for head in went.heads] == [head.text for head in written.heads]
    assert swum(swum_strip(evening).bars, 0) != swum(written.bars, 0)
