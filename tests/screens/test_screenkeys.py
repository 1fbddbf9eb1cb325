"""The keys of the page, pressed in Chromium: a helper's, those of the screen, and the pages before a view."""

from __future__ import annotations

from contextlib import suppress

import pytest
from selenium.common.exceptions import StaleElementReferenceException

from pacer.screens.cardmaking import card_list
from pacer.shippedfiles import DRILLS
from pacer.show.view.instantview import pool_view
from pacer.squad.files.drillreader import read_drills
from tests.screens.browser import Chromium, needs, page_with
from tests.screens.hall import until
from tests.screens.pageshots import uncued
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


#: What waits for a while waits until the test says that the time is over: `due(ms)` does what waits for so long.
TIMERS = """
const later = window.setTimeout, clear = window.clearTimeout, waiting = [];
const held = ms => ms === TABLET.lastStrokeMs || ms === TABLET.stopMs;
window.setTimeout = (f, ms, ...more) => held(ms) ? -waiting.push([ms, f]) : later(f, ms, ...more);
window.clearTimeout = number => { if (number < 0) waiting[-number - 1] = [0]; else clear(number); };
window.due = ms => waiting.forEach((one, place) => { if (one[0] === ms) { waiting[place] = [0]; one[1](); } });
"""


@pytest.fixture
def page(chromium):
    chromium.get(chromium.address)
    chromium.run("localStorage.clear()")
    chromium.get(chromium.address)
    chromium.resize(768, 1024)
    cards = card_list(demo("long-axis-rotation-3", "thursday"), 0, "lane", 0, 600_000)
    chromium.run("link.onCards(values[0]); link.at = 100000", cards)
    chromium.run(TIMERS)
    return chromium


def key(page, text):
    """The key that says so; the page may just be drawing it again."""

    def found():
        with suppress(StaleElementReferenceException):
            keys = page.driver.find_elements("css selector", "button")
            return next((key for key in keys if key.text.replace("\n", " ") == text and key.is_displayed()), None)
        return None

    return until(found)


#: Do something; what the page says two frames later.
SAID = """
eval(values[0]);
const frame = () => new Promise(requestAnimationFrame);
return frame().then(frame).then(() => document.body.innerText);
"""


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
    key(page, "+½").click()
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
    key(page, "Bright").click()
    assert page.run("return screen_.theme") == "bright"
    key(page, "Beeps: on").click()
    assert page.run("return sound.on") is False
    key(page, "Change lane").click()
    until(lambda: "Which lane" in words(page))


def test_how_a_drill_is_swum_is_said_where_all_of_it_has_room(page):
    run, _, at_ms = uncued()
    book = read_drills(DRILLS.read_text(encoding="utf-8"))
    page.run(
        "link.onCards(values[0]); link.at = values[1]", card_list(run, 0, "lane", at_ms, at_ms + 1, book=book), at_ms
    )
    to_view(page)
    how = book.drill("three-stroke switch").how
    until(lambda: how in words(page).replace("\n", " "))
    page.resize(320, 568)
    until(lambda: "NEXT" in words(page) and page.run("return screen_.view.box.width") == 320)
    assert how.split()[0] + " " + how.split()[1] not in words(page), "half of it would mislead"


def test_a_screen_that_shows_has_no_keys_of_a_helper(page):
    to_view(page)
    assert "STOP ALL" not in words(page) and "Touch" not in words(page)


def test_a_helper_times_touches_and_strokes(page):
    to_view(page, "helps")
    until(lambda: "STOP ALL" in words(page))
    key(page, "Touch").click()
    assert page.run("return link.acts") == [["touch", {"lane": 0}]]
    assert "Saved: 1:23" in page.run(SAID, "link.onAnswer(1, true, 'Saved: 1:23')")
    for at_ms in (101_000, 101_200, 102_500, 102_799, 104_000):  # a wet finger bounces, as on the tablet
        page.run("link.at = values[0]", at_ms)
        key(page, "Stroke rate").click()
    assert "40 cycles a minute" in page.run("return helper.said") and len(page.run("return link.acts")) == 1
    page.run("due(TABLET.lastStrokeMs)")
    assert page.run("return link.acts[1]") == [
        "rate",
        {"lane": 0, "marks_ms": [101_000, 102_500, 104_000], "at_ms": 104_000, "cycles": 1},
    ]


def test_two_presses_are_no_rate(page):
    to_view(page, "helps")
    until(lambda: "Stroke rate" in words(page))
    for at_ms in (101_000, 102_500):
        page.run("link.at = values[0]", at_ms)
        key(page, "Stroke rate").click()
    assert "Not enough" in page.run(SAID, "due(TABLET.lastStrokeMs)") and page.run("return link.acts") == []


def test_strokes_count_where_they_were_pressed(page):
    """The lane is changed before they are sent."""
    to_view(page, "helps")
    until(lambda: "Stroke rate" in words(page))
    for at_ms in (101_000, 102_500, 104_000):
        page.run("link.at = values[0]", at_ms)
        key(page, "Stroke rate").click()
    page.run("link.at = 106000; link.picked = {lane: 1, view: 'lane'}")
    page.run("due(TABLET.lastStrokeMs)")
    assert page.run("return link.acts[0][1]") == {
        "lane": 0,
        "marks_ms": [101_000, 102_500, 104_000],
        "at_ms": 104_000,
        "cycles": 1,
    }


LIT = """
const lit = [];
for (link.at = values[0]; link.at <= values[1]; link.at += 20) {
  flash.at(link.at, sound.beeps);
  if (by("lit").style.display === "block") lit.push(link.at);
}
return lit;
"""


def test_what_is_heard_is_seen_and_never_flashes_more_than_three_times_a_second(page):
    page.run("link.now = () => null")  # its own frames light nothing
    page.run(
        "flash.seen = 9000; flash.began = -1e9; flash.shown = false; sound.beeps = [10000, 10150, 10300, 10500, 10900]"
    )
    lit = page.run(LIT, 9_000, 12_000)
    begins = [at for at in lit if at - 20 not in lit]
    assert begins == [10_000, 10_500, 10_900] and all(at + 180 not in lit for at in begins)
    page.run("sound.beeps = [20000]")
    assert page.run(LIT, 25_000, 26_000) == [], "what was missed by seconds flashes no more"
    page.run("sound.beeps = []")
    assert page.run(LIT, 27_000, 28_000) == []


@pytest.mark.parametrize("at_ms", [0, 26 * 60_000])
def test_swimmers_are_where_the_cards_say(page, at_ms):
    run = demo("long-axis-rotation-3", "thursday")
    numbers = [str(lane.number) for lane in run.timeline.lanes]
    page.run(
        "link.lanes = values[1]; link.picked = {lane: 0, view: 'pool'}; setWidth(5); link.at = values[2];"
        "link.onCards(values[0]);",
        card_list(run, 0, "pool", at_ms, at_ms + 60_000), numbers, at_ms,
    )  # fmt: skip
    until(lambda: page.run("return screen_.view instanceof PoolView && screen_.view.glides") is not None)
    for later_ms in (500, 9_750, 31_250):
        page.run("link.at = values[0]; drawAt(link.at)", at_ms + later_ms)
        drawn = page.run("""return screen_.view.bands.map(band => band.swimmers.map(dart => {
            const spot = dart.node.getBoundingClientRect(), water = band.water;
            return [(spot.left - water.x - 2) / (water.right - 0.3 * band.rows.unit - water.x - 2 - spot.width),
                dart.node.style.transform === "scaleX(-1)"]; }));""")
        places = [band.places for band in pool_view(run, at_ms + later_ms, glide_ms=250).bands]
        assert [len(lane) for lane in drawn] == [len(lane) for lane in places]
        for swimmers, wanted in zip(drawn, places):
            for (share, back), place in zip(swimmers, wanted):
                if place >= 0:
                    assert back == (place >= 1) and abs(share - (2 - place if back else place)) < 0.01
                else:
                    assert back == (place == -2) and (share > 0.7 if back else share < 0.3)


def test_who_has_touched_is_drawn_at_the_wall(page):
    run = demo("long-axis-rotation-3", "thursday")
    at_ms = 26 * 60_000
    cards = card_list(run, 0, "pool", at_ms, at_ms + 1)
    swims = {card["part"]: card["left_ms"] for card in cards if card["part"].startswith("swimmer")}
    left_ms = swims["swimmer 0 0"]
    assert left_ms is not None and pool_view(run, at_ms).bands[0].places[0] >= 0, "the plan has them swim"
    page.run(
        "link.lanes = values[1]; link.picked = {lane: 0, view: 'pool'}; setWidth(5); link.at = values[2];"
        "link.walls = [[values[3], null]]; link.onCards(values[0]);",
        cards, [str(lane.number) for lane in run.timeline.lanes], at_ms, left_ms,
    )  # fmt: skip
    until(lambda: page.run("return screen_.view instanceof PoolView && screen_.view.glides") is not None)
    drawn = "drawAt(link.at); return screen_.view.bands[0].swimmers[0].node.getBoundingClientRect().left;"
    at_wall = page.run(drawn)
    water = page.run("return screen_.view.bands[0].water.x")
    assert at_wall == water + 2
    page.run("link.walls = [[values[0] - 1, null]]; screen_.view.glides = -1", left_ms)
    assert page.run(drawn) > water + 2, "a time of an earlier swim moves nobody"


def test_stop_all_wants_a_press_as_long_as_on_the_tablet(page):
    from selenium.webdriver import ActionChains

    to_view(page, "helps")
    until(lambda: "STOP ALL" in words(page))
    stop = key(page, "STOP ALL")
    ActionChains(page.driver).click_and_hold(stop).release().perform()
    page.run("due(TABLET.stopMs)")
    assert page.run("return link.acts") == []
    ActionChains(page.driver).click_and_hold(stop).perform()
    assert page.run("return link.acts") == []
    page.run("due(TABLET.stopMs)")
    assert page.run("return link.acts") == [["stop all", {}]]
    ActionChains(page.driver).release().perform()


FINGERS = """
const key = document.querySelector("#bar .stop");
const touches = values[1].map(place => new Touch({ identifier: place, target: key, clientX: place, clientY: 0 }));
const of = { cancelable: true, targetTouches: touches, touches, changedTouches: touches };
key.dispatchEvent(new TouchEvent(values[0], of));
"""


def test_a_drop_on_stop_all_does_not_end_the_press(page):
    """A second finger, or water, comes and goes on the key while the first one presses."""
    to_view(page, "helps")
    until(lambda: "STOP ALL" in words(page))
    for kind, fingers in (("touchstart", [1]), ("touchstart", [1, 2]), ("touchend", [1])):
        page.run(FINGERS, kind, fingers)
    page.run("due(TABLET.stopMs)")
    assert page.run("return link.acts") == [["stop all", {}]]
    for kind, fingers in (("touchend", []), ("touchstart", [1]), ("touchend", [])):
        page.run(FINGERS, kind, fingers)
    page.run("due(TABLET.stopMs)")
    assert len(page.run("return link.acts")) == 1, "nobody presses any more"


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
    until(lambda: "Too many wrong codes. Wait 0:30." in words(page))


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
