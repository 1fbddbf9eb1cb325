"""A figure in a window: its colours where its data are, in one stroke of the brush."""

from __future__ import annotations

from itertools import pairwise

import pytest

from pacer.show.figures.fills import FILLS, PATTERNS
from pacer.show.figures.planstrip import strip
from pacer.show.measure.theme import BRIGHT, DARK
from tests.show.figures.test_planstrip import DEMOS, session

SIZE = (1000, 300)


def shown(window, theme=DARK, **kwargs):
    from pacer.face.figures.figureview import FigureView
    from tests.face.drawing import drawn_in

    return drawn_in(window, FigureView(theme=theme, cap=13, **kwargs), strip(session(DEMOS[2])), SIZE)


def near(colour, wanted):
    return all(abs(one - round(255 * other)) <= 3 for one, other in zip(colour, wanted))


@pytest.mark.parametrize("theme", [DARK, BRIGHT], ids=lambda theme: theme.name)
@pytest.mark.parametrize("bare", [False, True])
def test_every_bar_has_its_colour_where_the_drawing_says(window, theme, bare):
    from tests.face.drawing import pixels

    view = shown(window, theme, bare=bare)
    picture = pixels(SIZE)
    fills = FILLS[theme.name]
    seen = set()
    for block in view.drawing.blocks:
        if block.mark is None or block.fill not in PATTERNS or block.width < 6:
            continue
        fill = fills[block.fill]
        x, y = int(block.x + 2), int(block.y + block.height / 2)
        around = [picture.getpixel((x + dx, SIZE[1] - 1 - y - dy)) for dx in range(4) for dy in range(4)]
        assert any(near(colour, fill.colour) for colour in around), block.fill
        assert all(near(c, fill.colour) or near(c, fill.second) for c in around if near(c, fill.colour)), block.fill
        seen.add(block.fill)
    assert seen == {"swim", "kick", "drill", "scull"}


def test_rest_is_a_gap_in_the_lane(window):
    from tests.face.drawing import pixels

    view = shown(window)
    picture, bars = pixels(SIZE), [b for b in view.drawing.blocks if b.mark is not None and b.fill in PATTERNS]
    gaps = 0
    for here, there in pairwise(bars):
        if (
            here.y == there.y
            and there.x - here.x - here.width > 6
            and here.mark.spot.section == there.mark.spot.section
        ):
            x, y = int((here.x + here.width + there.x) / 2), int(here.y + here.height / 2)
            assert near(picture.getpixel((x, SIZE[1] - 1 - y)), DARK.water)
            gaps += 1
    assert gaps > 20


def test_all_that_is_filled_is_one_mesh(window):
    from kivy.graphics import Mesh

    view = shown(window, bare=True)
    drawing = [each for each in view.canvas.children if type(each).__name__ in ("Mesh", "Rectangle", "Line")]
    assert len(drawing) == 1 and isinstance(drawing[0], Mesh)
    assert len(view.words.children) == 0


def test_a_touch_tells_what_is_swum_there(window):
    view = shown(window)
    block = next(block for block in view.drawing.blocks if block.fill == "drill" and block.mark is not None)
    told = view.mark_at(block.x + block.width / 2, block.y + block.height / 2, 10)
    assert told.said == "50 drill six-kick switch" and told.spot.lane == 0
