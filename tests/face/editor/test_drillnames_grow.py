"""While a drill's name is written its keys come first; one touch writes the whole name."""

from __future__ import annotations

import pytest

from tests.face.coach import Coach


@pytest.fixture
def coach(window, tmp_path):
    made = Coach(window, tmp_path)
    yield made
    made.leave()


def growing(page):
    """The labels of the keys that write a whole name; they come before all others."""
    found = [key.label for key in tuple(page.keys()) if key.name.startswith("grow ")]
    assert [key.label for key in tuple(page.keys())[: len(found)]] == found
    return found


def test_a_name_grows(coach):
    coach.office.write(coach.office.shelf.add("pool: 25 m\nSkills\n  4 x 50 drill , on 1:10\n").name)
    coach.frame()
    page = coach.page
    page.go_to(2, 15)
    coach.frame()
    for char in "si":
        coach.window.dispatch("on_textinput", char)
    coach.frame()
    assert growing(page) == ["side kick", "six-kick switch", "single arm"]
    page.press("grow six-kick switch")
    coach.frame()
    assert page.draft.lines[2] == "  4 x 50 drill six-kick switch, on 1:10"
    assert not growing(page)
    page.press("undo")
    assert page.draft.lines[2] == "  4 x 50 drill si, on 1:10"


def test_nothing_grows_elsewhere(coach):
    coach.office.write(coach.office.shelf.add("pool: 25 m\nSkills\n  4 x 50 free, on 1:10\n").name)
    coach.frame()
    coach.page.go_to(2, 13)
    coach.frame()
    assert not growing(coach.page)
