"""Four phones at four lanes: the coach presses pause, and all stop in the same breath; one loses the network.

Its minute alone is gone through a second at a time: its own clock and the tablet's are put forward alike.
"""

from __future__ import annotations

import statistics
import time
from contextlib import closing

import pytest

from pacer.session.journal.entries import Begun, Held, Resumed
from pacer.show.drive.driver import Driver
from pacer.show.view.instantview import lane_view
from tests.screens.browser import Chromium, needs
from tests.screens.fourpages import FourPages
from tests.screens.hall import hall, now_ms, until
from tests.screens.relay import relay
from tests.screens.runs import demo

pytestmark = [pytest.mark.real_clock, needs(*Chromium.needs)]

LANES = range(4)
ALONE = 3  #: the phone that loses the network
#: Before any script of a page: its clocks can be put forward.
FORWARD = """
window.forward = 0;
for (const clock of [performance, Date]) {
  const now = clock.now.bind(clock);
  clock.now = () => now() + window.forward;
}
"""
#: Notes from when on a page has had which words on the glass, frame by frame.
WATCH = """
window.glass = [];
const words = () => Array.from(document.querySelectorAll("#view [data-is]")).map(node => node.textContent).join("|");
let last = "";
(function look() {
  const now = words();
  if (now !== last) glass.push([link.now(), last = now]);
  requestAnimationFrame(look);
})();
"""
SHOWN = """
const now = link.now(), shown = {};
drawAt(Math.floor(now));
document.querySelectorAll("#view [data-is]").forEach(node => {
  if (node.style.display !== "none") shown[node.getAttribute("data-is")] = node.textContent;
});
const strip = document.getElementById("strip");
return { now, bound: link.bound(), shown, grey: screen_.view.hero.node.style.opacity,
  strip: strip.style.display === "none" ? "" : strip.textContent, old: strip.className };
"""


class Session:
    """The demo session in its main set, on a clock that can be put forward."""

    def __init__(self):
        self.forward_ms = 0
        began = Begun(0, now_ms() - 26 * 60_000, 1_772_470_883_456, "+00:00")
        self.driver = Driver(
            demo("long-axis-rotation-3", "thursday").timeline,
            now_ms=lambda: now_ms() + self.forward_ms,
            wall_ms=lambda: 1_772_470_883_456,
            boot=lambda: "a",
            journal=(began,),
        )


@pytest.fixture(scope="module")
def hall_of_four():
    """The session, its screens, what is between the tablet and the last phone, and the phones."""
    session = Session()
    with (
        hall(session.driver, host="0.0.0.0") as screens,
        relay(screens.server.port, lambda: 0.0, lambda: 0.0) as between,
        closing(FourPages(screens.server.port, screens.code, screens.frame, between.port, FORWARD)) as phones,
    ):
        drawn_for(screens, 2.5)  # eight exchanges on each
        phones.each(WATCH)
        yield session, screens, between, phones


def drawn_for(screens, seconds):
    """The tablet's frames for a while."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        screens.frame()
        time.sleep(0.005)


def test_all_stop_in_the_same_breath(hall_of_four):
    session, screens, _, phones = hall_of_four
    late, apart = [], []
    for turn in range(6):
        at_ms = session.driver.at_ms()
        stops = turn % 2 == 0
        session.driver.append(Held(at_ms, None, True) if stops else Resumed(at_ms, at_ms + 6_000))
        drawn_for(screens, 1.0)
        painted = phones.each("return glass.splice(0)")
        if stops:
            stopped = [
                next(since for since, words in page if since > at_ms - 50 and ("STOP" in words or "PAUSED" in words))
                - at_ms
                for page in painted
            ]
            late.append(max(stopped))
            apart.append(max(stopped) - min(stopped))
        for lane in LANES:
            shown, view = painted[lane][-1][1], lane_view(session.driver.seen, lane, session.driver.at_ms())
            assert view.text.lane in shown.split("|") and view.text.word in shown
    assert statistics.median(late) < 700 and statistics.median(apart) < 400, (late, apart)


def test_one_is_pulled_off_the_network_and_goes_on_as_the_tablet_does(hall_of_four):
    session, screens, between, phones = hall_of_four
    driver = session.driver
    at_ms = driver.at_ms()
    driver.append(Resumed(at_ms, at_ms + 6_000))
    drawn_for(screens, 1.0)
    phones.driver.switch_to.window(phones.handles[ALONE])
    run = phones.driver.execute_script
    between.silent = True
    pulled_ms, said = driver.at_ms(), set()
    while driver.at_ms() < pulled_ms + 56_000:  # it was heard two seconds before that, at most
        session.forward_ms += 1_000
        run("window.forward += 1000")
        screens.frame()
        before, page, after = driver.at_ms(), run(SHOWN), driver.at_ms()
        assert before - page["bound"] - 1 <= page["now"] <= after + page["bound"] + 1 and page["bound"] < 60
        agrees(page["shown"], lane_view(driver.seen, ALONE, int(page["now"])))
        assert page["grey"] == "1" and not page["old"], "its send-offs stand"
        said |= {page["shown"].get("state"), page["strip"][:13]}
    assert {"SWIM", "No tablet for"} <= said, said
    session.forward_ms += 6_000
    run("window.forward += 6000")
    page = until(lambda: (found := run(SHOWN))["old"] and found)
    assert page["grey"] == "0.45" and "Send-offs may have changed" in page["strip"]
    between.silent = False
    until(lambda: screens.frame() is not None and not run("return link.aloneSince !== null"), 20)


def agrees(shown, view):
    """Whether a page shows what the tablet's view of the lane says."""
    counted = {"down": "count-down", "up": "count-up", "word": "hero"}[view.kind]
    assert shown[counted].replace(" ", "") == view.hero.replace(" ", ""), (shown, view)
    assert shown["number"] == view.text.lane and shown["now"] == view.now
    assert shown.get("leave", "") == view.leave
    if view.kind != "word":
        assert shown["state"] == view.text.word
