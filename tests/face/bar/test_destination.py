"""Next says next what, while the key is held: the words, and that they find room on the bar."""

from __future__ import annotations

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.session.journal.entries import Moved, Unit
from pacer.show.drive.driver import Driver
from pacer.timeline.timeline import build_timeline
from tests.face.sessions import squad

PLAN = """pool: 25 m

Main set, 2 rounds
  2 x 50 odd drill catch-up / even back, on 1:00
  2 x 100 back build, on 2:00

Swim-down
  100 choice, on 3:00
"""


@pytest.fixture
def now():
    return [0]


def driver_of(now, lanes):
    driver = Driver(
        build_timeline(read_plan(PLAN), squad(lanes)), now_ms=lambda: now[0], wall_ms=lambda: 0, boot=lambda: "boot"
    )
    assert driver.do(driver.begin(10_000)) == ()
    now[0] = 20_000
    return driver


def test_a_move_says_the_line_it_goes_over_to_and_the_round(now):
    """Of a line whose repeats differ the repeat is named, at its start the whole set.

    A round or a section is named where it is another.
    """
    driver, said = driver_of(now, 1), []
    while (proposal := driver.move(Unit.REPEAT, 1)).entry:
        said.append(proposal.says.partition(", leaves")[0])
        assert driver.do(proposal) == ()
        now[0] += proposal.entry.leave_ms - proposal.entry.at_ms + 5_000
    assert said == [
        f"lane 4 to {way}"
        for way in (
            "repeat 2 of 2: 50 back",
            "2 × 100 back build",
            "repeat 2 of 2: 100 back build",
            "round 2: 2 × 50 odd drill catch-up / even back",
            "repeat 2 of 2: 50 back",
            "2 × 100 back build",
            "repeat 2 of 2: 100 back build",
            "Swim-down: 100 choice",
        )
    ]


def test_lanes_that_go_to_the_same_are_named_together(now):
    driver = driver_of(now, 5)
    assert driver.append(Moved(driver.at_ms(), Unit.REPEAT, 1, driver.at_ms() + 5_000, (0,))) == ()
    now[0] += 20_000
    ways = driver.move(Unit.REPEAT, 1).ways
    told = "lane 4 to 2 × 100 back build; lanes 5–8 to repeat 2 of 2: 50 back, leave :25"
    assert ways[0].startswith(told) and "; lanes 5–8 stop at the wall; finish " in ways[0], ways[:2]
    assert any(way.startswith("4: 2 × 100; 5–8: 2 of 2, leave :25; 4 lanes stop at wall, finish ") for way in ways)
    assert ways[-2].startswith("leave :25; 4 lanes stop at wall, finish ")


@pytest.mark.parametrize(("size", "dpi"), [((1280, 800), 149.5), ((800, 1280), 149.5), ((1024, 600), 117.5)])
def test_it_stands_beside_the_key_while_that_is_held(deck, size, dpi):
    """In a few words, from the first moment on: where all go to the same, and lane by lane where they do not.

    Upright there is room for one of the two: when they leave comes before where to.
    """
    deck = deck(size, dpi, made=build_timeline(read_plan(PLAN), squad(6)))
    deck.begin(65_000)
    for alike, words in ((True, "2 × 100"), (False, "5–9: 2 × 100")):
        if not alike:
            deck.driver.append(deck.driver.move(Unit.REPEAT, 1, (0,)).entry)
            deck.go(20)
        touch = deck.finger(*deck.middle("next"))
        deck.go(40)
        answer = deck.bar.answer
        answer.texture_update()
        instead = "5 lanes stop at wall" if not alike else "Leave :05; " if size[0] < size[1] else words
        assert words in deck.bar.says or instead in deck.bar.says, deck.bar.says
        assert answer.texture_size[0] <= answer.width and answer.texture_size[1] <= answer.height
        deck.go(20)
        touch.touch_up()
        deck.go(3_000)
