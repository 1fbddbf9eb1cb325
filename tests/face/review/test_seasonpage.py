"""Tuesday evening: the coach looks at the month, opens Thursday's plan, reads totals and a base over time."""

import threading
import time

import pytest

from pacer.session.storage.store import Store
from tests.face.coach import ESCAPE, Coach
from tests.face.review.seriesscene import TUESDAY_MS, dated_plan, keep_series

SIZES = {"across": (1280, 800, 149.5), "upright": (800, 1280, 149.5), "small": (1024, 600, 117.5)}


@pytest.fixture(params=list(SIZES))
def coach(request, window, tmp_path):
    keep_series(tmp_path)
    *size, dpi = SIZES[request.param]
    made = Coach(window, tmp_path, tuple(size), dpi, wall_ms=TUESDAY_MS)
    made.office.shelf.add(dated_plan())
    yield made
    made.leave()


def open_season(coach):
    coach.office.log()
    coach.frame()
    coach.touch("Season")
    for _ in range(40):
        coach.frame(20)
        if coach.page.loading.unread == 0:
            break


def test_the_month_and_what_is_planned(coach):
    open_season(coach)
    board = coach.page.board
    assert coach.sees("March 2026")
    days = {tile.name: tile for tile in board.tiles if tile.name.startswith("day ")}
    assert sorted(days) == [f"day 2026-03-{day}" for day in ("05", "12", "19", "26")]
    # Swum is a filled block, planned an outline of four lines: no colour tells them apart.
    assert [len(days[f"day 2026-03-{day}"].bars) for day in ("19", "26")] == [1, 4]
    heads = [tile for tile in board.tiles if tile.texts and tile.texts[0].ways == ("Thu",)]
    assert [(tile.x, tile.texts[0].box[0], tile.texts[0].across) for tile in heads] == [
        (tile.x, tile.texts[0].box[0], tile.texts[0].across) for tile in (days["day 2026-03-19"],)
    ], "headings stand above the days"
    columns = {tile.x for tile in days.values()}
    assert len(columns) == 1, "all are Thursdays"
    coach.page.press("day 2026-03-26")
    coach.frame()
    assert coach.sees("Thursday 26 March 2026") and coach.sees("17:00, Long-axis rotation 5, planned")
    coach.page.press("day 2026-03-19")
    coach.frame()
    coach.touch("Review")
    assert type(coach.page).__name__ == "ReviewPage"
    coach.office.season()
    coach.frame(20)
    coach.page.press("day 2026-03-26")
    coach.frame()
    coach.touch("Open")
    assert type(coach.page).__name__ == "EditorPage"


def test_other_months(coach):
    open_season(coach)
    coach.touch("Next month")
    assert coach.sees("April 2026") and not coach.page.board.tile("day 2026-03-05")
    coach.page.press("earlier")
    coach.page.press("earlier")
    coach.frame()
    assert coach.sees("February 2026")


def test_totals_and_bases(coach):
    open_season(coach)
    coach.touch("Totals")
    assert coach.sees("By week") and coach.sees("16 Mar 2026") and coach.sees("2 of 3")
    coach.touch("Bases")
    page = coach.page
    assert page.figure.figure.title == "Lane 1: base per 100 m" and page.figure.drawing is not None
    coach.touch("Greta")
    assert page.figure.figure.title == "Greta: base per 100 m"
    blob = next(blob for blob in page.figure.drawing.blobs if blob.mark is not None and blob.shape == "diamond")
    coach.finger(page.figure.x + blob.x, page.figure.y + blob.y)
    assert "base 1:40.0 from 200 in 3:04 and 400 in 6:24" in page.says
    page.hush()
    coach.key(ESCAPE)
    assert page.view == "calendar" and page.figure.parent is None
    coach.key(ESCAPE)
    assert coach.sees("Season"), "back in the log"


def test_words_stay_inside(coach):
    open_season(coach)
    for view in ("calendar", "day 2026-03-26", "totals", "bases"):
        coach.page.press(view)
        coach.frame(20)
        board = coach.page.board
        for tile in board.tiles:
            assert tile.x >= 0 and tile.x + tile.width <= board.width + 1, (view, tile)
            for text in tile.texts:
                if text.box is not None:
                    assert text.box[0] + text.box[2] <= tile.width + 2, (view, text)
                    assert view != "calendar" or text.box[1] + text.box[3] <= tile.height + 2, (view, text)


def test_the_page_answers_while_sessions_are_read(window, tmp_path, monkeypatch):
    """Nobody waits, nothing is blank: what is planned is there at once, and the page says what is still to come."""
    keep_series(tmp_path)
    coach = Coach(window, tmp_path, wall_ms=TUESDAY_MS)
    coach.office.shelf.add(dated_plan())
    monkeypatch.setattr("tests.face.coach.worked_out", lambda: None)
    real, go_on = Store.session, threading.Semaphore(0)

    def slowly(store, number):
        assert go_on.acquire(timeout=20)
        return real(store, number)

    monkeypatch.setattr(Store, "session", slowly)
    try:
        coach.office.season()
        coach.frame()
        assert coach.page.loading.unread is None and coach.sees("Loading")
        coach.touch("Next month")
        assert coach.sees("April 2026"), "it answers"
        coach.touch("Previous month")
        go_on.release(3)
        for _ in range(1_000):
            if coach.page.loading.unread == 0 and coach.sees("Long-axis rotation 1"):
                break
            time.sleep(0.01)
            coach.frame()
        assert not coach.sees("Loading") and coach.page.board.tile("day 2026-03-05")
    finally:
        go_on.release(99)
        coach.leave()
