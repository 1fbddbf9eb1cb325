"""The page, the link and the server together in Firefox, in real time, as `test_inbrowser` has them in Chromium."""

from __future__ import annotations

from contextlib import closing

import pytest

from pacer.session.journal.entries import Paused, Stopped
from tests.screens.browser import Firefox, needs
from tests.screens.hall import hall, until
from tests.screens.test_inbrowser import Frames

pytestmark = [pytest.mark.real_clock, needs(*Firefox.needs)]

WORDS = "return Array.from(document.querySelectorAll('#view [data-is]')).map(node => node.textContent)"


@pytest.fixture(scope="module")
def firefox():
    browser = Firefox()
    try:
        yield browser
    finally:
        browser.quit()


def test_join_be_in_step_pause_and_stop(firefox):
    with hall() as screens, closing(Frames(screens)) as frames:
        firefox.get(screens.address)
        until(lambda: firefox.run("return link.state") == "code")
        firefox.run("link.join(values[0])", screens.code)
        until(lambda: firefox.run("return link.state") == "joined")
        firefox.run("link.pick(1, 'lane'); setWidth(5)")
        until(lambda: {"SWIM", "REST", "READY", "GO"} & set(firefox.run(WORDS)))
        until(lambda: firefox.run("return link.bound() < 50"))
        before = screens.driver.at_ms()
        shown, bound = firefox.run("return [link.now(), link.bound()]")
        assert before - bound - 1 <= shown <= screens.driver.at_ms() + bound + 1
        frames.append(lambda at_ms: Paused(at_ms, None, True))
        until(lambda: {"PAUSED", "STOP"} & set(firefox.run(WORDS)))
        frames.append(lambda at_ms: Stopped(at_ms))
        until(lambda: "ALL STOPPED" in firefox.run(WORDS))
