"""The page of a lane screen in a real browser says word for word what the app's own views say on a glass of that size.

Demo sessions with random presses at random instants, and just before and at every change.
"""

from __future__ import annotations

import random

import pytest

from pacer.screens.cardmaking import card_list
from pacer.show.measure.legibility import Glass
from pacer.show.view.instantview import dial_view, lane_view, pool_view
from tests.face.drawing import drawn_in
from tests.screens.browser import Chromium, Firefox, needs, page_with
from tests.screens.runs import DEMOS, demo, pressed

SIZES = {(320, 568): 5.2, (768, 1024): 5.0, (1280, 800): 5.9}  # CSS pixels, and pixels a millimetre
INSTANTS = 60  #: at least, of each demo session in each view and size: more than 500 of each session
VIEWS = ("lane", "dial", "pool")

FONTS = "return Promise.all(['700', '400'].map(weight => document.fonts.load(weight + ' 20px pacer'))).then(() => 0)"
SHOWN = """
const [cards, instants, lane, view, pxPerMm, lanes] = values;
setWidth(pxPerMm);
Object.assign(link, { picked: { lane, view }, lanes });
link.onCards(cards);
return instants.map(at => {
  drawAt(at);
  const nodes = Array.from(document.querySelectorAll("#view [data-is]")).filter(node => node.style.display !== "none");
  const text = node => Array.from(node.children).map(row => row.textContent).join(" ") || node.textContent;
  return nodes.map(node => node.getAttribute("data-is") + ": " + text(node));
});
"""


@pytest.fixture(scope="module")
def chromium(tmp_path_factory):
    yield from with_page(Chromium(), tmp_path_factory.mktemp("page"))


@pytest.fixture(scope="module")
def firefox(tmp_path_factory):
    yield from with_page(Firefox(), tmp_path_factory.mktemp("page"))


def with_page(browser, folder):
    """A browser with the page open and its fonts loaded."""
    try:
        browser.get(page_with(folder, ["1"]).as_uri())
        browser.run(FONTS)
        yield browser
    finally:
        browser.quit()


def words_of(widget) -> list[str]:
    """What a view has drawn, by the name of each piece."""
    pieces = [(piece.name, getattr(piece, "fitted", None), piece) for piece in widget.drawn()]
    return sorted(f"{name}: {' '.join(fitted.lines) if fitted else piece.text}" for name, fitted, piece in pieces)


def same_words(window, browser, view, size, run, rng, count, from_ms, until_ms):
    """Draw both at so many instants and compare them."""
    from pacer.face.clock.dialview import DialView
    from pacer.face.clock.laneview import LaneView
    from pacer.face.clock.poolview import PoolView

    lane = rng.randrange(len(run.timeline.tracks))
    cards = card_list(run, lane, view, from_ms, until_ms + 1)
    edges = [card["at_ms"] for card in cards]
    instants = [rng.randrange(from_ms, until_ms + 1) for _ in range(count)]
    instants += [min(until_ms, max(from_ms, rng.choice(edges) + rng.choice((-1, 0)))) for _ in range(count // 2)]
    px_per_mm = SIZES[size]
    numbers = [str(lane.number) for lane in run.timeline.lanes]
    said = browser.run(SHOWN, cards, instants, lane, view, px_per_mm, numbers)
    widget = {"lane": LaneView, "dial": DialView, "pool": PoolView}[view](glass=Glass(px_per_mm))
    for at_ms, page in zip(instants, said, strict=True):
        if run.stopped and not run.ended_ms:
            assert page[0] == "stopped: ALL STOPPED"
            continue
        now = {
            "lane": lambda at: lane_view(run, lane, at, phase_ms=run.phase_ms),
            "dial": lambda at: dial_view(run, at, phase_ms=run.phase_ms),
            "pool": lambda at: pool_view(run, at, phase_ms=run.phase_ms, places=False),
        }[view](at_ms)
        if widget.parent is None:
            drawn_in(window, widget, now, size)
        else:
            widget.show(now)
        assert sorted(page) == words_of(widget), f"{view} of lane {lane} at {at_ms}"
    if widget.parent is not None:
        window.remove_widget(widget)
    return len(instants)


@needs(*Chromium.needs)
@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("plan, squad", DEMOS)
def test_the_page_says_word_for_word_what_the_app_says(window, chromium, plan, squad, size, view):
    same_session(window, chromium, plan, squad, size, view)


@needs(*Firefox.needs)
@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("size", SIZES)
def test_it_does_so_in_firefox(window, firefox, size, view):
    same_session(window, firefox, "long-axis-rotation-3", "thursday", size, view)


def same_session(window, browser, plan, squad, size, view):
    rng = random.Random(f"{plan} {squad} {size} {view}")
    browser.resize(*size)
    compared = 0
    for run, from_ms, until_ms in pressed(demo(plan, squad), rng, 5):
        compared += same_words(window, browser, view, size, run, rng, INSTANTS // 9 + 1, from_ms, until_ms)
    assert compared >= INSTANTS
