"""Tables: words wrap before anything gets smaller than the page's other words."""

import pytest

from pacer.review.logtables import Table

HEADS = ("day", "distance", "base per 100 m", "vs expected", "session")
ROWS = tuple(
    (f"{day} Mar 2026", "2,800 m", "1:27", "1.9% slower over 21 timed repeats", "Thursday threshold") for day in (5, 12)
)
CAP = 20.0


def said(width):
    """The table's tiles in so many character heights."""
    from pacer.face.tiles.column import Column
    from pacer.face.tiles.table import say_table

    column = Column(width * CAP, CAP, 5, 10, 50)
    say_table(column, Table("", ROWS, HEADS))
    return column.tiles


@pytest.mark.parametrize(("width", "rows"), [(36, 3), (44, 2), (80, 1)])
def test_words_wrap_and_keep_their_size(window, width, rows):
    tiles = said(width)
    assert all(text.cap == 1.0 for tile in tiles for text in tile.texts)
    for tile in tiles:
        ends = [text.box[0] + text.box[2] for text in tile.texts]
        assert max(ends) <= width * CAP + 1.5
        assert all(end <= text.box[0] + 1 for end, text in zip(ends, tile.texts[1:])), "no cell is over another"
    lines = [[text.lines for text in tile.texts] for tile in tiles[1:]]
    assert all(figures == [1, 1] for figures in (line[1:3] for line in lines)), "figures are in one row"
    assert all(max(line) == rows for line in lines)


def test_a_table_far_too_wide_is_made_smaller(window):
    assert all(text.cap < 1.0 for tile in said(18) for text in tile.texts)
