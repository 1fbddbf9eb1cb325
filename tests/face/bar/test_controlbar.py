"""The controls, touched by fingers in a real window."""

import itertools
import random

import pytest
from kivy.tests.common import UnitTestTouch

from pacer.face.bar.barmessage import HINT
from pacer.face.bar.controlbar import IDLE_MS
from pacer.plan.sentence import capitals
from pacer.session.journal.entries import Begun, Moved, Paused, Resumed, Stopped, TakenBack, Unit
from pacer.session.journal.recordentries import Touched, Withdrawn
from pacer.shippedfiles import CAP
from pacer.show.measure.fitting import lines_height
from pacer.show.measure.keyrows import GAP_MM, TARGET_MM
from pacer.show.measure.legibility import character_mm
from pacer.show.measure.messagetime import AGAIN_MS, OLD_MS
from pacer.show.measure.presstime import HELD_MS, STOP_MS
from pacer.show.wording.stopalltext import HOW_TO_STOP_ALL
from tests.face.deck.leaves import READ
from tests.face.deck.sheet import on_sheet, water
from tests.face.drawing import pixels

#: Pixels and pixels per inch: 10.1 inch both ways up, 7 inch, a desktop, 11.6 inch.
GLASSES = [
    ((1280, 800), 149.5),
    ((800, 1280), 149.5),
    ((1024, 600), 169.5),
    ((600, 1024), 169.5),
    ((1280, 800), 96),
    ((2560, 1600), 260),
]


def kinds(deck):
    return [type(entry) for entry in deck.driver.journal]


# -- the held press --------------------------------------------------------------------------


def test_a_key_acts_when_it_is_full_and_let_go(deck):
    deck = deck()
    touch = deck.finger(*deck.middle("begin"))
    deck.go(HELD_MS - 40)
    assert deck.driver.journal == ()
    deck.go(60)
    assert deck.bar.says.startswith("Starts in 10 s") and deck.driver.journal == ()
    touch.touch_up()
    assert kinds(deck) == [Begun]


def test_a_press_too_short_does_nothing_and_says_so(deck):
    deck = deck()
    deck.press("begin", HELD_MS - 100)
    assert deck.driver.journal == ()
    assert deck.bar.says == "Too short: hold it down"
    deck.go(2_000)
    assert deck.bar.says == ""


def test_what_is_said_stays_until_it_was_seen_though_the_app_stood_still(deck):
    deck = deck()
    touch = deck.finger(*deck.middle("begin"))
    touch.touch_up()  # no frame in between: the app stood still meanwhile
    deck.now_ms += 4_000
    assert deck.driver.journal == () and deck.bar.says == "Too short: hold it down"
    deck.frame()
    assert deck.bar.says == "Too short: hold it down"
    deck.go(1_400)
    assert deck.bar.says == "Too short: hold it down"
    deck.go(200)
    assert deck.bar.says == ""


def test_a_key_stays_pressed_while_the_bar_is_laid_out_again(deck):
    deck = deck()
    deck.begin(20_300)
    touch = deck.finger(*deck.middle("pause"))
    deck.go(300)
    deck.shell.lay_out()
    deck.go(200)
    assert deck.bar.says.startswith("All lanes stop")
    touch.touch_up()
    assert kinds(deck) == [Begun, Paused] and deck.bar.says == ""


def test_a_press_whose_key_is_gone_says_that_it_did_nothing(deck):
    deck = deck()
    deck.begin(20_300)
    touch = deck.finger(*deck.middle("pause"))
    deck.go(500)
    deck.driver.append(Paused(deck.driver.at_ms()))  # as by a helper's press
    deck.go(20)
    assert deck.bar.says == "The buttons changed: press again"
    touch.touch_up()
    assert kinds(deck) == [Begun, Paused] and deck.bar.says == "The buttons changed: press again"


def test_sliding_off_leaves_everything_as_it_was(deck):
    deck = deck()
    x, y = deck.middle("begin")
    touch = deck.finger(x, y)
    deck.go(HELD_MS + 100)
    touch.touch_move(x, y + 300)
    assert deck.bar.says == ""
    touch.touch_up()
    assert deck.driver.journal == ()


def test_the_hold_is_drawn_as_it_fills(deck):
    deck = deck()
    touch = deck.finger(*deck.middle("begin"))
    face = deck.bar.keys.faces[0]
    filled = []
    for _ in range(HELD_MS // 100):
        deck.go(100)
        filled.append(round(face.filled, 2))
    assert filled == [0.25, 0.5, 0.75, 1.0]
    touch.touch_up()
    assert face.filled == 0


def test_it_says_beside_the_finger_what_it_will_do_and_does_that(deck):
    deck = deck()
    deck.begin(20_300)
    x, y = deck.middle("next")
    touch = deck.finger(x, y)
    deck.go(500)
    says = deck.bar.says
    answer = deck.bar.answer
    assert "leave :00; stop at the wall" in says, (
        "lane 6 is home at 0:48, its second swimmer at 0:53; and 5 s to hear of it"
    )
    assert not answer.collide_point(x, y)
    touch.touch_up()
    entry = deck.driver.journal[-1]
    assert isinstance(entry, Moved) and entry.leave_ms == 60_000 and entry.unit is Unit.REPEAT and entry.lanes is None


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_that_sliding_off_does_nothing_stands_below_where_there_is_room(deck, size, dpi):
    deck = deck(size, dpi)
    deck.begin(20_300)
    touch = deck.finger(*deck.middle("pause"))
    deck.go(500)
    two_rows = deck.bar.answer.height >= lines_height(2, deck.bar.cap) and size != (1024, 600)  # there too narrow
    assert deck.bar.says.startswith("All lanes stop")
    assert deck.bar.answer.text.startswith("All lanes") and (HINT in deck.bar.answer.text) == two_rows
    touch.touch_move(5, size[1] - 5)
    touch.touch_up()
    assert kinds(deck) == [Begun]


def test_what_it_says_moves_on_with_the_clock(deck):
    deck = deck()
    deck.begin(54_000)  # everybody has touched
    touch = deck.finger(*deck.middle("next"))
    deck.go(500)
    assert "leave :00; finish 17:18" in deck.bar.says
    deck.go(1_000)
    assert "leave :05; finish 17:18" in deck.bar.says
    touch.touch_up()
    assert deck.driver.journal[-1].leave_ms == 65_000


def test_what_cannot_be_done_is_said_and_never_fills(deck):
    deck = deck()
    deck.begin(deck.driver.run.timeline.end_ms - 30_000)
    touch = deck.finger(*deck.middle("next"))
    deck.go(1_000)
    assert deck.bar.says in ("No repeat after this one", "Nothing after")
    assert all(face.filled == 0 for face in deck.bar.keys.faces)
    touch.touch_up()
    assert kinds(deck) == [Begun]


def test_two_fingers_press_one_key(deck):
    deck = deck()
    deck.begin(20_000)
    first, second = deck.finger(*deck.middle("pause")), deck.finger(*deck.middle("next"))
    deck.go(600)
    second.touch_up()
    first.touch_up()
    assert kinds(deck) == [Begun, Paused]


def test_a_line_on_and_back_and_a_repeat_again_from_the_changes(deck):
    deck = deck()
    deck.begin(20_000)
    deck.press("change", 60)
    for name, unit, step in (
        ("previous", Unit.REPEAT, -1),
        ("next line", Unit.LINE, 1),
        ("previous line", Unit.LINE, -1),
    ):
        assert "all lanes" in on_sheet(deck, name, 500).lower()
        assert (deck.driver.journal[-1].unit, deck.driver.journal[-1].step, deck.driver.journal[-1].lanes) == (
            unit,
            step,
            None,
        )


def test_hold_and_resume_one_lane_in_its_view(deck):
    deck = deck()
    deck.begin(30_000)
    deck.shell.fill(1)
    deck.frame()
    assert deck.press("pause").startswith("Lane 5 stops at the wall and pauses")
    assert deck.driver.run.paused() == (1,)
    assert "resume" in deck.names() and "pause" not in deck.names()
    deck.shell.fill(0)
    deck.frame()
    assert "pause" in deck.names()
    deck.press("pool", 60)
    deck.frame()
    assert "pause" in deck.names() and "resume" not in deck.names(), "the other lanes can be paused with one press"
    deck.press("pause")
    deck.frame()
    assert len(deck.driver.run.paused()) == 3
    assert "resume" in deck.names() and "pause" not in deck.names()
    deck.shell.fill(1)
    deck.frame()
    assert deck.press("resume").startswith("Lane 5 leaves :")
    assert isinstance(deck.driver.journal[-1], Resumed)


def test_mute_is_one_press_and_is_kept(deck):
    deck = deck()
    deck.begin(0)
    deck.press("mute", 60)
    assert deck.shell.settings.muted and deck.kept[-1].muted
    assert "mute" in deck.names(), "what can't be heard is in sight"
    deck.press("mute", 60)
    assert not deck.shell.settings.muted


def test_a_message_of_the_store_is_shown(deck):
    class Full:
        def append(self, entry):
            raise OSError(28, "No space left on device")

    deck = deck(store=Full())
    deck.press("begin")
    assert deck.bar.says.startswith("Not saved") and deck.bar.says.endswith("nothing changed")
    assert deck.driver.journal == ()


def test_the_first_keys_come_back_by_themselves(deck):
    deck = deck((1024, 600), 169.5)
    first = deck.names()
    deck.press("more", 60)
    assert deck.names() != first
    deck.go(25_500)
    assert deck.names() == first


# -- stop all ------------------------------------------------------------------------------------


def test_stop_all_acts_after_half_a_second_without_being_let_go(deck):
    deck = deck()
    deck.begin(20_000)
    touch = deck.finger(*deck.middle("stop"))
    deck.go(STOP_MS - 20)
    assert kinds(deck) == [Begun]
    deck.go(20)
    assert kinds(deck) == [Begun, Stopped]
    deck.go(3_000)
    touch.touch_up()
    assert kinds(deck) == [Begun, Stopped]
    assert len(deck.driver.run.paused()) == 3


def test_stop_all_anywhere_on_its_bar_and_nowhere_else(deck):
    deck = deck()
    deck.begin(20_000)
    x, y, width, height = dict(deck.bar.placed())["stop"]
    for spot in ((x + 1, y + 1), (x + width - 1, y + height - 1), (x + 2, y + height - 2)):
        touch = deck.finger(*spot)
        deck.go(600)
        touch.touch_up()
        assert isinstance(deck.driver.journal[-1], Stopped)
        deck.go(100)
        deck.press("resume")
    touch = deck.finger(x + width / 2, y + height / 2)
    deck.go(300)
    touch.touch_move(x + width / 2, y + height + 80)
    deck.go(600)
    touch.touch_up()
    assert isinstance(deck.driver.journal[-1], Resumed)


def test_stop_all_fills_the_screen_and_keeps_the_clock(deck):
    deck = deck()
    deck.begin(20_000)
    deck.press("stop", 600)
    screen = deck.shell.views["stop"]
    assert screen.parent is deck.shell
    assert screen.height + deck.bar.height == pytest.approx(800) and screen.width == 1280
    assert (screen.clock, screen.whose) == (":20", "app clock")
    deck.driver.see_top(deck.now_ms)
    deck.driver.matched = True
    deck.frame()
    assert screen.whose == "pool clock", "it says whose clock it is"
    deck.driver.matched = False
    deck.skip_to(31_000)
    assert screen.clock == ":31"
    deck.press("lanes", 60)
    deck.frame()
    assert screen.parent is None and len(deck.driver.run.paused()) == 3
    deck.press("stop", 600)
    deck.frame()
    assert screen.parent is deck.shell
    assert deck.press("resume").endswith("leave :10 on 2 × 50")
    deck.frame()
    assert screen.parent is None


def test_stop_all_works_while_another_finger_rests_elsewhere(deck):
    deck = deck()
    deck.begin(20_000)
    resting = deck.finger(600, 500)
    deck.press("stop", 600)
    resting.touch_up()
    assert kinds(deck) == [Begun, Stopped]


def test_stop_all_works_where_nothing_can_be_written(deck):
    class Full:
        refuses = False

        def append(self, entry):
            if self.refuses:
                raise OSError(28, "No space left on device")

    store = Full()
    deck = deck(store=store)
    deck.begin(20_000)
    store.refuses = True
    deck.press("stop", 600)
    assert deck.driver.run.stopped
    assert deck.bar.says.startswith("All lanes paused") and "not saved" in deck.bar.says


# -- the splash lock ---------------------------------------------------------------------------------


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_the_lock_opens_by_its_gesture(deck, size, dpi):
    deck = deck(size, dpi)
    deck.begin(20_000)
    deck.press("lock", 60)
    assert deck.bar.locked and deck.names() == ["stop"]
    deck.open_lock()
    assert not deck.bar.locked and "pause" in deck.names()


def test_stop_all_pressed_too_shortly_says_so(deck):
    deck = deck()
    deck.begin(20_000)
    deck.press("stop", 100)
    assert kinds(deck) == [Begun] and "STOP ALL" in deck.bar.says


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_the_lock_says_how_long_to_hold(deck, size, dpi):
    deck = deck(size, dpi)
    deck.begin(20_000)
    deck.press("lock", 60)
    track = deck.bar.track

    def says():
        deck.settle()
        return track.text.replace("\n", " ").lower()

    assert "hold" in says()
    touch = deck.finger(track.first_x, track.center_y)
    deck.go(100)
    assert "hold" in says() and "slide" not in says()
    touch.touch_up()
    deck.frame(20)
    assert "too short" in says()
    deck.go(3_100)
    assert "slide" in says(), "the whole of it again"
    touch = deck.finger(track.first_x, track.center_y)
    deck.go(450)
    assert "slide" in says() and "hold" not in says()
    for part in range(1, 31):
        touch.touch_move(track.first_x + (track.last_x - track.first_x) * part / 30, track.center_y)
        deck.go(20)
    assert "hold" in says() and "slide" not in says(), "the finger is there: it rests"
    touch.touch_up()
    deck.frame(20)
    assert "lift" in says() and deck.bar.locked, "it was lifted before the second dot was full"


def test_stop_all_is_live_under_the_lock(deck):
    deck = deck()
    deck.begin(20_000)
    deck.press("lock", 60)
    deck.press("stop", 600)
    assert kinds(deck) == [Begun, Stopped]
    assert deck.bar.locked
    deck.open_lock()
    assert deck.press("resume").startswith("All lanes leave")


def test_the_lock_closes_by_itself_where_that_is_set(deck):
    from dataclasses import replace

    deck = deck(settings=replace(READ, locked=True))
    deck.press("begin")
    assert deck.bar.locked


def looks(deck):
    """Everything that a touch could change."""
    shell = deck.shell
    return (
        deck.driver.journal,
        shell.mode,
        shell.lane,
        shell.settings,
        shell.bar.locked,
        shell.notices.notice,
        shell.start.chosen,
        deck.closed,
        deck.begun_again,
        deck.kept[:],
    )


def test_twenty_fingers_at_once_change_nothing_while_locked(deck):
    deck = deck()
    deck.begin(20_000)
    deck.press("lock", 60)
    before = looks(deck)
    dice = random.Random(20)
    for _ in range(25):
        touches = [deck.finger(dice.uniform(0, 1280), dice.uniform(0, 800)) for _ in range(20)]
        for _ in range(STOP_MS // 20 - 2):
            for touch in touches:
                touch.touch_move(touch.x + dice.uniform(-6, 6), touch.y + dice.uniform(-6, 6))
            deck.frame(20)
        for touch in touches:
            touch.touch_up()
        deck.frame(20)
    assert looks(deck) == before


def test_ten_thousand_random_touches_change_nothing_while_locked(deck):
    """Splashes of up to `STOP_MS` anywhere, longer ones off stop all.

    That is meant to stop when it is pressed longer.
    """
    deck = deck()
    deck.begin(20_000)
    deck.press("lock", 60)
    before = looks(deck)
    dice = random.Random(10_000)
    stop_right = deck.bar.stop_key.right
    track = deck.bar.track
    resting = None
    for number in range(10_000):
        near = dice.random() < 0.2
        x = dice.gauss(dice.choice((track.first_x, track.last_x)), 20) if near else dice.uniform(0, 1279)
        y = dice.gauss(track.center_y, 20) if near else dice.uniform(0, 799)
        touch = UnitTestTouch(min(1279, max(0, x)), min(799, max(0, y)))
        touch.touch_down()
        if dice.random() < 0.3:
            for _ in range(dice.randrange(5)):
                touch.touch_move(
                    min(1279, max(0, touch.x + dice.uniform(-120, 120))),
                    min(799, max(0, touch.y + dice.uniform(-60, 60))),
                )
                deck.bar.tick(deck.now_ms)
                deck.now_ms += 8
        longest = STOP_MS - 100 if touch.x <= stop_right + 5 or x <= stop_right + 5 else 1_200
        deck.now_ms += dice.randrange(longest)
        deck.bar.tick(deck.now_ms)
        if resting is None and dice.random() < 0.02 and touch.x > stop_right + 150:
            resting = touch  # a puddle that stays a while
            continue
        touch.touch_up()
        if resting is not None and dice.random() < 0.1:
            resting.touch_up()
            resting = None
        if number % 200 == 0:
            deck.frame(0)
    assert looks(deck) == before


def test_random_touches_do_find_the_keys_of_an_open_glass(deck):
    """The test above can fail: the same kind of splashes on an open glass do a lot."""
    deck = deck()
    deck.begin(20_000)
    before = looks(deck)
    dice = random.Random(1)
    for _ in range(300):
        touch = deck.finger(dice.uniform(0, 1279), dice.uniform(0, 799))
        deck.frame(dice.randrange(400))
        touch.touch_up()
    assert looks(deck) != before


# -- sizes -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_targets_are_15_mm_and_3_mm_apart(deck, size, dpi):
    deck = deck(size, dpi)
    mm = dpi / 25.4

    def check():
        for page in range(deck.bar.pages):
            deck.bar.show_page(page)
            boxes = [box for _, box in deck.bar.placed()]
            for x, y, width, height in boxes:
                assert width >= TARGET_MM * mm - 0.5 and height >= TARGET_MM * mm - 0.5
                assert (
                    x >= GAP_MM * mm - 0.5 and y >= GAP_MM * mm - 0.5 and x + width <= size[0] and y + height <= size[1]
                )
            for (ax, ay, aw, ah), (bx, by, bw, bh) in itertools.combinations(boxes, 2):
                apart = max(max(ax, bx) - min(ax + aw, bx + bw), max(ay, by) - min(ay + ah, by + bh))
                assert apart >= GAP_MM * mm - 0.5
            for face in (*deck.bar.keys.faces, deck.bar.stop_key):
                if face.parent:
                    face.texture_update()
                    assert face.texture_size[0] <= face.width and face.texture_size[1] <= face.height, face.text
                    cap, stop = face.font_size * CAP, face is deck.bar.stop_key
                    assert cap >= character_mm(1.0 if stop else 0.8) * mm - 1, "readable where it is pressed"
                    assert cap >= character_mm(1.0, 16) * mm - 1, "ISO 9241-303: 16 minutes of arc, from a metre"
        x, _, width, _ = boxes[0]
        assert boxes[1][0] - (x + width) >= 2 * GAP_MM * mm - 0.5, "stop all stands apart"

    check()
    deck.begin(20_000)
    check()
    deck.press("stop", 600)
    check()


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_what_it_says_fits_beside_every_key(deck, size, dpi):
    deck = deck(size, dpi, lanes=10)
    deck.begin(250_000)
    for name in ("pause", "next", "take back", "end"):
        touch = deck.finger(*deck.middle(name))
        deck.go(100)
        answer = deck.bar.answer
        answer.texture_update()
        assert answer.text and answer.texture_size[0] <= answer.width and answer.texture_size[1] <= answer.height, (
            answer.text
        )
        for boxname, (x, y, width, height) in deck.bar.placed():
            if boxname in ("stop", name):
                assert answer.x >= x + width or answer.right <= x or answer.y >= y + height or answer.top <= y
        touch.touch_up()


@pytest.mark.parametrize("lanes", [1, 10])
@pytest.mark.parametrize(("size", "dpi"), [*GLASSES, ((1024, 600), 117.5)])
def test_undo_and_the_lock_stay_on_the_bar_in_every_size_and_view(deck, size, dpi, lanes):
    deck = deck(size, dpi, lanes=lanes)
    deck.begin(250_000)
    seven_inches = max(size) / dpi < 7
    for view in ("pool", "dial", "lane"):
        deck.shell.lane = lanes - 1
        deck.shell.show_view(view)
        deck.frame()
        deck.middle("pause")  # the keys are there, though nobody has touched the screen
        narrowest = size == (600, 1024) and view == "lane" and lanes == 10
        assert {"pause", "next", "more"} <= set(deck.names())
        assert "take back" in deck.names() or narrowest
        assert "lock" in deck.names() or (seven_inches and (size[1] > size[0] or (view == "lane" and lanes == 10)))
        assert view != "lane" or lanes == 1 or seven_inches or "pool" in deck.names()
    before = dict(deck.bar.placed()).get("take back")
    deck.press("stop", 600)
    assert dict(deck.bar.placed()).get("take back") == before, "nothing else is where Undo was"


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_two_lines_stand_in_the_middle_of_what_the_strip_leaves(deck, size, dpi):
    deck = deck(size, dpi)
    deck.begin(20_000)
    deck.settle()
    x, y, width, height = dict(deck.bar.placed())["stop"]
    drawn = pixels(size)
    black = [
        any(sum(drawn.getpixel((int(x + width * share / 40), row))) < 60 for share in range(8, 33))
        for row in range(int(size[1] - y - height) + 3, int(size[1] - y) - 3)
    ]
    above, _, _, _, below, *_ = (
        len(list(rows)) for _, rows in itertools.groupby(black)
    )  # between them two lines of words
    assert abs(above + 3 - below) <= 3


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_names_half_as_long_again_still_fit(deck, size, dpi, monkeypatch):
    from pacer.show.drive import barkeychoice

    longer = {
        name: tuple(label + "~" * -(-len(label) // 2) for label in labels)
        for name, labels in barkeychoice.LABELS.items()
    }
    monkeypatch.setattr(barkeychoice, "LABELS", longer)
    deck = deck(size, dpi)
    deck.begin(20_000)
    for what in ("", "settings", "sounding"):
        deck.shell.setting_up.show(what)
        for page in range(deck.bar.pages):
            deck.bar.show_page(page)
            for face in deck.bar.keys.faces:
                if face.parent:
                    face.texture_update()
                    assert face.texture_size[0] <= face.width and face.texture_size[1] <= face.height, face.text
                    assert face.right <= size[0]


@pytest.mark.parametrize("page", [0, 1])
@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_the_bar_is_the_sessions_own_from_the_count_down_on(deck, size, dpi, page):
    deck = deck(size, dpi)
    deck.press("begin")
    assert "pause" in deck.names() and not {"begin", "top", "time"} & set(deck.names())
    deck.bar.show_page(page)
    deck.skip_to(-40)
    deck.bar.show_page(page)

    def placed():
        return [each for each in deck.bar.placed() if each[0] != "more"]  # the keys for another start go

    before = placed()
    assert deck.driver.at_ms() < 0
    deck.skip_to(40)
    assert placed() == before and deck.driver.at_ms() >= 0, "a page that stays as it is stays under the finger"


def test_pause_comes_back_by_itself_when_nobody_has_touched_the_bar_for_long(deck):
    deck = deck()
    deck.begin(20_000)
    deck.press("more", 60)
    assert "pause" not in deck.names()
    deck.go(IDLE_MS - 5_000)
    assert "pause" not in deck.names(), "somebody reads the keys"
    deck.bar.show_page(2)  # another touch
    deck.go(IDLE_MS - 1_000)
    assert "pause" not in deck.names()
    deck.go(2_000)
    assert "pause" in deck.names()


def test_who_aims_at_a_key_as_the_bar_goes_back_by_itself_hits_no_other(deck):
    deck = deck()
    deck.begin(20_000)
    deck.press("more", 60)
    spot = deck.middle("end")
    deck.go(IDLE_MS)
    while "pause" not in deck.names():
        deck.frame(20)
    touch = deck.finger(*spot)
    deck.go(600)
    assert not deck.bar.says and not deck.bar.busy
    touch.touch_up()
    deck.go(1_000)
    deck.press("next")
    assert kinds(deck) == [Begun, Moved], "a moment later its key is live"


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_a_later_page_leads_back_and_more_always_leads_on(deck, size, dpi):
    deck = deck(size, dpi)
    deck.begin(20_000)
    for keys in ("session", "settings"):
        if keys == "settings":
            deck.shell.press("settings")
            deck.frame()
        first, seen = deck.names(), []
        for page in range(deck.bar.pages):
            deck.bar.show_page(page)
            seen.append(deck.names())
        assert "more" not in seen[-1] and "go back" in seen[-1] and "go back" not in first
        deck.press("go back", 60)
        assert deck.names() == first


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_a_message_covers_neither_stop_all_nor_pause_next_and_undo(deck, size, dpi):
    deck = deck(size, dpi)
    deck.begin(20_000)
    kept = {"stop", "pause", "next", "take back", "go back"}
    for page in range(deck.bar.pages):
        deck.bar.show_page(page)
        for ways in (HOW_TO_STOP_ALL, ("This tablet has no sound: watch the screen, and the flash", "no sound")):
            deck.bar.tell(*ways)
            deck.frame()
            answer = deck.bar.answer
            answer.texture_update()
            assert deck.bar.says in capitals(ways) and answer.texture_size[0] <= answer.width, "it can be read there"
            assert answer.texture_size[1] <= answer.height
            for name, (x, y, width, height) in deck.bar.placed():
                if name in kept:
                    apart = answer.x >= x + width or answer.right <= x or answer.y >= y + height or answer.top <= y
                    assert apart, (name, ways)
            assert all(
                face.opacity == (each.key.name in kept) for face, each in zip(deck.bar.keys.faces, deck.bar.keys.shown)
            )
    deck.bar.show_page(0)
    deck.bar.tell(*HOW_TO_STOP_ALL)
    deck.press("pause")
    assert kinds(deck) == [Begun, Paused], "they are live meanwhile"


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_pause_is_beside_the_keys_of_a_page_that_is_read(deck, size, dpi):
    deck = deck(size, dpi)
    deck.begin(20_000)
    deck.shell.notices.show_cautions()
    deck.frame(20)
    assert deck.names()[:2] == ["stop", "pause"] and len(deck.names()) > 2
    deck.press("pause", 500)
    deck.go(100)
    assert kinds(deck) == [Begun, Paused] and "resume" in deck.names()


def test_a_slip_at_the_lock_says_what_was_wrong(deck):
    deck = deck()
    deck.begin(20_000)
    deck.press("lock", 60)
    track = deck.bar.track
    whole = track.last_x - track.first_x

    def says():
        deck.settle()
        return track.text.replace("\n", " ").lower()

    def slide(rest_ms, steps, up=0.0):
        touch = deck.finger(track.first_x, track.center_y)
        deck.go(rest_ms)
        for part in range(1, steps + 1):
            touch.touch_move(track.first_x + whole * part / steps, track.center_y + up * part / steps)
            deck.frame(16)
        said = says()
        touch.touch_up()
        deck.frame(20)
        assert deck.bar.locked and says() == said, "it stays when the finger has left"
        deck.go(3_100)
        return said

    assert "too short" in slide(100, 40)
    assert "too quick" in slide(450, 5)
    assert "off the track" in slide(450, 40, up=200)


def test_a_tablet_without_sound_says_so_in_the_place_of_mute(deck):
    class Silent:
        volume, muted, usual_latency_ms, silent = 100, False, 0, True

        def start(self, clip, at_ms=None):
            return 1

        def stop(self, token):
            pass

        def notes(self):
            return ()

    deck = deck()
    deck.begin(20_000)
    deck.shell.sounds.open(Silent())
    deck.frame(20)
    deck.press("mute", 60)
    key = next(each.key for each in deck.bar.keys.shown if each.key.name == "mute")
    assert key.label == "No sound" and not deck.shell.settings.muted
    assert "no sound" in deck.bar.says


# -- what Undo is about -----------------------------------------------------------------------------------------------


def test_undo_takes_back_a_time_that_was_just_tapped_and_not_the_change_before_it(deck):
    deck = deck(size=(1280, 800), dpi=149.5)
    deck.begin(20_000)
    deck.press("next")
    change = deck.driver.journal[-1]
    deck.go(47_000)
    lane = next(lane for lane in range(3) if deck.shell.on_deck.due(lane))
    water(deck, lane)
    assert isinstance(deck.driver.journal[-1], Touched)
    run, time = deck.driver.run, deck.driver.journal[-1]
    deck.go(2_000)
    deck.press("more", 60)
    touch = deck.finger(*deck.middle("take back"))
    deck.go(HELD_MS)
    assert deck.bar.says.startswith("Undoes the time "), deck.bar.says
    touch.touch_up()
    deck.go(500)
    assert deck.driver.journal[-1] == Withdrawn(deck.driver.journal[-1].at_ms, len(deck.driver.journal) - 1)
    assert not deck.driver.times and deck.driver.run is run, "no change is undone"
    assert not any(tag.touched is time for tag in deck.shell.on_deck.tags.tags.values())
    assert deck.driver.run.by is change


def test_undo_of_something_old_is_held_down_twice(deck):
    """Nobody undoes an old change by a press that was meant for something else."""
    deck = deck(size=(1280, 800), dpi=149.5)
    deck.begin(20_000)
    deck.press("next")
    deck.go(OLD_MS + 1_000)
    before = deck.driver.run
    deck.press("take back")
    assert deck.driver.run is before and "min ago" in deck.bar.says and "Hold down again" in deck.bar.says
    deck.go(AGAIN_MS + 100)
    deck.press("take back")
    assert deck.driver.run is before, "that was too long ago"
    deck.press("take back")
    assert isinstance(deck.driver.journal[-1], TakenBack)


def test_undo_of_what_was_just_done_is_held_down_once(deck):
    deck = deck(size=(1280, 800), dpi=149.5)
    deck.begin(20_000)
    deck.press("next")
    deck.go(5_000)
    deck.press("more", 60)
    deck.press("take back")
    assert isinstance(deck.driver.journal[-1], TakenBack)
