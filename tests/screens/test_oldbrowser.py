"""A browser that says it is old and has none of what browsers learned later: it shows the lane and says what to set."""

from __future__ import annotations

import time

import pytest

from tests.screens.hall import driver, hall, until
from tests.screens.test_inbrowser import open_page, pick, played, press, said, type_code

pytestmark = pytest.mark.real_clock

AGENT = "Mozilla/5.0 (Linux; Android 5.1) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/70.0.3538.80 Safari/537.36"

#: Before any script of the page: what came later is not there, nor what some browsers of the time did not have.
OLD = """
for (const [owner, names] of [
  [Navigator.prototype, ["wakeLock", "vibrate", "maxTouchPoints", "userAgentData", "clipboard"]],
  [window, ["AudioContext", "webkitAudioContext", "ResizeObserver", "IntersectionObserver", "structuredClone",
    "queueMicrotask", "OffscreenCanvas", "CompressionStream", "WeakRef", "FinalizationRegistry"]],
  [Element.prototype, ["requestFullscreen", "webkitRequestFullscreen", "replaceChildren", "checkVisibility"]],
  [Document.prototype, ["exitFullscreen", "webkitExitFullscreen", "fonts", "fullscreenElement"]],
  [Array.prototype, ["flat", "flatMap", "at", "findLast", "toSorted", "toReversed", "with"]],
  [String.prototype, ["replaceAll", "matchAll", "at", "trimStart", "trimEnd"]],
  [Object, ["fromEntries", "groupBy"]], [Promise, ["allSettled", "any"]],
  [Crypto.prototype, ["subtle", "randomUUID"]],
  [TextMetrics.prototype, ["actualBoundingBoxRight"]]
]) names.forEach(name => { delete owner[name]; });
window.lacks = () => [navigator.wakeLock, window.AudioContext, document.body.requestFullscreen, document.fonts];
"""


@pytest.fixture
def old(chromium):
    added = chromium.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": OLD})
    before = chromium.execute_script("return navigator.userAgent")
    chromium.execute_cdp_cmd("Network.setUserAgentOverride", {"userAgent": AGENT})
    try:
        yield chromium
    finally:
        chromium.execute_cdp_cmd("Page.removeScriptToEvaluateOnNewDocument", added)
        chromium.execute_cdp_cmd("Network.setUserAgentOverride", {"userAgent": before})


def test_an_old_browser_shows_the_lane_and_says_what_to_set(old):
    with hall(driver(began_ago_ms=30_000)) as screens, played(screens):
        open_page(old, screens)
        assert old.execute_script("return [lacks(), navigator.userAgent]") == [[None] * 4, AGENT]
        old.get_log("browser")
        type_code(old, screens.code)
        until(lambda: "Which lane" in said(old))
        assert "To keep this screen on" in said(old)
        pick(old)
        until(lambda: "SWIM" in said(old) and "leave at" in said(old))
        old.find_element("id", "view").click()
        until(lambda: "Change lane" in said(old))
        assert "Full screen" not in said(old) and "screen timeout" in said(old)
        beeps = next(key for key in old.find_elements("css selector", "button") if key.text.startswith("Beeps"))
        assert not beeps.is_enabled()
        press(old, "Bright")
        time.sleep(0.3)
        wrong = [one["message"] for one in old.get_log("browser") if "deprecated" not in one["message"]]
        assert wrong == []
