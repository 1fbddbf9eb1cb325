"""The page before the start, touched in a real window."""

from __future__ import annotations

import pytest
from kivy.tests.common import UnitTestTouch

from pacer.plan.notation.planreader import read_plan
from pacer.timeline.checks.planchecks import findings
from pacer.timeline.summary.planned import planned
from tests.show.drive.test_beforestart import EVENING_MS, HEAD, squad

SIZES = {(1280, 800): 149.5, (800, 1280): 149.5, (1024, 600): 117.5}
FLAGGED = 'Main set\n  4 x 25 free "no breath to the flags", on 1:00, with snorkel\n  10 x 100 free on 1:20\n'
PLAIN = "Main set, 1 to 3 rounds\n  4 x 100 back on 2:00, with fins\n"


class Acts:
    """What the page acts through; notes in `done` what was pressed."""

    def __init__(self, done, battery="", can_write=False, heard=""):
        self.heard, self.done, self.said, self.now, self.wall = heard, done, battery, 0, EVENING_MS
        self.counts_heads, self.can_write, self.can_mend = False, can_write, False

    def wall_ms(self):
        return self.wall

    def now_ms(self):
        return self.now

    def battery(self):
        return self.said

    def sound(self):
        return self.heard

    def starts(self, how, at):
        return (f"starts {how}",)

    def begin(self, how, at):
        self.done.append((how, at))

    def __getattr__(self, name):
        return lambda *args: self.done.append(name)


class Hand:
    """A ready page in the window, and fingers on it."""

    def __init__(self, window, text, size, **more):
        from kivy.base import EventLoop

        from pacer.face.pages.readypage import ReadyPage
        from pacer.show.measure.legibility import Glass

        self.window, self.idle, self.whole, self.done = window, EventLoop.idle, tuple(window.size), []
        self.acts = Acts(self.done, **more)
        timeline = planned(read_plan(HEAD + text), squad(3, 2, 4))[0]
        self.page = ReadyPage(
            timeline,
            HEAD + text,
            self.acts,
            findings(timeline),
            glass=Glass.of_dpi(SIZES[size]),
            size_hint=(None, None),
        )
        window.size = size
        window.add_widget(self.page)
        self.idle()
        self.page.size, self.page.pos = size, (0, 0)
        self.idle()

    def leave(self):
        self.window.remove_widget(self.page)
        self.window.size = self.whole

    def touch(self, name):
        """A finger put down on a tile and lifted; keys on another page, and what is out of view, are found first."""
        for _ in range(3):
            if self.page.board.tile(name) is None and self.page.bar.tile(name) is None:
                self.tap("more")
        if self.page.board.tile(name) is not None and name not in dict(self.page.board.placed()):
            self.page.board.scroll_to(name)
            self.idle()
        self.tap(name)

    def tap(self, name):
        """A finger on a tile in view."""
        box = {key: box for board in (self.page.board, self.page.bar) for key, box in board.placed()}[name]
        finger = UnitTestTouch(box.x + box.width / 2, box.y + box.height / 2)
        finger.touch_down()
        finger.touch_up()
        self.idle()

    def says(self):
        """Everything that is laid out to be read."""
        return " ".join(way for tile in self.page.board.tiles for text in tile.texts for way in text.ways[:1])


@pytest.fixture
def hand(window):
    made = []

    def open_(*args, **more):
        made.append(Hand(window, *args, **more))
        return made[-1]

    yield open_
    for each in made:
        each.leave()


@pytest.mark.parametrize("size", SIZES)
def test_one_touch_leads_to_the_clock(hand, size):
    made = hand(PLAIN, size)
    assert "Get: fins × 9" in made.says() and "9 swimmers in 3 lanes" in made.says()
    made.touch("start")
    assert made.done == ["clock"]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("can_write", [False, True])
def test_a_time_of_day_and_its_steps_are_in_a_row(hand, size, can_write):
    made = hand(PLAIN, size, can_write=can_write)
    for _ in range(3):
        rows = {name: round(box.y) for name, box in made.page.bar.placed()}
        if "time" in rows or "more" not in rows:
            break
        made.tap("more")
    assert rows["time"] == rows["earlier"] == rows["later"], rows


@pytest.mark.parametrize("size", SIZES)
def test_flagged_lines_are_confirmed_first(hand, size):
    made = hand(FLAGGED, size)
    assert "hyperventilation" in made.says()
    made.touch("start")
    assert not made.done and "flagged" in made.page.says
    made.page.hush()
    made.touch("confirm 0")
    assert "Main set: 4 x 25 free, on 1:00 …: confirmed" in made.says()
    made.touch("start")
    assert made.done == ["clock"]


def test_a_touch_on_a_check_shows_what_would_help(hand):
    made = hand(FLAGGED, (800, 1280))
    hint = made.page.told.checks[0].hint
    assert hint and hint not in made.says()
    made.touch("check 0")
    assert hint in made.says()


def test_a_check_that_has_been_opened_is_in_sight(hand):
    """Also the last one above the edge, which has no room to grow there."""
    made = hand(FLAGGED, (1024, 600))
    made.page.board.scroll_to("check 0")
    made.page.board.scroller.to(0)
    made.idle()
    made.touch("check 0")
    assert "check 0" in dict(made.page.board.placed())


def test_the_time_of_day_goes_on(hand):
    made = hand(PLAIN, (1280, 800))
    before = made.says()
    made.acts.wall += 60_000
    assert made.says() == before
    made.page.frame()
    assert made.says() != before


def test_escape_and_close_leave_it(hand):
    made = hand(PLAIN, (1280, 800))
    made.window.dispatch("on_key_down", 27, 27, "", [])
    made.touch("leave")
    assert made.done == ["close", "close"]


@pytest.mark.parametrize("heard", ["", "This tablet has no sound: everything is on the screen."])
def test_it_says_calmly_that_nobody_will_hear_beeps(hand, heard):
    made = hand(PLAIN, (1280, 800), heard=heard)
    said = [text for tile in made.page.board.tiles for text in tile.texts if "sound" in text.ways[0]]
    assert [(text.ways[0], text.colour) for text in said] == ([(heard, "ink")] if heard else [])


@pytest.mark.parametrize("size", SIZES)
def test_nothing_stands_over_anything_else(hand, size):
    made = hand(
        FLAGGED,
        size,
        battery="The battery (20 %) may last only 24 of the 60 minutes to come.",
        can_write=True,
    )
    tiles = [tile for tile in made.page.board.tiles if tile.texts]
    for number, one in enumerate(tiles):
        assert one.x >= 0 and one.x + one.width <= size[0] + 1
        for other in tiles[number + 1 :]:
            apart = (
                one.bottom <= other.top + 1
                or other.bottom <= one.top + 1
                or one.x + one.width <= other.x + 1
                or other.x + other.width <= one.x + 1
            )
            assert apart, (one, other)
        for text in one.texts:
            assert text.box is None or text.box[0] >= 0 and text.box[0] + text.box[2] <= one.width + 3


@pytest.mark.parametrize("size", SIZES)
def test_a_check_says_that_a_tap_tells_what_helps(hand, size):
    page = hand("Main set\n  10 x 100 free on 1:20\n", size).page

    def said():
        return [text.ways[0] for tile in page.board.tiles if tile.name == "check 0" for text in tile.texts]

    assert "Tap for what helps." in said()[-1]
    page.press("check 0")
    assert "Tap for what helps." not in said()[-1]
