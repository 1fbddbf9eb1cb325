"""The dial's numerals are clear of the dots on its rim, and lanes' numbers of the screen's edge, at every size."""

from math import cos, hypot, pi, sin

import pytest

from pacer.show.measure.legibility import Glass

CLEAR = 0.2  #: between a numeral and a dot at least, in the numeral's height (our choice)


@pytest.mark.parametrize(("size", "dpi"), [((1280, 800), 149.5), ((800, 1280), 149.5), ((1024, 600), 117.5)])
def test_no_numeral_touches_a_dot(window, size, dpi):
    from pacer.face.clock.diallayout import dial_boxes
    from pacer.face.kit.ink import Box
    from pacer.face.kit.textures import measure

    boxes = dial_boxes(Box(0, 0, *size), Glass.of_dpi(dpi), 10)
    cap, inner = boxes.numeral_cap, boxes.radius - boxes.float_ / 2
    for second in range(5, 65, 5):
        angle, wide = second * pi / 30, measure(str(second), cap, True)
        x, y = (boxes.numeral_radius * abs(way(angle)) for way in (sin, cos))
        assert hypot(x + wide / 2, y + cap / 2) <= inner - CLEAR * cap, second


@pytest.mark.parametrize(("size", "dpi"), [((1280, 800), 149.5), ((1024, 600), 117.5)])
@pytest.mark.parametrize("second", [40, 45, 50])
def test_a_wide_number_keeps_off_the_edge(window, size, dpi, second):
    from pacer.face.clock.diallayout import chips_around, dial_boxes
    from pacer.face.kit.ink import Box
    from pacer.face.kit.textures import measure
    from pacer.show.view.viewvalues import Mark

    boxes = dial_boxes(Box(0, 0, *size), Glass.of_dpi(dpi), 10)
    (chip,) = chips_around([Mark(second, tuple(str(lane) for lane in range(3, 11)), "swim")], boxes, measure)
    assert chip.box.x >= 0.3 * boxes.unit
