"""What stays on the sheet and what does not: words of what was undone, its scroll, another lane's page."""

import pytest

from pacer.show.drive.deckchanges import offered
from tests.face.deck.sheet import hand, kinds, on_sheet, tile


def scrolled(deck, to=10_000):
    """The sheet's keys, scrolled down."""
    body = deck.shell.sheet.body
    body.scroller.to(to)
    deck.settle()
    assert body.scroller.offset > 0
    return body


def test_the_head_does_not_go_on_saying_that_something_was_done_that_is_undone(deck):
    deck = deck()
    deck.begin(20_000)
    hand(deck, 1)
    on_sheet(deck, "pause", 500)
    leaves = deck.shell.deck.deck
    assert leaves.note()[0][0].startswith("Done: lane 5 stops at the wall and pauses")
    assert deck.driver.do(offered(deck.driver, "take back", None)) == (), "as the key on the bar does it"
    deck.frame(20)
    assert not leaves.note()[1], leaves.note()
    on_sheet(deck, "take back", 500)
    assert leaves.note()[0][0].startswith("Nothing"), "what an Undo says itself stays"


def test_a_finger_that_slides_up_off_a_key_cancels_and_scrolls_nothing(deck):
    deck = deck(size=(1024, 600), dpi=117.5)
    deck.begin(20_000)
    hand(deck, 1)
    body = deck.shell.sheet.body
    assert body.scroller.most > 0
    x, y = tile(deck, "late")
    body.scroller.to(0)
    deck.settle()
    before = kinds(deck)
    for rests_ms, scrolls in ((600, False), (40, True)):
        touch = deck.finger(x, y)
        deck.go(rests_ms)
        for step in range(1, 9):
            touch.touch_move(x, y + step * 15)
            deck.go(20)
        assert (body.scroller.offset > 0) is scrolls and not body.pressed
        touch.touch_up()
        deck.go(1_000)
        assert (body.scroller.offset > 0) is scrolls and kinds(deck) == before


def test_another_lane_begins_at_the_top(deck):
    deck = deck(size=(1024, 600), dpi=117.5)
    deck.begin(20_000)
    hand(deck, 1)
    body = scrolled(deck)
    hand(deck, 2)
    assert body.scroller.offset == 0


@pytest.mark.parametrize("page", ["swimmers", "with", "section", "line in", "line out", "interval"])
def test_another_lanes_number_shows_its_keys_and_no_page_whose_keys_are_where_pause_was(deck, page):
    deck = deck(size=(1280, 800), dpi=149.5)
    deck.begin(20_000)
    hand(deck, 1)
    on_sheet(deck, page)
    hand(deck, 2)
    leaves = deck.shell.deck.deck.leaves
    assert [type(leaf).__name__ for leaf in leaves] == ["ChangeLeaf"] and leaves[0].title.startswith("Lane 6")
    assert on_sheet(deck, "pause", 500).startswith("Lane 6 stops at the wall and pauses")
