"""The page of a lane screen lays its views out as the app does: every box at the same place, on glasses of many sizes.

The layout stands in Python alone; the page has what `layoutscript` has written of it.
"""

from __future__ import annotations

import re

import pytest

from pacer.face.clock.bandlayout import deck_boxes, deck_width, water_boxes
from pacer.face.clock.diallayout import dial_boxes
from pacer.face.clock.lanelayout import lane_boxes
from pacer.face.kit.ink import Box
from pacer.show.measure.legibility import Glass
from pacer.show.measure.poolrows import header_of, rows_of
from tests.screens.browser import Chromium, needs, page_with

pytestmark = needs(*Chromium.needs)

SIZES = [
    (320, 568), (568, 320), (375, 667), (667, 375), (500, 900), (768, 1024), (1024, 600), (1024, 768), (800, 800),
    (1280, 800), (1600, 900), (2000, 400),
]  # fmt: skip
PX_PER_MM = (3.8, 5.2, 9.0)
LANES = (1, 2, 6, 10)
SHOWN = [(cue, work, extra) for cue in (False, True) for work in (False, True) for extra in (False, True)]
LAID = """
const [sizes, mm, lanes, shown] = values;
return document.fonts.load("20px pacer").then(() => document.fonts.load("700 20px pacer")).then(() =>
  sizes.map(([width, height]) => mm.map(pxPerMm => {
    const box = new Box(0, 0, width, height), glass = new Glass(pxPerMm), unit = glass.unitPx(width, height);
    return {
      lane: shown.map(each => laneBoxes(box, glass, ...each)),
      cornered: laneBoxes(box, glass, true, true, true, [2 * unit, 1.5 * unit]),
      dial: lanes.map(count => dialBoxes(box, glass, count)),
      cornered_dial: dialBoxes(box, glass, 6, [2 * unit, 1.5 * unit]),
      pool: lanes.map(count => {
        const header = headerOf(width, height, unit, count), high = (height - header.height) / count;
        const rows = bandRows(width, high, unit, pxPerMm), deck = deckWidth(width, rows, high, "10");
        const band = new Box(0, 0, width, high), water = waterBoxes(band, new Box(deck, 0, width - deck, high), rows);
        return { header, rows, deck, water,
          boxes: deckBoxes(band, new Box(0, 0, deck, high), rows, "10", water.bases[0]) };
      })
    };
  })));
"""


@pytest.fixture(scope="module")
def laid(tmp_path_factory):
    """What the page makes of every size."""
    browser = Chromium()
    try:
        browser.get(page_with(tmp_path_factory.mktemp("page"), ["1"]).as_uri())
        yield browser.run(LAID, SIZES, PX_PER_MM, LANES, SHOWN)
    finally:
        browser.quit()


def all_sizes(laid):
    for (width, height), by_mm in zip(SIZES, laid, strict=True):
        for px_per_mm, found in zip(PX_PER_MM, by_mm, strict=True):
            yield Box(0, 0, width, height), Glass(px_per_mm), found


def snake(name):
    return re.sub("[A-Z]", lambda letter: "_" + letter[0].lower(), name)


def corner_on(box, glass):
    """A corner that is kept free."""
    unit = glass.unit_px(box.width, box.height)
    return 2 * unit, 1.5 * unit


def all_same(page, app, where):
    """Whether the page has all values of a layout, and they are the app's."""
    for name, value in page.items():
        same(value, getattr(app, {"float": "float_"}.get(name, snake(name))), (*where, name))


def same(page, app, where):
    """Whether a value of the page is the app's."""
    if isinstance(page, dict):
        for side in ("x", "y", "width", "height"):
            assert page[side] == pytest.approx(getattr(app, side), abs=0.01), (where, page, app)
    elif isinstance(page, list):
        assert len(page) == len(app), where
        for one, other in zip(page, app):
            same(one, other, where)
    else:
        assert page == (pytest.approx(app, abs=0.01) if isinstance(app, float) else app), where


def test_the_lane_view(window, laid):
    for box, glass, found in all_sizes(laid):
        for shown, page in zip(SHOWN, found["lane"], strict=True):
            app = lane_boxes(box, glass, *shown)
            assert len(page) > 25
            all_same(page, app, (box, glass, shown))
        corner = corner_on(box, glass)
        all_same(found["cornered"], lane_boxes(box, glass, True, True, True, corner), (box, glass, "corner"))


def test_the_dial(window, laid):
    for box, glass, found in all_sizes(laid):
        for count, page in zip(LANES, found["dial"], strict=True):
            assert len(page) > 12
            all_same(page, dial_boxes(box, glass, count), (box, glass, count))
        all_same(found["cornered_dial"], dial_boxes(box, glass, 6, corner_on(box, glass)), (box, glass, "corner"))


def test_the_pool(window, laid):
    for box, glass, found in all_sizes(laid):
        unit = glass.unit_px(box.width, box.height)
        for count, page in zip(LANES, found["pool"], strict=True):
            header = header_of(box.width, box.height, unit, count)
            high = (box.height - header.height) / count
            rows = rows_of(box.width, high, unit, glass.px_per_mm)
            where, deck = (box, glass, count), deck_width(box.width, rows, high, "10")
            same(page["deck"], deck, (*where, "deck"))
            all_same(page["header"], header, where)
            all_same(page["rows"], rows, where)
            band = Box(0, 0, box.width, high)
            water = water_boxes(band, Box(deck, 0, box.width - deck, high), rows)
            all_same(page["water"], water, where)
            all_same(page["boxes"], deck_boxes(band, Box(0, 0, deck, high), rows, "10", water.bases[0]), where)
