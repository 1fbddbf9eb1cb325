"""The keys of the bar go away while nobody touches the screen; STOP ALL stays."""

from __future__ import annotations

import pytest

from pacer.session.journal.entries import Paused, Stopped
from pacer.session.journal.recordentries import Touched

SIZES = ((1280, 800), (800, 1280), (1024, 600))
DPI = {(1280, 800): 149.5, (800, 1280): 149.5, (1024, 600): 117.5}
QUIET_MS = 15_000


def kinds(deck):
    return [type(entry) for entry in deck.driver.journal]


def in_lane(deck, size=(1280, 800), lanes=3, lane=0, at_ms=20_000, **more):
    """A session in a lane's view that nobody has touched for a while."""
    made = deck(size, DPI[size], lanes, **more)
    made.begin(at_ms)
    made.shell.fill(lane)
    made.frame(20)
    left_alone(made)
    return made


def left_alone(deck):
    for _ in range(QUIET_MS // 1_000 + 25):  # it waits while swimmers are about to leave
        deck.frame(1_000)
    deck.settle()


def with_keys(deck):
    """A tap in the keys' place, if they are away."""
    if deck.bar.away:
        deck.tap(deck.shell.right - 5, 5)


def middle_of(deck, box):
    deck.tap(box.x + box.width / 2, box.y + box.height / 2)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("lanes", [1, 5, 6, 10])
@pytest.mark.parametrize("mode", ["lane", "dial"])
def test_the_keys_go_and_the_view_takes_their_room(deck, size, lanes, mode):
    made = deck(size, DPI[size], lanes)
    made.begin(20_000)
    if mode == "dial":
        made.press("dial", 60)
    else:
        made.shell.fill(0)
    made.frame(20)
    with_keys(made)
    view, stop = made.shell.view, dict(made.bar.placed())["stop"]
    assert made.shell.shown == mode and view.y == made.bar.top
    if mode == "dial" and size[0] < size[1]:
        left_alone(made)
        assert "pause" in made.names() and view.y == made.bar.top, "it would be no larger"
        return
    small = view.face.boxes.word.height if mode == "lane" else view.face.boxes.radius
    left_alone(made)
    assert made.names() == ["stop"] and dict(made.bar.placed())["stop"] == stop, "in its place, at its size"
    assert tuple(view.size) == size and tuple(view.pos) == (0, 0)
    large = view.face.boxes.word.height if mode == "lane" else view.face.boxes.radius
    assert large > (1.08 if mode == "dial" else 1.2) * small
    if mode == "lane":  # the count-down can be read from 8 m; what it does not need is for the state's word
        assert made.shell.glass.read_at_m(view.face.hero.cap) >= 8
    for piece in view.drawn():
        for ink in piece.ink:
            assert ink.x >= made.bar.right or ink.y >= made.bar.top, (piece.name, ink, made.bar.size)
    made.tap(size[0] - 5, 5)
    assert "pause" in made.names() and view.y == made.bar.top > 0


def test_not_before_fifteen_seconds(deck):
    made = deck()
    made.begin(60_000)
    made.shell.fill(0)
    made.frame(20)
    made.tap(640, 100)
    made.go(QUIET_MS - 1_000)
    assert "pause" in made.names()


def test_in_their_place_a_touch_only_brings_them_back(deck):
    """What is under the finger then is a key: it means nothing before it is seen."""
    made = in_lane(deck)
    assert made.bar.away and made.shell.deck.due(0) is not None, "somebody of the lane is due"
    before = made.driver.journal
    made.tap(640, 40, 700)
    assert made.driver.journal == before and not made.bar.away and made.shell.sheet is None


def test_a_tap_above_them_counts_as_ever(deck):
    """A swimmer's touch is timed at the finger, whether the keys are there or not."""
    made = in_lane(deck)
    finger = made.finger(640, 400)
    at_ms = made.driver.at_ms()
    made.go(60)
    finger.touch_up()
    made.frame(20)
    last = made.driver.journal[-1]
    assert isinstance(last, Touched) and last.lane == 0 and abs(last.at_ms - at_ms) <= 20
    assert not made.bar.away and "pause" in made.names()


def test_a_tap_at_the_side_chooses_the_next_lane(deck):
    made = in_lane(deck)
    made.tap(1_270, 400)
    assert made.shell.lane == 1 and not made.bar.away


def test_a_row_of_the_dial_is_chosen_where_it_is_seen(deck):
    made = deck(lanes=6)
    made.begin(20_000)
    made.press("dial", 60)
    left_alone(made)
    assert made.bar.away
    middle_of(made, made.shell.view.face.rows[4].box)
    assert made.shell.hand == 4 and made.shell.sheet is not None and not made.bar.away


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("locked", [False, True], ids=["", "locked"])
def test_stop_all_is_live_in_its_corner(deck, size, locked):
    made = in_lane(deck, size)
    if locked:
        made.press("lock", 60)
        made.shell.fill(0)
        left_alone(made)
    assert made.bar.away and made.bar.locked is locked
    made.press("stop", 600)
    assert kinds(made)[-1] is Stopped
    assert made.shell.shown == "stop"


def test_under_the_lock_a_splash_changes_nothing_and_shows_the_lock(deck):
    made = in_lane(deck)
    made.press("lock", 60)
    left_alone(made)
    assert made.bar.away and made.bar.track.parent is None
    before = made.driver.journal
    made.tap(640, 400, 600)
    assert made.driver.journal == before and made.bar.track.parent is not None
    made.open_lock()
    assert not made.bar.locked and "pause" in made.names()


def test_the_finger_that_shows_the_lock_does_not_open_it(deck):
    made = in_lane(deck)
    made.press("lock", 60)
    left_alone(made)
    made.open_lock()
    assert made.bar.locked


def test_the_pool_keeps_its_keys(deck):
    """Its lanes never move under a finger that takes times."""
    made = deck(lanes=6)
    made.begin(20_000)
    left_alone(made)
    assert made.shell.shown == "pool" and "pause" in made.names()


def test_before_the_start_and_after_the_end_the_keys_stay(deck):
    made = deck()
    made.shell.fill(0)
    left_alone(made)
    assert "begin" in made.names()
    made.begin(20_000)
    made.press("end")
    left_alone(made)
    assert "reopen" in made.names()


def test_a_paused_lane_keeps_its_keys(deck):
    made = deck()
    made.begin(60_000)
    made.shell.fill(0)
    made.frame(20)
    made.press("pause")
    assert kinds(made)[-1] is Paused
    left_alone(made)
    left_alone(made)
    assert "resume" in made.names()


def test_what_waits_for_a_press_keeps_them(deck):
    made = in_lane(deck)
    made.press("change", 60)
    assert made.shell.sheet is not None
    left_alone(made)
    assert "pause" in made.names() and made.shell.sheet is not None
    made.press("change", 60)
    made.press("settings", 60)
    made.go(5_000)
    assert "louder" in made.names()
    left_alone(made)
    assert made.bar.away and not made.shell.setting_up.what, "settings give way to the session's own keys"


def test_a_message_brings_them_back_and_is_seen(deck):
    made = in_lane(deck)
    made.bar.tell("Lane screens are off; trying again")
    made.frame(20)
    assert made.bar.says == "Lane screens are off; trying again" and made.bar.width == made.shell.width
    left_alone(made)
    assert made.bar.away


def test_a_key_of_a_keyboard_brings_them_back(deck):
    made = in_lane(deck)
    made.key(9)
    assert made.bar.focus and not made.bar.away
    left_alone(made)
    assert made.bar.away and not made.bar.focus


@pytest.mark.parametrize("size", SIZES)
def test_the_tablets_own_text_size_counts(deck, size):
    """What the coach reads is larger, as far as there is room."""
    from kivy.metrics import Metrics

    made = deck(size, DPI[size], 3)
    made.begin(20_000)
    small = made.shell.glass.coach_px
    try:
        Metrics.fontscale = 1.3
        made.frame(20)
        assert made.shell.glass.coach_px == pytest.approx(1.3 * small)
        assert made.shell.view.glass == made.shell.glass
    finally:
        Metrics.fontscale = 1.0
