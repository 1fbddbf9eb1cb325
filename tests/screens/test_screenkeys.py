"""The keys of the page, pressed in Chromium: a helper's, those of the screen, and the pages before a view."""

from __future__ import annotations

import pytest

from pacer.screens.cardlist import card_list
from tests.screens.browser import Chromium, needs, page_with
from tests.screens.hall import until
from tests.screens.runs import demo

pytestmark = [pytest.mark.real_clock, needs(*Chromium.needs)]


@pytest.fixture(scope="module")
def chromium(tmp_path_factory):
    browser = Chromium()
    folder = tmp_path_factory.mktemp("page")
    browser.address = page_with(folder, ["4", "5", "6"]).as_uri()
    try:
        yield browser
    finally:
        browser.quit()


@pytest.fixture
def page(chromium):
    chromium.get(chromium.address)
    chromium.run("localStorage.clear()")
    chromium.get(chromium.address)
    chromium.resize(768, 1024)
    cards = card_list(demo("long-axis-rotation-3", "thursday"), 0, "lane", 0, 600_000)
    chromium.run("link.onCards(values[0]); link.at = 100000", cards)
    return chromium


def key(page, text):
    """The key that says so."""
    found = [
        each for each in page.driver.find_elements("css selector", "button") if each.text.replace("\n", " ") == text
    ]
    return next(each for each in found if each.is_displayed())


def words(page):
    return page.driver.find_element("tag name", "body").text


def to_view(page, role="shows"):
    page.run("link.role = values[0]; link.picked = {lane: 0, view: 'lane'}; setWidth(5)", role)
    until(lambda: page.run("return screen_.view instanceof LaneView"))


def test_lane_and_width_are_asked_once(page):
    until(lambda: "Which lane" in words(page))
    key(page, "Dial").click()
    key(page, "5").click()
    assert page.run("return link.picked") == {"lane": 1, "view": "dial"}
    until(lambda: "How wide is this screen?" in words(page))
    before = float(page.driver.find_element("css selector", ".figures").text.split()[0])
    key(page, "+ 0.5").click()
    assert float(page.driver.find_element("css selector", ".figures").text.split()[0]) == before + 0.5
    key(page, "Save").click()
    until(lambda: "Readable from" in words(page))
    assert abs(page.run("return screen_.pxPerMm") - 768 / (before + 0.5) / 10) < 1e-6
    key(page, "OK").click()
    page.get(page.address)
    page.run("link.picked = {lane: 1, view: 'lane'}")
    until(lambda: page.run("return page.shown") == "waiting")


def test_a_touch_of_the_screen_brings_its_keys(page):
    to_view(page)
    page.driver.find_element("id", "view").click()
    key(page, "Light").click()
    assert page.run("return screen_.theme") == "bright"
    key(page, "Beeps off").click()
    assert page.run("return sound.on") is False
    key(page, "Change lane").click()
    until(lambda: "Which lane" in words(page))


def test_a_screen_that_shows_has_no_keys_of_a_helper(page):
    to_view(page)
    assert "STOP ALL" not in words(page) and "Touch" not in words(page)


def test_a_helper_times_touches_and_strokes(page):
    to_view(page, "helps")
    until(lambda: "STOP ALL" in words(page))
    key(page, "Touch").click()
    assert page.run("return link.acts") == [["touch", {"lane": 0}]]
    page.run("link.onAnswer(1, true, 'Saved: 1:23')")
    until(lambda: "Saved: 1:23" in words(page))
    for at_ms in (101_000, 102_500, 104_000):
        page.run("link.at = values[0]", at_ms)
        key(page, "Stroke rate").click()
    until(lambda: "40 cycles a minute" in words(page))
    until(lambda: len(page.run("return link.acts")) == 2)
    assert page.run("return link.acts[1]") == [
        "rate",
        {"lane": 0, "marks_ms": [101_000, 102_500, 104_000], "cycles": 1},
    ]


def test_two_presses_are_no_rate(page):
    to_view(page, "helps")
    until(lambda: "Stroke rate" in words(page))
    for _ in range(2):
        key(page, "Stroke rate").click()
    until(lambda: "Not enough" in words(page))
    assert page.run("return link.acts") == []


def test_stop_all_wants_half_a_second(page):
    from selenium.webdriver import ActionChains

    to_view(page, "helps")
    until(lambda: "STOP ALL" in words(page))
    ActionChains(page.driver).click_and_hold(key(page, "STOP ALL")).pause(0.2).release().perform()
    assert page.run("return link.acts") == []
    ActionChains(page.driver).click_and_hold(key(page, "STOP ALL")).pause(0.8).release().perform()
    assert page.run("return link.acts") == [["stop all", {}]]


def test_a_code_is_typed(page):
    page.run("link.state = 'code'; link.onState()")
    until(lambda: "Code on the tablet" in words(page))
    for digit in "31":
        key(page, digit).click()
    key(page, "Delete").click()
    for digit in "90211":
        key(page, digit).click()
    assert page.run("return link.code") == "390211"
    page.run("link.why = 'code'; link.onState()")
    until(lambda: "That is not the code on the tablet." in words(page))
    page.run("Object.assign(link, {state: 'refused', why: 'shut', waitMs: 30000}); link.onState()")
    until(lambda: "Too many wrong codes. Wait 30." in words(page))


def test_nothing_stands_outside_the_glass(page):
    """On the smallest glass every page fits or scrolls, and no word of a view leaves it."""
    page.resize(320, 568)
    to_view(page, "helps")
    until(lambda: "STOP ALL" in words(page))
    wide = """return Array.from(document.querySelectorAll('#view [data-is], #bar button')).filter(
        node => node.getBoundingClientRect().right > window.innerWidth + 2).map(node => node.textContent);"""
    for at_ms in range(0, 600_000, 7_000):
        page.run("link.at = values[0]; drawAt(link.at)", at_ms)
        assert page.run(wide) == []
