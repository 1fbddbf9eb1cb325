"""What stands over the view for a few seconds covers nothing that is said.

The band says it beside it, or not at all.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from pacer.session.journal.recordentries import Noted, Touched
from tests.face.deck.sheet import water
from tests.face.kit.test_drawing import said
from tests.face.shots import demo_run

GLASSES = [((1280, 800), 149.5), ((800, 1280), 149.5), ((1024, 600), 117.5)]


def ready(deck, size, dpi, lanes):
    deck = deck(size, dpi, made=demo_run(lanes=lanes, swimmers=4).timeline)
    deck.begin()
    deck.shell.show_view("pool")
    deck.shell.mode = "pool"
    deck.skip_to(deck.driver.run.timeline.gates[2] + 165_000)
    deck.frame(20)
    return deck


def seen(deck):
    deck.settle()
    deck.go(60)  # a view that is laid out again leaves room in the next frame
    deck.settle()
    tags = deck.shell.on_deck.tags
    boxes = [tags.box_of(tile) for tile in tags.tiles]
    assert boxes
    for piece in deck.shell.view.drawn():
        for ink in piece.ink:
            for box in boxes:
                over = ink.x < box.right - 1 and box.x < ink.right - 1 and ink.y < box.top - 1 and box.y < ink.top - 1
                assert not over, (piece.name, said(piece), ink, box)
    return boxes


def present(deck, lane):
    band = deck.shell.view.face.bands[lane]
    return [said(cell) for name, cell in band.cells.items() if name == "present" and cell.ink] + [
        said(words) for words in band.ribbon.drawn() if words.ink
    ]


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("lanes", [1, 3, 4, 6, 10])
def test_a_time_on_its_lane_covers_no_word_and_what_is_swum_stays(deck, size, dpi, lanes):
    deck = ready(deck, size, dpi, lanes)
    taken = range(min(lanes, 3))
    for lane in taken:
        deck.shell.touched_ms = deck.now_ms
        deck.shell.deck.arrival(lane)
        while deck.shell.deck.due(lane):
            deck.shell.deck.arrival(lane)
    for wait_ms in (0, 4_000):  # then it offers to be put right
        deck.go(wait_ms)
        boxes = seen(deck)
        assert all(present(deck, lane) for lane in taken)
        for lane, box in zip(taken, boxes):
            band = deck.shell.view.face.bands[lane]
            assert band.box.y - 2 <= box.y and box.top <= band.box.top + 2, "in its own lane"
            assert deck.shell.on_deck.tags.tile_at(box.x + 2, band.box.y + 2) is None or wait_ms, (
                "no finger means it yet"
            )
    assert deck.shell.on_deck.tags.tile_at(boxes[0].x + 2, deck.shell.view.face.bands[0].box.y + 2).name == "tag 0", (
        "a finger has the lane's height"
    )
    deck.go(13_000)
    assert not deck.shell.on_deck.tags.tiles
    assert all(room in (band.wide, 0.0) for band in deck.shell.view.face.bands for room in band.rooms)


def note(deck, lane):
    """A note about a lane, None for all, whose Undo is over the view."""
    entry = Noted(deck.driver.at_ms(), "rushed", lane)
    assert deck.driver.append(entry) == ()
    deck.shell.deck.deck.took_down(entry, "rushed")
    deck.frame(20)


def sets_of(deck):
    """What each lane says is done: the distance and each of its parts."""
    deck.settle()
    return [
        sorted(
            said(cell).removesuffix(":")
            for name, cell in band.cells.items()
            if cell.ink and name in ("present", "distance")
        )
        for band in deck.shell.view.face.bands
    ]


@pytest.mark.parametrize(("size", "dpi"), [*GLASSES, ((1280, 800), 96), ((800, 1280), 96)])
@pytest.mark.parametrize("lanes", [3, 5, 6, 10])
@pytest.mark.parametrize("lane", [0, 2, None])
def test_the_key_that_undoes_a_note_shortens_no_lane(deck, size, dpi, lanes, lane):
    """`25 drill / 25 swim` was `25 drill` in the lane that the key was on: swimmers read another set."""
    deck = ready(deck, size, dpi, lanes)
    before = sets_of(deck)
    note(deck, lane)
    (box,) = seen(deck)
    high = 15 * dpi / 25.4 if lane is None else min(15 * dpi / 25.4, deck.shell.view.face.bands[lane].water.height)
    assert box.height >= high - 1 and box.width >= 15 * dpi / 25.4 - 1
    assert sets_of(deck) == before or deck.shell.on_deck.tags.strip, "the lanes are lower, the key is below them"
    if lane is not None and not deck.shell.on_deck.tags.strip:
        band = deck.shell.view.face.bands[lane]
        assert band.box.y - 1 <= box.y and box.top <= band.box.top + 1, "in its own lane"
    deck.shell.choose_lane(0)
    deck.frame(20)
    deck.settle()
    assert not deck.shell.on_deck.tags.tiles, "the sheet has its own key for it"


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("name", ["pause", "next", "late"])
def test_a_change_is_undone_by_the_bar_and_nothing_lies_over_the_lanes(deck, size, dpi, name):
    deck = ready(deck, size, dpi, 5)
    deck.shell.act(name, deck.shell.ask(name))
    deck.frame(20)
    deck.go(60)
    assert not deck.shell.on_deck.tags.tiles and not deck.shell.on_deck.tags.strip
    assert "take back" in deck.names()


def test_a_lane_on_the_full_screen_shows_no_time_of_another(deck):
    deck = ready(deck, (1280, 800), 149.5, 4)
    deck.shell.fill(0)
    deck.frame(20)
    deck.shell.touched_ms = deck.now_ms
    deck.shell.deck.arrival(0)
    assert deck.shell.on_deck.tags.tiles
    deck.shell.choose_lane(1)
    deck.frame(20)
    assert deck.shell.lane == 1 and not deck.shell.on_deck.tags.tiles
    source = replace(deck.driver.journal[-1], lane=2)
    deck.shell.on_deck.tags.put(2, ("a helper's time",), source)
    deck.frame(20)
    assert not deck.shell.on_deck.tags.tiles, "nor one that a helper takes of another lane"


def test_what_can_be_taken_back_is_gone_with_the_next_time_and_with_whatever_is_newer(deck):
    deck = ready(deck, (1280, 800), 149.5, 4)
    note(deck, 3)
    assert deck.shell.on_deck.tags.change is not None
    water(deck, 0)
    assert isinstance(deck.driver.journal[-1], Touched) and deck.shell.on_deck.tags.change is None
    note(deck, 3)
    deck.driver.do(deck.driver.pause((3,)))  # by whatever way
    deck.frame(20)
    assert deck.shell.on_deck.tags.change is None


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("filled", [False, True])
def test_while_anybody_is_due_a_touch_on_a_time_is_a_time(deck, size, dpi, filled):
    deck = ready(deck, size, dpi, 4)
    if filled:
        deck.shell.fill(1)
        deck.frame(20)
    for place in range(4):  # 5 s apart, each on the very spot of the last one's time
        tags = deck.shell.deck.tags
        deck.settle()
        assert not any("tap to correct" in said(piece).casefold() for piece in tags.drawn())
        if place:
            box = tags.box_of(tags.tiles[0])
            deck.tap(box.x + 0.7 * box.width, box.y + box.height / 2)
        else:
            deck.shell.touched_ms = deck.now_ms
            deck.shell.deck.arrival(1)
        assert [entry.swimmer for entry in deck.driver.journal[1:]] == list(
            range(place + 1)
        ) and deck.shell.sheet is None
        assert deck.shell.mode == ("lane" if filled else "pool") and deck.shell.lane == (1 if filled else 0)
        deck.go(4_900)
    deck.settle()
    assert any("tap to correct" in said(piece).casefold() for piece in tags.drawn()), "nobody else is due"
    box = tags.box_of(tags.tile("tag 1"))
    deck.tap(box.x + box.width / 2, box.y + box.height / 2)
    assert deck.shell.sheet is not None and len(deck.driver.journal) == 5


def test_beside_the_sheet_a_time_stands_for_all_that_its_lane_says(deck):
    deck = ready(deck, (1280, 800), 149.5, 6)
    deck.shell.choose_lane(0)
    deck.frame(20)
    deck.shell.touched_ms = deck.now_ms
    deck.shell.deck.arrival(1)
    (box,) = seen(deck)
    band = deck.shell.view.face.bands[1]
    assert box.width > 0.9 * band.water.width


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("what", ["time", "change"])
def test_in_the_view_of_a_lane_too(deck, size, dpi, what):
    deck = ready(deck, size, dpi, 6)
    deck.shell.fill(0)
    deck.frame(20)
    if what == "time":
        deck.shell.touched_ms = deck.now_ms
        deck.shell.deck.arrival(0)
    else:
        note(deck, 0)
    (box,) = seen(deck)
    if what == "change":
        tags = deck.shell.on_deck.tags
        high = 15 * dpi / 25.4
        assert all(tags.tile_at(box.x + 2, box.y + share * high).name == "take back" for share in (0.01, 0.99)), (
            "as high as a wet thumb needs"
        )


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("lanes", [3, 5, 10])
@pytest.mark.parametrize("view", ["dial", "changeover"])
def test_what_can_be_taken_back_covers_no_row_of_a_view_without_lanes(deck, size, dpi, lanes, view):
    deck = ready(deck, size, dpi, lanes)
    if view == "dial":
        deck.shell.show_view("dial")
    else:
        deck.skip_to(deck.driver.run.timeline.gates[1] - 25_000)
    deck.frame(20)
    note(deck, None)
    seen(deck)
    assert deck.shell.shown == view
    for piece in deck.shell.view.drawn():
        assert not piece.fitted.small if hasattr(piece, "fitted") and piece.fitted else True, said(piece)
    deck.go(11_000)
    deck.settle()
    assert deck.shell.view.clear.y == deck.shell.view.y, "it has the whole of its place again"


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_stop_at_wall_is_said_in_every_lane_with_nothing_over_it(deck, size, dpi):
    deck = ready(deck, size, dpi, 6)
    deck.shell.act("pause", deck.shell.ask("pause"))
    deck.frame(20)
    deck.settle()
    told = [[said(piece) for piece in band.drawn()] for band in deck.shell.view.face.bands]
    assert all("STOP" in words for words in told), "on the deck"
    assert all(
        any(word.startswith("STOP AT WALL") or "stops" in word.casefold() for word in words) for words in told
    ), told
    note(deck, 1)
    seen(deck)
    strip = deck.shell.on_deck.tags.strip
    assert not strip or deck.shell.view.y - strip == pytest.approx(deck.shell.bar.top)
    deck.go(11_000)
    assert deck.shell.view.y == pytest.approx(deck.shell.bar.top), "it goes with the key"


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("lanes", [1, 6])
def test_how_it_went_is_asked_below_the_lanes(deck, size, dpi, lanes):
    deck = ready(deck, size, dpi, lanes)
    assert deck.driver.do(deck.driver.end()) == ()
    seen(deck)
    tags = deck.shell.on_deck.tags
    (box,) = (tags.box_of(tile) for tile in tags.tiles if tile.name == "offer")
    assert deck.shell.bar.top <= box.y + 1 and box.top < deck.shell.view.y
