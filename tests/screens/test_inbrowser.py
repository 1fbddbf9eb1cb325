"""The page, the link and the server together, in Chromium and in real time."""

from __future__ import annotations

import queue
import re
import threading
import time
from contextlib import closing, contextmanager, suppress

import pytest
from selenium.common.exceptions import ElementNotInteractableException, StaleElementReferenceException

from pacer.screens.screenpage import page_bytes
from pacer.session.journal.entries import Begun, Ended, Paused
from pacer.session.journal.recordentries import Rated, Touched
from pacer.session.storage.keeper import begin, carry_on
from pacer.session.storage.savedsession import session_of
from pacer.session.storage.store import Store
from pacer.session.timesource import Now
from pacer.show.drive.journalwriter import OnDisk
from tests.screens.hall import PATIENT_S, PLAN, driver, hall, kept_says, now_ms, own_ports, until

pytestmark = pytest.mark.real_clock


class Frames:
    """The session's thread: a frame every 20 ms, and what the test wants done in it."""

    def __init__(self, screens):
        self.screens, self.counted = screens, []
        self._wanted: queue.SimpleQueue = queue.SimpleQueue()
        self._over = threading.Event()
        self._thread = threading.Thread(target=self._draw, daemon=True)
        self._thread.start()

    def _draw(self):
        while not self._over.is_set():
            while not self._wanted.empty():
                self._wanted.get()()
            self.screens.driver.settle()
            self.counted += self.screens.frame()
            time.sleep(0.02)

    def append(self, make):
        """Append what `make(session ms)` gives, into the session's thread."""
        self._wanted.put(lambda: self.screens.driver.append(make(self.screens.driver.at_ms())))

    def close(self):
        self._over.set()
        self._thread.join(5)


@contextmanager
def played(screens):
    with closing(Frames(screens)) as frames:
        yield frames


def said(browser):
    """All words on the page."""
    return browser.execute_script("return document.body.innerText;") or ""


def told(browser, name):
    """A value of the link."""
    return browser.execute_script(f"return link.{name};")


def press(browser, text):
    """Press a key of the page by its name; the page may just be drawing it again."""

    def pressed():
        with suppress(StaleElementReferenceException, ElementNotInteractableException):
            for key in browser.find_elements("css selector", "button"):
                if key.text == text and key.is_displayed():
                    key.click()
                    return True
        return False

    until(pressed)


def in_step(browser, session, most_ms=50):
    """Whether the page's clock is the tablet's, within its bound, when that has come down to `most_ms`."""
    until(lambda: told(browser, f"bound() < {most_ms}"))
    before = session.at_ms()
    shown, bound = browser.execute_script("return [link.now(), link.bound()];")
    return before - bound - 1 <= shown <= session.at_ms() + bound + 1


def open_page(browser, screens, key=""):
    """The page as it is first opened on a device that nobody has used."""
    browser.get(f"{screens.address}/none")  # of this origin, without the page's script
    browser.execute_script("localStorage.clear();")
    browser.get(f"{screens.address}/{key}")


def type_code(browser, code):
    until(lambda: told(browser, "state") == "code")
    until(lambda: "Code on the tablet" in said(browser))
    for digit in code:
        press(browser, digit)


def pick(browser, number="4"):
    until(lambda: told(browser, "state") == "joined")
    until(lambda: "Which lane" in said(browser))
    press(browser, number)
    until(lambda: "How wide" in said(browser))
    press(browser, "Save")
    until(lambda: "Readable from" in said(browser))
    press(browser, "OK")
    until(lambda: told(browser, "picked") is not None and told(browser, "now()") is not None)


@pytest.fixture
def hurried(monkeypatch):
    """A page that is alone after one second, not four, gives a connection up after two, and soon tries again."""
    page = page_bytes()
    for before, after in (
        (b"ALONE_MS=4000", b"ALONE_MS=1000"),
        (b"GIVE_UP_MS=8000", b"GIVE_UP_MS=2000"),
        (b"Math.min(8000,300*", b"Math.min(800,300*"),
    ):
        assert page.count(before) == 1
        page = page.replace(before, after)
    monkeypatch.setattr("pacer.screens.lanescreens.page_bytes", lambda: page)


def test_join_by_the_code_pick_a_lane_and_be_in_step(chromium, monkeypatch):
    monkeypatch.setattr("pacer.screens.lockout.FIRST_WAIT_MS", 0)
    with hall() as screens, played(screens) as frames:
        open_page(chromium, screens)
        type_code(chromium, "000000" if screens.code != "000000" else "000001")
        until(lambda: "not the code" in said(chromium))
        type_code(chromium, screens.code)
        pick(chromium)
        until(lambda: "SWIM" in said(chromium) or "REST" in said(chromium) or "READY" in said(chromium))
        assert told(chromium, "picked") == {"lane": 1, "view": "lane"} and told(chromium, "role") == "shows"
        assert in_step(chromium, screens.driver)
        until(lambda: screens.rows[0].bound_ms is not None and screens.rows[0].lane == 1)
        frames.append(lambda at_ms: Paused(at_ms, None, True))
        until(lambda: "PAUSED" in said(chromium) or "STOP AT WALL" in said(chromium))


def test_the_page_asks_for_nothing_else_and_nothing_is_said_by_the_console(chromium):
    with hall() as screens, played(screens):
        open_page(chromium, screens)
        type_code(chromium, screens.code)
        pick(chromium)
        chromium.get_log("browser")
        chromium.refresh()
        until(lambda: told(chromium, "state") == "joined")
        time.sleep(0.5)
        wrong = [one["message"] for one in chromium.get_log("browser") if "deprecated" not in one["message"]]
        assert wrong == []


def test_a_helper_scans_is_approved_times_a_touch_and_stops_all(chromium):
    with hall(driver(began_ago_ms=80_000)) as screens, played(screens) as frames:
        open_page(chromium, screens, screens.scanned.partition("/#")[2].join(["#", ""]))
        pick(chromium, "3")
        assert chromium.execute_script("return location.hash;") == "", "the key does not stay in the address"
        assert told(chromium, "keyed")
        screens.approve(1)
        until(lambda: told(chromium, "role") == "helps")
        until(lambda: screens.driver.at_ms() > 85_000)
        done = """window.answers = [];
            link.onAnswer = (...a) => answers.push(a);
            link.act('touch', {lane: 0});
            return link.bound();"""
        bound = chromium.execute_script(done)
        until(lambda: frames.counted)
        entry = frames.counted[0].entry
        assert isinstance(entry, Touched) and entry.source == "screen 1"
        assert entry.bound_ms == pytest.approx(bound, abs=2)
        until(lambda: chromium.execute_script("return answers.length;"))
        assert chromium.execute_script("return answers[0];")[1] is True
        now = told(chromium, "now()")
        marks = [round(now) - 2_900, round(now) - 1_450, round(now)]
        chromium.execute_script("link.act('rate', {lane: 0, marks_ms: arguments[0], cycles: 1});", marks)
        until(lambda: len(frames.counted) == 2)
        assert isinstance(frames.counted[1].entry, Rated) and frames.counted[1].entry.marks_cs == (0, 145, 290)
        chromium.execute_script("link.act('stop all', {});")
        until(lambda: screens.driver.run.stopped)
        until(lambda: told(chromium, "stopped"))
        until(lambda: re.search("ALL (LANES )?(PAUSED|STOPPED)", said(chromium).replace("\n", " "), re.IGNORECASE))


def test_what_was_pressed_without_a_network_is_sent_when_it_is_back(chromium, hurried):
    with hall(driver(began_ago_ms=80_000)) as screens, played(screens) as frames:
        open_page(chromium, screens, "#" + screens.scanned.partition("/#")[2])
        pick(chromium, "3")
        screens.approve(1)
        until(lambda: told(chromium, "role") == "helps")
        until(lambda: screens.driver.at_ms() > 85_000)
        assert in_step(chromium, screens.driver)
        back = threading.Event()
        screens.loop.call_soon_threadsafe(back.wait, PATIENT_S)  # nothing comes, nothing goes
        before = screens.driver.at_ms()
        chromium.execute_script("link.act('touch', {lane: 0});")
        after = screens.driver.at_ms()
        until(lambda: told(chromium, "aloneSince") is not None)
        until(lambda: "No contact" in said(chromium))
        assert in_step(chromium, screens.driver, most_ms=100), "it goes on"
        assert not frames.counted
        back.set()
        until(lambda: frames.counted)
        entry = frames.counted[0].entry
        assert before - entry.bound_ms - 1 <= entry.at_ms <= after + entry.bound_ms + 1, "its time is the helper's"
        until(lambda: told(chromium, "aloneSince") is None)
        assert len([one for one in screens.driver.journal if isinstance(one, Touched)]) == 1


def test_the_tablet_is_killed_and_resumed_and_nobody_types_twice(chromium, tmp_path, hurried, monkeypatch):
    monkeypatch.setattr("pacer.screens.lanescreens.PORT", own_ports())
    store = Store(tmp_path)
    store.open()
    clock = lambda: Now(now_ms(), 1_772_470_883_456, "a")  # noqa: E731
    keeper = begin(store, session_of(driver().run.timeline, PLAN), clock=clock)
    session = driver(OnDisk(keeper, wait=True), began_ago_ms=None)
    session.append(Begun(-61_000, now_ms() - 61_000, 0, boot="a"))
    with hall(session, tmp_path, port=None) as screens, played(screens):
        open_page(chromium, screens)
        type_code(chromium, screens.code)
        pick(chromium)
        until(lambda: kept_says(tmp_path, '"lane": 1'))
        kept = (tmp_path / "screens.json").read_bytes()
    (tmp_path / "screens.json").write_bytes(kept)
    keeper.close()
    until(lambda: told(chromium, "aloneSince") is not None)
    going_on = told(chromium, "now()")
    again, found = carry_on(store, 1, clock=clock)
    resumed = driver(OnDisk(again, wait=True), found.journal)
    with closing(again), hall(resumed, tmp_path, port=None) as screens, played(screens):
        until(lambda: told(chromium, "aloneSince") is None)
        assert told(chromium, "state") == "joined" and told(chromium, "number") == 1
        assert told(chromium, "now()") > going_on
        until(lambda: "SWIM" in said(chromium) or "REST" in said(chromium) or "READY" in said(chromium))


def test_the_session_ends_and_the_next_one_takes_its_screen_over(chromium, tmp_path, hurried, monkeypatch):
    """Ended in the middle of a swim: swimmers stop at the wall, then it is over, and so it stays without the tablet."""
    monkeypatch.setattr("pacer.screens.lanescreens.PORT", own_ports())
    store = Store(tmp_path)
    store.open()
    clock = lambda: Now(now_ms(), 1_772_470_883_456, "a")  # noqa: E731

    @contextmanager
    def session(ago_ms):
        keeper = begin(store, session_of(driver().run.timeline, PLAN), clock=clock)
        made = driver(OnDisk(keeper, wait=True), began_ago_ms=None)
        made.append(Begun(-ago_ms, now_ms() - ago_ms, 0, boot="a"))
        with closing(keeper), hall(made, tmp_path, port=None) as screens, played(screens) as frames:
            yield screens, frames

    with session(5_000) as (screens, frames):
        open_page(chromium, screens)
        type_code(chromium, screens.code)
        pick(chromium, "5")
        until(lambda: "SWIM" in said(chromium))
        frames.append(Ended)
        until(lambda: "STOP AT WALL" in said(chromium) or "FINISH" in said(chromium))
        chromium.execute_script("const ended = link.now; link.now = () => ended() + 200000;")  # they are home
        until(lambda: "DONE" in said(chromium))
        assert told(chromium, "ended")
    until(lambda: told(chromium, "aloneSince") is not None)
    time.sleep(0.5)
    assert "DONE" in said(chromium) and "No tablet" not in said(chromium)
    with session(5_000) as (screens, _):
        until(lambda: told(chromium, "ended") is False and told(chromium, "aloneSince") is None)
        chromium.execute_script("location.reload()")
        until(lambda: "SWIM" in said(chromium))
        assert told(chromium, "picked") == {"lane": 2, "view": "lane"} and told(chromium, "number") == 1
        until(lambda: [row[:4] for row in screens.rows] == [(1, 2, "lane", True)])


def test_the_tablet_has_another_address_and_is_found_without_scanning(chromium, hurried):
    """This machine has 127.0.0.2 too. The tablet told both; from one on it answers at the other alone."""
    with hall(host="0.0.0.0", port=own_ports()) as screens, played(screens):
        port = screens.server.port
        until(lambda: screens.server.hosts)
        screens.loop.call_soon_threadsafe(screens.server.name_hosts, (f"127.0.0.1:{port}", f"127.0.0.2:{port}"))
        chromium.get(f"http://127.0.0.1:{port}/none")
        chromium.execute_script("localStorage.clear();")
        chromium.get(f"http://127.0.0.1:{port}/")
        type_code(chromium, screens.code)
        pick(chromium)
    until(lambda: told(chromium, "aloneSince") is not None)
    kept = screens.server.devices
    with hall(host="127.0.0.2", port=port) as screens, played(screens):
        screens.server.devices = kept
        until(lambda: told(chromium, "aloneSince") is None)
        assert told(chromium, "host") == f"127.0.0.2:{port}" and told(chromium, "state") == "joined"
        assert chromium.execute_script("return location.hostname;") == "127.0.0.1"
    with hall(host="127.0.0.3", port=port) as screens, played(screens):
        screens.server.devices = kept
        until(lambda: told(chromium, "aloneSince") is not None)
        chromium.find_element("id", "view").click()
        press(chromium, "Find tablet")
        field = until(lambda: chromium.find_elements("css selector", "input"))[0]
        field.clear()
        field.send_keys("127.0.0.3")
        press(chromium, "Find")
        until(lambda: told(chromium, "aloneSince") is None)
        assert told(chromium, "host") == f"127.0.0.3:{port}"


def test_two_browsers_on_one_lane_say_the_same(chromium):
    from tests.screens.conftest import opened

    other = opened()
    try:
        with hall() as screens, played(screens) as frames:
            for browser in (chromium, other):
                open_page(browser, screens)
                type_code(browser, screens.code)
                pick(browser)
            assert all(in_step(browser, screens.driver) for browser in (chromium, other))
            frames.append(lambda at_ms: Paused(at_ms, None, True))
            for browser in (chromium, other):
                until(lambda: "PAUSED" in said(browser) or "STOP AT WALL" in said(browser))
            until(lambda: [row[:4] for row in screens.rows] == [(1, 1, "lane", True), (2, 1, "lane", True)])
    finally:
        other.quit()


def test_sent_away_it_says_so(chromium):
    with hall() as screens, played(screens):
        open_page(chromium, screens)
        type_code(chromium, screens.code)
        pick(chromium)
        shown = "window.numbers = []; const f = link.onNumber; link.onNumber = (ms) => { numbers.push(ms); f(ms); };"
        chromium.execute_script(shown)
        screens.show_number(1)
        until(lambda: chromium.execute_script("return numbers.length;"))
        screens.send_away(1)
        until(lambda: "disconnected this screen" in said(chromium))
        chromium.refresh()
        until(lambda: "disconnected this screen" in said(chromium))
