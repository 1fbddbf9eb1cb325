"""Four phones at four lanes: the coach presses pause, and all stop in the same breath; one loses the network.

Its minute alone is gone through a second at a time: its own clock and the tablet's are put forward alike.
"""

from __future__ import annotations

import time
from contextlib import closing

import pytest

from pacer.session.journal.entries import Begun, Paused, Resumed
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
const alone = link.aloneSince === null ? 0 : Math.floor(now) - link.aloneSince;
return { now, alone, bound: link.bound(), shown, grey: screen_.view.hero.node.style.opacity,
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
        until(
            lambda: (
                screens.frame() is not None and all(phones.each("return link.clock.taken >= 8 && link.bound() < 40"))
            )
        )
        phones.each(WATCH)
        yield session, screens, between, phones


def drawn_for(screens, seconds):
    """The tablet's frames for a while."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        screens.frame()
        time.sleep(0.005)


def agree(session, screens, phones):
    """Wait until all say what the tablet's views of their lanes say."""

    def said():
        screens.frame()
        return all(
            says_the_same(page["shown"], lane_view(session.driver.seen, lane, int(page["now"])))
            for lane, page in zip(LANES, phones.each(SHOWN))
        )

    until(said)


def test_all_stop_in_the_same_breath(hall_of_four):
    """All stop at each press; how soon is this machine's matter too: of twenty presses, one must show it."""
    session, screens, _, phones = hall_of_four
    breaths = []
    while not breaths or breaths[-1][0] >= 700 or breaths[-1][1] >= 400:
        assert len(breaths) < 20, breaths
        phones.each("glass.length = 0")
        at_ms = session.driver.at_ms()
        session.driver.append(Paused(at_ms, None, True))
        drawn_for(screens, 1.0)
        agree(session, screens, phones)
        late = phones.each("return glass.find(([since, words]) => /STOP|PAUSED/.test(words))[0]")
        breaths.append((max(late) - at_ms, max(late) - min(late)))
        at_ms = session.driver.at_ms()
        session.driver.append(Resumed(at_ms, at_ms + 6_000))
        agree(session, screens, phones)
        drawn_for(screens, 6.0)
        agree(session, screens, phones)


def test_one_is_pulled_off_the_network_and_goes_on_as_the_tablet_does(hall_of_four):
    session, screens, between, phones = hall_of_four
    driver = session.driver
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
        view = lane_view(driver.seen, ALONE, int(page["now"]))
        assert says_the_same(page["shown"], view), (page, view)
        stands = page["alone"] < 60_000
        assert (page["grey"], page["old"]) == (("1", "") if stands else ("0.45", "old")), "its send-offs stand"
        said |= {page["shown"].get("state"), page["strip"][:13]}
    assert {"SWIM", "No contact wi"} <= said, said
    session.forward_ms += 6_000
    run("window.forward += 6000")
    page = until(lambda: (found := run(SHOWN))["old"] and found)
    assert page["grey"] == "0.45" and "Send-offs may have changed" in page["strip"]
    between.silent = False
    until(lambda: screens.frame() is not None and not run("return link.aloneSince !== null"))


def says_the_same(shown, view):
    """Whether a page shows what the tablet's view of the lane says."""
    counted = {"down": "count-down", "up": "count-up", "word": "hero"}[view.kind]
    wanted = {"number": view.text.lane, "now": view.now, "leave": view.leave, counted: view.hero.replace(" ", "")}
    if view.kind != "word":
        wanted["state"] = view.text.word
    found = {name: shown.get(name, "") for name in wanted}
    return found | {counted: found[counted].replace(" ", "")} == wanted
