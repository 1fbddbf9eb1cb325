"""The office by an external keyboard alone.

Everything is reached, what keys would press is framed for everybody to see, escape leads back.
"""

from dataclasses import replace

import pytest

from pacer.face.tiles.board import CLEAR_MM
from pacer.session.journal.entries import Begun
from pacer.show.measure.keyrows import FOCUS_MM
from pacer.show.measure.theme import THEMES, contrast
from tests.face.coach import ESCAPE, READ, RETURN, TAB, Coach, in_front
from tests.face.drawing import pixels
from tests.face.officepages import PAGES

SPACE, DOWN, UP, RIGHT, LEFT = 32, 274, 273, 275, 276
MOST = 120  #: named tiles of a page


@pytest.fixture(params=["dark", "bright"])
def coach(window, tmp_path, request):
    made = Coach(window, tmp_path, settings=replace(READ, theme=request.param))
    yield made
    made.leave()


def to(coach, words):
    """Tab until the focus is on what says so."""
    for _ in range(MOST):
        board = coach.page.focused()
        tile = board.tile(board.focus) if board else None
        if tile is not None and any(words == way for text in tile.texts for way in text.ways):
            return
        coach.key(TAB)
    raise AssertionError(f"tab does not come to {words!r}")


@pytest.mark.parametrize("coach", ["dark"], indirect=True)  # no colour changes the order
def test_tab_comes_to_everything_that_can_be_touched_and_round_again_and_escape_leads_home(coach):
    """One walk through all pages for both: to arrive takes longest."""
    wrong = []
    for name, arrive in PAGES.items():
        arrive(coach)
        coach.frame()
        page = in_front(coach)
        page.hush()
        pane = page.written_in()
        if pane is not None and not pane.single:
            page.stop_writing() if hasattr(page, "stop_writing") else page.end_typing()
            coach.frame()
        there = [
            (place, tile.name)
            for place, board in enumerate((*page.boards, page.bar))
            if board.parent is not None
            for tile in board.tiles
            if tile.name
        ]
        came = []
        for _ in range(len(there) + 1):  # the order is the page's own: no frame is drawn between
            coach.window.dispatch("on_key_down", TAB, TAB, "", [])
            coach.window.dispatch("on_key_up", TAB, TAB)
            board = page.focused()
            came.append(((*page.boards, page.bar).index(board), board.focus))
            box = board.box_of(board.tile(board.focus))
            if box.top <= board.y or box.y >= board.top:
                wrong.append((name, board.focus, "out of view"))
        if came[:-1] != there or came[-1] != there[0]:
            wrong.append((name, [each for each in there if each not in came], came[:3]))
        coach.escape_home(name)
    assert not wrong, "\n".join(map(str, wrong))


def test_what_keys_would_press_is_framed_whatever_its_own_colour(coach):
    """A ring of the colour of words, with ground between.

    7:1 and more against the ground, so that it needs no eye for colour.
    """
    theme = THEMES[coach.kept.theme]
    assert contrast(theme.ink, theme.ground) >= 7
    for way, words in (
        (lambda: coach.office.quick_set(), ("10 x", "Start", "Type it")),
        (lambda: coach.office.set_up(), ("on", "Close")),
    ):
        way()
        coach.frame()
        for said in words:
            to(coach, said)
            coach.frame()
            board = coach.page.focused()
            box, mm = board.box_of(board.tile(board.focus)), coach.page.glass.px_per_mm
            image = pixels(coach.size)
            y = coach.size[1] - 1 - round(box.y + box.height / 2)
            ring, clear = round(box.x - (CLEAR_MM + FOCUS_MM / 2) * mm), round(box.x - CLEAR_MM / 2 * mm)
            got = [image.getpixel((x, y)) for x in (ring, clear)]
            wanted = [tuple(round(255 * part) for part in colour) for colour in (theme.ink, theme.ground)]
            assert all(abs(a - b) < 40 for one, other in zip(got, wanted) for a, b in zip(one, other)), (
                said,
                got,
                wanted,
            )


def test_arrows_begin_and_move_the_focus_and_space_presses(coach):
    coach.office.quick_set()
    coach.frame()
    coach.key(DOWN)
    assert coach.page.board.focus == "count 1"
    coach.key(RIGHT)
    coach.key(RIGHT)
    coach.key(SPACE, " ")
    assert coach.page.text.startswith("3 x 100")
    coach.key(DOWN)
    assert coach.page.board.focus.startswith("far ")
    for _ in range(8):
        coach.key(DOWN)
    assert coach.page.focused() is coach.page.bar
    coach.key(UP)
    assert coach.page.focused() is coach.page.board
    coach.key(LEFT)
    assert coach.page.focused() is coach.page.board


def test_a_line_runs_by_keys_alone(coach):
    to(coach, "Quick set")
    coach.key(RETURN)
    to(coach, "Start")
    coach.key(RETURN)
    assert [type(entry) for entry in coach.shell.driver.journal] == [Begun]


def test_a_plan_is_written_and_begun_by_keys_alone(coach):
    to(coach, "New")
    coach.key(RETURN)
    page = coach.page
    if not page.writing:
        to(coach, "Keyboard")
        coach.key(RETURN)
    assert page.writing
    page.go_to(page.draft.lines.index("Main set") + 1)
    coach.key(TAB)
    assert page.writing and page.focused() is None, "tab moves the line, not the focus"
    for char in "4 x 50 kick":
        coach.window.dispatch("on_textinput", char)
    coach.frame()
    coach.key(ESCAPE)
    assert not page.writing and "Main set\n  4 x 50 kick\n" in page.draft.text, page.draft.text
    to(coach, "Get ready")
    coach.key(RETURN)
    assert coach.page is not page, page.says
    to(coach, "Start")
    coach.key(RETURN)
    assert coach.shell is not None and [type(entry) for entry in coach.shell.driver.journal] == [Begun]


def test_a_card_that_has_gone_with_its_shelf_takes_no_key(coach):
    coach.touch("Long-axis rotation 3")
    card = coach.page.card
    coach.touch("Edit")
    coach.touch("Keyboard")
    page = coach.page
    page.draft.go(page.draft.end)
    count = len(page.draft.lines)
    coach.key(TAB)
    coach.key(TAB, modifiers=["shift"])
    coach.key(RETURN)
    assert len(page.draft.lines) == count + 1 and card.focused() is None


def test_tab_leaves_a_field_and_return_takes_it(coach):
    coach.office.squad()
    coach.frame()
    coach.page.press("group")
    for char in "Z":
        coach.window.dispatch("on_textinput", char)
    coach.key(TAB)
    assert coach.page.field.draft.text == "Z" and not coach.page.field.focus
    to(coach, "Save")
    coach.key(RETURN)
    assert coach.page.roster.squad.lanes[0].group == "Z"


def test_down_reads_on_where_there_is_nothing_to_press(coach):
    coach.turn((640, 300))  # where not all of it is seen at once
    coach.office.cautions()
    coach.frame()
    coach.key(DOWN)
    assert coach.page.board.scroller.offset > 0
    coach.key(UP)
    coach.key(UP)
    assert coach.page.board.scroller.offset == 0
    coach.key(TAB)
    coach.key(RETURN)
    assert coach.sees("Quick set")
