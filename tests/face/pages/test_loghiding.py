"""The log: a session is hidden and comes back; two that may be one are named, and one press keeps one of them."""

import pytest

from pacer.session.storage.sessionimport import take_in
from pacer.session.storage.sessionmerge import rows_of
from tests.face.coach import Coach
from tests.face.review.seriesscene import TUESDAY_MS, keep_series
from tests.review.test_doubles import entered

SIZES = {"across": (1280, 800, 149.5), "upright": (800, 1280, 149.5), "small": (1024, 600, 117.5)}


@pytest.fixture(params=list(SIZES))
def coach(request, window, tmp_path):
    keep_series(tmp_path)
    *size, dpi = SIZES[request.param]
    made = Coach(window, tmp_path, tuple(size), dpi, wall_ms=TUESDAY_MS)
    yield made
    made.leave()


def titles(coach):
    return [one.title for one in coach.page.list.sessions]


def test_hidden_and_back(coach):
    everything = ["Long-axis rotation 3", "Long-axis rotation 2", "Long-axis rotation 1"]
    coach.office.log()
    coach.frame()
    coach.touch("Long-axis rotation 2")
    coach.touch("Hide")
    assert titles(coach) == [everything[0], everything[2]] and coach.page.says.startswith(
        "Hidden: left out of all totals"
    )
    coach.page.hush()
    coach.touch("Undo")
    assert titles(coach) == everything
    coach.touch("Long-axis rotation 2")
    coach.touch("Hide")
    coach.page.hush()
    coach.office.home()
    coach.frame()
    assert next(card for card in coach.page.cards if card.title == everything[1]).swum_ms is None
    coach.office.log()
    coach.frame()
    coach.touch("Hidden sessions")
    assert titles(coach) == [everything[1]]
    coach.touch("Long-axis rotation 2")
    coach.touch("Show again")
    assert titles(coach) == everything


def test_a_hidden_session_is_deleted_for_good_after_it_was_said_what_that_does(coach):
    coach.office.log()
    coach.frame()
    coach.touch("Long-axis rotation 2")
    coach.touch("Hide")
    coach.page.hush()
    coach.touch("Hidden sessions")
    coach.touch("Long-axis rotation 2")
    coach.touch("Delete")
    assert coach.sees("Deletes this session for good") and coach.sees("delete it too")
    coach.touch("Cancel")
    assert titles(coach) == ["Long-axis rotation 2"] and not coach.sees("Deletes this session for good")
    coach.touch("Delete")
    coach.touch("Delete for good")
    assert coach.page.says.startswith("Deleted for good") and titles(coach) == []
    coach.page.hush()
    coach.touch("Close")
    assert titles(coach) == ["Long-axis rotation 3", "Long-axis rotation 1"]


def test_one_of_two_that_may_be_the_same(coach, tmp_path):
    store = coach.office.store
    for place, times in (("a", 3), ("b", 5)):
        take_in(store, [rows_of(entered(tmp_path / place, times).session(1))])
    coach.office.log()
    coach.frame()
    assert len(titles(coach)) == 5 and coach.sees("Possible duplicate: ")
    coach.page.press("session 4")
    coach.frame()
    assert coach.sees("It may be the same one, from another tablet. It has 5 times, this one 3.")
    coach.touch("Open the other one")
    assert coach.sees("It has 3 times, this one 5.")
    coach.touch("Merge into this")
    assert coach.page.says.startswith("The other one is hidden. 3 times there differ: yours stay.") and not coach.sees(
        "from another tablet"
    )
    coach.page.hush()
    coach.touch("Undo")
    assert len(titles(coach)) == 5 and coach.sees("Possible duplicate: ")
