"""Swimmers keep clear of words and of the next lane's swimmers, at all sizes of the pool view."""

from __future__ import annotations

import pytest

from pacer.face.clock.bandlayout import water_boxes
from pacer.face.kit.ink import Box
from pacer.show.measure.fitting import FOOT
from pacer.show.measure.legibility import Glass
from pacer.show.measure.poollayout import header_of, rows_of

ROPE_MM = 1.1
#: Pixels and dots per inch: whole screens of a 10-inch tablet, above a bar of keys, beside a sheet.
SIZES = [
    (1280, 800, 149.5), (1280, 690, 149.5), (760, 700, 149.5), (800, 1280, 149.5), (1024, 600, 117.5),
    (1024, 520, 117.5), (620, 520, 117.5),
]  # fmt: skip


@pytest.mark.parametrize("lanes", [1, 2, 3, 4, 5, 6, 8, 10])
@pytest.mark.parametrize(("width", "height", "dpi"), SIZES)
def test_swimmers_touch_neither_words_nor_the_rope(width, height, dpi, lanes):
    glass = Glass.of_dpi(dpi)
    least = glass.unit_px(width, height)
    high = (height - header_of(width, height, least, lanes).height) / lanes - glass.px(ROPE_MM)
    rows = rows_of(width, high, least, glass.px_per_mm)
    laid = water_boxes(Box(0, 0, width, high), Box(200, 0, width - 200, high), rows)
    below = laid.ribbon.y if rows.ribbon else laid.bases[-1] - FOOT * rows.unit
    assert below - (laid.out_y + rows.dart) >= (1 if rows.ribbon else -0.01), "parts of letters below the base line"
    assert laid.bases[0] + rows.unit <= high - 1
    if rows.strips == 2:
        assert laid.back_y - (laid.bases[0] + rows.unit) >= 0.14 * rows.unit
        assert laid.out_y >= 2 and high - (laid.back_y + rows.dart) >= 1.99
