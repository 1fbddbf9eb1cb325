"""The editor's totals: worked out aside, dropped when a key comes, and in the end those of the text that stands."""

import threading

import pytest
from kivy.base import EventLoop

from pacer.plan import read_plan
from pacer.timeline.totals import totals
from tests.face.coach import Coach


@pytest.fixture
def coach(window, tmp_path):
    made = Coach(window, tmp_path)
    yield made
    made.leave()


def settled(page):
    """Fingers rest until the totals have come."""
    page._rest.cancel()
    page._work_out(0)
    for thread in threading.enumerate():
        if thread.name == "totals":
            thread.join(30)
    EventLoop.idle()


def test_totals_are_those_of_the_text_that_stands_however_often_keys_came_in_between(coach):
    coach.desk.write("long-axis-rotation-3")
    coach.frame()
    page = coach.page
    page.go_to(len(page.draft.lines) - 2)
    page.draft.go(page.draft.end)
    for text in ("\n  4 x 50 kick, rest 0:1", "5", "\n  2 x 100 free"):
        for char in text:
            if char == "\n":
                coach.key(13)
            else:
                coach.window.dispatch("on_textinput", char)
            page._work_out(0)          # as if fingers had rested; the next key drops it
    settled(page)
    text = page.draft.text
    assert "4 x 50 kick, rest 0:15" in text and not page.stale
    assert page.totals == totals(read_plan(text), page.squad)
    assert page.findings == page.totals.findings
