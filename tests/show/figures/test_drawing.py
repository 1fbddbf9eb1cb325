"""How a figure is laid out: all words within it and apart, touches answered."""

from __future__ import annotations

from itertools import combinations

import pytest

from pacer.paper.letterwidths import width_of
from pacer.show.figures.drawing import drawn
from pacer.show.figures.figure import Axis, Bar, Dot, Figure, Spot
from pacer.show.figures.fills import FILLS, PATTERNS, PLAIN
from pacer.show.figures.hatching import hatching
from pacer.show.figures.planstrip import strip
from pacer.show.measure.theme import THEMES, contrast
from tests.show.figures.test_planstrip import DEMOS, session

FIGURE = strip(session(DEMOS[2]))


def box(one):
    wide = width_of(one.text, one.cap, one.bold)
    left = one.x - {"left": 0, "middle": wide / 2, "right": wide}[one.across]
    return left, one.y - 0.3 * one.cap, left + wide, one.y + one.cap


@pytest.mark.parametrize("plan", DEMOS, ids=lambda path: path.stem)
@pytest.mark.parametrize("size", [(1240, 300), (800, 200), (400, 170), (300, 400)])
@pytest.mark.parametrize("cap", [9, 14])
def test_words_are_within_and_apart(plan, size, cap):
    laid = drawn(strip(session(plan)), *size, cap, width_of)
    boxes = [(one.text, box(one)) for one in laid.letterings]
    for text, (left, low, right, top) in boxes:
        assert left >= -0.5 and right <= size[0] + 0.5 and low >= -0.5 and top <= size[1] + 0.5, text
    for (text, one), (other_text, other) in combinations(boxes, 2):
        apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
        assert apart, (text, other_text)


def test_bare_fills_all_there_is():
    laid = drawn(FIGURE, 420, 60, 10, width_of, bare=True)
    assert laid.letterings == () and laid.plot == (0, 0, 420, 60)
    assert max(line.points[0][0] for line in laid.lines) == 420  # the booking, which is later than the end


def test_a_touch_finds_the_bar_under_it_or_the_nearest_one():
    laid = drawn(FIGURE, 1000, 300, 12, width_of)
    blocks = [block for block in laid.blocks if block.mark in FIGURE.bars]
    for block in blocks[::7]:
        middle = block.x + block.width / 2, block.y + block.height / 2
        assert laid.mark_at(*middle, 10) == block.mark
    assert laid.mark_at(-50, -50, 10) is None


def test_a_touch_prefers_a_dot_to_what_lies_under_it():
    axis = Axis(0, 10)
    dot, bar = Dot(5, 5, "ink", said="Kit"), Bar(0, 10, 0, 10, "swim", "all of it", Spot(0))
    laid = drawn(Figure("", "", axis, axis, bars=(bar,), dots=(dot,)), 100, 100, 10, width_of, bare=True)
    assert laid.mark_at(53, 50, 5) == dot
    assert laid.mark_at(60, 50, 5) == bar


@pytest.mark.parametrize("theme", THEMES.values(), ids=lambda theme: theme.name)
def test_fills_are_told_apart_without_colour(theme):
    """WCAG 2.2, 1.4.11: 3:1 for what has to be seen, here of every fill against both grounds and its own pattern."""
    fills = FILLS[theme.name]
    assert len(set(PATTERNS.values())) == len(PATTERNS)
    for name in PATTERNS:
        assert contrast(fills[name].colour, theme.ground) >= 3 and contrast(fills[name].colour, theme.water) >= 3
        assert fills[name].pattern == PLAIN or contrast(fills[name].colour, fills[name].second) >= 3


@pytest.mark.parametrize("pattern", [*PATTERNS.values(), "crossed"])
@pytest.mark.parametrize("size", [(100, 20), (3, 50), (1, 1), (40, 40)])
def test_hatching_stays_inside(pattern, size):
    x, y = 7, 11
    lines = list(hatching(pattern, x, y, *size, 4))
    assert bool(lines) == (pattern != PLAIN and size != (1, 1))
    for x0, y0, x1, y1 in lines:
        for at_x, at_y in ((x0, y0), (x1, y1)):
            assert x <= at_x <= x + size[0] and y <= at_y <= y + size[1]
