"""Whole journeys in a real window, by real touches, held upright and across."""

import csv
import io
import re
import threading
import time

import pytest
from kivy.tests.common import UnitTestTouch

from pacer.plan.times import text_from_ms
from pacer.review.exports.csvfiles import csv_files
from pacer.review.exports.exporttables import exported
from pacer.session.cautions import IN_BRIEF
from pacer.session.journal.entries import Begun, CarriedOn, Ended, Paused, Refitted, Resumed, Stopped, TakenBack
from pacer.session.journal.recordentries import HeadsCounted, Noted, Touched
from pacer.session.records.headsandfeedback import Heads, heads
from pacer.session.running.whogotout import got_out
from pacer.session.storage.startandresume import running
from pacer.session.storage.store import Store
from pacer.show.drive.settings import Settings
from pacer.show.measure.presstime import COMPLETE_MS, STOP_MS
from pacer.show.wording.stopalltext import HOW_TO_STOP_ALL
from tests.face.coach import ESCAPE, READ, RETURN, TAB, Coach

ACROSS, UPRIGHT = (1280, 800), (800, 1280)
DOWN, END, BACKSPACE = 274, 279, 8
BOTH = pytest.mark.parametrize("size", [ACROSS, UPRIGHT], ids=["across", "upright"])


@pytest.fixture
def coach(window, tmp_path):
    made = []

    def make(size=ACROSS, **kwargs):
        made.append(Coach(window, tmp_path, size, **kwargs))
        return made[-1]

    yield make
    for each in reversed(made):
        each.leave()


def kinds(coach):
    return [type(entry) for entry in coach.shell.driver.journal]


def sendoffs(coach, lane):
    return list(coach.shell.driver.run.timeline.tracks[lane].sendoffs)


def rests(coach, until, seconds=20):
    """The coach looks at the glass until that is so: reading, totals and fixes go by real time."""
    end = time.monotonic() + seconds
    while not until() and time.monotonic() < end:
        coach.frame(20)
    assert until()


# -- first start ------------------------------------------------------------------------------------


@BOTH
def test_from_the_first_start_to_a_session_that_runs(coach, size):
    coach = coach(size, settings=Settings())
    coach.touch("Try the demo session")
    assert "rotation 3" in coach.shell.driver.run.timeline.plan.title
    assert coach.shell.notices.notice.paragraphs[0][0] == "A demo"
    while coach.shell.notices.key.name == "confirm" and not coach.shell.notices.notice.last:
        coach.touch("read on")
    coach.hold("confirm")
    assert coach.kept.cautions_read == READ.cautions_read
    coach.hold("begin")
    assert kinds(coach) == [Begun]
    coach.go(11_000)
    assert coach.shell.driver.at_ms() > 0
    # Nothing but its own key ends it.
    coach.key(ESCAPE)
    coach.key(ESCAPE)
    assert coach.office.refuse() and coach.closed == 0
    assert coach.shell.driver.running
    coach.hold("pause")
    coach.hold("resume")
    coach.hold("end")
    assert kinds(coach) == [Begun, Paused, Resumed, Ended]
    # It was a slip: on it goes, on disk too.
    coach.go(120_000, 10_000)
    before_ms = coach.shell.driver.at_ms()
    coach.hold("reopen")
    assert kinds(coach)[-1] is TakenBack and coach.shell.driver.running and coach.shell.driver.at_ms() >= before_ms
    assert running(coach.office.store) is not None
    coach.hold("end")
    assert running(coach.office.store) is None
    coach.touch("close")
    assert coach.sees("Quick set") and coach.sees("swum today") and coach.shell is None
    # From the log, too, for ten minutes.
    ended_ms = coach.office.store.sessions()[0].ended_ms
    coach.touch("Log")
    coach.office.page.press("session 1")
    coach.frame()
    coach.touch("Resume session")
    assert coach.shell.driver.running and running(coach.office.store) is not None
    coach.hold("end")
    coach.touch("close")
    coach.office.log(1)
    coach.frame()
    assert coach.sees("Resume session")
    coach.office.clocks.wall = lambda: ended_ms + 3_600_000
    coach.office.log(1)
    coach.frame()
    assert not coach.sees("Resume session")


@BOTH
def test_the_first_start_leads_to_a_squad_and_a_plan_of_ones_own(coach, size):
    """A dozen touches from the first page to a running session; nothing of the demo is in it."""
    coach = coach(size, settings=Settings())
    coach.touch("5")
    coach.page.press("booking -1")
    coach.page.press("base 1")
    coach.frame()
    assert coach.sees("Type 135 for 1:35"), "nothing has to be erased first"
    coach.type("132")
    assert not coach.sees("Type 135 for 1:35")
    coach.touch("Save, next lane")
    assert coach.sees("Base of lane 3"), "lane by lane, without closing the pad"
    coach.type("140")
    coach.touch("lane 5")
    assert coach.sees("Base of lane 5") and not coach.page.bar.tile("take on").able, "the last one"
    for words in ("Save", "Write my first plan", "Close"):
        coach.touch(words)
    assert coach.sees("Your lanes") and coach.sees("lane 5"), "the answers are still there"
    assert coach.office.roster.squad.name != "My squad", "no squad before the cautions are read"
    coach.touch("Write my first plan")
    said = [text for text, able, _ in coach.written() if not able]
    assert all(text in " ".join(said) for caution in IN_BRIEF for text in caution)
    assert len(" ".join(said).split()) <= 60, "a page that is read, not skipped"
    coach.touch("In full")
    assert coach.sees("fully rested first"), "everything is one touch away"
    coach.touch("Close")
    assert coach.sees("away from splashes") and coach.office.roster.squad.name != "My squad"
    coach.touch("I have read them")
    assert coach.kept.cautions_read == READ.cautions_read
    assert coach.office.roster.squad.name == "My squad" and len(coach.office.roster.squad.lanes) == 5
    assert [lane.base.ms for lane in coach.office.roster.squad.lanes[1:3]] == [92_000, 100_000]
    assert "booking: 55 min" in coach.page.draft.lines
    assert coach.page.writing and coach.sees("A sample: type over it"), "what is written replaces it"
    for line in ("Warm-up", "200 choice", "Main set", "4 x 50 free, rest 0:15"):
        coach.page.pane.write(line)
        coach.page.pane.enter()
    assert coach.page.draft.text.count("choice") == 1 and "Swim-down" not in coach.page.draft.text
    coach.go(1_000, 100)
    coach.touch("Get ready")
    coach.hold("Start")
    assert coach.shell.driver.run.begun is not None and len(coach.shell.driver.run.timeline.lanes) == 5
    assert coach.shell.driver.run.timeline.squad.name == "My squad"


def bases(coach):
    return [text_from_ms(ms) for ms in coach.page.given.paces()]


def waits(coach, seconds):
    """Nobody does anything for so long by the clock that the pages go by."""
    ends = time.monotonic() + seconds
    while time.monotonic() < ends:
        coach.frame()
        time.sleep(0.02)


def test_a_base_that_can_only_be_complete_leads_to_the_next_lane_by_itself(coach):
    coach = coach(settings=Settings())
    coach.page.press("base 0")
    coach.frame()
    assert coach.sees("Lane 2 comes next by itself"), "it is said before it happens"
    coach.type("13")
    waits(coach, COMPLETE_MS / 1000 + 0.2)
    assert coach.sees("Base of lane 1"), "0:13 is not complete: somebody types slowly"
    coach.type("5")
    assert coach.sees("1:35"), "it is seen before it goes"
    waits(coach, COMPLETE_MS / 1000 + 0.2)
    assert coach.sees("Base of lane 2") and coach.sees("Lane 1 is 1:35, saved") and bases(coach)[0] == "1:35"
    coach.type("142150")
    assert coach.sees("1:50") and bases(coach)[1] == "1:42", "who types on is not held up"
    waits(coach, COMPLETE_MS / 1000 + 0.2)
    coach.type("158")
    waits(coach, COMPLETE_MS / 1000 + 0.2)
    assert coach.sees("Base of lane 4") and coach.sees("1:58"), "the last one is left by Save"
    assert coach.sees("That was the last lane")
    coach.touch("Save")
    assert bases(coach) == ["1:35", "1:42", "1:50", "1:58"] and coach.sees("Your lanes")


@BOTH
def test_a_guess_is_no_answer_however_late_save_is_pressed(coach, size):
    coach = coach(size, settings=Settings())
    coach.page.press("base 0")
    coach.type("135")
    waits(coach, COMPLETE_MS / 1000 + 0.2)
    for seconds in (0.5, 2.0, 1.5):
        waits(coach, seconds)
        coach.touch("Save, next lane")
        coach.key(RETURN)
        assert coach.sees("Base of lane 2") and coach.sees("Nothing typed yet"), "it was for the lane before"
        coach.page.hush()
    assert coach.page.given.said == {0}
    coach.touch("lane 4")
    coach.touch("+1 s")
    coach.touch("lane 2")
    coach.type("142")
    assert [tile.look for tile in coach.page.board.tiles if tile.name.startswith("base ")] == [
        "lit" if n == 1 else "key" for n in range(4)
    ], "all lanes are in sight, the one in hand lit"
    coach.touch("Save")
    assert coach.page.given.said == {0, 1, 3}, "a step is an answer, too"
    assert bases(coach) == ["1:35", "1:42", "1:52", "2:01"], "the lane between them stays a guess"


@BOTH
def test_a_base_that_is_none_stays_in_hand_when_another_lane_is_tapped(coach, size):
    coach = coach(size, settings=Settings())
    coach.page.press("base 0")
    coach.type("9")
    coach.touch("lane 3")
    assert coach.sees("Base of lane 1") and coach.sees("A base is from 0:40")


def test_a_base_that_went_by_itself_is_corrected_with_erase(coach):
    coach = coach(settings=Settings())
    coach.page.press("base 0")
    coach.type("135")
    waits(coach, COMPLETE_MS / 1000 + 0.2)
    coach.key(BACKSPACE)
    coach.frame()
    assert coach.sees("Base of lane 1") and coach.sees("1:35")
    coach.type("1")
    assert coach.page.pad.shown == "0:01", "the first digit replaces it"
    coach.type("36")
    waits(coach, COMPLETE_MS / 1000 + 0.2)
    assert coach.sees("Base of lane 2") and bases(coach)[0] == "1:36", "the next lane follows again"
    for _ in range(2):
        coach.key(BACKSPACE)
    assert coach.page.pad.typed == "13", "Erase again removes a digit"
    coach.type("7")
    waits(coach, COMPLETE_MS / 1000 + 0.2)
    coach.key(BACKSPACE)
    coach.type(".5")
    coach.touch("Save, next lane")
    assert coach.sees("Base of lane 2") and coach.page.given.paces()[0] == 97_500, "or tenths are added"


@BOTH
def test_no_key_of_the_pad_moves_as_lanes_follow(coach, size):
    coach = coach(size, settings=Settings())
    coach.page.press("base 0")

    def places():
        coach.frame()
        boards = coach.page.board, coach.page.bar
        return [(tile.name, board.box_of(tile)) for board in boards for tile in board.tiles if tile.name]

    before = places()
    for digit in "135142150158"[: 3 * coach.page.given.lanes]:
        coach.type(digit)
        assert places() == before
    assert coach.sees(f"Base of lane {coach.page.given.lanes}")
    coach.touch("Save, next lane")
    assert coach.sees("That was the last one: tap Save.") and coach.page.typing


def test_tenths_stay_on_their_lane(coach):
    coach = coach(settings=Settings())
    coach.page.press("base 0")
    coach.type("135.5")
    waits(coach, COMPLETE_MS / 1000 + 0.2)
    assert coach.sees("Base of lane 1") and coach.sees("1:35.5")


@pytest.mark.parametrize(("size", "dpi"), [(ACROSS, 149.5), (UPRIGHT, 149.5), ((1024, 600), 117.5)])
def test_the_first_page_uses_its_room_and_no_size_changes_with_the_lanes(coach, size, dpi):
    coach = coach(size, dpi=dpi, settings=Settings())
    sizes = set()
    for lanes in ("1", "5", "10"):
        coach.touch(lanes)
        page, board = coach.page, coach.page.board
        sizes.add((page.zoom, page.cap))
        assert max(tile.bottom for tile in board.tiles) <= board.height, "nothing to scroll"
        steps = [tile for tile in board.tiles if tile.name.endswith(" -1")]
        assert all(
            any(other.top == step.top and other.texts and other.texts[0].across == "left" for other in board.tiles)
            for step in steps
        ), "what is asked is beside its keys"
    assert len(sizes) == 1 and page.zoom > 1


@pytest.mark.parametrize("dpi", [96, 149.5])
@BOTH
def test_what_is_read_first_has_as_many_pages_as_it_needs_and_its_own_way_out(coach, size, dpi):
    coach = coach(size, dpi=dpi, settings=Settings())
    coach.touch("Try the demo session")
    notice, names = coach.shell.notices.notice, [name for name, _ in coach.shell.bar.placed()]
    assert ("confirm" in names) == (notice.pages == 1) and ("read on" in names) == (notice.pages > 1), names
    coach.touch("in full")
    assert {"close", "read on"} <= {name for name, _ in coach.shell.bar.placed()}, "page 1 can be left too"
    coach.touch("close")
    assert coach.shell.notices.key.name == "confirm"


@pytest.mark.parametrize(("size", "dpi"), [(ACROSS, 149.5), (UPRIGHT, 149.5), ((1024, 600), 117.5)])
def test_what_is_typed_is_directly_above_the_keys(coach, size, dpi):
    coach = coach(size, dpi=dpi, settings=Settings())
    coach.page.press("base 0")
    coach.type("13")
    board = coach.page.board
    typed = next(tile for tile in board.tiles if not tile.name and tile.texts and tile.texts[0].ways[0] == "0:13")
    key = board.tile("pad 1")
    assert 0 <= key.top - typed.bottom <= coach.page.gap and abs(key.x - typed.x) <= 1
    assert typed.texts[0].box[2] <= board.tile("pad 3").x - key.x, "above the digits, not beside them"


@pytest.mark.parametrize("dpi", [117.5, 149.5, 169.5])
def test_the_pad_of_the_first_page_is_whole_on_a_small_screen(coach, dpi):
    coach = coach((1024, 600), dpi=dpi, settings=Settings())
    coach.page.press("base 1")
    coach.frame()
    board = coach.page.board
    assert max(tile.bottom for tile in board.tiles) <= board.height + 1


@BOTH
def test_the_second_start_shows_the_shelf_and_the_cautions_are_one_press_away(coach, size):
    coach = coach(size, settings=READ)
    assert coach.sees("Long-axis rotation 1")
    coach.touch("Cautions")
    assert coach.sees("Lifeguard first")
    coach.touch("Close")
    assert coach.sees("Quick set")
    coach.key(ESCAPE)
    assert coach.closed == 0 and coach.sees("Close the app?")
    coach.key(ESCAPE)
    assert coach.closed == 0 and coach.sees("Quick set")


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280), (1024, 600)])
def test_the_app_is_not_closed_by_one_tap_nor_by_two_at_one_place(coach, size):
    coach = coach(size)
    at = coach.place("Close the app")
    coach.finger(*at)
    assert coach.closed == 0 and coach.sees("Close the app?") and not coach.sees("Quick set")
    coach.finger(*at)
    assert coach.closed == 0
    if not coach.page.closing:
        coach.touch("Close the app")
    coach.touch("Cancel")
    assert coach.closed == 0 and coach.sees("Quick set") and coach.sees("Long-axis rotation 1")
    coach.touch("Close the app")
    at = coach.place("Close the app")
    finger = UnitTestTouch(*at)
    finger.touch_down()
    finger.touch_up()
    assert coach.closed == 0 and coach.page.says == "Closing …", "it is said before it takes its time"
    coach.frame()
    assert coach.closed == 1


# -- a line now ----------------------------------------------------------------------------------------


@BOTH
def test_a_line_runs_after_three_presses(coach, size):
    coach = coach(size)
    coach.touch("Quick set")
    coach.touch("on 2:00" if coach.sees("on 2:00") else "2:00")
    coach.hold("Start")
    assert kinds(coach) == [Begun]
    plan = coach.shell.driver.run.timeline.plan
    line = plan.sections[0].items[0]
    assert (
        line.count.entries == (10,)
        and line.distance.entries == (100,)
        and line.interval.entries[0][0].interval_ms == 120_000
    )
    assert len(coach.shell.driver.run.timeline.lanes) == 6


@BOTH
def test_a_line_is_not_begun_by_a_touch_and_says_when_it_would_start(coach, size):
    coach = coach(size)
    coach.touch("Quick set")
    coach.touch("on 2:00" if coach.sees("on 2:00") else "2:00")
    coach.touch("Start")
    assert coach.shell is None and coach.page.says == "Hold the button down"
    coach.page.hush()
    coach.frame()
    assert foretold(coach, "Start") == "Starts in 10 s, at :00 on the app clock"
    coach.touch("on 1:40" if coach.sees("on 1:40") else "1:40")
    assert foretold(coach, "Start") == "Too tight for lanes 5, 6: pacer will ask before it starts"


@BOTH
def test_the_page_before_the_start_says_while_a_key_is_held_when_it_would_start(coach, size):
    coach = coach(size)
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    assert foretold(coach, "Start") == "Starts in 10 s, at :00 on the app clock"
    assert re.fullmatch(r"Starts \d+:\d\d:00", foretold(coach, "At next :00"))
    coach.touch("+5 min")
    assert foretold(coach, "At 17:10") == "Starts 17:10:00"


def foretold(coach, key):
    """What stands above the bar while a finger is on a key; once it strays nothing does."""
    page = coach.page
    finger = UnitTestTouch(*coach.place(key))
    finger.touch_down()
    coach.frame(200)
    assert page.foretold.parent is page and page.foretold.y >= page.bar.top - 1 and page.foretold.drawn()
    said = page.foretold.tiles[0].texts[0].ways[0]
    finger.touch_move(page.center_x, page.top - 5)
    finger.touch_up()
    coach.frame()
    assert page.foretold.parent is None and coach.page is page
    page.hush()
    return said


@BOTH
def test_a_line_that_some_lanes_cannot_make_is_asked_about_first(coach, size):
    coach = coach(size)
    coach.touch("Quick set")
    coach.touch("on 1:40" if coach.sees("on 1:40") else "1:40")
    coach.hold("Start")
    assert coach.shell is None and coach.sees("Too tight for lanes 5, 6. Start anyway?")
    coach.touch("on 2:00" if coach.sees("on 2:00") else "2:00")
    assert not coach.sees("Start anyway"), "another line is not asked about"
    coach.touch("on 1:50" if coach.sees("on 1:50") else "1:50")
    coach.hold("Start")
    coach.hold("Start anyway")
    assert kinds(coach) == [Begun]


def test_a_line_does_not_get_round_the_cautions(coach):
    coach = coach(settings=Settings())
    coach.office.home()
    coach.frame()
    coach.touch("Quick set")
    coach.hold("Start")
    assert kinds(coach) == [] and coach.shell.notices.notice is not None


# -- a plan ----------------------------------------------------------------------------------------------


@BOTH
def test_a_plan_from_the_shelf_by_the_page_before_the_start(coach, size):
    coach = coach(size)
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    assert coach.sees("Get: snorkel × 26")
    coach.touch("At next :00")
    assert coach.shell is None and coach.page.says == "Hold the button down"
    coach.page.hush()
    coach.frame()
    coach.touch("At next :00", 500)
    assert kinds(coach) == [Begun] and coach.shell.driver.journal[0].wall_ms % 60_000 == 0


def test_a_plan_begins_at_a_time_of_day_chosen_before_the_start(coach):
    coach = coach()
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    coach.touch("+5 min")
    coach.touch("At 17:10", 500)
    assert coach.shell.driver.at_ms() < -400_000 and coach.shell.driver.journal[0].wall_ms % 300_000 == 0


def test_flagged_lines_are_confirmed_before_it_begins(coach):
    coach = coach()
    coach.office.run('pool: 25 m\n\n4 x 25 free "no breath to the flags", on 1:00\n')
    coach.frame()
    coach.touch("Start", 500)
    assert coach.shell is None and "flagged set" in coach.page.says
    coach.page.hush()
    coach.frame()
    coach.touch("Confirm: run it only by these rules")
    coach.touch("Start", 500)
    assert kinds(coach) == [Begun]


def test_a_flagged_line_is_named_by_its_words_wherever_it_is_confirmed(coach):
    """On the page before the start, and on the session's own glass, where a line now is confirmed."""
    coach = coach()
    coach.office.run('pool: 25 m\n\nMain set\n  4 x 25 free "no breath to the flags", on 1:00\n')
    coach.frame()
    assert coach.sees("Main set: 4 x 25 free, on 1:00")
    coach.touch("Close")
    coach.touch("Quick set")
    coach.page.press("type")
    coach.page.pane.choose_all()
    coach.page.pane.write('4 x 25 free "no breath", on 1:00')
    coach.page.press("run")
    coach.frame()
    assert coach.shell.notices.notice.paragraphs[0][0] == "4 x 25 free, on 1:00"


@BOTH
def test_close_leaves_a_plan_that_is_being_written_and_the_keys_go_by_another_word(coach, size):
    coach = coach(size)
    coach.touch("New")
    assert coach.page.writing
    for char in "4 x 100 free on 2:10":
        coach.window.dispatch("on_textinput", char)
    labels = [key.label for key in (*coach.page.pinned(), *coach.page.keys())]
    assert (
        labels[:4] == ["Close", "Get ready", "Undo", "Keyboard"]
        and len(labels) == len(set(labels))
        and {"x", ":", "/", "“ ”", "back"} <= set(labels)
    )
    assert any(label.startswith("drill ") for label in labels)
    coach.window.unbind(
        keyboard_height=coach.page.keyboard_moved
    )  # the window says half a second later that here is none
    coach.page.keyboard_moved(coach.window, 300)  # a soft keyboard needs the room
    labels = [key.label for key in (*coach.page.pinned(), *coach.page.keys())]
    assert labels[:4] == ["Close", "Get ready", "Undo", "Hide keyboard"]
    coach.touch("Hide keyboard")
    assert not coach.page.writing
    coach.page.keyboard_moved(coach.window, 0)
    coach.frame()
    coach.touch("Keyboard")
    coach.touch("Close")
    assert coach.sees("Monday 2 March") and coach.sees("Quick set")
    assert "4 x 100 free on 2:10" in coach.office.shelf.text(coach.page.cards[0].name)


@BOTH
def test_from_the_page_before_the_start_to_the_plans_line_and_back_to_the_start(coach, size):
    coach = coach(size)
    name = coach.office.shelf.add(
        "title: Short of time\npool: 25 m\n\nMain set\n  4 x 100 free on 2:30\n  4 x 100 free on 1:00\n"
    ).name
    coach.office.home()
    coach.frame()
    coach.touch("Short of time")
    coach.touch("Get ready")
    coach.touch(coach.page.told.checks[0].place)
    coach.touch("Edit")
    assert coach.page.name == name and coach.page.draft.cursor.line == 5
    coach.page.draft.replace(5, 18, 22, "2:30")
    coach.page.pane.edited()
    coach.frame()
    assert coach.page.draft.lines[5] == "  4 x 100 free on 2:30"
    coach.touch("Get ready")
    coach.touch("Start", 500)
    assert kinds(coach) == [Begun]


def _counts(check):
    """Whether counts by lane would help."""
    return any(remedy.kind == "counts" for remedy in check.finding.remedies)


@BOTH
def test_lanes_that_wait_get_repeats_that_fill_the_section_with_one_press(coach, size):
    """The card before the start says who waits; its first key writes the counts by lane into the plan."""
    coach = coach(size)
    times = "1:30 / 1:40 / 1:50 / 2:00 / 2:15 / 2:40"
    coach.office.shelf.add(f"title: Long wait\npool: 25 m\n\nMain set\n  10x100 free on {times}\n\nSwim-down\n  100\n")
    coach.office.home()
    coach.frame()
    coach.touch("Long wait")
    coach.touch("Get ready")
    waits = next(check for check in coach.page.told.checks if _counts(check))
    coach.touch(waits.place)
    assert not coach.sees("Each lane swims straight on"), "lanes would only be done early instead"
    first = next(tile.name for tile in coach.page.board.tiles if tile.name.startswith("mend "))
    counts = coach.page.mends[first].says.partition(" becomes ")[2].removesuffix(" x 100").split(" / ")
    coach.touch(coach.page.mends[first].says)
    assert f"  {' / '.join(counts)} x100 free on" in coach.office.shelf.text("long-wait")
    assert [int(each) for each in counts] == sorted(map(int, counts), reverse=True) and int(counts[0]) > 15
    assert waits.says not in [check.says for check in coach.page.told.checks], "they wait less, on the page made again"
    coach.touch("Start", 500)
    assert kinds(coach) == [Begun]


@BOTH
def test_from_a_demo_one_press_leads_to_a_plan_of_ones_own(coach, size):
    coach = coach(size)
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    coach.touch("Write your own")
    assert coach.page.writing and coach.page.draft.text.startswith("title: Monday 2 March")


def test_what_is_left_before_it_began_is_no_session(coach):
    coach = coach()
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    coach.touch("Start later")
    coach.touch("close")
    assert coach.sees("Get: snorkel × 26")  # back on the page before the start
    coach.touch("Close")
    assert coach.sees("Quick set") and coach.office.store.sessions() == ()


@BOTH
def test_a_coach_who_has_read_one_page_writes_a_session_for_four_lanes_and_runs_it(coach, size):
    """From nothing: a new plan is written in at once, a new squad gets lanes, bases and names, and it runs."""
    coach = coach(size)
    coach.touch("New")
    assert coach.page.writing and coach.sees("A sample: type over it"), "what is written replaces it"
    for char in "4 x 100 free on 2:10":
        coach.window.dispatch("on_textinput", char)
    coach.key(13)
    for char in "6 x 50 as 25 kick ":
        coach.window.dispatch("on_textinput", char)
    coach.touch("/")
    for char in "25 free, rest 0:15":
        coach.window.dispatch("on_textinput", char)
    coach.frame()
    assert coach.page.reading.whole, coach.page.reading.problems
    coach.touch("Close")
    coach.touch("Brackenmere Thursday")
    if coach.page.narrow and coach.page.lane is not None:
        coach.touch("Close")
    coach.touch("Squads")
    coach.touch("New")
    assert coach.sees("What is the squad called?")
    coach.touch("Save")
    for lane, base in enumerate(("145", "150", "200"), start=2):
        if coach.page.narrow and coach.page.lane is not None:
            coach.touch("Close")
        coach.touch("Add a lane")
        if coach.page.narrow:
            coach.touch(str(lane))
        coach.touch("Base per 100" if coach.sees("Base per 100") else "Base")
        coach.type(base)
        coach.touch("Save")
    if coach.page.narrow:
        coach.touch("Close")
    coach.touch("Close")
    coach.touch("Monday 2 March")
    coach.touch("Get ready")
    assert coach.sees("4 swimmers in 4 lanes")
    coach.touch("Start", 500)
    timeline = coach.shell.driver.run.timeline
    assert kinds(coach) == [Begun] and [lane.base.ms for lane in timeline.lanes] == [100_000, 105_000, 110_000, 120_000]
    assert [line.line.count.entries for line in (found.laneline for found in timeline.tracks[0].passes)] == [
        (4,),
        (6,),
    ]


# -- who is here ----------------------------------------------------------------------------------------------


def test_absent_swimmers_leave_the_lanes_and_the_lanes_their_intervals(coach):
    coach = coach()
    coach.touch("Brackenmere Thursday")
    coach.touch("1:16")
    coach.touch("Mark all absent")
    coach.touch("1:21")
    coach.touch("here")
    coach.touch("Close")
    assert coach.sees("20 of 26 here")
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    assert coach.sees("6 absent") and coach.sees("20 swimmers")
    coach.touch("Start later")
    timeline = coach.shell.driver.run.timeline
    assert [lane.number for lane in timeline.lanes] == [2, 3, 4, 5, 6]
    line = timeline.plan.sections[2].items[0]
    # on 4:00 / 4:20 / 4:45 goes by group, and lane 2 is of the first.
    assert [entry[0].interval_ms for entry in line.interval.entries] == [240_000, 260_000, 285_000]
    coach.hold("begin")
    kept = coach.office.store.session(1).session
    assert [lane.number for lane in kept.timeline().lanes] == [2, 3, 4, 5, 6]
    assert kept.absent == (), "none of the absent has a name"


def test_the_name_of_who_is_absent_is_kept_with_the_session(coach):
    coach = coach()
    coach.touch("Brackenmere Thursday")
    coach.touch("1:31")
    coach.touch("here")
    coach.touch("Close")
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    coach.touch("Start later")
    coach.hold("begin")
    assert coach.office.store.session(1).session.absent == ("Orla",)


def test_with_nobody_here_nothing_runs_and_it_is_said(coach):
    coach = coach()
    coach.touch("Brackenmere Thursday")
    for base in ("1:16", "1:21", "1:31", "1:35", "1:45", "1:52"):
        coach.touch(base)
        coach.touch("Mark all absent")
    coach.touch("Close")
    coach.touch("Quick set")
    coach.hold("Start")
    assert coach.shell is None and "obody is here" in coach.page.says


@pytest.mark.parametrize("size", [ACROSS, UPRIGHT, (1024, 600)])
def test_heads_are_put_right_and_counted_in_before_the_start_and_kept_with_the_session(coach, size):
    coach = coach(size)
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    coach.touch("Count heads")
    box = coach.page.board.box_of(coach.page.board.tile("less 2"))  # two presses from the page before the start
    coach.finger(box.x + box.width / 2, box.y + box.height / 2)
    assert coach.sees("25 here, 1 absent") and coach.sees("3 of 4")
    coach.touch("Save count: 25")
    assert coach.sees("25 swimmers") and coach.sees("25 counted") and coach.office.store.sessions() == ()
    coach.touch("Start", 500)
    assert kinds(coach) == [Begun, HeadsCounted]
    assert coach.shell.driver.journal[1].into and coach.shell.driver.journal[1].heads == 25
    coach.frame(1_000)
    assert len(coach.shell.driver.journal) == 2, "once"
    kept = coach.office.store.session(1)
    assert (
        heads(kept.journal) == Heads(25, None)
        and sum(len(lane.swimmers) for lane in kept.session.timeline().lanes) == 25
    )


def test_heads_counted_before_the_start_are_kept_whichever_way_it_begins_and_belong_to_that_session_alone(coach):
    coach = coach()
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    coach.touch("Count heads")
    coach.touch("Type the number")
    coach.type("24")
    coach.touch("Save")
    assert coach.sees("24 counted, 26 expected")
    coach.touch("Who is here")
    coach.touch("Close")
    assert coach.sees("24 counted, 26 expected"), "not lost on the squad's page"
    coach.touch("Start later")
    coach.hold("begin")
    coach.frame(20)
    coach.frame(20)
    assert kinds(coach) == [Begun, HeadsCounted]
    driver = coach.shell.driver
    driver.do(driver.end())
    coach.frame(1_000)
    coach.office.home()
    coach.frame()
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    assert coach.sees("Count heads")
    coach.touch("Start", 500)
    coach.frame(1_000)
    assert kinds(coach) == [Begun]


@BOTH
def test_a_lane_of_the_heads_leads_to_its_swimmers_and_close_comes_straight_back(coach, size):
    coach = coach(size)
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    coach.touch("Count heads")
    coach.touch("Lane 3")
    assert coach.page.lane == 2 and coach.sees("Orla")
    coach.touch("here")
    coach.touch("Close")
    assert coach.sees("25 here, 1 absent")
    coach.touch("Undo")  # nothing was changed on this page
    assert coach.sees("25 here, 1 absent")
    coach.touch("Close")
    assert coach.sees("25 swimmers") and coach.sees("Count heads")


def test_with_nobody_left_before_the_start_it_is_said_and_the_way_leads_home(coach):
    coach = coach()
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    coach.touch("Count heads")
    while coach.page.roster.heads:
        lane = next(lane for lane in range(6) if coach.page.roster.here(lane))
        coach.page.press(f"less {lane}")
    coach.page.press("went")
    assert coach.page.says == "Nobody is marked as here yet."
    coach.page.hush()
    coach.frame()
    coach.touch("Close")
    assert "obody is here" in coach.page.says and coach.sees("Quick set")


# -- test swims ------------------------------------------------------------------------------------------------------


@BOTH
def test_two_test_swims_change_the_lanes_send_offs(coach, size):
    coach = coach(size)

    def leaves():
        coach.touch("Long-axis rotation 3")
        coach.touch("Get ready")
        coach.touch("Start later")
        made = sendoffs(coach, 2)
        coach.touch("close")
        coach.touch("Close")
        return made

    before = leaves()
    coach.touch("Brackenmere Thursday")
    coach.touch("1:31")
    coach.touch("Test swims")
    for distance, times in (
        ("400", (400_000, 406_000, 412_000, 420_000)),
        ("200", (190_000, 192_000, 195_000, 199_000)),
    ):
        coach.touch(distance)
        coach.touch("Start in 10 s")
        zero = coach.boot_ms + 10_000 - 20
        coach.go(12_000)
        for place, time_ms in enumerate(times):
            coach.frame(zero + place * 5_000 + time_ms - coach.boot_ms)
            tap = next(tile for tile in coach.page.board.tiles if tile.name == "tap")
            box = coach.page.board.box_of(tap)
            coach.finger(box.x + box.width / 2, box.y + box.height / 2)
        coach.touch("Save the times")
    assert coach.sees("was 1:31")
    coach.touch("Save the bases")
    bases = [swimmer.base.ms for swimmer in coach.office.roster.squad.lanes[2].swimmers]
    # (400 - 200) / 2, the shortcut: 1:45, 1:47, 1:48.5, 1:50.5
    assert [abs(base - wanted) <= 30 for base, wanted in zip(bases, (105_000, 107_000, 108_500, 110_500))] == [True] * 4
    coach.touch("Close")
    assert coach.sees("Quick set")
    after = leaves()
    assert after != before and after[-1] > before[-1]


def test_a_swim_under_way_is_not_left_and_survives_the_apps_end(coach):
    first = coach()
    first.touch("Brackenmere Thursday")
    first.touch("1:31")
    first.touch("Test swims")
    first.touch("400")
    first.touch("Start in 10 s")
    first.go(30_000)
    first.key(ESCAPE)
    assert first.page.running and "test swim" in first.page.says
    first.frame(5_500)
    first.go(5_500)
    first.frame(330_000)
    first.key(32)
    swim = first.page.swim
    assert len(swim.arrivals) == 1
    rests(first, lambda: first.office.squads.tests(first.started)[2][-1] == swim)  # a thread writes it
    first.kill()
    again = coach(boot_ms=first.boot_ms + 20_000, wall_ms=first.wall_ms + 20_000)
    assert again.page.swim == swim
    again.key(32)
    assert len(again.page.swim.arrivals) == 2


# -- on deck ------------------------------------------------------------------------------------------------------


@BOTH
def test_hold_time_refit_note_finish_and_find_it_in_the_log(coach, size):
    coach = coach(size)
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    coach.hold("Start")
    assert kinds(coach) == [Begun]
    coach.go(40_000, 5_000)
    coach.number(2)
    coach.hold("Pause")
    assert kinds(coach)[-1] is Paused and coach.shell.driver.journal[-1].lanes == (2,)
    coach.go(5_000, 1_000)
    coach.hold("Resume")
    coach.touch("Close")
    track = coach.shell.driver.run.timeline.tracks[0]
    coach.go(track.pass_at(0).laneline.times(0, 0)[-1] - coach.shell.driver.at_ms() + 1_500, 5_000)
    coach.water(0)
    touched = coach.shell.driver.journal[-1]
    assert isinstance(touched, Touched) and (touched.lane, touched.swimmer) == (0, 0)
    coach.touch("change")
    coach.touch("Finish by")
    for _ in range(2):
        coach.touch("–5 min" if size == UPRIGHT else "–5")
    coach.hold("Make it fit")
    assert kinds(coach)[-1] is Refitted
    coach.touch("Close")
    coach.touch("Close")
    coach.touch("record")
    coach.touch("Notes")
    coach.touch(
        next(
            text.ways[0]
            for tile in coach.shell.sheet.body.tiles
            if tile.name.startswith("mark ")
            for text in tile.texts
        )
    )
    assert kinds(coach)[-1] is Noted
    coach.touch("Close")
    coach.touch("Close")
    coach.hold("end")
    coach.touch("close")
    coach.touch("Log")
    coach.touch("Long-axis rotation 3")
    for words in (
        "Lane 3 paused",
        "Lane 3 resumed",
        "Lane 1, swimmer 1 touched",
        "Changed to finish by",
        coach.office.store.session(1).journal[-2].text.capitalize(),
        "The session is over",
    ):
        assert coach.sees(words), words
    assert coach.sees("Every lane keeps its base"), "it says where new bases come from, and leads there"
    coach.touch("Squad")
    assert type(coach.page).__name__ == "SquadPage"
    coach.touch("Close")
    assert coach.sees("Changed to finish by")
    coach.key(ESCAPE)
    coach.key(ESCAPE)
    assert coach.sees("Quick set")


# -- broken off -------------------------------------------------------------------------------------------------


def interrupted(coach, size, ms):
    """A session of the demo plan that is killed after `ms`, and how far it was."""
    first = coach(size)
    first.touch("Long-axis rotation 3")
    first.touch("Get ready")
    first.touch("Start later")
    first.hold("begin")
    first.go(ms, 5_000)
    at_ms = first.shell.driver.at_ms()
    first.kill()
    return first, at_ms


@BOTH
def test_a_session_that_was_broken_off_is_found_at_its_second(coach, size):
    first, at_ms = interrupted(coach, size, 120_000)
    again = coach(size, boot_ms=first.boot_ms + 300_000, wall_ms=first.wall_ms + 300_000)
    assert again.sees("Long-axis rotation 3 is running") and again.sees("in Warm-up")
    again.key(ESCAPE)
    assert again.sees("is running")
    again.touch("Resume")
    assert abs(again.shell.driver.at_ms() - at_ms - 300_000) < 1_000
    assert kinds(again) == [Begun, CarriedOn]
    again.hold("pause")
    assert kinds(again)[-1] is Paused


@BOTH
def test_while_it_is_asked_the_clock_runs_and_every_lane_can_be_stopped(coach, size):
    first, at_ms = interrupted(coach, size, 75_000)
    again = coach(size, boot_ms=first.boot_ms + 20_000, wall_ms=first.wall_ms + 20_000)
    for seconds in (20, 21):
        total = (at_ms + again.boot_ms - first.boot_ms) // 1000
        assert again.sees(f":{total % 60:02d}") and again.sees(f"1:{total % 60:02d} into the session"), seconds
        again.frame(1_000)
        time.sleep(0.11)
        again.frame()
    again.touch("STOP ALL", STOP_MS - 20)
    assert again.sees("is running"), "that was too short"
    assert again.sees(HOW_TO_STOP_ALL[0])
    again.hold("STOP ALL")
    assert kinds(again) == [Begun, CarriedOn, Stopped] and again.shell.shown == "stop"


def test_a_session_that_is_long_over_is_asked_about_the_other_way_round(coach):
    first = coach()
    first.touch("Quick set")
    first.hold("Start")
    first.go(15_000, 5_000)
    first.kill()
    again = coach(boot_ms=first.boot_ms + 8 * 3_600_000, wall_ms=first.wall_ms + 8 * 3_600_000)
    assert again.sees("was left running")
    again.touch("End it")
    assert again.sees("Quick set") and again.office.store.sessions()[0].ended_ms is not None
    again.kill()
    assert coach(boot_ms=again.boot_ms, wall_ms=again.wall_ms).sees("Quick set")


def test_after_a_reboot_it_goes_by_the_time_of_day_and_says_so(coach):
    first = coach()
    first.touch("Quick set")
    first.hold("Start")
    first.go(60_000, 5_000)
    at_ms = first.shell.driver.at_ms()
    first.kill()
    again = coach(boot_ms=30_000, wall_ms=first.wall_ms + 90_000, started="boot 2")
    assert again.sees("restarted")
    again.touch("Resume")
    assert abs(again.shell.driver.at_ms() - at_ms - 90_000) < 2_000


@BOTH
def test_a_session_that_runs_in_another_copy_is_said_and_stays_within_reach(coach, tmp_path, size):
    first = coach(size)
    first.touch("Quick set")
    first.hold("Start")
    first.go(15_000, 5_000)
    first.kill()
    lock = Store(tmp_path).claim()  # the other copy
    try:
        again = coach(size, boot_ms=first.boot_ms, wall_ms=first.wall_ms)
        assert again.sees("is running in another copy of pacer on this tablet") and not again.sees(str(tmp_path))
        again.touch("Try again")
        assert again.sees("It is still running in the other copy.")
        again.page.hush()
        again.touch("Go to plans")
        again.touch("Open the running session")
        assert again.sees("in another copy of pacer")
    finally:
        lock.close()
    again.touch("Try again")
    again.touch("Resume")
    assert kinds(again) == [Begun, CarriedOn] and again.shell.driver.running


def test_a_session_that_another_copy_takes_while_it_is_asked_about(coach, tmp_path):
    first = coach()
    first.touch("Quick set")
    first.hold("Start")
    first.go(15_000, 5_000)
    first.kill()
    again = coach(boot_ms=first.boot_ms, wall_ms=first.wall_ms)
    for way in ("Resume", "End it"):
        lock = Store(tmp_path).claim()
        again.touch(way)
        assert again.sees("in another copy of pacer") and again.office.store.sessions()[0].ended_ms is None
        lock.close()
        again.touch("Try again")
    again.touch("End it")
    assert again.sees("Quick set") and not again.sees("A session is running")


# -- turning ------------------------------------------------------------------------------------------------------


def test_turning_and_splitting_the_glass_loses_nothing(coach):
    coach = coach()
    coach.touch("Quick set")
    coach.touch("400")
    for size in (UPRIGHT, (640, 800), (1280, 400), ACROSS):
        coach.turn(size)
        assert coach.sees("400 free")
    coach.hold("Start")
    coach.go(11_000)
    journal, at_ms = coach.shell.driver.journal, coach.shell.driver.at_ms()
    for size in (UPRIGHT, (640, 800), (1280, 400), ACROSS):
        coach.turn(size)
        coach.frame(100)
    assert coach.shell.driver.journal == journal and coach.shell.driver.at_ms() == at_ms + 400


def test_a_plan_that_nobody_is_here_for_is_gone_on_writing(coach):
    coach = coach()
    coach.touch("Brackenmere Thursday")
    for base in ("1:16", "1:21", "1:31", "1:35", "1:45", "1:52"):
        coach.touch(base)
        coach.touch("Mark all absent")
    coach.touch("Close")
    coach.office.write("long-axis-rotation-3")
    coach.frame()
    coach.touch("Get ready")
    assert (
        coach.shell is None and "obody is here" in coach.page.says and coach.page.draft.text.startswith("# Brackenmere")
    )
    coach.page.draft.write("# kept\n")
    coach.page.pane.edited()
    coach.frame()
    coach.key(ESCAPE)
    assert coach.office.shelf.text("long-axis-rotation-3").startswith("# kept")


# -- writing ------------------------------------------------------------------------------------------------------


def typed(coach, *rows):
    """Type rows, each ended by the return key; one that begins with `<` goes back to the margin first."""
    for row in rows:
        if row.startswith("<"):
            for _ in range(2):
                coach.key(TAB, modifiers=["shift"])
        for letter in row.removeprefix("<"):
            coach.window.dispatch("on_textinput", letter)
        coach.key(RETURN)


@BOTH
def test_a_plan_with_two_mistakes_is_mended_by_a_fix_and_by_typing_and_runs(coach, size):
    coach = coach(size)
    coach.touch("New")
    page = coach.page
    rests(coach, lambda: page.writing)  # a new plan is written in at once
    coach.key(ord("a"), "a", ["ctrl"])
    typed(
        coach,
        "title: Rotation at six",
        "pool: 25 m",
        "booking: 60 min",
        "",
        "Warm-up",
        "200 free",
        "",
        "<Main set",
        "4 x 100 bakc on 2:00",
        "8 x 50 free on 1:75",
    )
    coach.touch("Get ready")
    assert coach.shell is None and page.says, "with mistakes it does not run, and says why"
    page.hush()
    coach.frame()
    # One by the fix that is offered below it.
    coach.touch("2 errors")
    coach.touch("Main set: 4 x 100 bakc on 2:00")
    rests(coach, lambda: fix(page, "back"))
    coach.finger(*fix(page, "back"))
    assert "4 x 100 back on 2:00" in page.draft.text
    rests(coach, lambda: len(page.reading.problems) == 1)
    # The other by typing.
    while not page.draft.lines[page.draft.cursor.line].endswith("1:75"):
        coach.key(DOWN)
    coach.key(END)
    coach.key(BACKSPACE)
    coach.key(BACKSPACE)
    coach.window.dispatch("on_textinput", "1")
    coach.window.dispatch("on_textinput", "5")
    rests(coach, lambda: page.reading.whole)
    assert page.writing, "a keyboard has typed: the way to the start is there all the same"
    coach.touch("Get ready")
    coach.hold("Start")
    assert kinds(coach) == [Begun] and coach.shell.driver.run.timeline.plan.title == "Rotation at six"


def fix(page, says):
    """Where the fix that says so can be touched, None where it is not on the glass."""
    boxes = [
        page.board.box_of(tile)
        for tile in page.board.tiles
        if tile.name.startswith("fix ") and tile.texts[0].ways[0] == says
    ]
    return next(((box.x + box.width / 2, box.y + box.height / 2) for box in boxes), None)


def test_the_window_does_not_wait_for_a_session_that_is_long_to_work_out(coach, monkeypatch):
    import pacer.face.office.officestart as beginning
    from pacer.show.drive.preparation import started

    go_on = threading.Event()

    def slowly(*given):
        go_on.wait(10)
        return started(*given)

    coach = coach()
    coach.office.patience_s = 0
    monkeypatch.setattr(beginning, "started", slowly)
    monkeypatch.setattr("tests.face.coach.worked_out", lambda: None)
    text = coach.office.shelf.text("long-axis-rotation-3")
    coach.office.run(text)
    coach.frame()
    assert type(coach.page).__name__ == "TextPage" and coach.sees("Working out the session")
    coach.touch("Close")
    assert coach.sees("New"), "the shelf"
    coach.office.run(text)
    coach.frame()
    assert coach.sees("Working out the session")
    go_on.set()
    for _ in range(1000):
        if type(coach.page).__name__ == "ReadyPage":
            break
        time.sleep(0.01)
        coach.frame()
    assert coach.sees("Start")


def test_who_comes_late_or_back_is_found_by_name_and_stays_one_person(coach):
    """Orla, marked absent, comes at 5:00; Bram gets out at 8:00 and comes back at 9:00, after a crash."""
    coach = coach()
    coach.touch("Brackenmere Thursday")
    coach.touch("1:31")
    coach.touch("here")
    coach.touch("Close")
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    coach.touch("Start later")
    coach.hold("begin")
    coach.go(310_000, 10_000)
    coach.number(2)
    coach.touch("In or out")
    coach.touch("Add swimmer")
    coach.touch("Orla", 500)
    coach.go(180_000, 10_000)
    coach.touch("Swimmer out", 500)
    coach.kill()
    coach.open()
    coach.touch("Resume")
    coach.go(60_000, 10_000)
    coach.number(2)
    coach.touch("In or out")
    coach.touch("Add swimmer")
    assert "Orla" not in [way for tile in coach.shell.sheet.body.tiles for text in tile.texts for way in text.ways]
    out = got_out(coach.shell.driver.run)[0].swimmer.name
    coach.touch(out, 500)
    coach.go(600_000, 10_000)
    coach.hold("end")
    coach.frame()
    one = exported(coach.office.store.session(1))
    rows = list(csv.DictReader(io.StringIO(csv_files([one], names=True)["attendance.csv"].decode("utf-8-sig"))))
    assert [row["here"] for row in rows] == ["yes"] * len(rows)
    named = {row["name"]: int(row["distance"]) for row in rows if row["lane"] == "3"}
    assert len(named) == 4 and {"Orla", out} < named.keys() and min(named.values()) > 0
    there = {one.number: one.name for one in one.review.people}
    for name in ("Orla", out):
        mine = [swim for swim in one.review.swims if there[swim.who] == name]
        assert sum(swim.distance for swim in mine) == named[name]
        assert (mine[0].left_ms > 300_000) == (name == "Orla")
