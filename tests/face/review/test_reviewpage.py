"""Sunday evening: the coach opens Thursday's session from the log, reads it, takes two paces, sees send-offs change."""

import threading
import time

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.review.learning.takenoffers import TakenOffers
from pacer.session.storage.store import Store
from pacer.timeline.summary.planned import planned
from tests.face.coach import ESCAPE, Coach
from tests.face.drawing import pixels
from tests.face.review.scene import NEXT, SUNDAY_MS, keep, look_back

SIZES = {"across": (1280, 800, 149.5), "upright": (800, 1280, 149.5), "small": (1024, 600, 117.5)}


@pytest.fixture(params=list(SIZES))
def coach(request, window, tmp_path):
    *size, dpi = SIZES[request.param]
    made = Coach(window, tmp_path, tuple(size), dpi, wall_ms=SUNDAY_MS)
    yield made
    made.leave()


def bases(coach):
    return [lane.base.ms for lane in coach.office.squads.roster(coach.office.clocks.day(), "thursday").squad.lanes]


def next_thursday(coach):
    """The send-offs of lane 1 in next Thursday's main set, from its first one."""
    squad = coach.office.squads.roster(coach.office.clocks.day(), "thursday").squad
    track = planned(read_plan(NEXT), squad)[0].tracks[0]
    leaves = [at for index, at in enumerate(track.sendoffs) if track.pass_at(index).section == 2]
    return [at - leaves[0] for at in leaves[:4]]


def step(name):
    """A place at which a picture is worth taking (`tests/face/walkshots.py`)."""


def sunday(coach, step=step):
    """The whole way: who was slower, who was faster, whose stroke rate fell; two paces taken; next Thursday."""
    keep(coach.home)
    name = coach.office.shelf.add(NEXT).name
    coach.office.home()
    coach.frame()
    coach.touch("Log")
    step("1-log")
    coach.page.press("session 3")
    coach.touch("Review")
    step("2-review")
    # In one look: who was slower, whose rate fell, who was faster.
    assert coach.sees("Lane 3 came in 3.7 s per 100 slower than expected from round 2 on")
    assert coach.sees("Orla's stroke rate fell from 38.0 to 31")
    assert coach.sees("Faster than expected: lane 4, swimmer 2 by 4.7 s per 100; lane 1 by 2.3 s per 100.")
    top = [text for text, _, box in coach.written() if box.top > coach.page.top - 0.5 * coach.page.height]
    assert any("Lane 3 came in" in text for text in top), "the worst news is on top"
    assert coach.sees("Thursday 19 March 2026")
    # Two paces are taken, and next Thursday's send-offs are others.
    assert coach.sees("Lane 1, base 1:14 instead of 1:16.")
    assert coach.sees("on 2:55 instead of 3:00")
    before, sent = bases(coach), next_thursday(coach)
    assert sent == [0, 180_000, 360_000, 540_000]
    takes = [tile.name for tile in coach.page.board.tiles if tile.name.startswith("take ")]
    for name_ in takes[0], next(one for one in takes if one.endswith("/3/3/")):
        board = coach.page.board
        board.scroll_to(name_)
        coach.frame()
        box = board.box_of(board.tile(name_))
        coach.finger(box.x + box.width / 2, box.y + box.height / 2)
        coach.page.hush()
    step("3-two-taken")
    assert coach.sees("Lane 1, Main set, set 1: now on 2:55 (was 3:00)")
    after = bases(coach)
    assert after[0] == 74_000 != before[0] and after[2] != before[2] and coach.sees("Undo")
    assert next_thursday(coach) == [0, 175_000, 350_000, 525_000]
    assert pixels(coach.size).getextrema() != ((0, 0),) * 3
    undo = [tile.name for tile in coach.page.board.tiles if tile.name.startswith("undo ")]
    coach.key(ESCAPE)
    assert coach.sees("Times against the bases"), "back in the log"
    # Next Thursday's page says them at the set.
    coach.office.write(name, NEXT.split("\n").index("  4 x 200 free on base+0:25") + 1)
    coach.frame()
    for _ in range(200):
        if coach.sees("Every 2:55 /"):
            break
        time.sleep(0.01)
        coach.frame(20)
    assert coach.sees("Lane 1 every 2:55; ")
    step("4-next-thursday")
    return before, sent, undo


def test_thursday_on_sunday_evening(coach):
    before, sent, undo = sunday(coach)
    # Undone, it is as it was.
    coach.office.review(3)
    coach.frame()
    for name in undo:
        coach.page.press(name)
        coach.frame(20)
    assert bases(coach) == before and next_thursday(coach) == sent


def test_from_a_piece_of_news_to_its_set_and_a_dot(coach):
    look_back(coach)
    coach.page.press("news 0")
    coach.frame(20)
    page = coach.page
    assert page.view == "sets" and page.figure.parent is not None and coach.sees("Lane 3")
    assert page.figure.drawing is not None and len(page.figure.drawing.blobs) >= 32
    blob = next(blob for blob in page.figure.drawing.blobs if blob.mark is not None)
    coach.finger(page.figure.x + blob.x, page.figure.y + blob.y)
    assert any(name in page.says for name in ("Orla", "Tomas", "Ines", "Bram"))
    coach.page.press("session")
    coach.frame(20)
    titles = []
    for name in ("Distance", "Stroke rates", "What was swum"):
        coach.touch(name)
        titles.append(page.figure.figure.title)
        assert page.figure.drawing is not None
    assert len(set(titles)) == 3
    assert coach.sees("Planned and swum") and coach.sees("Stroke rates") and coach.sees("Hips low.")


def test_from_a_stroke_rate_in_the_news_to_all_rates(coach):
    look_back(coach)
    news = coach.page.lookback.reading.news
    coach.page.press(f"news {next(at for at, one in enumerate(news) if 'stroke rate' in one.text)}")
    coach.frame(20)
    page = coach.page
    assert page.view == "session" and page.figure.figure.title == "Stroke rate and speed"
    board = page.board
    box = board.box_of(board.tile("rates"))
    assert page.bar.top <= box.y <= page.figure.y and coach.sees("31.0") and coach.sees("cycles a minute")


def test_a_swimmers_history(coach):
    look_back(coach)
    coach.page.press("swimmers")
    for _ in range(60):
        coach.frame(20)
        if coach.page.loading.unread == 0:
            break
    assert coach.sees("3 of 3 sessions") and coach.sees("By month")
    coach.touch("Orla")
    assert coach.sees("Orla: 3 sessions") and coach.sees("4 x 200 free, on base+0:25 (25 m)")
    coach.key(ESCAPE)
    assert coach.sees("3 of 3 sessions")


def test_words_stay_inside_the_page(coach):
    look_back(coach)
    for view in ("summary", "sets", "session", "swimmers"):
        coach.page.press(view)
        coach.frame(20)
        board = coach.page.board
        for tile in board.tiles:
            assert tile.x >= 0 and tile.x + tile.width <= board.width + 1, (view, tile)
            for text in tile.texts:
                if text.box is not None:
                    assert text.box[0] + text.box[2] <= tile.width + 2, (view, text)


def test_the_bar_is_as_it_was_when_what_was_told_is_gone(coach):
    look_back(coach)
    page = coach.page
    before = page.bar.height
    takes = [tile.name for tile in page.board.tiles if tile.name.startswith("take ")]
    for name in takes[:2]:
        page.press(name)
        coach.frame(20)
    page.hush()
    assert page.bar.height == before


def test_the_window_does_not_wait_for_a_disk_that_is_slow(coach, monkeypatch):
    """A second press meanwhile does nothing; what is shown stays as it was until it is saved."""
    look_back(coach)
    page, real, go = coach.page, TakenOffers.keep, threading.Event()
    first, second = [tile.name for tile in page.board.tiles if tile.name.startswith("take ")][:2]

    def slowly(offers, taken):
        assert threading.current_thread() is not threading.main_thread() and go.wait(20)
        real(offers, taken)

    monkeypatch.setattr(TakenOffers, "keep", slowly)
    with monkeypatch.context() as here:
        here.setattr("tests.face.coach.worked_out", lambda: None)
        before = page.board.tiles
        page.press(first)
        coach.frame(20)
        page.press(second)
        coach.frame(20)
        assert page.board.tiles == before and coach.sees("Saving")
    go.set()
    coach.frame(20)
    coach.frame(20)
    names = [tile.name for tile in page.board.tiles]
    assert first not in names and second in names and coach.sees("Accepted")


def test_a_failure_is_said(coach, monkeypatch):
    look_back(coach)
    monkeypatch.setattr(TakenOffers, "keep", lambda *_: 1 / 0)
    coach.page.press(next(tile.name for tile in coach.page.board.tiles if tile.name.startswith("take ")))
    coach.frame(20)
    coach.frame(20)
    assert coach.sees("That could not be saved.")


@pytest.fixture
def slow_store(monkeypatch):
    """A store from which threads can read sessions once `go` is set."""
    real, go = Store.session, threading.Event()

    def slowly(store, number):
        assert threading.current_thread() is threading.main_thread() or go.wait(20)
        return real(store, number)

    monkeypatch.setattr(Store, "session", slowly)
    monkeypatch.setattr("tests.face.coach.worked_out", lambda: None)
    yield go
    go.set()


@pytest.mark.parametrize(("key", "page"), [("Review", "ReviewPage"), ("Draft next plan", "NextPlanPage")])
def test_the_window_does_not_wait_for_a_session_that_is_long_to_read(window, tmp_path, request, key, page):
    keep(tmp_path)
    coach = Coach(window, tmp_path, wall_ms=SUNDAY_MS)
    try:
        look_back(coach)
        if key == "Review":
            coach.key(ESCAPE)
        go = request.getfixturevalue("slow_store")
        coach.office.patience_s = 0
        coach.touch(key)
        assert coach.sees("Reading the log")
        if key == "Review":
            coach.touch("Close")
            assert coach.sees(key), "it answers"
            coach.touch(key)
        go.set()
        for _ in range(1_000):
            if type(coach.page).__name__ == page:
                break
            time.sleep(0.01)
            coach.frame()
        assert type(coach.page).__name__ == page
    finally:
        coach.leave()
