"""What is said about a plan as it is written stands below the text, and moves no line of it."""

from dataclasses import replace

import pytest
from kivy.base import EventLoop
from kivy.tests.common import UnitTestTouch

from pacer.plan.sentence import sentence
from pacer.plan.text.textbuffer import Spot
from pacer.timeline.summary.totals import totals
from tests.face.coach import Coach

TIGHT = (
    "title: Tight\npool: 25 m\nbooking: 60 min\n\nMain set\n  8 x 100 free on 1:00\n"
    "  4 x 100 bakc on 2:00\n  8 x 50 brest on 1:30\n"
)


def worked(found):
    from pacer.face.editor.pageresults import WorkedOut

    return WorkedOut(found)


@pytest.fixture
def coach(window, tmp_path):
    made = Coach(window, tmp_path, (800, 1280))
    yield made
    made.leave()


@pytest.fixture
def page(coach):
    """A plan with a check in line 6 and mistakes in lines 7 and 8, of which nothing is worked out yet."""
    coach.office.write(coach.office.shelf.add(TIGHT).name)
    made = coach.page
    made.until_rest.cancel()
    made.remarks.trying.cancel()
    EventLoop.idle()
    made.until_rest.cancel()
    made.remarks.trying.cancel()
    made.take_results(made.draft.edits, worked(replace(totals(made.reading.plan, made.squad), findings=())))
    made.remarks.trying.cancel()
    made.remarks.stale = True
    EventLoop.idle()
    return made


def tried(page):
    """All fixes are known, and the fingers rest."""
    while page.remarks.untried():
        page.remarks.try_next()
    page.remarks.settle()
    EventLoop.idle()


def counted(page):
    """The totals have come."""
    page.take_results(page.draft.edits, worked(totals(page.reading.plan, page.squad)))
    EventLoop.idle()


def chips(page):
    """The fixes that can be touched, and where."""
    return {tile.texts[0].ways[0]: page.board.box_of(tile) for tile in page.board.tiles if tile.name.startswith("fix ")}


def middle(box):
    return box.x + box.width / 2, box.y + box.height / 2


def said(page):
    """What stands above the text and below it."""
    return " ".join(text.ways[0] for tile in (*page.head.tiles, *page.board.tiles) for text in tile.texts)


def tops(page):
    """Where the lines of the text are painted, and where it ends."""
    return page.pane.paper.tops, page.pane.scroller.offset, tuple(page.pane.pos), tuple(page.pane.size)


def test_what_is_said_of_the_line_in_hand_moves_no_line_of_the_text(page):
    counted(page)
    before = tops(page)
    for line, words in ((6, "on't know “bakc”"), (5, "oo tight"), (7, "on't know “brest”"), (4, "spare")):
        page.draft.go(Spot(line, 0))
        page.pane.went()
        tried(page)
        assert words in said(page) and tops(page) == before


def test_two_mistakes_of_a_line_are_said_together_and_each_has_its_fix(coach, page):
    coach.frame()
    page.draft.replace(6, 0, len(page.draft.lines[6]), "  4 x 100 bakc on 2:75")
    page.pane.edited()
    page.go_to(6)
    tried(page)
    assert "on't know “bakc”" in said(page) and "econds go from 00 to 59" in said(page)
    assert set(chips(page)) == {"3:15", "back", "“bakc”"}
    coach.finger(*middle(chips(page)["3:15"]))
    tried(page)
    assert page.draft.lines[6] == "  4 x 100 bakc on 3:15" and set(chips(page)) == {"back", "“bakc”"}


def test_fixes_are_offered_all_at_once(page):
    page.go_to(6)
    for tried_out in range(2):
        assert len(page.remarks.untried()) == 2 - tried_out and not chips(page)
        page.remarks.try_next()
        page.remarks.trying.cancel()
        EventLoop.idle()
    assert set(chips(page)) == {"back", "“bakc”"}


def test_nothing_is_said_of_a_line_while_it_is_written(coach, page):
    counted(page)
    tried(page)
    page.write()
    page.go_to(7)
    page.draft.go(page.draft.end)
    page.pane.enter()
    tried(page)
    for char in "  2 x 50 fre on 1:15":
        coach.window.dispatch("on_textinput", char)
    page.until_rest.cancel()
    line = page.draft.cursor.line
    assert page.pane.underlined[line]
    before = tops(page)
    assert "fre" not in said(page)
    tried(page)
    assert "on't know “fre”" in said(page) and tops(page) == before


def test_nothing_moves_while_a_finger_is_on_the_glass(page):
    page.go_to(6)
    finger = UnitTestTouch(page.pane.x + page.pane.width / 2, page.pane.top - 5)
    finger.touch_down()
    tried(page)
    counted(page)
    assert not chips(page) and page.stale
    finger.touch_up()
    for _ in range(2):
        EventLoop.idle()
    assert not page.stale


def test_a_fix_that_has_gone_under_the_finger_is_not_made(page):
    page.go_to(6)
    tried(page)
    finger = UnitTestTouch(*middle(chips(page)["back"]))
    finger.touch_down()
    page.draft.replace(6, 0, len(page.draft.lines[6]), "  4 x 100 free on 2:00")
    page.pane.edited()
    finger.touch_up()
    assert page.draft.lines[6] == "  4 x 100 free on 2:00"


def test_a_finger_that_bounces_makes_one_fix(page):
    page.go_to(6)
    tried(page)
    box = chips(page)["back"]
    for bounced in (False, True):
        finger = UnitTestTouch(*middle(box))
        finger.is_double_tap = bounced
        finger.touch_down()
        finger.touch_up()
        EventLoop.idle()
    assert page.draft.lines[6:8] == ["  4 x 100 back on 2:00", "  8 x 50 brest on 1:30"]
    assert page.draft.cursor.line == 6 and page.draft.chosen is None and page.list is None


def test_the_line_in_hand_stays_in_view_when_the_totals_take_their_room(page):
    pane = page.pane
    page.go_to(len(page.draft.lines) - 1)
    pane.write("\n" * 80)
    page.go_to(40)
    pane.scroller.to(
        pane.scroller.offset - (pane.caret().y - pane.y - pane.spared - pane.paper.pitch)
    )  # the line is the last that is seen whatever is said
    assert pane.y <= pane.caret().y - pane.spared < pane.y + 2 * pane.paper.pitch
    pane.size = (pane.width, pane.height - 4 * pane.paper.pitch)
    assert pane.caret().y >= pane.y


def test_the_list_names_each_line_in_full_and_the_lanes_with_it(page):
    page.press("list")
    counted(page)
    EventLoop.idle()
    named = [tile for tile in page.list.tiles if tile.name.startswith("line ")]
    assert {"Main set: 4 x 100 bakc on 2:00", "Main set: 8 x 50 brest on 1:30"} < {
        tile.texts[0].ways[0] for tile in named
    }
    said = {text.ways[0] for tile in named for text in tile.texts}
    hints = {sentence(each.hint, '.?!”"') for each in (*page.reading.problems, *page.findings) if each.hint}
    assert len(hints) > 2 and hints <= said, "the list says the cure, too"
    for tile in named:
        page.list.scroller.to(tile.top - page.gap)
        EventLoop.idle()
        drawn = {" ".join(words.fitted.lines) for words in page.list.drawn()}
        assert tile.texts[0].ways[0].startswith("Main set: ") and tile.texts[0].ways[0] in drawn, "nothing is cut off"


def test_mistakes_in_the_list_stay_where_they_are_when_totals_and_checks_come(page):
    page.press("list")
    EventLoop.idle()
    before = [page.list.box_of(page.list.tile(name)) for name in ("line 6", "line 7")]
    page.take_results(page.draft.edits, worked(None))
    EventLoop.idle()
    bare = [tile.name for tile in page.list.tiles if tile.name]
    counted(page)
    assert bare == ["line 6", "line 7"] and page.list.tile("line 5") is not None
    assert [page.list.box_of(page.list.tile(name)) for name in ("line 6", "line 7")] == before


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280), (1024, 600)])
def test_a_line_that_is_typed_stays_where_it_is_whatever_is_said_of_it(window, tmp_path, size):
    made = Coach(window, tmp_path, size, 149.5 if max(size) > 1024 else 117.5)
    made.office.quick_set()
    made.frame()
    made.touch("Type it")
    page, places = made.page, set()
    for text in (
        "10 x 100 fre on 1:40",
        "10 x 100 free on 1:40",
        "10 x 1000 free descend 1-3 swimm with snorkle, on 1.40",
        "1",
        "10 x 100 free on 0:20",
    ):
        page.pane.choose_all()
        page.pane.write(text)
        for _ in range(8):
            page.remarks.try_next()
        page.remarks.settle()
        made.frame()
        places.add((*page.pane.pos, *page.pane.size, page.bar.top, page.board.top, page.pane.scroller.offset))
        assert not any(page.pane.paper.lines[0].notes), "nothing stands below it in the text"
    made.leave()
    assert len(places) == 1


def test_a_line_that_is_typed_has_its_mistake_said_and_mended_by_a_touch(coach):
    coach.office.quick_set()
    coach.frame()
    coach.touch("Type it")
    page = coach.page
    page.pane.choose_all()
    for char in "10 x 100 fre on 1:40":
        coach.window.dispatch("on_textinput", char)
    assert page.pane.underlined[0] and not page.fixes
    before = (*page.pane.pos, *page.pane.size), page.bar.pos, page.bar.tiles
    tried(page)
    coach.frame()
    box = page.board.box_of(next(tile for tile in page.board.tiles if tile.name.endswith(" free")))
    assert before == ((*page.pane.pos, *page.pane.size), page.bar.pos, page.bar.tiles), "nothing moves for what is said"
    assert not page.pane.paper.lines[0].notes and box.y >= page.board.y and box.top <= page.board.top + 1, (
        "its place is kept for it, in view"
    )
    coach.finger(*middle(box))
    assert page.text == "10 x 100 free on 1:40" and not page.fixes
    assert before[0] == (*page.pane.pos, *page.pane.size)
    coach.touch("Back to buttons")
    assert page.pane is None and page.remarks is None
    chosen = page.text
    coach.touch("Type it")
    assert page.text == "10 x 100 free on 1:40", "what was typed is there again"
    coach.touch("Back to buttons")
    coach.touch("12 x")
    assert page.text == chosen.replace("10 x", "12 x")
    coach.touch("Type it")
    assert page.text == chosen.replace("10 x", "12 x"), "until another line is chosen"


def test_a_finger_on_a_line_that_another_finger_takes_away_means_nothing_any_more(coach):
    coach.office.quick_set()
    coach.frame()
    coach.touch("Type it")
    page = coach.page
    pane = page.pane
    finger = UnitTestTouch(pane.center_x, pane.top - 10)
    finger.touch_down()
    assert pane.finger.waits, "held, it would choose a word"
    coach.touch("Back to buttons")
    assert page.pane is None and not pane.finger.waits
    finger.touch_move(pane.center_x + 5, pane.top - 10)
    finger.touch_up()
    coach.frame()
    assert page.pane is None and not pane.focus
