"""Tuesday evening: the coach opens the series, sees what is due and who missed what, and who was absent when."""

import pytest

from pacer.show.after.tabletexports import rename_plan
from tests.face.coach import ESCAPE, Coach
from tests.face.review.seriesscene import TUESDAY_MS, keep_series

SIZES = {"across": (1280, 800, 149.5), "upright": (800, 1280, 149.5), "small": (1024, 600, 117.5)}


@pytest.fixture(params=list(SIZES))
def coach(request, window, tmp_path):
    *size, dpi = SIZES[request.param]
    made = Coach(window, tmp_path, tuple(size), dpi, wall_ms=TUESDAY_MS)
    yield made
    made.leave()


def open_series(coach):
    coach.office.home()
    coach.frame()
    coach.touch("Log")
    coach.touch("Series")
    for _ in range(40):
        coach.frame(20)
        if coach.page.loading.unread == 0:
            break


def test_at_a_glance_and_on_a_touch(coach, tmp_path):
    keep_series(tmp_path)
    open_series(coach)
    assert coach.sees("Due: freestyle balance (12 days overdue), kick on side (12 days overdue)")
    board = coach.page.board
    cells = {tile.name: tile for tile in board.tiles if tile.name.startswith("cell ")}
    rows = [row.name for row in coach.page.visited.rows]
    switch, side = rows.index("six-kick switch"), rows.index("kick on side")
    # More is a higher block, and less a lower one; what is due has words and a bar of its own.
    block = {name: tile.bars[0].box[3] for name, tile in cells.items()}
    assert block[f"cell {switch} 3"] > 2 * block.get(f"cell {side} 1", 0)
    due = next(tile for tile in board.tiles if tile.texts and tile.texts[0].ways == ("kick on side",))
    assert due.texts[1].ways == ("12 days overdue",) and due.bars
    not_due = next(tile for tile in board.tiles if tile.texts and tile.texts[0].ways == ("six-kick switch",))
    assert not not_due.bars
    coach.page.press(f"cell {switch} 3")
    coach.frame()
    assert coach.sees("400 m in lanes 1, 2, 3 and 4; 300 m in lanes 5 and 6. Bram and Pilar missed it.")
    told = next(box for text, _, box in coach.written() if text.startswith("Six-kick switch, 19 Mar"))
    assert told.y >= board.y, "in sight, wherever the row is"
    coach.page.press("session 2")
    coach.frame()
    assert coach.sees("Long-axis rotation 2, 12 Mar: Orla was absent.")
    coach.touch("Review")
    assert type(coach.page).__name__ == "ReviewPage"
    coach.office.series()
    coach.frame(20)
    coach.key(ESCAPE)
    assert coach.sees("Series"), "back in the log"


def test_words_stay_inside_and_columns_are_turned(coach, tmp_path):
    keep_series(tmp_path)
    open_series(coach)
    page = coach.page
    for tile in page.board.tiles:
        assert tile.x >= 0 and tile.x + tile.width <= page.board.width + 1, tile
    if page.upright:
        assert page.board.tile("session 1") is None
        coach.touch("Older")
        assert page.board.tile("session 1") is not None


def test_another_squad_has_its_own(coach, tmp_path):
    keep_series(tmp_path)
    open_series(coach)
    assert coach.page.board.tile("squad Brackenmere Thursday") is None, "nothing to choose from one"


def test_nothing_swum_yet(coach):
    open_series(coach)
    assert coach.sees("Long-axis rotation") and coach.sees("not swum yet")
    assert coach.sees("None of these plans has been swum yet") and not coach.sees("Distances: the average")
    coach.page.press("next")
    assert "Swim a session of this series" in coach.page.says


def test_columns_of_a_long_title_differ_and_an_amount_keeps_its_unit(coach, tmp_path):
    """Half of the plans were renamed, so the series' name is not before their numbers."""
    keep_series(tmp_path)
    for number in (2, 3):
        rename_plan(coach.office.shelf, f"long-axis-rotation-{number}", f"Rotation the long way round {number}")
    open_series(coach)
    heads = [tile.texts[1].ways for tile in coach.page.board.tiles if tile.name.startswith("session ")]
    assert all("… " + ways[0][-1] in ways for ways in heads if ways[0].startswith("Rotation"))
    cells = [tile.texts[0].ways for tile in coach.page.board.tiles if tile.name.startswith("cell ")]
    assert all(" and " not in ways[1] and ways[1].split(" ")[-1] in ("m", "yd") for ways in cells if "m" in ways[0])
