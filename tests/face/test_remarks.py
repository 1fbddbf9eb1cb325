"""What is said about a plan as it is written takes no room while keys come, and moves nothing below a finger."""

from dataclasses import replace

import pytest
from kivy.base import EventLoop
from kivy.tests.common import UnitTestTouch

from pacer.plan.draft import Spot
from pacer.timeline.totals import totals
from tests.face.coach import RETURN, Coach

TIGHT = "title: Tight\npool: 25 m\nbooking: 60 min\n\nMain set\n  8 x 100 free on 1:00\n  4 x 100 bakc on 2:00\n  8 x 50 brest on 1:30\n"


@pytest.fixture
def coach(window, tmp_path):
    made = Coach(window, tmp_path, (800, 1280))
    yield made
    made.leave()


@pytest.fixture
def page(coach):
    """A plan with a check in line 6 and mistakes in lines 7 and 8, of which nothing is worked out yet."""
    coach.desk.write(coach.desk.shelf.add(TIGHT).name)
    made = coach.page
    made._rest.cancel()
    made.remarks._trying.cancel()
    EventLoop.idle()
    made._rest.cancel()
    made.remarks._trying.cancel()
    made._take(made.draft.edits, replace(totals(made.reading.plan, made.squad), findings=()))
    made.remarks._trying.cancel()
    made.remarks.stale = True
    EventLoop.idle()
    return made


def tried(page):
    """All fixes are known, and the fingers rest."""
    while page.remarks._untried():
        page.remarks.try_next()
    page.remarks.settle()
    EventLoop.idle()


def counted(page):
    """The totals have come."""
    page._take(page.draft.edits, totals(page.reading.plan, page.squad))
    EventLoop.idle()


def chips(page):
    return {chip.fix.says: box for box, chip in page.pane.ink.chips}


def middle(box):
    return box.x + box.width / 2, box.y + box.height / 2


def opened(page):
    return [line for line, laid in enumerate(page.pane.paper.lines) if laid.notes]


def test_fixes_are_offered_all_at_once(page):
    for tried_out in range(2):
        assert len(page.remarks._untried()) == 2 - tried_out and not opened(page) and not chips(page)
        page.remarks.try_next()
        page.remarks._trying.cancel()
        EventLoop.idle()
    assert {"back", "breast"} <= set(chips(page)) and opened(page) == [6, 7]


def test_checks_that_come_later_do_not_push_a_fix_down(page):
    tried(page)
    before = chips(page)
    counted(page)
    assert page.findings and chips(page) == before
    assert 5 in page.pane.notes and 5 not in opened(page), "only a mark"
    # Typed on, and rested: now there is room for it.
    page.go_to(7)
    page.pane.write("4 x ")
    page._rest.cancel()
    counted(page)
    tried(page)
    assert 5 in opened(page)


def test_nothing_takes_room_while_keys_come(coach, page):
    counted(page)
    tried(page)
    page.write()
    page.go_to(7)
    page.draft.go(page.draft.end)
    page.pane.enter()
    tried(page)
    before = opened(page)
    tops = page.pane.paper.tops[:8]
    for char in "  2 x 50 fre on 1:15":
        coach.window.dispatch("on_textinput", char)
    coach.key(RETURN)
    coach.window.dispatch("on_textinput", "4")
    page._rest.cancel()
    line = next(at for at, text in enumerate(page.draft.lines) if "fre on" in text)
    assert page.pane.notes[line][0].mistake and page.pane.underlined[line], "a mark and a line below the word"
    while page.remarks._untried():
        page.remarks.try_next()
    page.pane.went()
    assert opened(page) == before and page.pane.paper.tops[:8] == tops
    page.draft.go(Spot(line, 0))
    page.pane.went()
    tried(page)
    assert line in opened(page)


def test_nothing_moves_while_a_finger_is_on_the_glass(page):
    finger = UnitTestTouch(page.pane.x + page.pane.width / 2, page.pane.top - 5)
    finger.touch_down()
    tried(page)
    counted(page)
    assert not opened(page) and page.stale
    finger.touch_up()
    for _ in range(2):
        EventLoop.idle()
    assert not page.stale and {6, 7} <= set(opened(page))


def test_what_is_touched_is_what_was_painted_there(page):
    tried(page)
    page.pane.notes = {}
    page.pane.lay()       # not painted yet
    finger = UnitTestTouch(*middle(chips(page)["back"]))
    finger.touch_down()
    finger.touch_up()
    assert page.draft.lines[6] == "  4 x 100 back on 2:00"


def test_a_fix_of_a_text_that_has_changed_meanwhile_is_not_made(page):
    tried(page)
    finger = UnitTestTouch(*middle(chips(page)["back"]))
    finger.touch_down()
    page.draft.replace(6, 0, 2, "   ")
    page.pane.edited()
    finger.touch_up()
    assert page.draft.lines[6] == "   4 x 100 bakc on 2:00"


def test_a_finger_that_bounces_makes_one_fix(page):
    tried(page)
    box = chips(page)["back"]
    for bounced in (False, True):
        finger = UnitTestTouch(*middle(box))
        finger.is_double_tap = bounced
        finger.touch_down()
        finger.touch_up()
        EventLoop.idle()
    assert page.draft.lines[6:8] == ["  4 x 100 back on 2:00", "  8 x 50 brest on 1:30"]
    assert page.draft.cursor.line == 6 and page.draft.chosen is None


def test_the_line_in_hand_stays_in_view_when_the_totals_take_their_room(page):
    pane = page.pane
    page.go_to(len(page.draft.lines) - 1)
    pane.write("\n" * 80)
    page.go_to(40)
    pane.scroller.to(pane.scroller.offset - (pane.caret().y - pane.y - pane.paper.pitch))      # the line is the last that is seen
    assert pane.y <= pane.caret().y < pane.y + 2 * pane.paper.pitch
    pane.size = (pane.width, pane.height - 4 * pane.paper.pitch)
    assert pane.caret().y >= pane.y


def test_mistakes_in_the_list_stay_where_they_are_when_totals_and_checks_come(page):
    page.press("list")
    EventLoop.idle()
    before = [page.list.box_of(page.list.tile(name)) for name in ("line 6", "line 7")]
    page._take(page.draft.edits, None)
    EventLoop.idle()
    bare = [tile.name for tile in page.list.tiles if tile.name]
    counted(page)
    assert bare == ["line 6", "line 7"] and page.list.tile("line 5") is not None
    assert [page.list.box_of(page.list.tile(name)) for name in ("line 6", "line 7")] == before


def test_a_line_that_is_typed_has_its_mistake_said_and_mended_by_a_touch(coach):
    coach.desk.line()
    coach.frame()
    coach.touch("Type it")
    page = coach.page
    page.pane.choose_all()
    for char in "10 x 100 fre on 1:40":
        coach.window.dispatch("on_textinput", char)
    assert not opened(page) and page.pane.underlined[0]
    tried(page)
    assert opened(page) == [0]
    coach.finger(*middle(chips(page)["free"]))
    assert page.text == "10 x 100 free on 1:40" and not page.pane.notes
    coach.touch("Keys")
    assert page.pane is None and page.remarks is None
