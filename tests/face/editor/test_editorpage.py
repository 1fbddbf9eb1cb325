"""The editor's totals: worked out aside, dropped when a key comes, and in the end those of the text that stands."""

import threading
from dataclasses import replace
from itertools import pairwise

import pytest
from kivy.base import EventLoop
from kivy.graphics import InstructionGroup, Rectangle

from pacer.face.editor.pagepainter import MARKS
from pacer.plan.notation.reader import read_plan
from pacer.plan.text.draft import Spot
from pacer.plan.text.fixes import Fix
from pacer.timeline.summary.totals import totals
from tests.face.coach import Coach


@pytest.fixture
def coach(window, tmp_path):
    made = Coach(window, tmp_path)
    yield made
    made.leave()


def settled(page):
    """Fingers rest until the totals have come."""
    page._rest.cancel()
    page._work_out(0)
    for thread in threading.enumerate():
        if thread.name == "totals":
            thread.join(30)
    EventLoop.idle()


def test_totals_are_those_of_the_text_that_stands_however_often_keys_came_in_between(coach):
    coach.desk.write("long-axis-rotation-3")
    coach.frame()
    page = coach.page
    page.go_to(len(page.draft.lines) - 2)
    page.draft.go(page.draft.end)
    for text in ("\n  4 x 50 kick, rest 0:1", "5", "\n  2 x 100 free"):
        for char in text:
            if char == "\n":
                coach.key(13)
            else:
                coach.window.dispatch("on_textinput", char)
            page._work_out(0)  # as if fingers had rested; the next key drops it
    settled(page)
    text = page.draft.text
    assert "4 x 50 kick, rest 0:15" in text and not page.stale
    assert page.totals == totals(read_plan(text), page.squad)
    assert page.findings == page.totals.findings


@pytest.mark.parametrize(
    "line",
    ["Skill set, run on", "Warm-up, if time", "  16 x 50 fly / IM kick, on 1:15, with fins", "Tall 2-Way, 10 rounds"],
)
def test_words_stand_where_the_one_before_ends_bold_or_not(coach, line):
    coach.desk.write(coach.desk.shelf.add(f"pool: 25 m\n{'' if line[0] != ' ' else 'A'}\n{line}\n  100\n").name)
    coach.frame()
    page = coach.page
    page.go_to(0, focus=False)
    coach.frame()
    pane = page.pane
    row = page.draft.lines.index(line)
    painted = InstructionGroup()
    pane.ink._draw_row(painted, row, 0, len(line), 0.0, 0.0)
    pieces = [each for each in painted.children if isinstance(each, Rectangle)]
    space = pane.paper.advance(" ", False)
    gaps = [later.pos[0] - first.pos[0] - first.size[0] for first, later in pairwise(pieces)]
    assert len(pieces) > 3 and all(min(abs(gap), abs(gap - space)) <= 1 for gap in gaps), gaps
    comma = next(at for at, piece in enumerate(pieces) if line[: line.index(",")].endswith(words_of_page(line)[at]))
    assert abs(gaps[comma]) <= 1, "no gap before a comma"


def words_of_page(line):
    """The pieces of a line that have no space in them, a comma being its own."""
    return line.replace(",", " ,").split()


BROKEN = "pool: 25 m\nbooking: 60 min\n\nWarm-up, easy\n  300 choise\n  4 x 50 kick, rest 0:15\n"


@pytest.mark.parametrize(
    ("size", "lanes", "covered", "beside"),
    [
        ((1280, 800), 6, 0, True),
        ((1024, 600), 4, 0, True),
        ((800, 1280), 6, 0, False),
        ((1024, 600), 10, 0, False),
        ((1280, 800), 6, 320, False),
    ],
)
def test_the_totals_stand_beside_the_text_where_there_is_room_and_the_text_never_moves(
    window, tmp_path, size, lanes, covered, beside
):
    """Across, with a row for each lane.

    Below it upright, where lanes are many, or where a soft keyboard leaves little.
    """
    coach = Coach(window, tmp_path, size)
    coach.desk.write(coach.desk.shelf.add(BROKEN).name)
    page = coach.page
    page.squad = replace(page.squad, lanes=(*page.squad.lanes, *page.squad.lanes)[:lanes])
    coach.window.unbind(keyboard_height=page._keyboard_moved)  # the window says half a second later that here is none
    page.covered = covered
    page.go_to(5)
    settled(page)
    coach.frame()
    room = (*page.pane.pos, *page.pane.size)
    assert (page.board.x >= page.pane.right - 1) == beside
    assert page.pane.height == page.top - page.bar.top if beside else page.board.top <= page.pane.y
    page.go_to(4)
    settled(page)
    coach.frame()
    here = [text.ways[0] for tile in page.board.tiles for text in tile.texts]
    assert any(words.startswith("“choise”") or "choise" in words for words in here), here
    assert room == (*page.pane.pos, *page.pane.size), "the text stays where it is"
    assert all(tile.bottom <= page.board.height + 1 for tile in page.board.tiles)
    coach.leave()


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280), (1024, 600)])
def test_no_row_is_cut_in_two_at_the_upper_edge_wherever_the_cursor_goes(window, tmp_path, size):
    coach = Coach(window, tmp_path, size)
    coach.desk.write("long-axis-rotation-3")
    page = coach.page
    settled(page)
    pane, cut = page.pane, []
    for line in (*range(len(page.draft.lines)), *reversed(range(len(page.draft.lines)))):
        for focus in (True, False):
            page.pane.focus = focus
            page.go_to(line, focus=focus)
            coach.frame()
            caret = pane.caret()
            if pane.scroller.offset % pane.paper.pitch > 1 or caret.y < pane.y - 1 or caret.top > pane.top + 1:
                cut.append((line, focus, pane.scroller.offset / pane.paper.pitch))
    assert not cut and pane.scroller.most > 0
    pane.scroller.to(1e9)
    assert pane.scroller.offset % pane.paper.pitch <= 1
    coach.leave()


def test_a_cursor_at_its_lines_end_is_there_after_a_fix_and_one_within_it_is_not(coach):
    coach.desk.write(coach.desk.shelf.add("pool: 25 m\n\nMain set\n  4 x 50 dril, rest 0:15\n").name)
    page = coach.page
    fix = Fix("drill", 3, 9, 13, "drill")
    page.go_to(3, 24)
    page.apply(fix)
    assert page.draft.lines[3] == "  4 x 50 drill, rest 0:15" and page.draft.cursor == Spot(3, 25)
    page.pane.undo()
    page.go_to(3, 11)
    page.apply(fix)
    assert page.draft.cursor == Spot(3, 14)


def test_the_list_of_checks_has_the_mark_of_the_margin_beside_each(coach):
    """So that a ring or three dots in the margin say what they are."""
    coach.desk.write(
        coach.desk.shelf.add("pool: 25 m\n\nMain set\n  4 x 100 free on 0:40\n  4 x 50 kick, rest 3:30\n").name
    )
    page = coach.page
    settled(page)
    page.press("list")
    coach.frame()
    shapes = [tile.bars[0].shape for tile in page.list.tiles if tile.name.startswith("line ")]
    assert len(set(shapes)) > 1 and shapes == [MARKS[int(each.severity)] for each in page.findings if each.line]
    assert all(
        tile.texts[0].box[0] >= tile.bars[0].box[0] + tile.bars[0].box[2]
        for tile in page.list.tiles
        if tile.name.startswith("line ")
    )
