"""The editor's totals: worked out aside, dropped when a key comes, and in the end those of the text that stands."""

import threading
from dataclasses import replace
from itertools import pairwise

import pytest
from kivy.base import EventLoop
from kivy.graphics import InstructionGroup, Rectangle

from pacer.face.editor.pagepainter import MARKS
from pacer.plan.notation.planreader import read_plan
from pacer.plan.text.fixes import Fix
from pacer.plan.text.textbuffer import Spot
from pacer.plan.times import text_from_ms, whole_up
from pacer.timeline.summary.totals import totals
from tests.face.coach import Coach


@pytest.fixture
def coach(window, tmp_path):
    made = Coach(window, tmp_path)
    yield made
    made.leave()


def settled(page):
    """Fingers rest until the totals have come."""
    page.until_rest.cancel()
    page.work_out(0)
    for thread in threading.enumerate():
        if thread.name == "totals":
            thread.join(30)
    EventLoop.idle()


def test_totals_are_those_of_the_text_that_stands_however_often_keys_came_in_between(coach):
    coach.office.write("long-axis-rotation-3")
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
            page.work_out(0)  # as if fingers had rested; the next key drops it
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
    coach.office.write(coach.office.shelf.add(f"pool: 25 m\n{'' if line[0] != ' ' else 'A'}\n{line}\n  100\n").name)
    coach.frame()
    page = coach.page
    page.go_to(0, focus=False)
    coach.frame()
    pane = page.pane
    row = page.draft.lines.index(line)
    painted = InstructionGroup()
    pane.ink.draw_row(painted, row, 0, len(line), 0.0, 0.0)
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
    ("size", "lanes", "covered"),
    [((1280, 800), 6, 0), ((1024, 600), 4, 0), ((800, 1280), 6, 0), ((1024, 600), 10, 0), ((1280, 800), 6, 320)],
)
def test_what_is_said_stands_below_the_text_and_moves_none_of_it(window, tmp_path, size, lanes, covered):
    """Head, text, strip, bar: one below the other, each as wide as the page.

    What is said is laid over whole rows of the foot of the text, below the cursor.
    """
    coach = Coach(window, tmp_path, size, 149.5 if max(size) > 1024 else 117.5)
    coach.office.write(coach.office.shelf.add(BROKEN).name)
    page = coach.page
    page.squad = replace(page.squad, lanes=(*page.squad.lanes, *page.squad.lanes)[:lanes])
    coach.window.unbind(keyboard_height=page.keyboard_moved)  # the window says half a second later that here is none
    page.covered = covered
    page.go_to(5)
    settled(page)
    coach.frame()
    room = (*page.pane.pos, *page.pane.size)
    strip = page.foot_strip
    pane, foot = page.pane, strip.top if strip.height else page.bar.top
    assert page.head.y >= pane.top - 1 and pane.paper.pitch > pane.y - foot >= -1
    assert page.pane.width == page.width, "nothing stands in a panel beside the text"
    assert page.pane.height >= 3 * page.pane.paper.pitch and page.pane.height % page.pane.paper.pitch == 0
    page.go_to(4)
    settled(page)
    coach.frame()
    here = [text.ways[0] for tile in page.board.tiles for text in tile.texts]
    assert any("choise" in words for words in here), here
    assert room == (*page.pane.pos, *page.pane.size), "the text stays where it is"
    assert all(tile.bottom <= page.board.height + 1 for tile in page.board.tiles)
    assert abs(page.board.y - foot) < 1 and page.board.top <= pane.caret().y + 1
    assert (pane.top - page.board.top + 0.5) % pane.paper.pitch < 1, "no row of the text is cut by it"
    coach.leave()


def test_without_notes_all_of_the_paper_is_seen_and_touched(coach):
    """Lines below the cursor go on as far as the keys; a finger there is on the text."""
    coach.office.write(coach.office.shelf.add("pool: 25 m\n\nMain set\n" + 40 * "  4 x 50 free, on 2:00\n").name)
    page = coach.page
    page.go_to(3)
    settled(page)
    coach.frame()
    pane = page.pane
    assert not page.board.height and pane.height >= pane.clear + 2 * pane.paper.pitch
    coach.finger(pane.x + pane.gutter + 200, pane.y + pane.paper.pitch / 2)
    row = pane.draft.cursor.line
    assert row > 5 and pane.caret().y >= pane.y + pane.spared - 1, "then its line moves up, clear of any note"


def test_an_error_is_said_while_other_lines_are_written(coach):
    """Who has typed wrong lines sees why without a tap; the line being written is left alone."""
    coach.office.write(coach.office.shelf.add("pool: 25 m\n\nMain set\n  4 x 50 dril, rest 0:15\n").name)
    page = coach.page
    page.go_to(4)
    settled(page)
    for char in "  4 x 50 kik":
        page.pane.write(char)
        page.remarks.try_next()
        coach.frame()
    assert not page.remarks.settled and coach.sees("don't know “dril”") and not coach.sees("don't know “kik”")
    coach.touch("drill")
    assert page.draft.lines[3] == "  4 x 50 drill, rest 0:15"
    page.remarks.settle()
    while page.remarks.untried():
        page.remarks.try_next()
    coach.frame()
    assert coach.sees("Don't know “kik”")


def test_a_key_that_says_too_little_is_explained_once(coach):
    coach.office.write("long-axis-rotation-3")
    coach.page.write()
    coach.frame()
    coach.touch("base+")
    assert coach.sees("base pace plus 15 seconds")
    coach.page.hush()
    coach.touch("base+")
    assert not coach.sees("base pace plus 15 seconds")


def test_the_margin_has_the_times_of_the_lane_in_hand_and_they_go_with_their_lines(coach):
    coach.office.write("long-axis-rotation-3")
    page = coach.page
    settled(page)
    timeline = page.worked.timeline
    times = page.pane.margin.times
    for lane in (0, 5):
        page.take_in_hand(lane)
        times = page.pane.margin.times
        first = next(found for found in timeline.tracks[lane].passes if found.section == 2)
        line = first.laneline.line.span.line - 1
        assert (
            times[line].begins == text_from_ms(first.start_ms) == "24:00"
            and "200 as 50 drill" in page.draft.lines[line]
        )
        assert times[line].takes == {0: "4:00", 5: "4:45"}[lane]
    page.go_to(line - 1, len(page.draft.lines[line - 1]))
    page.pane.enter()
    assert page.pane.margin.stale and page.pane.margin.times[line + 1] == times[line]
    page.pane.undo()
    assert page.pane.margin.times[line] == times[line]
    coach.touch("Lane 6")
    assert page.lane == 0 and page.pane.margin.times != times


def test_the_line_in_hand_is_lit_on_the_strip_and_a_touch_there_takes_lane_and_line(coach):
    coach.office.write("long-axis-rotation-3")
    page = coach.page
    settled(page)
    coach.frame()
    line = next(at for at, text in enumerate(page.draft.lines) if "6 x 50" in text)
    page.go_to(line, focus=False)
    coach.frame()
    strip, lit = page.foot_strip, page.worked.spots[line]
    assert strip.view.lit == lit and (lit.section, lit.line) == (1, 1)
    block = next(
        b
        for b in strip.view.drawing.blocks
        if b.mark and b.mark.spot.lane == 3 and b.mark.spot.section == 2 and b.mark.spot.line
    )
    coach.finger(strip.view.x + block.x + 2, strip.view.y + block.y + block.height / 2)
    assert page.lane == 3 and "200 as 50 drill" in page.draft.lines[page.draft.cursor.line]


def test_rounds_that_overrun_are_offered_as_a_range(coach):
    text = "pool: 25 m\nbooking: 20 min\n\nMain set, 3 rounds\n  4 x 100 free on 2:30\n"
    coach.office.write(coach.office.shelf.add(text).name)
    page = coach.page
    page.go_to(1, focus=False)
    settled(page)
    coach.frame()
    coach.touch("Main set, 1 to 3 rounds")
    assert page.draft.lines[3] == "Main set, 1 to 3 rounds"
    settled(page)
    assert page.totals.over_ms == 0 and not page.fixes


def test_what_a_plan_lacks_is_one_sentence_with_its_fix(coach):
    coach.office.write(coach.office.shelf.add("Warm-up\n").name)
    page = coach.page
    coach.frame()
    assert coach.sees("say how long the pool is")
    coach.touch("25 m")
    assert page.draft.lines[0] == "pool: 25 m" and coach.sees("write its first set")
    coach.touch("4 x 50 free, rest 0:15")
    settled(page)
    assert page.reading.whole and page.may_run() and not page.missing


@pytest.mark.parametrize(("size", "dpi"), [((1280, 800), 149.5), ((800, 1280), 149.5), ((1024, 600), 117.5)])
def test_what_coaches_write_most_stands_on_the_first_page_of_keys(window, tmp_path, size, dpi):
    coach = Coach(window, tmp_path, size, dpi)
    coach.office.write("long-axis-rotation-3")
    coach.frame()
    coach.page.write()
    coach.frame()
    labels = {tile.texts[0].ways[0] for tile in coach.page.bar.tiles}
    assert {"x", "on", "rest", "descend", "with", *"1234567890"} <= labels
    coach.leave()


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280), (1024, 600)])
def test_no_row_is_cut_in_two_at_the_upper_edge_wherever_the_cursor_goes(window, tmp_path, size):
    coach = Coach(window, tmp_path, size)
    coach.office.write("long-axis-rotation-3")
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
    coach.office.write(coach.office.shelf.add("pool: 25 m\n\nMain set\n  4 x 50 dril, rest 0:15\n").name)
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
    coach.office.write(
        coach.office.shelf.add("pool: 25 m\n\nMain set\n  4 x 100 free on 0:40\n  4 x 50 kick, rest 3:30\n").name
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


def test_a_new_plan_is_a_sample_that_the_first_letter_replaces_and_a_tap_keeps(coach):
    """Who types a whole session where the cursor is swims that one, not the sample's warm-up as well."""
    coach.office.new()
    coach.frame()
    page = coach.page
    head, sample = page.draft.lines[:4], page.draft.chosen_text
    assert page.writing and coach.sees("A sample: type over it") and not coach.sees("Cut")
    settled(page)
    assert not page.board.tiles, "nothing is wrong with a sample"
    assert sample.startswith("Warm-up") and sample.endswith("100 choice\n") and head[1] == "pool: 25 m"
    page.pane.write("4 x 100 free, rest 0:20")
    assert page.draft.lines == [*head, "4 x 100 free, rest 0:20"] and not coach.sees("sample")
    coach.touch("Undo")
    assert "200 choice" in page.draft.text
    page.go_to(page.draft.lines.index("Main set"), 8)
    assert page.draft.chosen is None and coach.sees("has no sets yet") and "200 choice" in page.draft.text


def test_the_marks_that_there_is_more_turn_the_page(coach):
    coach.office.write("long-axis-rotation-3")
    page, pane = coach.page, coach.page.pane
    settled(page)
    coach.frame()
    (box, step), cursor = pane.ink.turns[0], page.draft.cursor
    coach.finger(box.x + box.width / 2, box.y + 1)
    assert step == 1 and pane.scroller.offset > 2 * pane.paper.pitch and page.draft.cursor == cursor
    assert pane.scroller.offset % pane.paper.pitch <= 1 and not page.writing
    box = next(box for box, step in pane.ink.turns if step == -1)
    coach.finger(box.x + box.width / 2, box.top - 1)
    assert pane.scroller.offset == 0


@pytest.mark.parametrize("way", ["done", "run", "letters"])
def test_a_section_named_on_the_last_line_is_none_of_the_rounds_above(coach, way):
    """Nobody presses Enter after the last line; without it, a swim-down would be swum in every round."""
    coach.office.write(coach.office.shelf.add("pool: 25 m\n\nMain set, 3 rounds\n  4 x 100 free, rest 0:20\n").name)
    page = coach.page
    page.go_to(4)
    page.pane.write("  Swim down 200")
    assert len(page.reading.plan.sections) == 1
    page.press(way)
    coach.frame()
    if way == "letters":
        coach.touch("Hide keyboard")
    assert "\nSwim down 200" in page.draft.text and len(page.reading.plan.sections) == 2


@pytest.mark.parametrize("stray", ["4", "descend", "drill six-kick switch", "("])
def test_new_and_one_stray_key_leaves_no_plan_on_the_shelf(coach, stray):
    """What was written on purpose stays: a second key, a word of one's own, another header."""
    before = {card.name for card in coach.office.shelf.cards()}
    coach.office.home()
    coach.frame()
    coach.touch("New")
    coach.page.press(f"put {stray}")
    coach.frame()
    assert "choice" not in coach.page.draft.text, "the sample is replaced"
    coach.touch("Close")
    assert {card.name for card in coach.office.shelf.cards()} == before
    assert coach.sees("not kept"), "and the coach is told"
    coach.page.hush()
    coach.touch("New")
    coach.page.press(f"put {stray}")
    coach.page.press("put x")
    coach.frame()
    coach.touch("Close")
    assert len(coach.office.shelf.cards()) == len(before) + 1 and not coach.sees("not kept")


def test_a_new_plan_with_only_another_title_stays(coach):
    before = len(coach.office.shelf.cards())
    coach.office.home()
    coach.frame()
    coach.touch("New")
    coach.page.draft.choose_all()
    coach.page.pane.write("title: Turns")
    coach.touch("Close")
    assert len(coach.office.shelf.cards()) == before + 1


def test_new_and_close_leaves_no_sample_on_the_shelf_but_one_word_is_kept(coach):
    before = {card.name for card in coach.office.shelf.cards()}
    coach.office.home()
    coach.frame()
    coach.touch("New")
    coach.touch("Close")
    assert {card.name for card in coach.office.shelf.cards()} == before and not coach.sees("New plan")
    coach.touch("New")
    coach.page.pane.focus = True
    for letter in "Turns":
        coach.window.dispatch("on_textinput", letter)
    coach.frame()
    coach.touch("Close")
    (made,) = {card.name for card in coach.office.shelf.cards()} - before
    coach.office.write(made)
    coach.frame()
    coach.touch("Close")
    assert made in {card.name for card in coach.office.shelf.cards()}, "opened again and left unchanged, it stays"


@pytest.mark.parametrize(("more", "wanted"), [("", "Roll, long"), ("  200 choice", "Long-axis rotation 3")])
def test_a_title_changed_by_hand_is_followed_unless_it_is_another_plan_now(coach, more, wanted):
    shelf = coach.office.shelf
    coach.office.write("long-axis-rotation-3")
    coach.frame()
    page = coach.page
    page.go_to(0, 0)
    page.draft.go(Spot(0, len(page.draft.lines[0])), choosing=True)
    page.pane.write("title: Roll, long")
    if more:
        page.go_to(len(page.draft.lines) - 1, 0)
        page.draft.go(page.draft.end)
        page.pane.write(f"\n{more}")
    page.leave()
    assert f"revisits: {wanted}\n" in shelf.text("long-axis-rotation-4")


OVER = """title: Evening
pool: 25 m
booking: 60 min

Warm-up, run on
  400 choice
  4x50 kick, rest 0:15
Main set, run on
  8 x 100 free, on 1:45 / 1:55 / 2:05 / 2:15 / 2:30
  6 x 200 pull, with paddles, rest 0:20
Cool-down
  200 easy"""


@pytest.mark.parametrize("covered", [0, 400])
def test_a_plan_over_its_booking_says_whose_time_is_whose_and_offers_fewer_repeats(coach, covered):
    coach.office.write(coach.office.shelf.add(OVER).name)
    page = coach.page
    coach.window.unbind(keyboard_height=page.keyboard_moved)  # the window says half a second later that here is none
    page.covered = covered
    page.go_to(len(page.draft.lines) - 1, focus=False)
    settled(page)
    settled(page)
    coach.frame()
    slowest = max(page.totals.lanes, key=lambda lane: lane.end_ms)
    own = page.totals.lanes[0]
    assert page.totals.over_ms > 0 and own.end_ms < slowest.end_ms
    shown = " ".join(text.ways[0] for tile in page.head.tiles for text in tile.texts)
    if covered:  # no key says whose times are in the margin
        assert f"Lane {own.lane} lasts {whole_up(own.end_ms)}; the slowest, lane {slowest.lane}, " in shown
    else:
        assert "end too late" in shown and f"Lane {own.lane}: " in shown
    name = next(name for name in page.fixes if " x 100" in name)
    page.press(name)
    settled(page)
    assert page.totals.over_ms == 0
    assert not any("over the booking" in text.ways[0] for tile in page.board.tiles for text in tile.texts)


def test_the_list_of_checks_offers_the_same(coach):
    coach.office.write(coach.office.shelf.add(OVER).name)
    page = coach.page
    settled(page)
    coach.frame()
    page.press("list")
    coach.frame()
    shown = " ".join(text.ways[0] for tile in page.list.tiles for text in tile.texts)
    assert "Whole session, lanes 5, 6" in shown
    page.press(next(name for name in page.list.fixes if " x 100" in name))
    settled(page)
    assert page.totals.over_ms == 0 and not page.list.fixes
