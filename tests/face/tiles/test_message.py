"""A message of a page covers no key: it is beside them, and they work meanwhile."""

from __future__ import annotations

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
