"""While a key is held down, and for a while after, each lane says on its own band what becomes of it."""

from __future__ import annotations

import pytest

from pacer.show.measure.legibility import DRY
from pacer.show.measure.messagetime import FORECAST_MS
from tests.face.deck.sheet import hand, tile
from tests.face.deck.test_viewtags import GLASSES, ready
from tests.face.kit.test_drawing import said


def looked(deck):
    """What each lane says becomes of it, each piece in its place."""
    deck.settle()
    deck.go(60)
    deck.settle()
    view, tags = deck.shell.view, deck.shell.on_deck and deck.shell.on_deck.tags
    covers = [tags.box_of(tile) for tile in tags.tiles] if tags else []
    pieces = [(piece, ink) for piece in view.drawn() for ink in piece.ink]
    told = {}
    for index, band in enumerate(view.face.bands):
        words = band.forecast
        told[index] = said(words) if words.ink else ""
        for ink in words.ink:
            assert not words.fitted.small and words.fitted.cap >= DRY * band.rows.unit - 0.01, told[index]
            assert band.water.x <= ink.x and ink.right <= band.water.right, "in the water, clear of the digits"
            assert band.box.y <= ink.y and ink.top <= band.box.top + 1, "in its own lane"
            for piece, other in pieces:
                over = ink.x < other.right - 1 and other.x < ink.right - 1 and ink.y < other.top - 1
                assert piece is words or not (over and other.y < ink.top - 1), (told[index], said(piece))
            for box in covers:
                over = ink.x < box.right - 1 and box.x < ink.right - 1 and ink.y < box.top - 1 and box.y < ink.top - 1
                assert not over, (told[index], box)
    return told


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("lanes", [3, 5, 10])
def test_each_lane_says_what_becomes_of_it_by_a_key_on_the_bar(deck, size, dpi, lanes):
    deck = ready(deck, size, dpi, lanes)
    touch = deck.finger(*deck.middle("next"))
    deck.go(600)
    told = looked(deck)
    proposal = deck.bar.asked
    assert all(told.values()), told
    touch.touch_move(deck.shell.width / 2, deck.shell.height - 5)
    touch.touch_up()
    deck.frame(20)
    assert not any(looked(deck).values()), "nothing was done"
    touch = deck.finger(*deck.middle("next"))
    deck.go(600)
    touch.touch_up()
    deck.frame(20)
    after = looked(deck)
    assert any(after.values())
    touched = {lane.lane for lane in proposal.told.lanes}
    assert all(lane in touched for lane, words in after.items() if words)
    deck.go(FORECAST_MS)
    assert not any(looked(deck).values()), "it says it for some seconds"


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("lanes", [3, 5, 10])
def test_the_lanes_say_what_an_undo_brings_back(deck, size, dpi, lanes):
    deck = ready(deck, size, dpi, lanes)
    deck.press("next", 600)
    deck.go(FORECAST_MS + 500)
    touch = deck.finger(*deck.middle("take back"))
    deck.go(500)
    told = looked(deck)
    assert all(told.values()), told
    assert deck.bar.asked.says.startswith("undoes “all lanes: next repeat”")
    assert "finish" in deck.bar.says, deck.bar.says
    touch.touch_up()
    deck.frame(20)
    assert type(deck.driver.journal[-1]).__name__ == "TakenBack"


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_a_key_of_the_sheet_is_foretold_on_the_lane_that_it_is_for(deck, size, dpi):
    deck = ready(deck, size, dpi, 5)
    hand(deck, 1)
    touch = deck.finger(*tile(deck, "pause"))
    deck.go(600)
    told = looked(deck)
    assert told[1].startswith(("stops", "pauses")) and not any(told[lane] for lane in (0, 2, 3, 4)), told
    touch.touch_up()
    deck.frame(20)


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_a_lane_on_the_full_screen_says_it_in_its_foot(deck, size, dpi):
    deck = ready(deck, size, dpi, 1)
    deck.shell.show_view("pool")
    deck.frame(20)
    touch = deck.finger(*deck.middle("next"))
    deck.go(600)
    deck.settle()
    face = deck.shell.view.face
    words = said(face.forecast)
    assert "leaves :" in words or "stops" in words
    assert not face.foot_left.ink and not face.foot_right.ink
    touch.touch_up()
    deck.frame(20)


def test_what_a_press_did_is_not_said_under_the_next_page(deck):
    deck = ready(deck, *GLASSES[0], 5)
    deck.press("next", 600)
    assert any(looked(deck).values())
    hand(deck, 1)
    assert not any(looked(deck).values()), "a sheet was opened"
