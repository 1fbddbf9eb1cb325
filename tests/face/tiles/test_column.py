"""Rows of keys that share a width."""

import pytest

from pacer.face.tiles.column import Cell, Column


def widths(*words, width=1000):
    """The rows of a flow: the words of each and its keys' widths."""
    column = Column(width, 20, 5, 10, 60)
    column.flow(*(Cell(word, (word,)) for word in words))
    rows: dict[float, list[float]] = {}
    for tile in column.tiles:
        if tile.name:
            rows.setdefault(tile.top, []).append(round(tile.width))
    return list(rows.values())


@pytest.mark.parametrize("count", [8, 9, 13, 14])
def test_keys_in_several_rows_are_columns_of_one_width(window, count):
    rows = widths(*(f"Lane {n}" for n in range(count)), width=700)
    assert len(rows) > 1 and len({wide for row in rows for wide in row}) == 1
    assert len(rows[0]) - len(rows[-1]) < len(rows), "the rows are about as long"


def test_a_lone_key_in_the_last_row_is_no_wider_than_it_has_to_be(window):
    long = "a name that is as long as names are"
    rows = widths("Bram", "Ines", long, "Tomas", "Wendel", "Orla", "Kit", width=800)
    assert len(rows) == 2 and sum(rows[-1]) < 700
    assert widths("Bram", "Ines", width=800) == [[395, 395]], "one row fills the width"
