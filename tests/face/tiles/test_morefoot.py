"""Where a board can rest, and what it shows there."""

from pacer.face.tiles.morefoot import Stops
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


def test_a_key_is_neither_seen_nor_pressed_without_the_words_it_is_beside(window):
    """`Accept` was once alone above the fold, with nothing to say what."""
    from kivy.base import EventLoop

    from pacer.face.tiles.board import Board

    tiles = []
    for n in range(3):
        head = Text((f"heading {n}",), (0, 0, 150, 30))
        tiles += [
            Tile("", 0, 100 * n, 150, 30, (head,), "plain", heading=True),
            Tile("", 0, 100 * n + 30, 150, 60, (Text(("two rows of words",), (0, 0, 150, 60), lines=2),), "plain"),
            Tile(
                f"take {n}",
                160,
                100 * n,
                40,
                20,
                (
                    Text(
                        ("Accept",),
                    ),
                ),
            ),
        ]
    board = Board(size_hint=(None, None), size=(200, 262))
    window.add_widget(board)
    board.show(tiles, 20, 4)
    for _ in range(3):
        EventLoop.idle()
    drawn = [tile.name for tile, words in board.words if tile.name]
    tops = [board.tile_at(180, board.top - 100 * n - 10) for n in range(3)]
    window.remove_widget(board)
    assert drawn == ["take 0", "take 1"] and [tile and tile.name for tile in tops] == ["take 0", "take 1", None]


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
