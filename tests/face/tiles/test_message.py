"""A message of a page covers no key: it is beside them, and they work meanwhile."""

from __future__ import annotations

import re

import pytest

from tests.face.coach import Coach, in_front
from tests.face.officepages import PAGES

LONG = (
    "The plan could not be saved: no space left on device. What you wrote is still here; free some space, then press "
    "Save again, or copy the text to another place first.",
    "not saved: no space left",
)


@pytest.fixture(params=[(1024, 600), (800, 1280)], ids=["across", "upright"])
def coach(window, tmp_path, request):
    made = Coach(window, tmp_path, request.param)
    yield made
    made.leave()


@pytest.mark.parametrize(
    "name", ["home", "log", "squad", "settings", "closing", "own pool", "renamed", "with letters", "ready", "line now"]
)
def test_a_message_is_beside_the_keys(coach, name):
    PAGES[name](coach)
    coach.frame()
    page = in_front(coach)
    page.hush()
    before, height = dict(page.bar.placed()), page.bar.height
    page.tell(*LONG)
    coach.frame()
    assert dict(page.bar.placed()) == before and page.bar.height == height, "the keys stay where they were"
    (told, box) = page.note.placed()[0]
    assert told == "told" and coach.sees(LONG[0])
    assert box.y >= page.y and box.top <= page.top
    assert all(box.y >= key.top or box.top <= key.y for key in before.values())
    coach.finger(box.x + box.width / 2, box.y + box.height / 2)
    assert page.note.parent is None and not page.says, "a touch takes it away"


def test_a_key_works_while_a_message_is_shown(coach):
    coach.page.tell("something was told")
    coach.frame()
    coach.touch("Settings")
    assert type(coach.page).__name__ == "SettingsPage"


def test_what_a_page_says_alone_is_a_sentence(coach):
    """A capital in front and a stop at the end; a file's name and the app's stay small."""
    page = coach.page
    for told, said in (
        ("nothing to undo", "Nothing to undo."),
        ("juniors.toml can't be read", "juniors.toml can't be read."),
        ("pacer can't save to Plans.", "pacer can't save to Plans."),
        ("Start anyway?", "Start anyway?"),
    ):
        page.tell(told)
        coach.frame()
        assert page.says == said and coach.sees(said)


def test_sentences_on_all_pages_begin_with_a_capital(coach):
    """Whatever ends as a sentence or asks something, on any page; headings of tables and words on keys may be small."""
    if coach.size[0] < coach.size[1]:
        pytest.skip("the words are the same upright")
    small = []
    for name, arrive in PAGES.items():
        arrive(coach)
        coach.frame()
        small += [
            (name, tile.name, text.ways[0])
            for board in coach.boards()
            for tile in board.tiles
            for text in tile.texts
            if re.match(r"(?!pacer )[a-z].*[.?!]$", text.ways[0])
        ]
        coach.escape_home(name)
    assert not small, "\n".join(map(str, small))
