"""Paste and Import on the shelf: what a page says beside what was understood, and one touch for each question."""

from __future__ import annotations

from pathlib import Path

import pytest

from pacer.plan.notation.planreader import read_plan
from tests.face.coach import Coach

PAGE = """\
Tuesday club night
WU: 400 choice

Main
- 8 x 100 @ 1:45  = 900
- 4 x 50 kick

200 easy
"""


@pytest.fixture
def shelf(window, tmp_path, monkeypatch):
    """The shelf, a page on the clipboard."""
    coach = Coach(window, tmp_path / "kept")
    coach.office.home()
    coach.frame()
    monkeypatch.setattr("pacer.face.shelf.shelfpage.pasted", lambda: PAGE)
    yield coach
    coach.leave()


def words_of(page) -> str:
    return "\n".join(text.ways[0] for tile in page.board.tiles for text in tile.texts)


def test_paste_shows_what_was_understood_and_asks_only_what_is_open(shelf):
    shelf.page.press("paste")
    shelf.frame()
    page = shelf.page.card
    assert page.summary == "2 questions: tap an answer"
    assert "- 8 x 100 @ 1:45 = 900" in words_of(page) and "4 x 50 kick" in words_of(page)
    page.press("answer 0 0")
    page.press(f"answer {page.page.questions[0]} 0")
    shelf.frame()
    assert page.summary == "All lines understood, 1 total doesn't add up"
    assert "Your text says 900, but it adds up to 800" in words_of(page)


def test_a_finger_answers_and_saves(shelf):
    shelf.touch("Paste")
    shelf.touch("50 m")
    shelf.touch("8 x 100 on 1:45")
    shelf.touch("Save")
    assert "pool: 50 m" in shelf.page.card.card.text and "8 x 100 free, on 1:45" in shelf.page.card.card.text


def test_what_is_saved_is_a_plan_on_the_shelf_and_its_card_is_open(shelf):
    shelf.page.press("paste")
    page = shelf.page.card
    while page.page.questions:
        page.press(f"answer {page.page.questions[0]} 0")
    page.press("save")
    shelf.frame()
    card = shelf.page.card.card
    assert card.title == "Tuesday club night" and card.problems == ()
    assert read_plan(card.text).sections[1].name == "Main"


def test_undo_takes_an_answer_back_and_close_keeps_nothing(shelf):
    before = len(shelf.page.shelf.cards())
    shelf.page.press("paste")
    page = shelf.page.card
    page.press("answer 0 1")
    assert "pool: 50 m" in page.page.text
    page.press("undo")
    assert page.summary.startswith("2 questions") and "pool: 50 m" not in page.page.text
    page.press("leave")
    assert shelf.page.card is None and len(shelf.page.shelf.cards()) == before


def test_what_is_not_answered_is_saved_as_it_was_written(shelf):
    shelf.page.press("paste")
    shelf.page.card.press("answer 0 0")
    shelf.page.card.press("save")
    shelf.frame()
    card = shelf.page.card.card
    assert "8 x 100 @ 1:45" in card.text and [problem.line for problem in card.problems] != []


def test_next_question_brings_it_into_view(shelf):
    shelf.page.press("paste")
    shelf.frame()
    page = shelf.page.card
    page.press("next")
    shelf.frame()
    asked = page.page.questions[1]
    tile = page.board.tile(f"answer {asked} 0")
    assert page.board.scroller.offset <= tile.top and tile.bottom <= page.board.scroller.offset + page.board.height


def test_a_plan_is_put_on_the_shelf_without_a_question(shelf, monkeypatch):
    plan = "title: Roll\npool: 25 m\n\nMain\n  4 x 50 drill six-kick switch, rest 0:15\n"
    monkeypatch.setattr("pacer.face.shelf.shelfpage.pasted", lambda: plan)
    shelf.page.press("paste")
    assert shelf.page.card.card.name == "roll"


def test_imported_pages_are_looked_at_one_after_the_other(shelf, tmp_path: Path):
    files = shelf.page.files
    for name in ("tuesday", "thursday"):
        (tmp_path / f"{name}.txt").write_text(f"{name} 25m\n\nMain\n- 8 x 50 kick = 400\n", encoding="utf-8")
    files.take([str(tmp_path / f"{name}.txt") for name in ("tuesday", "thursday")], shelf.page.brought, _by_path)
    for name in ("tuesday", "thursday"):
        assert shelf.page.card.page.plan.title == name
        shelf.page.card.press("save")
    assert {"tuesday", "thursday"} <= {card.title for card in shelf.page.shelf.cards()}


def _by_path(path: str) -> tuple[str, bytes]:
    return Path(path).name, Path(path).read_bytes()
