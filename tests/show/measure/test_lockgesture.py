"""The splash lock's gesture, and why water does not make it. Lengths in mm on a glass of 217 x 136 mm."""

import random

import pytest

from pacer.show.measure.lockgesture import FINGER_RESTS_MS, LockGesture, Step

START, END, LEVEL = 80.0, 150.0, 11.0


@pytest.fixture
def opening():
    return LockGesture(START, END, LEVEL)


def drawn(
    opening,
    contact=1,
    at=0,
    *,
    rest=FINGER_RESTS_MS,
    last_rest=FINGER_RESTS_MS,
    stroke_ms=600,
    y=lambda x: LEVEL,
    lift=True,
):
    """The whole gesture, read 60 times a second. Returns when it ended."""
    opening.down(contact, START, LEVEL, at)
    now = at + rest
    opening.tick(now)
    for n in range(1, stroke_ms // 16 + 1):
        now += 16
        x = START + (END - START) * n * 16 / stroke_ms
        opening.move(contact, x, y(x), now)
    opening.move(contact, END, LEVEL, now)
    now += last_rest
    opening.tick(now)
    if lift:
        opening.up(contact, now)
    return now


def test_rest_draw_rest_opens(opening):
    drawn(opening)
    assert opening.step is Step.OPEN


def test_it_opens_while_the_finger_still_rests(opening):
    drawn(opening, lift=False)
    assert opening.step is Step.OPEN


def test_a_track_can_run_the_other_way():
    opening = LockGesture(END, START, LEVEL)
    opening.down(1, END, LEVEL, 0)
    for n in range(1, 41):
        opening.move(1, END + (START - END) * n / 40, LEVEL, 400 + 16 * n)
    assert opening.tick(400 + 640 + FINGER_RESTS_MS)


@pytest.mark.parametrize(
    "wrong",
    [
        {"rest": FINGER_RESTS_MS // 2},  # wiped along
        {"last_rest": FINGER_RESTS_MS // 2},  # wiped along
        {"stroke_ms": 9_000},  # something that creeps
        {"stroke_ms": 60},  # faster than a finger
        {"y": lambda x: LEVEL - (x - START) / 4},  # running down
    ],
)
def test_what_is_not_the_gesture_does_not_open(opening, wrong):
    drawn(opening, **wrong)
    assert opening.step is not Step.OPEN


def test_a_second_contact_breaks_it_off_until_the_glass_is_free(opening):
    opening.down("puddle", 20, 70, 0)
    drawn(opening, at=100)
    assert opening.step is Step.BROKEN
    opening.up("puddle", 5_000)
    drawn(opening, at=6_000)
    assert opening.step is Step.OPEN


def test_a_drop_during_the_stroke_breaks_it_off(opening):
    opening.down(1, START, LEVEL, 0)
    opening.move(1, START + 20, LEVEL, FINGER_RESTS_MS + 100)
    opening.down("drop", 30, 100, FINGER_RESTS_MS + 110)
    opening.up("drop", FINGER_RESTS_MS + 150)
    opening.move(1, END, LEVEL, FINGER_RESTS_MS + 400)
    assert not opening.tick(FINGER_RESTS_MS * 3 + 400)


def test_a_contact_that_jumps_from_one_dot_to_the_other_does_not_open(opening):
    opening.down(1, START, LEVEL, 0)
    opening.move(1, END, LEVEL, 2_000)
    assert not opening.tick(4_000)


def test_two_drops_on_the_dots_do_not_open(opening):
    opening.down(1, START, LEVEL, 0)
    opening.up(1, 800)
    opening.down(2, END, LEVEL, 900)
    assert not opening.tick(3_000)


def test_it_can_be_tried_again(opening):
    now = drawn(opening, rest=100)
    assert opening.step is Step.WAITING
    drawn(opening, at=now + 500)
    assert opening.step is Step.OPEN


def test_the_drawing_tells_how_far_it_has_come(opening):
    assert opening.drawn(0) == (0, 0, 0)
    opening.down(1, START, LEVEL, 0)
    assert opening.drawn(FINGER_RESTS_MS // 2) == (0.5, 0, 0)
    opening.move(1, START + 20, LEVEL, FINGER_RESTS_MS)
    opening.move(1, (START + END) / 2, LEVEL, FINGER_RESTS_MS + 300)
    assert opening.drawn(FINGER_RESTS_MS + 300) == (1, 0.5, 0)
    opening.move(1, END - 20, LEVEL, FINGER_RESTS_MS + 450)
    opening.move(1, END, LEVEL, FINGER_RESTS_MS + 600)
    assert opening.drawn(FINGER_RESTS_MS + 600 + FINGER_RESTS_MS // 4) == (1, 1, 0.25)


@pytest.mark.parametrize("seed", range(20))
def test_rain_never_opens_it(seed):
    """500 splashes: up to twenty contacts at once, that rest, jump, creep, and run down or anywhere."""
    dice = random.Random(seed)
    opening = LockGesture(START, END, LEVEL)
    now, contacts = 0, {}
    for name in range(500):
        while len(contacts) >= dice.choice((1, 1, 2, 20)):
            gone = dice.choice(list(contacts))
            del contacts[gone]
            opening.up(gone, now)
        near = dice.random() < 0.5
        x, y = (dice.gauss(START, 4), dice.gauss(LEVEL, 4)) if near else (dice.uniform(0, 217), dice.uniform(0, 136))
        contacts[name] = (x, y)
        opening.down(name, x, y, now)
        speed, sideways = dice.choice((0, 0, 1, 3)), dice.choice((0, 0.2, 1, 3))
        for _ in range(dice.randrange(60)):
            now += 16
            for each, (x, y) in contacts.items():
                contacts[each] = x, y = x + dice.uniform(-sideways, sideways), y - speed * dice.random()
                opening.move(each, x, y, now)
            assert not opening.tick(now)
