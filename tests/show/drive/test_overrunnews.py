"""The coach is told once that the finish runs over the booking, with what would bring it back."""

import time

import pytest

from pacer.session.journal.entries import Begun, CountChanged, IntervalChanged
from pacer.session.records.overrun import pressed
from pacer.session.records.touches import swim, touched
from pacer.show.drive.driver import Driver
from tests.session.pages import session

#: 13:05 as written, booked to 13:10; by times 10 % slower 3 s over.
PLAN = "pool: 25 m\nbooking: 0:13:10\nMain set\n  8 x 100 on 1:40\n"
SQUAD = '[[lane]]\nnumber = 4\nbase = "1:20"\nswimmers = 2\n'


def settled(driver, most_s=1.0):
    """What is told in the frames that come, until something is."""
    told, until = [], time.monotonic() + most_s
    while time.monotonic() < until and not told:
        if said := driver.settle():
            told.append(said)
        time.sleep(0.01)
    return told + [said for _ in range(3) if (said := driver.settle())]


@pytest.fixture
def deck():
    class Deck:
        now = 0

        def __init__(self):
            begun = Begun(-10_000, 0, 1_764_003_600_000, "+00:00")
            self.driver = Driver(
                session(PLAN, SQUAD),
                now_ms=lambda: self.now,
                wall_ms=lambda: self.now,
                boot=lambda: "",
                journal=[begun],
            )
            self.told = []

        def swim(self, slower, repeats=3):
            track = self.driver.run.timeline.tracks[0]
            for index in range(repeats):
                for swimmer in (0, 1):
                    found = swim(track, 0, index, swimmer)
                    self.now = found.left_ms + round(found.predicted_ms * slower)
                    self.told.append(self.driver.append(touched(found, self.now)))
            self.told += settled(self.driver)
            return [each for each in self.told if each]

    return Deck()


def test_it_is_told_once_with_two_ways_back(deck):
    (told,) = deck.swim(1.10)
    assert told[0] == (
        "at this pace: finish 17:14, 0:03 over. To fix it (lane 4: rest cut by 0:05 or one repeat fewer), "
        "press Change, then Finish by"
    )
    assert len(told[-1]) < 14
    assert [type(each.press) for each in deck.driver.remedies()] == [IntervalChanged, CountChanged]


def test_as_written_nothing_is_told(deck):
    assert deck.swim(1.0) == [] and deck.driver.remedies() == ()


def test_a_remedy_is_one_press_with_its_preview(deck):
    deck.swim(1.10)
    press = deck.driver.remedies()[0].press
    proposal = deck.driver.offer(lambda run, at_ms: pressed(run, at_ms, press))
    assert proposal.entry.interval_ms == 95_000 and "leaves" in proposal.says
    deck.driver.do(proposal)
    assert deck.driver.remedies() == (), "in time again"
    assert deck.driver.settle() == ()


def test_a_lane_that_is_at_the_wall_has_nobody_to_catch(deck):
    """The times that foretell a catch are there, but the lane is told to stop; it is warned of once it leaves again."""
    track, driver = deck.driver.run.timeline.tracks[0], deck.driver
    for index in range(5):
        for swimmer, slower in ((1, 1.0), (0, 1.12)):
            found = swim(track, 0, index, swimmer)
            deck.now = found.left_ms + round(found.predicted_ms * slower)
            driver.append(touched(found, deck.now))
    deck.now += 60_000
    driver.do(driver.pause(None))
    assert not [said for said in settled(driver, 0.4) if "catches" in said[0]], "told to stop"
    deck.now += 120_000
    assert not [said for said in settled(driver, 0.4) if "catches" in said[0]], "stands at the wall"
    driver.do(driver.resume(None))
    assert [said for said in settled(driver) if "catches" in said[0]]


def test_a_catch_that_the_times_foretell_is_told_once(deck):
    track, driver = deck.driver.run.timeline.tracks[0], deck.driver
    told = []
    for index in range(5):
        for swimmer, slower in ((1, 1.0), (0, 1.12)):
            found = swim(track, 0, index, swimmer)
            deck.now = found.left_ms + round(found.predicted_ms * slower)
            driver.append(touched(found, deck.now))
        told += [said for said in settled(driver) if "catches" in said[0]]
    (said,) = told
    assert said[0].startswith("at this pace, lane 4: swimmer 2 catches the one ahead after ")
    assert (
        said[0].endswith("; send them in order of pace: 2, 1") and said[-1] == "lane 4: swimmer 2 catches the one ahead"
    )
