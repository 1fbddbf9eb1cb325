"""Who is added to a lane is chosen by name: who got out, the lane's absent, the others, somebody new."""

import pytest

from pacer.session.journal.entries import SwimmerJoined, SwimmerLeft
from pacer.show.drive import deckchanges
from pacer.squad.squad import Absent, Pace
from tests.face.deck.sheet import GLASSES, fits, hand, on_sheet
from tests.session.pages import session

PLAN = "pool: 25 m\nbooking: 60 min\nMain set\n  10 x 100 free on 2:30\n"
SQUAD = """\
[[lane]]
number = 4
base = "1:20"
  [[lane.swimmer]]
  name = "Nia"
  base = "1:18"
  [[lane.swimmer]]
  name = "Kit"
  base = "1:20"
[[lane]]
number = 5
base = "2:00"
swimmers = 2
"""
ABSENT = (Absent("Hal", 4, Pace(90_000)), Absent("Una", 5), Absent("Zoe", 5, Pace(125_000)), Absent("Ash Weir", 9))
MANY = ("Bartholomew Q", "Maximiliana", "Rowan", "Ines Marsh")


@pytest.fixture
def opened(deck):
    """The deck with the Swimmers leaf of the lane at that index."""

    def make(index=1, absent=ABSENT, **glass):
        made = deck(made=session(PLAN, SQUAD), **glass)
        made.driver.absent = absent
        made.begin(20_000)
        hand(made, index)
        on_sheet(made, "swimmers")
        return made

    return make


def offered(deck):
    """What can be pressed on the leaf: label and words, in order."""
    return [(tile.name, *(text.ways[0] for text in tile.texts)) for tile in deck.shell.sheet.body.tiles if tile.name]


def last(deck):
    return deck.driver.journal[-1]


def test_who_got_out_comes_first_then_the_absent_of_the_lane_then_the_others(opened):
    deck = opened(0)
    on_sheet(deck, "out", 500)
    on_sheet(deck, "join")
    assert deck.shell.deck.deck.leaf.title == "Who joins lane 4?"
    out = deck.shell.sheet.body.tile("back 0").texts[0].ways[0]
    assert out.startswith("out at 0:2") and offered(deck) == [
        ("back 0", out, "Nia"), ("absent 0", "absent", "Hal"), ("absent 1", "absent, lane 5", "Una"),
        ("absent 2", "absent, lane 5", "Zoe"), ("absent 3", "absent, lane 9", "Ash Weir"), ("new", "Somebody new"),
    ]  # fmt: skip
    hand(deck, 1)
    on_sheet(deck, "swimmers")
    on_sheet(deck, "join")
    assert [name for name, *_ in offered(deck)] == ["back 0", "absent 1", "absent 2", "absent 0", "absent 3", "new"]


def test_who_got_out_comes_back_and_is_offered_no_more(opened):
    deck = opened(0)
    on_sheet(deck, "out", 500)
    on_sheet(deck, "join")
    assert on_sheet(deck, "back 0", 500).startswith("Comes back, 2nd, base 1:18; ")
    assert isinstance(deck.driver.journal[-2], SwimmerLeft)
    assert last(deck).back == 0 and (last(deck).name, last(deck).absent) == ("", None)
    assert [one.name for one in deck.driver.run.timeline.squad.lanes[0].swimmers] == ["Kit", "Nia"]
    assert deck.shell.deck.deck.leaf.title == "In or out, lane 4"
    on_sheet(deck, "join")
    assert "back 0" not in [name for name, *_ in offered(deck)]


@pytest.mark.parametrize(
    ("name", "who", "base", "base_ms"), [("absent 2", "Zoe", "2:05", 125_000), ("absent 1", "Una", "2:00", None)]
)
def test_who_was_absent_joins_with_their_own_base(opened, name, who, base, base_ms):
    deck = opened()
    on_sheet(deck, "join")
    said = on_sheet(deck, name, 500)
    assert said.startswith(f"3rd joins, base {base}; ")
    assert (last(deck).name, last(deck).absent, last(deck).base_ms) == (who, int(name[-1]), base_ms)
    on_sheet(deck, "join")
    assert name not in [each for each, *_ in offered(deck)]
    deck.driver.do(deckchanges.offered(deck.driver, "take back", None))
    deck.frame(20)
    assert name in [each for each, *_ in offered(deck)], "undone: absent again"


def test_somebody_new_is_last_and_nobody(opened):
    deck = opened(absent=())
    on_sheet(deck, "join")
    assert offered(deck) == [("new", "Somebody new")]
    on_sheet(deck, "new", 500)
    assert last(deck) == SwimmerJoined(last(deck).at_ms, 1, last(deck).leave_ms)


@pytest.mark.parametrize(
    ("at_ms", "paused", "far"), [(38_000, False, True), (38_000, True, True), (82_000, False, False)]
)
def test_who_comes_to_a_lane_that_waits_at_the_far_wall_is_told_to_get_in_there(deck, at_ms, paused, far):
    """25 m in 20 s, on 0:45: all are at the far wall from 0:36 on, and home again at 1:21."""
    plan = "pool: 25 m\nMain set\n  8 x 25 on 0:45\n"
    lane = '[[lane]]\nnumber = {}\nbase = "1:20"\nswimmers = 4\n'
    made = deck(made=session(plan, lane.format(2) + lane.format(3)))
    made.begin(at_ms)
    hand(made, 0)
    if paused:
        on_sheet(made, "pause", 500)
    on_sheet(made, "swimmers")
    on_sheet(made, "join")
    made.shell.deck.deck.ask("new")
    ways = made.shell.deck.deck.asked.ways
    assert [("gets in at the far end" in way) for way in ways] == [far] * len(ways), ways


def test_who_is_moved_to_a_lane_that_waits_at_the_far_wall_is_told_to_get_in_there(deck):
    """25 m in 20 s, on 0:45: lane 2 is at the far wall from 0:36 on; lane 3 was paused before it left."""
    lane = '[[lane]]\nnumber = {}\nbase = "1:20"\nswimmers = 4\n'
    made = deck(made=session("pool: 25 m\nMain set\n  8 x 25 on 0:45\n", lane.format(2) + lane.format(3)))
    made.begin(-5_000)
    made.driver.do(made.driver.pause((1,)))
    made.go(43_000)
    hand(made, 1)
    on_sheet(made, "swimmers")
    made.shell.deck.deck.ask("to 0")
    ways = made.shell.deck.deck.asked.ways
    assert ways and all("gets in at the far end" in way for way in ways), ways


def test_who_gets_out_while_swimming_swims_home_first_and_that_is_said(opened):
    """The touches are theirs until they are home."""
    deck = opened(0)
    out = deck.shell.deck.deck
    out.ask("out")
    assert out.asked.says.startswith("1st swims this one home and gets out; "), out.asked.says
    deck.go(145_000 - deck.driver.at_ms())
    out.ask("out")
    assert out.asked.says.startswith("1st gets out; "), "at the wall"


def test_no_name_is_said_or_seen_outside_the_leaf(opened):
    """What a press does is said by place, on the sheet, on the bar and over the view; so is what Undo undoes."""
    deck = opened(0)
    on_sheet(deck, "out", 500)
    seen = []
    for name in ("back 0", "absent 0", "absent 2"):
        on_sheet(deck, "join")
        deck.shell.deck.deck.ask(name)
        seen += [*deck.shell.deck.deck.asked.ways]
        on_sheet(deck, name, 500)
        deck.settle()
        boards = [*deck.shell.sheet.boards, deck.shell.on_deck.tags]
        seen += [way for board in boards for tile in board.tiles for text in tile.texts for way in text.ways]
        seen += [*deckchanges.offered(deck.driver, "take back", None).ways, deck.bar.says]
    assert len(seen) > 50 and not any(name in said for said in seen for name in ("Nia", "Kit", "Hal", "Zoe"))


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("count", [1, 8])
def test_every_name_has_room(opened, size, dpi, count):
    more = tuple(Absent(name, 5 + place) for place, name in enumerate(MANY))
    deck = opened(0, absent=(*ABSENT, *more)[:count], size=size, dpi=dpi)
    on_sheet(deck, "out", 500)
    on_sheet(deck, "join")
    assert len(offered(deck)) == count + 2
    fits(deck, dpi)
