"""What stands over the view for a few seconds covers nothing that is said.

The band says it beside it, or not at all.
"""

from __future__ import annotations

import pytest

from pacer.session.journal.entries import Paused
from pacer.session.journal.recordentries import Touched
from pacer.show.drive.pressproposal import Proposal
from pacer.show.measure.messagetime import FORECAST_MS
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


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("lanes", [3, 4, 6, 10])
def test_what_can_be_taken_back_covers_no_word(deck, size, dpi, lanes):
    deck = ready(deck, size, dpi, lanes)
    deck.shell.act("pause", deck.shell.ask("pause"))
    (box,) = seen(deck)
    assert box.height >= 15 * dpi / 25.4 - 1 and box.width >= 15 * dpi / 25.4 - 1
    deck.shell.choose_lane(0)
    deck.frame(20)
    deck.settle()
    assert not deck.shell.on_deck.tags.tiles, "the sheet has its own key for it"
    deck.shell.choose_lane(0)
    deck.frame(20)
    seen(deck)


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("lanes", [3, 4, 6, 10])
def test_what_is_about_one_lane_is_taken_back_in_that_lane_and_says_what_it_is(deck, size, dpi, lanes):
    deck = ready(deck, size, dpi, lanes)
    for lane in (0, 1):
        entry = Paused(deck.driver.at_ms(), (lane,))  # nobody is told to stop: that would be seen beside the key
        deck.driver.append(entry)
        deck.shell.deck.changed(Proposal(entry, ("lane pauses",)))
        (box,) = seen(deck)
        band = deck.shell.view.face.bands[lane]
        assert band.box.y - 1 <= box.y and box.top <= band.box.top + 1, "in its own lane"
        tags = deck.shell.on_deck.tags
        assert tags.change.ways == (
            f"Undo pause, lane {lane + 1}",
            f"Undo, lane {lane + 1}",
            f"Undo {lane + 1}",
            "Undo",
        )
        told = " ".join(said(piece) for piece in tags.drawn())
        named = f"lane {lane + 1}" in told or told == f"Undo {lane + 1}"
        assert named or (size == (800, 1280) and lanes == 6 and told == "Undo"), told
        above = deck.shell.view.face.bands[1 - lane].water
        assert all(tags.tile_at(box.x + 5, y) is None for y in (above.y + 2, above.top - 2)), (
            "another lane's water is that lane's"
        )


def test_what_can_be_taken_back_is_gone_with_the_next_time_and_with_whatever_is_newer(deck):
    deck = ready(deck, (1280, 800), 149.5, 4)

    def hold(lane):
        proposal = deck.driver.pause((lane,))
        deck.driver.do(proposal)
        deck.shell.deck.changed(proposal)
        deck.frame(20)
        assert deck.shell.on_deck.tags.change is not None

    hold(3)
    water(deck, 0)
    assert isinstance(deck.driver.journal[-1], Touched) and deck.shell.on_deck.tags.change is None
    deck.driver.do(deck.driver.resume((3,)))
    hold(3)
    deck.driver.do(deck.driver.resume((3,)))  # by whatever way
    deck.frame(20)
    assert deck.shell.on_deck.tags.change is None


@pytest.mark.parametrize("lane", [1, None])
def test_a_short_touch_on_it_is_that_of_the_swimmer_who_is_due(deck, lane):
    deck = ready(deck, (1280, 800), 149.5, 4)
    proposal = deck.shell.ask("late", None if lane is None else (lane,))
    deck.shell.act("late", proposal)
    (box,) = seen(deck)
    middle = box.x + box.width / 2, box.y + box.height / 2
    there = next(
        index for index, band in enumerate(deck.shell.view.face.bands) if band.water.y <= middle[1] < band.water.top
    )
    assert deck.shell.deck.due(there) and lane in (None, there)
    deck.tap(*middle)
    assert isinstance(deck.driver.journal[-1], Touched) and deck.driver.journal[-1].lane == there


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
        deck.shell.act("pause", deck.shell.ask("pause"))
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
    deck.shell.act("late", deck.shell.ask("late"))
    if view == "changeover":
        deck.frame(20)
        assert deck.shell.shown == "pool", "each lane says what becomes of it"
        deck.go(FORECAST_MS)
    seen(deck)
    assert deck.shell.shown == view
    for piece in deck.shell.view.drawn():
        assert not piece.fitted.small if hasattr(piece, "fitted") and piece.fitted else True, said(piece)
    deck.go(11_000)
    deck.settle()
    assert deck.shell.view.clear.y == deck.shell.view.y, "it has the whole of its place again"


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_stop_at_wall_is_not_covered_by_the_key_that_takes_it_back(deck, size, dpi):
    deck = ready(deck, size, dpi, 5)
    deck.shell.take_in_hand(1)
    deck.shell.act("pause", deck.shell.ask("pause", (1,)))
    deck.shell.take_in_hand(None)
    (box,) = seen(deck)
    band = deck.shell.view.face.bands[1]
    assert band.text.state == "stop"
    said_back = " ".join(said(piece) for piece in deck.shell.on_deck.tags.drawn())
    own = band.box.y - 1 <= box.y and box.top <= band.box.top + 1
    assert own or "lane 2" in said_back or size == (800, 1280), "it is in its lane, or says which it is about"
    assert present(deck, 1) or any("STOP AT" in said(piece) for piece in deck.shell.view.face.bands[1].drawn())


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_stop_at_wall_is_said_in_every_lane_beside_the_key_that_undoes_a_pause_of_all(deck, size, dpi):
    deck = ready(deck, size, dpi, 6)
    deck.shell.act("pause", deck.shell.ask("pause"))
    seen(deck)
    told = [[said(piece) for piece in band.drawn()] for band in deck.shell.view.face.bands]
    assert all("STOP" in words for words in told), "on the deck"
    assert all("STOP AT WALL" in words for words in told), "upright the key has a strip of its own, below the lanes"
    strip = deck.shell.on_deck.tags.strip
    assert bool(strip) == (size == (800, 1280)) and deck.shell.view.y - strip == pytest.approx(deck.shell.bar.top)
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
