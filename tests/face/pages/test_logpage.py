"""The log opens a session without making the window wait, however long it is to read."""

import threading
import time

import pytest

from pacer.session.storage.store import Store, StoreTrouble
from tests.face.coach import Coach
from tests.face.review.seriesscene import TUESDAY_MS, keep_series


@pytest.fixture
def coach(window, tmp_path, monkeypatch):
    keep_series(tmp_path)
    made = Coach(window, tmp_path, wall_ms=TUESDAY_MS)
    monkeypatch.setattr("tests.face.coach.worked_out", lambda: None)
    yield made
    made.leave()


@pytest.fixture
def slow_store(coach, monkeypatch):
    """A store whose sessions can be read once `go` is set, and never on the window's thread."""
    real, go = Store.session, threading.Event()

    def slowly(store, number):
        assert threading.current_thread() is not threading.main_thread()
        assert go.wait(20)
        return real(store, number)

    monkeypatch.setattr(Store, "session", slowly)
    yield go
    go.set()


def until(coach, there):
    for _ in range(2_000):
        coach.frame()
        if there():
            return
        time.sleep(0.005)
    raise AssertionError("it does not come")


def test_the_page_of_a_session_says_that_it_is_loading_and_answers(coach, slow_store):
    coach.office.log()
    coach.frame()
    coach.touch("Long-axis rotation 2")
    assert coach.sees("Long-axis rotation 2") and coach.sees("Loading") and coach.sees("Review")
    assert not coach.sees("What happened") and not coach.sees("Long-axis rotation 1")
    coach.touch("Close")
    assert coach.sees("Long-axis rotation 1") and not coach.sees("Loading"), "back in the list"
    coach.touch("Long-axis rotation 1")
    assert coach.sees("Loading")
    slow_store.set()
    until(coach, lambda: coach.sees("What happened"))
    assert coach.sees("Long-axis rotation 1") and not coach.sees("Loading")
    assert any(tile.pictures for tile in coach.page.board.tiles), "how it went"


def test_a_session_that_can_not_be_read_is_said_in_the_list(coach, monkeypatch):
    def fails(store, number):
        raise StoreTrouble("sessions.sqlite is damaged.")

    coach.office.log()
    coach.frame()
    monkeypatch.setattr(Store, "session", fails)
    coach.touch("Long-axis rotation 2")
    until(coach, lambda: coach.page.says)
    assert coach.page.says == "sessions.sqlite is damaged." and coach.sees("Long-axis rotation 1")


def test_whatever_goes_wrong_the_page_does_not_load_for_ever(coach, monkeypatch):
    monkeypatch.setattr("pacer.show.after.openedsession.session_tables", lambda *_: 1 / 0)
    coach.office.log(2)
    until(coach, lambda: coach.page.says)
    assert coach.page.says == "This session can't be read." and coach.sees("Long-axis rotation 1")
