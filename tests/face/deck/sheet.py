"""The sheet beside the view, for tests: lanes and tiles under a finger, and whether everything on it fits."""

import re

from pacer.plan.notation.planreader import read_plan
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.summary.planned import planned

GLASSES = [((1280, 800), 149.5), ((800, 1280), 149.5), ((1024, 600), 117.5)]


def kinds(deck):
    return [type(entry) for entry in deck.driver.journal]


def roomy():
    """A session that a round fewer makes shorter."""
    plan = read_plan("pool: 25 m\nbooking: 14 min\nMain set, 1 to 6 rounds\n  100 on 2:00\nSwim-down\n  50\n")
    squad = '[[lane]]\nnumber = 4\nbase = "1:20"\nswimmers = 3\n[[lane]]\nbase = "1:30"\n'
    return planned(plan, read_squad(squad))[0]


def tile(deck, name):
    """Where a tile of the sheet is, scrolled into view."""
    sheet = deck.shell.sheet
    for board in sheet.boards:
        found = board.tile(name)
        if found is not None:
            board.scroll_to(name)
            deck.settle()
            box = board.box_of(found)
            assert box.y >= board.y - 1 and box.top <= board.top + 1
            return box.x + box.width / 2, box.y + box.height / 2
    raise AssertionError(f"no {name} among {[each.name for board in sheet.boards for each in board.tiles]}")


def on_sheet(deck, name, ms=60):
    """Press a tile of the sheet that long; what its head said just before it was let go."""
    touch = deck.finger(*tile(deck, name))
    deck.go(ms)
    said = deck.shell.deck.deck.note()[0][0]
    touch.touch_up()
    deck.frame(deck.frame_ms)
    return said


def hand(deck, index):
    """Touch the number of a lane."""
    number = [piece for piece in deck.shell.views["pool"].drawn() if piece.name == "number"][index].box
    deck.tap(number.x + 5, number.y + number.height / 2)


def water(deck, index):
    """Tap the water of a lane."""
    box = deck.shell.views["pool"].band_box(index)
    deck.tap(box.x + box.width / 2, box.y + box.height / 2)


def all_touch(deck, index):
    """Tap the water of a lane until nobody of it is due any more."""
    while deck.shell.deck.due(index) is not None:
        water(deck, index)


def tag(deck, name):
    tags = deck.shell.on_deck.tags
    deck.settle()
    box = tags.box_of(tags.tile(name))
    return box.x + box.width / 2, box.y + box.height / 2


def fits(deck, dpi):
    """Nothing overflows or is cut off, nothing is too small to touch, nothing lies over another."""
    sheet, mm = deck.shell.sheet, dpi / 25.4
    for board in sheet.boards:
        for offset in range(0, int(board.content_height) + 1, 50):
            board.scroller.to(offset)
            deck.settle()
            for piece in board.drawn():
                said, box = " ".join(piece.fitted.lines), piece.box
                assert not piece.fitted.small and "…" not in said, f"{piece.name} {said} finds no room"
                assert not re.search(r"[a-z]{3}\.$", said) or piece.name.startswith("text"), f"{piece.name}: {said}"
                for ink in piece.ink:
                    assert (
                        ink.x >= box.x - 1.5
                        and ink.right <= box.right + 1.5
                        and ink.y >= box.y - 1.5
                        and ink.top <= box.top + 1.5
                    ), f"{said} leaves its box"
        board.scroller.to(0)
        deck.settle()
        tiles = [each for each in board.tiles if each.name]
        for each in tiles[:1]:
            assert board.box_of(each).top <= board.top - 1, f"the edge of {each.name} is cut off"
        for each in tiles:
            assert each.width >= 15 * mm - 1 and each.height >= 15 * mm - 1, each.name
            assert each.x >= -0.5 and each.x + each.width <= board.width + 0.5, each.name
            for other in tiles:
                if other is not each:
                    apart = max(
                        other.x - each.x - each.width,
                        each.x - other.x - other.width,
                        other.top - each.bottom,
                        each.top - other.bottom,
                    )
                    assert apart >= 3 * mm - 1, (each.name, other.name)
