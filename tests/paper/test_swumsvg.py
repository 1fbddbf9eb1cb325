"""A review's figures as SVG: positions read back by an XML parser, by the axes' own words, are those of the review."""

from __future__ import annotations

import random
from itertools import count
from xml.etree import ElementTree

import numpy as np
import pytest

from pacer.paper.svgfigure import svg_text
from pacer.plan.times import ms_from_text
from pacer.review.report.reviewnames import ReviewNames
from pacer.review.season.season import Visit
from pacer.review.swum.sessionreview import review_of
from pacer.show.figures.activitybars import distance_by_activity
from pacer.show.figures.basetrace import base_trace
from pacer.show.figures.ratespeed import rate_against_speed
from pacer.show.figures.repeattimes import repeat_times
from pacer.show.figures.swumstrip import swum_strip
from tests.review.made import S, noisy, predicted, timed
from tests.session.pages import session
from tests.show.figures.test_swumfigures import taps

SVG = "{http://www.w3.org/2000/svg}"
CAP = 12
PLAN = """\
pool: 25 m
Warm-up
  4 x 100 as 50 kick / 50 back, on 2:45
Main set, 2 rounds
  4 x 200 free on 3:45
"""
SQUAD = '[[lane]]\nbase = "1:20"\nswimmers = 3\n[[lane]]\nbase = "1:31"\nswimmers = 2\n'
TIMELINE = session(PLAN, SQUAD)


@pytest.fixture(scope="module")
def review():
    rng = random.Random(4)
    rates = [
        taps(swim.left_ms + 60 * S, rng.randrange(30, 45), swim.place, swim.lane)
        for swim in predicted(TIMELINE)[::4]
        if swim.section == 1
    ]
    return review_of(timed(TIMELINE, noisy(rng, 0.03), *rates))


class Read:
    """An SVG file read back: `x(at)` and `y(at)` are the values that its axes' words give to places."""

    def __init__(self, figure, x_value, y_value):
        self.tree = ElementTree.fromstring(svg_text(figure, cap=CAP))
        self.x, self.y = self._axis("middle", "x", x_value), self._axis("end", "y", y_value)

    def _axis(self, anchor, key, value):
        """A line through the places of the axis's values: numpy's least squares, of residuals that must be nothing."""
        found = {}
        for text in self.tree.iter(f"{SVG}text"):
            if text.get("text-anchor") == anchor:
                try:
                    at = value(text.text)
                except ValueError:
                    continue
                found.setdefault(float(text.get("y" if key == "x" else "x")), []).append((float(text.get(key)), at))
        pairs = np.array(max(found.values(), key=len))
        places = pairs[:, 0] - (CAP / 2 if key == "y" else 0)  # a word's base line is below its middle
        line = np.polyfit(places, pairs[:, 1], 1)
        assert np.allclose(np.polyval(line, places), pairs[:, 1], rtol=1e-3, atol=0.02 * np.ptp(pairs[:, 1]))
        return lambda at: float(np.polyval(line, at))

    def dots(self):
        for kind, x, y in (("circle", "cx", "cy"), ("polygon", "data-x", "data-y")):
            for dot in self.tree.iter(f"{SVG}{kind}"):
                if dot.get("class") == "dot":
                    yield self.x(float(dot.get(x))), self.y(float(dot.get(y)))

    def bars(self):
        for bar in self.tree.iter(f"{SVG}rect"):
            if bar.get("class") not in (None, "water") and bar.find(f"{SVG}title") is not None:
                left, wide = float(bar.get("x")), float(bar.get("width"))
                middle = float(bar.get("y")) + float(bar.get("height")) / 2
                yield self.y(middle), self.x(left), self.x(left + wide)


def number(text):
    return float(text.replace(",", ""))


def near(found, wanted, *most):
    """Whether both have the same points, up to `most` in each direction."""
    found, wanted = sorted(found), sorted(wanted)
    assert len(found) == len(wanted) > 1
    for one in wanted:
        away = [point for point in found if all(abs(a - b) <= off for a, b, off in zip(point, one, most))]
        assert away, one


def test_repeat_times(review):
    for table in review.sets:
        wanted = [(cell.column, cell.time_ms) for row in table.rows for cell in row.cells]
        rounds = len({column.round for column in table.columns})
        repeat = count(1)
        # The axis starts at 1 again in each round: its places are in order.
        read = Read(
            repeat_times(table, ReviewNames(review)), lambda text: next(repeat) if number(text) else 0, ms_from_text
        )
        assert len(table.columns) == 4 * rounds
        near(((x - 1, y) for x, y in read.dots()), wanted, 0.4, 60)


def test_rate_and_speed(review):
    taken = [(float(one.rate), float(one.speed)) for one in review.strokes if one.speed is not None]
    near(Read(rate_against_speed(ReviewNames(review)), number, number).dots(), taken, 0.05, 0.005)


def test_distance_by_activity(review):
    read, far = Read(distance_by_activity(review), number, lambda text: number(text) - 1), {}
    for lane, left, right in read.bars():
        far[round(lane)] = far.get(round(lane), 0) + right - left
    assert far == {lane: pytest.approx(review.distances.of_lane(lane), abs=4) for lane in range(2)}


def test_the_strip_as_it_went(review):
    read = Read(swum_strip(review), lambda text: ms_from_text(text + ":00"), lambda text: number(text) - 1)
    swum = dict.fromkeys(range(2), 0.0)
    for lane, left, right in read.bars():
        swum[round(lane)] += right - left
    for lane, at in swum.items():
        leader = [swim.swum_ms for swim in review.swims if swim.lane == lane and not swim.place]
        assert at == pytest.approx(sum(leader), rel=0.005)


def test_a_base_over_time():
    days = ["2026-03-02", "2026-03-09", "2026-03-16"]
    visits = tuple(
        Visit(n, day, "", 1_000, "m", 80_000 - 700 * n, 4, 4 * (81_000 - 900 * n), 4 * (80_000 - 700 * n))
        for n, day in enumerate(days)
    )
    figure = base_trace("Kit", visits)
    read = Read(
        figure, lambda text: {"2 Mar": 0.0, "16 Mar": 14.0}[text] if " Mar" in text else number(""), ms_from_text
    )
    near(read.dots(), [(7 * n, 81_000 - 900 * n) for n in range(3)], 0.1, 60)
