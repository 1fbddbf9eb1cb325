"""A page with few things on it is as large as there is room for, and does not change under a finger."""

from dataclasses import replace

import pytest

from tests.face.coach import READ, Coach
from tests.face.officepages import squad


@pytest.fixture(params=[((1280, 800), 149.5), ((800, 1280), 149.5), ((1024, 600), 117.5)])
def coach(window, tmp_path, request):
    made = Coach(window, tmp_path, *request.param, settings=replace(READ))
    yield made
    made.leave()


def test_a_pad_is_larger_than_its_page_and_keeps_its_size(coach):
    squad(coach)
    coach.frame()
    page = coach.page
    assert page.zoom == 1.0
    page.press("base")
    coach.frame()
    zoom, places = page.zoom, dict(page.sheet.placed())
    assert zoom > 1.0
    for key in ("1", "9", "9"):  # no time: that is said
        page.press(f"pad {key}")
        coach.frame()
    assert page.zoom == zoom and dict(page.sheet.placed()) == places, "no key has moved"
    page.press("leave it")
    coach.frame()
    assert page.zoom == 1.0


def test_a_question_is_larger_and_all_of_it_is_seen(coach):
    coach.office.home()
    coach.frame()
    coach.page.press("leave")
    coach.frame()
    page = coach.page
    assert page.zoom > 1.0 and not page.board.foot
    page.press("stay")
    coach.frame()
    assert page.zoom == 1.0
