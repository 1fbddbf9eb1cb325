"""Every page of the office at every size.

Nothing overflows, nothing overlaps, no word touches the edge of its key, everything is large enough to be touched: 9 mm
by dry hands, 15 mm by wet ones.
"""

from dataclasses import replace

import pytest

from pacer.show.measure.keyrows import TARGET_MM
from tests.face.coach import READ, Coach
from tests.face.officepages import PAGES

#: Pixels and pixels an inch: three tablets held both ways, half of a split glass, and a narrow strip of it.
GLASSES = {
    "across": ((1280, 800), 149.5),
    "upright": ((800, 1280), 149.5),
    "small": ((1024, 600), 117.5),
    "seven inch": ((1024, 600), 169.5),
    "half": ((640, 800), 149.5),
    "quarter": ((512, 600), 117.5),
}


@pytest.fixture(
    params=[(glass, 1.0, "dark") for glass in GLASSES] + [("upright", 1.5, "bright"), ("across", 1.5, "bright")],
    ids=lambda p: f"{p[0]}-{p[1]}",
)
def coach(window, tmp_path, request):
    glass, scale, theme = request.param
    size, dpi = GLASSES[glass]
    made = Coach(window, tmp_path, size, dpi, settings=replace(READ, theme=theme), fontscale=scale)
    yield made
    made.leave()


#: Between words and the side of their key at least, in character heights, less in larger text (our choice).
EDGE, EDGE_IN_LARGE = 0.22, 0.12


def overlap(one, other):
    return min(one.right, other.right) - max(one.x, other.x) > 1 and min(one.top, other.top) - max(one.y, other.y) > 1


def test_words_fit_and_targets_are_large(coach):
    from kivy.metrics import Metrics

    wrong = []
    for name, arrive in PAGES.items():
        arrive(coach)
        coach.frame()
        coach.frame()
        page, seen = coach.page, set()
        edge = EDGE_IN_LARGE if Metrics.fontscale > 1 else EDGE
        least = TARGET_MM * page.glass.hands * page.glass.px_per_mm
        for board in coach.boards():
            for offset in range(0, int(board.scroller.most) + 1, max(1, int(board.height * 0.6))):
                board.scroller.to(offset)
                coach.frame()
                for words in board.drawn():
                    said = " ".join(words.fitted.lines)
                    if words.fitted.small and not said.startswith("Wilh"):
                        wrong.append((name, "too small", said))
                    box = words.box
                    if any(
                        ink.x < box.x - 1.5
                        or ink.right > box.right + 1.5
                        or ink.y < box.y - 1.5
                        or ink.top > box.top + 1.5
                        for ink in words.ink
                    ):
                        wrong.append((name, "outside its box", said))
                for tile, words in board.words:
                    box = board.box_of(tile)
                    if tile.look in ("key", "main", "lit") and any(
                        min(ink.x - box.x, box.right - ink.right) < edge * board.cap for ink in words.ink
                    ):
                        wrong.append((name, "touches its key's edge", tile.name, words.fitted.lines))
                boxes = [(tile, board.box_of(tile)) for tile in board.tiles if tile.name and tile.name not in seen]
                for tile, box in boxes:
                    if min(box.width, box.height) < least - 1:
                        wrong.append(
                            (
                                name,
                                "too small to touch",
                                tile.name,
                                round(box.width / page.glass.px_per_mm, 1),
                                round(box.height / page.glass.px_per_mm, 1),
                            )
                        )
                for place, (tile, box) in enumerate(boxes):
                    wrong += [
                        (name, "overlap", tile.name, other.name)
                        for other, there in boxes[place + 1 :]
                        if overlap(box, there)
                    ]
                for tile, box in boxes:
                    if box.x < board.x - 1 or box.right > board.right + 1:
                        wrong.append((name, "off the board", tile.name))
                seen |= {tile.name for tile, _ in boxes}
    assert not wrong, "\n" + "\n".join(map(str, dict.fromkeys(wrong)))


@pytest.mark.parametrize("coach", [("upright", 1.5, "bright")], ids=["upright"], indirect=True)
def test_escape_leads_home_from_everywhere_that_is_not_running(coach):
    for name, arrive in PAGES.items():
        arrive(coach)
        coach.frame()
        coach.escape_home(name)


@pytest.mark.parametrize("coach", [("across", 1.0, "dark")], ids=["across"], indirect=True)
def test_a_page_that_is_turned_goes_on_as_it_was(coach):
    """Turned, split and turned back, each page is where it was.

    What is asked, written and chosen stands, and every tile is on the glass.
    """
    wrong = []
    for name, arrive in PAGES.items():
        arrive(coach)
        for _ in range(3):  # what is worked out while nobody types has come
            coach.frame(500)
        page = coach.page
        page.hush()

        def stands():
            card = getattr(page, "card", None)
            held = card or page
            field = getattr(held, "field", None) or getattr(held, "pane", None)
            return (
                type(page),
                getattr(held, "asked", ""),
                field and field.draft.text,
                sorted(
                    {
                        tile.name
                        for board in held.boards
                        for tile in board.tiles
                        if tile.name and not tile.name.startswith("fix ")  # those of the lines in sight
                    }
                ),
            )

        before = stands()
        for size in ((800, 1280), (640, 800), (512, 600), (1280, 800)):
            coach.turn(size)
            coach.frame()
            wrong += [
                (name, size, "off the glass")
                for board in coach.boards()
                if not (board.x >= -1 and board.y >= -1 and board.right <= size[0] + 1 and board.top <= size[1] + 1)
            ]
        page.hush()
        if coach.page is not page or stands() != before:
            wrong.append((name, before, stands()))
    assert not wrong, "\n".join(map(str, wrong))
