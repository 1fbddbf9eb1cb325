"""Where a board can rest, and what it shows there."""

from pacer.face.tiles.morestrip import Stops
from pacer.face.tiles.tile import Text, Tile


def test_the_margin_above_the_first_tile_is_no_stop_of_its_own():
    """The up key once left a page five pixels down."""
    tiles = [Tile(name, 0, top, 100, 50, (Text((name,)),), "key") for name, top in (("a", 11), ("b", 11), ("c", 66))]
    stops = Stops(tiles, padding=6)
    assert stops.offsets == [0, 60]
    assert stops.to(8) == 0 and stops.from_(1) == 60


def test_a_heading_is_seen_only_with_what_is_below_it():
    """Two headings above a key of the left column; the right column has nothing below its own."""

    def tile(name, top, height, x=0, heading=False):
        return Tile("", x, top, 90, height, (Text((name,)),), "plain", heading=heading)

    tiles = [
        tile("part", 0, 20, heading=True),
        tile("columns", 20, 20, heading=True),
        tile("beside", 30, 20, x=100),
        tile("row", 40, 20),
        tile("alone", 50, 20, x=100, heading=True),
    ]
    stops = Stops(tiles)
    seen = {place: stops.followed(place, lambda below: below.top < 40) for place in range(5)}
    assert seen == {0: False, 1: False, 2: True, 3: True, 4: True}
    assert all(stops.followed(place, lambda below: below.top < 60) for place in range(5))


def test_no_heading_is_drawn_last_above_the_fold(window):
    from kivy.base import EventLoop

    from pacer.face.tiles.board import Board

    texts = [("heading", True), ("row", False)] * 8
    tiles = [
        Tile("", 0, 30 * n, 200, 30, (Text((f"{said} {n}",), (0, 0, 200, 30), lines=1),), "plain", heading=heading)
        for n, (said, heading) in enumerate(texts)
    ]
    board = Board(size_hint=(None, None), size=(200, 30 * 7 + 38))
    window.add_widget(board)
    board.show(tiles, 20, 4)
    for _ in range(3):
        EventLoop.idle()
    said = [" ".join(words.fitted.lines) for words in board.drawn()]
    window.remove_widget(board)
    assert board.foot == 38 and said == [f"{'row' if n % 2 else 'heading'} {n}" for n in range(6)]
