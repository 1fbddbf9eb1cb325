"""Records made on deck, by touch.

Times, stroke rates, watches, notes, heads, how it went. None of it moves the session.
"""

import re
from dataclasses import replace
from pathlib import Path

import pytest

from pacer.face.deck.leaves.changeleaf import LEAVES, ChangeLeaf, opened
from pacer.face.deck.leaves.timeleaf import TimesLeaf
from pacer.face.deck.leaves.wordleaf import WordLeaf
from pacer.face.tiles.column import Column
from pacer.plan.model import ByLane, FixedHold, RateRange
from pacer.session.journal.entries import Begun, Ended, Refitted
from pacer.session.journal.recordentries import (
    Amount,
    Corrected,
    Feel,
    HeadsCounted,
    LaneSummed,
    LengthCounted,
    Noted,
    Press,
    Rated,
    Touched,
    Watched,
    WatchFiled,
    Withdrawn,
)
from pacer.session.records.headsandfeedback import summaries
from pacer.session.records.touches import called, swim
from pacer.session.running import presses
from pacer.show.drive.quickmarks import MARKS
from pacer.timeline.timeline import build_timeline
from tests.face.deck.sheet import GLASSES, all_touch, fits, hand, kinds, on_sheet, roomy, tag, tile, water
from tests.face.sessions import line, plan, squad
from tests.session.pages import session

PLANS = Path(__file__).parents[3] / "assets" / "plans"


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    """Marks are kept in a folder of the test's own."""
    monkeypatch.setenv("PACER_HOME", str(tmp_path))
    return tmp_path


def record(deck, leaf, lane=None):
    """Open the leaf for a lane's records, by the lane's number and the bar."""
    if lane is not None:
        hand(deck, lane)
    deck.press("record", 60)
    on_sheet(deck, leaf)


def keys(deck, *names):
    for name in names:
        on_sheet(deck, name)


def typed(deck, digits):
    """Type on the pad of the sheet."""
    keys(deck, *(f"pad {digit}" for digit in digits))


def says(deck):
    """Everything that is written on the sheet."""
    deck.settle()
    return " | ".join(" ".join(piece.fitted.lines) for board in deck.shell.sheet.boards for piece in board.drawn())


def sendoffs(deck):
    return [tuple(track.sendoffs) for track in deck.driver.run.timeline.tracks]


def ends_ms(deck, lane, index=0):
    """When a lane's leader touches on a repeat, by prediction."""
    track = deck.driver.run.timeline.tracks[lane]
    return track.sendoffs[index] + track.pass_at(index).laneline.times(track.repeat_in_line(index), 0)[-1]


# -- times ----------------------------------------------------------------------------------------------


def test_a_time_that_is_called_goes_to_the_swimmer_who_is_due_and_on_to_the_next(deck):
    deck = deck()
    deck.begin(0)
    before = sendoffs(deck)
    deck.skip_to(ends_ms(deck, 1) + 8_000)
    record(deck, "times", 1)
    assert "None taken yet" in says(deck)
    on_sheet(deck, "called")
    assert "1st" in says(deck)
    typed(deck, "58")
    on_sheet(deck, "do")
    assert "Not yet: 1st left 0:5" in says(deck) and sendoffs(deck) == before, "0:58 has not passed"
    for _ in range(2):
        on_sheet(deck, "pad rub")
    typed(deck, "43.25")
    on_sheet(deck, "do")
    entry = deck.driver.journal[-1]
    assert isinstance(entry, Touched) and entry.called and (entry.lane, entry.swimmer, entry.time_cs) == (1, 0, 4325)
    assert "2nd" in says(deck), "on to the next swimmer"
    typed(deck, "44")
    on_sheet(deck, "do")
    assert (deck.driver.journal[-1].swimmer, deck.driver.journal[-1].time_cs) == (1, 4400)
    on_sheet(deck, "close")
    # 100 base 1:28 in lane 5, so 50 is predicted at 44.0; shown in tenths, halves up (World Aquatics SW 11: kept in
    # hundredths)
    shown = says(deck)
    assert "0:44.0" in shown and "0:43.3 −0.8" in " ".join(shown.split()) and shown.index("2nd") < shown.index("1st")
    assert sendoffs(deck) == before


def test_a_set_that_time_cut_short_has_as_many_repeats_everywhere_and_times_name_their_set(deck):
    """Lane 4 comes home for the main set at 7:00: of 4 x 25, two fit. Its times name that set and the one before it."""
    text = "pool: 25 m\nWarm-up\n  4 / 6 x 50 on 1:00\nMain set\n  100\n"
    deck = deck(made=session(text), lanes=2)
    deck.begin(0)
    deck.skip_to(190_000)
    deck.driver.append(called(swim(deck.driver.run.timeline.tracks[0], 0, 2, 0), 190_000, 4000))
    deck.skip_to(215_000)
    driver = deck.driver
    told = driver.offer(lambda run, at_ms: presses.put_line_in(run, at_ms, "4 x 25 kick, on 1:00", (0,)), "")
    assert "time for 2 of 4 repeats" in told.says
    assert driver.do(told) == ()
    deck.go(1_000)
    hand(deck, 0)
    on_sheet(deck, "line out")
    assert "2 × 25 kick" in says(deck) and "4 × 25" not in says(deck)
    on_sheet(deck, "close")
    on_sheet(deck, "close")
    deck.skip_to(355_000)
    track = deck.driver.run.timeline.tracks[0]
    deck.driver.append(called(swim(track, 0, track.index_at(355_000) - 1, 0), 355_000, 3000))
    record(deck, "times", 0)
    shown = " ".join(says(deck).split())
    assert "1st, 4 × 50, 3 of 4" in shown and "1st, 2 × 25, 1 of 2" in shown, shown


def test_a_time_for_a_swimmer_and_a_repeat_that_were_chosen(deck):
    deck = deck()
    deck.begin(0)
    deck.skip_to(ends_ms(deck, 0, 1) + 1_000)
    record(deck, "times", 0)
    keys(deck, "called", "who", "place 1", "which", "swim 0")
    typed(deck, "40")
    on_sheet(deck, "do")
    first = deck.driver.journal[-1]
    assert (first.swimmer, first.repeat) == (1, 1)
    assert first.left_ms == deck.driver.run.timeline.tracks[0].pass_at(0).laneline.spacing_ms


def test_a_time_for_a_swim_that_has_one_puts_it_right(deck):
    deck = deck()
    deck.begin(0)
    deck.skip_to(ends_ms(deck, 0))
    water(deck, 0)
    water(deck, 0)
    record(deck, "times", 0)
    keys(deck, "called", "who", "place 0")
    typed(deck, "39.5")
    on_sheet(deck, "do")
    assert deck.driver.journal[-1] == Corrected(deck.driver.journal[-1].at_ms, 2, 3950)
    assert [one.touched.time_cs for one in deck.driver.times if one.touched.swimmer == 0] == [3950]


def test_a_tap_on_a_time_opens_its_correction_and_a_time_is_struck_out(deck):
    deck = deck()
    deck.begin(0)
    deck.skip_to(ends_ms(deck, 1))
    all_touch(deck, 1)
    tapped = deck.driver.journal[-1]
    deck.go(3_100)
    deck.tap(*tag(deck, "tag 1"))
    assert "Lane 5, 2nd" in says(deck)
    typed(deck, "42")
    on_sheet(deck, "do")
    assert deck.driver.journal[-1].time_cs == 4200 and deck.shell.sheet is None, "opened by itself, it goes by itself"
    record(deck, "times", 1)
    on_sheet(deck, "time 2")
    on_sheet(deck, "strike")
    on_sheet(deck, "time 3")
    on_sheet(deck, "strike")
    assert isinstance(deck.driver.journal[-1], Corrected) and deck.driver.journal[-1].time_cs is None
    assert deck.driver.times == () and "Deleted" in says(deck)
    assert isinstance(tapped, Touched) and tapped in deck.driver.journal, "what was tapped stays in the journal"


def held(deck, spot):
    touch = deck.finger(*spot)
    deck.go(500)
    touch.touch_up()
    deck.frame(20)


def test_a_time_that_was_struck_out_comes_back_by_the_next_press(deck):
    deck = deck()
    deck.begin(0)
    deck.skip_to(ends_ms(deck, 1))
    all_touch(deck, 1)
    before = deck.driver.times
    deck.go(3_100)
    deck.tap(*tag(deck, "tag 1"))
    on_sheet(deck, "strike")
    assert deck.driver.times == before[:1] and deck.shell.sheet is None
    deck.go(500)
    said = deck.shell.on_deck.tags.change.ways
    assert said[0].startswith("Undo 2nd ") and said[0].endswith(" deleted, lane 5") and said[-1] == "Undo"
    held(deck, tag(deck, "take back"))
    assert isinstance(deck.driver.journal[-1], Withdrawn) and deck.driver.times == before
    assert deck.shell.on_deck.tags.change is None


def test_a_time_put_right_among_the_times_is_taken_back_there(deck):
    deck = deck()
    deck.begin(0)
    deck.skip_to(ends_ms(deck, 1))
    water(deck, 1)
    before = deck.driver.times
    record(deck, "times", 1)
    assert on_sheet(deck, "take back record", 500) == "Nothing to undo"
    on_sheet(deck, "time 2")
    typed(deck, "42")
    on_sheet(deck, "do")
    assert [one.touched.time_cs for one in deck.driver.times] == [4200]
    assert on_sheet(deck, "take back record", 500) == "Undo “1st is 0:42.0”"
    assert deck.driver.times == before and "Undone" in says(deck)


def test_undo_on_a_leaf_takes_back_only_what_is_shown_there(deck):
    """A note about lane 5 is not taken back among the times of any lane, nor among the notes of another lane."""
    deck = deck()
    deck.begin(12_000)
    record(deck, "notes", 1)
    keys(deck, "mark 0")
    leaves = deck.shell.deck.deck
    assert leaves.has_record and leaves.ask_back_here().says == "undo “good”"
    for name, lane in (("times", 1), ("notes", 0), ("times", 0)):
        deck.shell.deck.put_away()
        record(deck, name, lane)
        assert not leaves.has_record and leaves.ask_back_here().says == "nothing to undo", (name, lane)
    assert leaves.ask_back().says == "undo, lane 5: “good”"
    deck.shell.deck.put_away()
    record(deck, "notes", 1)
    assert on_sheet(deck, "take back record", 500) == "Undo “good”"


def test_a_note_is_taken_back_by_the_next_press(deck):
    deck = deck()
    deck.begin(12_000)
    record(deck, "notes", 0)
    keys(deck, "mark 0", "mark 1")
    assert on_sheet(deck, "take back record", 500) == "Undo “long strokes”"
    assert [type(entry) for entry in deck.driver.journal[-3:]] == [Noted, Noted, Withdrawn] and deck.driver.journal[
        -1
    ].entry == 3
    assert on_sheet(deck, "take back record", 500) == "Nothing to undo", "one press takes back one thing"
    on_sheet(deck, "mark 2")
    on_sheet(deck, "close")
    on_sheet(deck, "close")
    assert deck.shell.on_deck.tags.change.ways[0] == "Undo “rushed”, lane 4"
    deck.tap(*tag(deck, "take back"))
    assert len(deck.driver.journal) == 5, "it has to be held"
    held(deck, tag(deck, "take back"))
    assert deck.driver.journal[-1].entry == 5 and len(deck.driver.journal) == 6


def test_the_press_after_a_change_takes_back_the_change_and_not_the_note_before_it(deck):
    deck = deck()
    deck.begin(12_000)
    record(deck, "notes", 0)
    on_sheet(deck, "mark 0")
    on_sheet(deck, "close")
    deck.shell.on_deck.put_away()
    hand(deck, 1)
    on_sheet(deck, "late", 500)
    on_sheet(deck, "close")
    assert not deck.shell.on_deck.tags.tiles, "the note's own Undo is gone"
    deck.press("take back")
    assert kinds(deck)[-1].__name__ == "TakenBack"


def test_all_lanes_times_stand_together(deck):
    deck = deck()
    deck.begin(0)
    deck.skip_to(ends_ms(deck, 2))
    for lane in range(3):
        water(deck, lane)
    record(deck, "times")
    shown = says(deck)
    assert all(f"lane {number}, 1st" in shown for number in (4, 5, 6))
    on_sheet(deck, "called")
    assert "Tap" in says(deck)
    hand(deck, 2)
    assert "Called time, lane 6" in says(deck)


def test_what_is_flagged_as_a_hazard_is_never_timed(deck):
    """Design, section 11.

    Lines with breath-holding are never timed or ranked, neither by a tap nor by a time that is called.
    """
    made = build_timeline(plan(("Main set", line(2, 50, on=70), line(2, 50, on=70, cue="no breath"))), squad(3))
    deck = deck(made=made)
    deck.begin(0)
    deck.skip_to(made.tracks[1].sendoffs[2] + 40_000)
    water(deck, 1)
    assert kinds(deck) == [Begun]
    record(deck, "times", 1)
    on_sheet(deck, "called")
    assert "2 of 2" in says(deck), "the last that is timed"
    typed(deck, "44")
    on_sheet(deck, "do")
    assert deck.driver.journal[-1].line == 1


def test_a_time_says_how_far_it_is_from_what_was_to_be_held(deck):
    held = replace(line(3, 100, on=130), hold=ByLane((FixedHold(85_000),)))
    deck = deck(made=build_timeline(plan(("Main set", held)), squad(3)))
    deck.begin(0)
    deck.skip_to(86_200)
    water(deck, 0)
    record(deck, "times", 0)
    shown = " ".join(says(deck).split())
    assert "1:26.2 target +1.2 rest 43" in shown, shown


# -- stroke rate --------------------------------------------------------------------------------------------


def test_a_rate_by_a_tap_a_cycle_with_its_spread_and_count(deck):
    deck = deck()
    deck.begin(12_000)
    before = sendoffs(deck)
    record(deck, "rate", 1)
    for ms in (1_500, 1_600, 1_400, 1_500):  # from a tap to the next: on_sheet takes 80 ms of it
        on_sheet(deck, "tap")
        deck.go(ms - 80)
    on_sheet(deck, "tap")
    assert "40.0" in says(deck) and "4 cycles" in says(deck) and "37.5–42.9" in says(deck)
    on_sheet(deck, "keep")
    entry = deck.driver.journal[-1]
    assert isinstance(entry, Rated) and (entry.lane, entry.swimmer, entry.cycles) == (1, 0, 1)
    assert entry.marks_cs == (0, 150, 310, 450, 600)
    assert sendoffs(deck) == before


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_the_keys_of_a_rate_and_a_count_say_what_they_are_for(deck, size, dpi):
    deck = deck(size, dpi)
    deck.begin(12_000)
    record(deck, "rate", 1)
    shown = says(deck)
    assert "3 cycles" in shown and ("Tempo" in shown or "Beep" in shown) and "trokes" in shown and "Single" not in shown
    assert "1st swimmer" in shown or size[1] > size[0]
    on_sheet(deck, "cycles")
    assert "Each cycle" in says(deck)
    on_sheet(deck, "length")
    assert "Free, back" in says(deck)
    on_sheet(deck, "cycle")
    assert "Breast, fly" in says(deck), "one stroke makes a cycle"
    fits(deck, dpi)


def test_another_lane_goes_on_in_what_is_open_and_that_is_said(deck):
    deck = deck()
    deck.begin(12_000)
    hand(deck, 0)
    on_sheet(deck, "rate")
    hand(deck, 1)
    assert "Rate, lane 5 now; press Close for its buttons" in says(deck)
    on_sheet(deck, "close")
    assert "lane 5" in says(deck).lower() and type(deck.shell.deck.deck.leaf).__name__ == "ChangeLeaf"
    on_sheet(deck, "rate")
    on_sheet(deck, "length")
    hand(deck, 2)
    assert type(deck.shell.deck.deck.leaf).__name__ == "ChangeLeaf" and len(deck.shell.deck.deck.leaves) == 1, (
        "a count is one swimmer's: the lane's keys"
    )


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_the_lane_that_is_asked_about_is_framed_and_its_number_leads_to_it(deck, size, dpi):
    deck = deck(size, dpi)
    deck.begin(12_000)
    deck.driver.do(deck.driver.end())
    deck.frame(20)
    deck.shell.deck.sum_up()
    deck.frame(20)
    pool, leaf = deck.shell.views["pool"], deck.shell.deck.deck.leaf
    assert pool.chosen == leaf.lane == 0
    on_sheet(deck, "lane 1")
    assert pool.chosen == 1
    tiles = [tile.name for board in deck.shell.sheet.boards for tile in board.tiles]
    lanes = [place for place, name in enumerate(tiles) if name.startswith("lane ")]
    assert lanes[1] == lanes[0] + 1, "nothing stands between them"
    hand(deck, 2)
    deck.frame(20)
    assert pool.chosen == leaf.lane == 2 and "How was lane 6?" in says(deck) and deck.shell.mode == "pool"
    on_sheet(deck, "close")
    assert pool.chosen == -1


def test_a_rate_is_kept_by_itself_when_the_tapping_ends_and_a_bounce_is_no_tap(deck):
    deck = deck()
    deck.begin(12_000)
    record(deck, "rate", 0)
    keys(deck, "who", "place 1")
    on_sheet(deck, "tap")
    on_sheet(deck, "tap", 40)  # wet glass: the same finger again
    deck.go(1_420)
    on_sheet(deck, "tap")
    deck.go(5_000)
    assert kinds(deck) == [Begun]
    deck.go(1_500)
    entry = deck.driver.journal[-1]
    assert (
        isinstance(entry, Rated) and entry.swimmer == 1 and len(entry.marks_cs) == 2 and 145 <= entry.marks_cs[1] <= 160
    )


def test_a_rate_by_three_cycles(deck):
    deck = deck()
    deck.begin(12_000)
    record(deck, "rate", 0)
    on_sheet(deck, "cycles")
    on_sheet(deck, "tap")
    deck.go(4_500 - 80)
    on_sheet(deck, "tap")
    entry = deck.driver.journal[-1]
    assert isinstance(entry, Rated) and entry.cycles == 3 and entry.marks_cs == (0, 450)
    assert "40.0" in says(deck) and "3 cycles" in says(deck)  # 3 cycles in 4.5 s: 60 x 3 / 4.5


def test_what_was_tapped_is_not_lost_when_the_sheet_goes(deck):
    deck = deck()
    deck.begin(12_000)
    record(deck, "rate", 0)
    for _ in range(3):
        on_sheet(deck, "tap")
        deck.go(1_400)
    deck.press("stop", 600)
    assert deck.shell.sheet is None and isinstance(deck.driver.journal[-1], Rated)


def test_a_length_is_counted(deck):
    """25 m in 16.0 s with 20 strokes: 10 cycles, 2.5 m a cycle at 1.5625 m/s, 37.5 a minute, index 3.91, sum 36.0."""
    deck = deck()
    deck.begin(12_000)
    record(deck, "rate", 0)
    on_sheet(deck, "length")
    typed(deck, "20")
    on_sheet(deck, "time")
    typed(deck, "16")
    assert "2.50 m a cycle" in says(deck)
    said = on_sheet(deck, "do")
    entry = deck.driver.journal[-1]
    assert isinstance(entry, LengthCounted), said
    assert (entry.lane, entry.swimmer, entry.strokes, entry.distance, entry.time_cs, entry.strokes_per_cycle) == (
        0,
        0,
        20,
        25,
        1600,
        2,
    )
    assert "stroke index 3.91" in says(deck) and "time + strokes 36.0" in says(deck)


def rated_session():
    wanted = replace(line(3, 100, on=130), rate=RateRange(32, 40))
    return build_timeline(plan(("Main set", line(1, 50, on=70), wanted)), squad(3, base=100))


def test_the_target_of_the_line_is_said_and_ticks(deck):
    deck = deck(made=rated_session())
    deck.begin(0)
    deck.skip_to(20_000)
    record(deck, "rate", 0)
    on_sheet(deck, "tick")
    assert deck.shell.sounds.tick_lane is None and "no target rate" in says(deck)
    deck.go(6_000)
    deck.skip_to(70_000 + 50_000)  # half of a 100 in 100 s
    deck.frame(20)
    assert "Target 36 now" in says(deck)
    on_sheet(deck, "tick")
    assert deck.shell.sounds.tick_lane == 0
    on_sheet(deck, "close")
    on_sheet(deck, "close")
    assert deck.shell.sounds.tick_lane == 0, "it ticks on with the sheet away"
    record(deck, "rate", 0)
    on_sheet(deck, "tick")
    assert deck.shell.sounds.tick_lane is None


# -- watches ---------------------------------------------------------------------------------------------------


def test_watches_start_split_stop_clear_and_go_into_the_log(deck):
    deck = deck()
    deck.begin(12_000)
    before = sendoffs(deck)
    record(deck, "watch", 1)
    on_sheet(deck, "start")
    started = deck.driver.journal[-1].at_ms
    deck.go(10_000)
    on_sheet(deck, "start")
    deck.go(20_000)
    on_sheet(deck, "split 1")
    deck.go(5_000)
    on_sheet(deck, "stop 1")
    presses = [(entry.watch, entry.press) for entry in deck.driver.journal if isinstance(entry, Watched)]
    assert presses == [(1, Press.START), (2, Press.START), (1, Press.SPLIT), (1, Press.STOP)]
    split, stop = (entry.at_ms - started for entry in deck.driver.journal[-2:])
    keys(deck, "file 1", "place 0")
    assert isinstance(deck.driver.journal[-1], Watched), "a press doubled by wet glass chooses nobody"
    deck.go(400)
    on_sheet(deck, "place 1")
    entry = deck.driver.journal[-1]
    assert isinstance(entry, WatchFiled) and (entry.lane, entry.swimmer, entry.splits_cs) == (
        1,
        1,
        (split // 10, stop // 10),
    )
    on_sheet(deck, "file 1")
    deck.go(400)
    on_sheet(deck, "clear")
    deck.go(6_000)
    shown = says(deck)
    assert "watch 2" in shown and "watch 1" not in shown, "the other runs on"
    on_sheet(deck, "start")
    assert deck.driver.journal[-1].watch == 1
    assert sendoffs(deck) == before


def test_a_press_on_a_watch_counts_from_when_the_finger_came_down(deck):
    deck = deck()
    deck.begin(12_000)
    record(deck, "watch")
    down = deck.driver.at_ms()
    on_sheet(deck, "start", 700)
    assert deck.driver.journal[-1].at_ms == down


def test_presses_that_wet_glass_doubles_start_one_watch_split_once_and_lose_nothing(deck):
    deck = deck()
    deck.begin(12_000)
    record(deck, "watch")
    keys(deck, "start", "start")
    deck.go(5_000)
    keys(deck, "split 1", "split 1")
    deck.go(5_000)
    x, y = tile(deck, "stop 1")
    deck.tap(x, y)
    deck.tap(x, y)
    assert [entry.press for entry in deck.driver.journal if isinstance(entry, Watched)] == [
        Press.START,
        Press.SPLIT,
        Press.STOP,
    ]
    assert "Watch 1, 1 split" in says(deck)


def test_a_mark_that_wet_glass_doubles_is_one(deck):
    deck = deck()
    deck.begin(12_000)
    record(deck, "notes", 0)
    keys(deck, "mark 0", "mark 0")
    deck.go(1_200)
    keys(deck, "mark 0", "mark 1")
    assert [entry.text for entry in deck.driver.journal if isinstance(entry, Noted)] == ["good", "good", "long strokes"]


def test_a_running_watch_is_drawn_in_tenths_and_nothing_else_is_drawn_anew(deck):
    deck = deck()
    deck.begin(12_000)
    record(deck, "watch")
    on_sheet(deck, "start")
    body, shown = deck.shell.sheet.body, []
    draw = body.show
    body.show = lambda *args: shown.append(args) or draw(*args)
    deck.go(1_000)
    assert 9 <= len(shown) <= 11
    on_sheet(deck, "stop 1")
    shown.clear()
    deck.go(1_000)
    assert len(shown) <= 1


# -- notes ------------------------------------------------------------------------------------------------------


def test_a_quick_mark_about_a_lane_a_swimmer_a_line(deck):
    deck = deck()
    deck.begin(12_000)
    before = sendoffs(deck)
    record(deck, "notes", 1)
    on_sheet(deck, "mark 0")
    keys(deck, "who", "place 1", "line", "mark 2")
    notes = [entry for entry in deck.driver.journal if isinstance(entry, Noted)]
    assert [(each.text, each.lane, each.swimmer, each.section, each.line) for each in notes] == [
        ("good", 1, None, None, None),
        ("rushed", 1, 1, 0, 1),
    ]
    assert sendoffs(deck) == before


def written(deck, text):
    """Write with the keyboard into the line on the sheet."""
    field = deck.shell.sheet.field
    assert field.focus and deck.shell.sheet.writing
    for letter in text:
        deck.key(ord(letter), letter)  # what the window tells everybody
        field.draft.write(letter)
    field.edited()


def test_a_word_is_written_and_its_keys_steer_nothing(deck):
    deck = deck()
    deck.begin(12_000)
    record(deck, "notes")
    on_sheet(deck, "write")
    written(deck, "5 swam well ")
    assert deck.shell.hand is None and kinds(deck) == [Begun], "a space holds nobody, a digit takes no lane in hand"
    on_sheet(deck, "do")
    assert isinstance(deck.driver.journal[-1], Noted) and deck.driver.journal[-1].text == "5 swam well"
    assert deck.shell.sheet.field is None
    deck.key(32, " ")
    assert kinds(deck)[-1].__name__ == "Paused", "and afterwards it does again"


def test_the_keyboard_is_let_go_when_the_sheet_goes(deck):
    deck = deck()
    deck.begin(12_000)
    record(deck, "notes")
    on_sheet(deck, "write")
    field = deck.shell.sheet.field
    deck.press("stop", 600)
    assert deck.shell.sheet is None and not field.focus and field.parent is None


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_on_a_tablet_a_note_is_written_without_its_keyboard_and_stop_all_stays_live(deck, monkeypatch, size, dpi):
    """A tablet draws its keyboard where a window asks for one, over the foot of the glass: none is asked for."""
    from pacer.face.deck import sheetline

    deck = deck(size, dpi)
    deck.begin(12_000)
    monkeypatch.setattr(sheetline, "platform", "android")
    asked = []
    monkeypatch.setattr(deck.window, "request_keyboard", lambda *args, **_: asked.append(args))
    record(deck, "notes")
    on_sheet(deck, "write")
    sheet, bar, view = deck.shell.sheet, deck.shell.bar, deck.shell.view
    assert sheet.y >= bar.top and not (
        sheet.x < view.right and view.x < sheet.right and sheet.y < view.top and view.y < sheet.top
    ), "it lies over neither"
    caret = sheet.field.caret()
    keys(
        deck,
        "letter h",
        "letter i",
        "others",
        "letter p",
        "letter s",
        "space",
        "others",
        "letter q",
        "rub",
        "others",
        "others",
        "letter 4",
    )
    assert sheet.field.draft.text == "hips 4" and not asked and deck.window.keyboard_height == 0
    assert sheet.field.caret().x > caret.x, "and is seen at once"
    assert sheet.body.content_height <= sheet.body.height, (
        sheet.body.content_height,
        sheet.body.height,
        sheet.field.height,
        sheet.head.height,
    )
    on_sheet(deck, "do")
    assert deck.driver.journal[-1].text == "hips 4"
    on_sheet(deck, "write")
    deck.press("stop", 600)
    assert kinds(deck)[-1].__name__ == "Stopped" and not asked


def touches(leaf, text):
    """How many touches a coach needs for `text`."""
    count = 0
    for each in text:
        wanted = "space" if each == " " else f"letter {each}"
        column = Column(500, 30, 8, 17, 88)
        leaf.build(column, False)
        while wanted not in [tile.name for tile in column.tiles]:
            leaf.press("others")
            count += 1
            column = Column(500, 30, 8, 17, 88)
            leaf.build(column, False)
        leaf.press(wanted)
        count += 1
    return count


def test_a_letter_is_one_touch_nearly_always(deck):
    cues = [
        re.sub("[’']", "", cue.lower())
        for path in sorted(PLANS.glob("*.txt"))
        for cue in re.findall('"([^"]+)"', path.read_text(encoding="utf-8"))
    ]
    said = [re.sub("[^a-z0-9 .,?-]", "", cue) for cue in (*cues, *MARKS)]
    assert sum(map(len, said)) > 500
    leaf = WordLeaf(deck().shell.deck.deck, "", lambda text: None)
    assert sum(touches(leaf, cue) for cue in said) < 1.1 * sum(map(len, said))
    assert touches(leaf, "the quick brown fox jumps over a lazy dog") < 1.4 * 41 and leaf.draft.text.endswith(
        "a lazy dog"
    ), "every letter is there"


def test_a_keyboard_that_is_plugged_into_a_tablet_writes_too(deck, monkeypatch):
    from pacer.face.deck import sheetline

    deck = deck()
    deck.begin(12_000)
    monkeypatch.setattr(sheetline, "platform", "android")
    record(deck, "notes")
    on_sheet(deck, "write")
    for letter in "5 hipz":
        deck.key(ord(letter), letter)
    deck.key(8)
    deck.key(ord("s"), "s")
    assert deck.shell.sheet.field.draft.text == "5 hips" and kinds(deck) == [Begun] and deck.shell.hand is None, (
        "and steers nothing"
    )
    deck.key(13)
    assert deck.driver.journal[-1].text == "5 hips" and deck.shell.sheet.field is None
    deck.key(32, " ")
    assert kinds(deck)[-1].__name__ == "Paused", "and afterwards it does again"


def test_the_marks_are_the_coachs_own_and_are_kept(deck, folder):
    made = deck()
    made.begin(12_000)
    record(made, "notes")
    keys(made, "marks", "more")
    written(made, "late catch")
    on_sheet(made, "do")
    on_sheet(made, "mark 0")
    made.shell.sheet.field.draft.choose_all()
    written(made, "fine")
    on_sheet(made, "do")
    on_sheet(made, "mark 1")
    made.shell.sheet.field.draft.choose_all()
    made.shell.sheet.field.draft.erase(-1, False)
    on_sheet(made, "do")
    kept = (folder / "marks.txt").read_text(encoding="utf-8").splitlines()
    assert kept[:2] == ["fine", "rushed"] and kept[-1] == "late catch" and "long strokes" not in kept
    on_sheet(made, "close")
    assert "fine" in says(made) and "good" not in says(made)


def test_heads_are_counted_and_a_difference_is_said(deck):
    deck = deck()
    deck.begin(12_000)
    before = sendoffs(deck)
    record(deck, "heads")
    for _ in range(3):
        on_sheet(deck, "pad more")
    on_sheet(deck, "pad less")
    on_sheet(deck, "into")
    assert deck.driver.journal[-1] == HeadsCounted(deck.driver.journal[-1].at_ms, 2, True)
    typed(deck, "1")
    on_sheet(deck, "out")
    assert "1 missing. Check the water first." in says(deck)
    typed(deck, "2")
    on_sheet(deck, "out")
    assert "missing" not in says(deck)
    assert sendoffs(deck) == before


# -- after the session ---------------------------------------------------------------------------------------


def test_how_it_went_is_offered_once_the_session_is_over_and_kept_after_the_end(deck):
    deck = deck()
    deck.begin(12_000)
    assert deck.shell.on_deck is None or not deck.shell.on_deck.tags.offered
    assert deck.driver.do(deck.driver.end()) == ()
    deck.go(100)
    assert deck.shell.sheet is None, "it is offered, not put in the way"
    deck.tap(*tag(deck, "offer"))
    assert "How was lane 4?" in says(deck)
    keys(deck, "amount as", "feel well", "again yes")
    assert "How was lane 5?" in says(deck)
    keys(deck, "feel bad", "again no", "amount less")
    keys(deck, "amount more", "feel so", "again yes")
    assert [(each.lane, each.amount, each.feel, each.again) for each in summaries(deck.driver.journal).values()] == [
        (0, Amount.AS_WRITTEN, Feel.WELL, True),
        (1, Amount.LESS, Feel.BADLY, False),
        (2, Amount.MORE, Feel.SO_SO, True),
    ]
    deck.go(6_000)
    assert "All done" in says(deck) or "all done" in says(deck)
    keys(deck, "heads", "pad 6", "out")
    assert isinstance(deck.driver.journal[-1], HeadsCounted) and not deck.driver.journal[-1].into
    on_sheet(deck, "close")
    on_sheet(deck, "close")
    deck.go(100)
    assert deck.shell.sheet is None and not deck.shell.on_deck.tags.offered, "All done"


def test_how_it_went_is_offered_when_the_session_has_run_out_and_goes_when_it_runs_again(deck):
    deck = deck()
    deck.begin(0)
    deck.skip_to(deck.driver.run.timeline.end_ms + 1_000)
    deck.frame(20)
    assert deck.shell.on_deck.tags.offered
    deck.press("change", 60)
    on_sheet(deck, "previous", 500)
    on_sheet(deck, "close")
    deck.go(100)
    assert deck.driver.running and not deck.shell.on_deck.tags.offered


def test_the_keys_that_change_a_session_go_with_it_and_a_record_being_made_stays(deck):
    """`Delay send-off` and a second Close once stayed after End."""
    deck = deck()
    deck.begin(12_000)
    deck.press("change", 60)
    assert deck.shell.sheet is not None
    assert deck.driver.do(deck.driver.end()) == ()
    deck.go(100)
    assert deck.shell.sheet is None and deck.shell.on_deck.tags.offered
    assert deck.driver.do(deck.driver.reopen()) == ()
    deck.go(100)
    deck.press("record", 60)
    assert deck.shell.sheet is not None
    assert deck.driver.do(deck.driver.end()) == ()
    deck.go(100)
    assert deck.shell.sheet is not None


def test_the_question_goes_when_nobody_answers_it(deck):
    deck = deck()
    deck.begin(12_000)
    assert deck.driver.do(deck.driver.end()) == ()
    deck.go(100)
    assert deck.shell.on_deck.tags.offered
    deck.frame(170_000)
    assert deck.shell.on_deck.tags.offered, "three minutes: the swimmers have to get out first"
    deck.frame(11_000)
    assert not deck.shell.on_deck.tags.offered


def summed(deck):
    """What was kept of how it went, in order."""
    return [
        (each.lane, each.amount, each.feel, each.again) for each in deck.driver.journal if isinstance(each, LaneSummed)
    ]


def lit(deck):
    """The lit keys of the sheet."""
    return {tile.name for tile in deck.shell.sheet.body.tiles if tile.look == "lit"}


def asked_how_it_went(deck):
    deck.begin(12_000)
    assert deck.driver.do(deck.driver.end()) == ()
    deck.go(100)
    deck.tap(*tag(deck, "offer"))
    return deck


def test_how_much_and_how_it_went_are_kept_without_the_third_answer(deck):
    deck = asked_how_it_went(deck())
    keys(deck, "amount less")
    assert summed(deck) == [(0, Amount.LESS, None, None)] and "how did it go?" in says(deck)
    keys(deck, "feel well")
    assert summed(deck)[1:] == [(0, Amount.LESS, Feel.WELL, None)]
    assert "lane 4" in says(deck) and "saved" in says(deck) and lit(deck) == {"amount less", "feel well"}
    keys(deck, "feel so", "feel so")
    assert summed(deck)[2:] == [(0, Amount.LESS, Feel.SO_SO, None)], "a touch that says the same is nothing new"
    keys(deck, "again no")
    assert summed(deck)[3:] == [(0, Amount.LESS, Feel.SO_SO, False)]
    assert "How was lane 5?" in says(deck) and "saved" not in says(deck) and not lit(deck)
    keys(deck, "lane 0")
    assert lit(deck) == {"amount less", "feel so", "again no"}
    keys(deck, "amount as")
    assert summed(deck)[4:] == [(0, Amount.AS_WRITTEN, Feel.SO_SO, False)] and "How was lane 4?" in says(deck)


def test_half_an_answer_is_kept(deck):
    deck = asked_how_it_went(deck())
    keys(deck, "feel bad", "lane 1")
    assert not lit(deck)
    keys(deck, "lane 0")
    assert lit(deck) == {"feel bad"} and "How far did they" in says(deck)
    keys(deck, "close")
    deck.go(100)
    assert summed(deck) == [(0, None, Feel.BADLY, None)] and deck.shell.on_deck.tags.offered


def test_how_it_went_is_offered_until_all_lanes_are_said(deck):
    deck = asked_how_it_went(deck())
    keys(deck, "amount as", "feel well", "close")
    deck.go(100)
    assert deck.shell.on_deck.tags.offered, "two lanes are missing"
    deck.tap(*tag(deck, "offer"))
    assert "How was lane 5?" in says(deck)
    keys(deck, "amount as", "feel well", "again no", "amount as", "feel well", "close")
    deck.go(100)
    assert not deck.shell.on_deck.tags.offered and {lane for lane, *_ in summed(deck)} == {0, 1, 2}


def test_record_is_on_the_bar_when_the_session_is_over_and_what_was_said_can_be_said_anew(deck):
    deck = deck()
    deck.begin(12_000)
    assert deck.driver.do(deck.driver.end()) == ()
    deck.go(100)
    deck.press("record", 60)
    keys(deck, "sum", "amount as", "feel well", "again yes", "lane 0", "feel bad")
    assert summaries(deck.driver.journal)[0].feel is Feel.BADLY
    assert isinstance(deck.driver.journal[1], Ended)


def test_the_log_shows_what_was_taken_down(deck, folder, capsys):
    from pacer.cli.commands import main
    from pacer.session.storage.keeper import begin
    from pacer.session.storage.savedsession import session_of
    from pacer.session.storage.store import Store
    from pacer.session.timesource import Now
    from pacer.show.drive.journalwriter import OnDisk
    from tests.face.sessions import timeline

    made = timeline(3)
    keeper = begin(Store(folder), session_of(made), clock=lambda: Now(deck.now_ms, deck.wall_ms, "boot"))
    deck = deck(made=made, store=OnDisk(keeper, wait=True))
    deck.begin(0)
    deck.skip_to(ends_ms(deck, 1))
    water(deck, 1)
    record(deck, "notes", 1)
    on_sheet(deck, "mark 3")
    on_sheet(deck, "close")
    keys(deck, "heads", "pad 6", "into", "close", "close")
    assert deck.driver.do(deck.driver.end()) == ()
    deck.frame(10_000)  # the note cannot be taken back over the view any more
    deck.frame(20)
    deck.tap(*tag(deck, "offer"))
    keys(deck, "amount less", "feel so", "again yes")
    assert keeper.close()
    capsys.readouterr()
    assert main(["log", "1"]) == 0
    told = capsys.readouterr().out
    for said in (
        "lane 5, swimmer 1 touched",
        "lane 5: a note",
        "6 into the water",
        "lane 4: less, went so-so, do it again",
    ):
        assert said in told, told
    assert main(["log"]) == 0 and "not ended" not in capsys.readouterr().out, (
        "what is said afterwards does not open it again"
    )


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_a_tap_aimed_at_the_sheet_that_has_just_closed_times_nobody(deck, size, dpi):
    deck = deck(size, dpi)
    deck.begin()
    deck.press("change", 60)
    deck.frame(20)
    at = tile(deck, "fewer")
    deck.skip_to(ends_ms(deck, 1))
    deck.press("change", 60)  # it was open: it closes
    deck.go(800)
    assert deck.shell.sheet is None
    deck.tap(*at)
    assert deck.driver.times == () and deck.shell.sheet is None
    assert deck.bar.says.casefold().endswith("tap again")
    deck.go(2_000)
    water(deck, 1)
    assert len(deck.driver.times) == 1, "a little later a tap on the water is a time again"


class SlowDisk:
    """Keeps what it is given a few looks later, as a disk does."""

    def append(self, _entry):
        looks = iter((None,) * 3)
        return lambda: next(looks, "")


def test_nothing_waits_for_the_disk(deck):
    deck = deck(store=SlowDisk())
    deck.press("begin")
    deck.go(200)
    deck.skip_to(12_000)
    record(deck, "watch")
    on_sheet(deck, "start")
    deck.go(10_000)
    on_sheet(deck, "split 1")
    assert "Watch 1: 0:10" in says(deck)
    keys(deck, "close", "close")
    deck.skip_to(ends_ms(deck, 0) + 6_000)
    record(deck, "times", 0)
    on_sheet(deck, "called")
    typed(deck, "41")
    on_sheet(deck, "do")
    deck.go(100)
    typed(deck, "42")
    on_sheet(deck, "do")
    deck.go(100)
    assert [(one.touched.swimmer, one.touched.time_cs) for one in deck.driver.times] == [(0, 4100), (1, 4200)]
    keys(deck, "close", "close", "close")
    assert deck.driver.do(deck.driver.end()) == ()
    deck.go(200)
    deck.press("record", 60)
    keys(deck, "sum", *("amount as", "feel well", "again yes") * 3)
    deck.go(200)
    assert [(lane, entry.again) for lane, entry in summaries(deck.driver.journal).items()] == [
        (0, True),
        (1, True),
        (2, True),
    ]


# -- looks ---------------------------------------------------------------------------------------------------------

LOOKS = {
    "record": ("",),
    "times": ("times",),
    "called": ("times", "called"),
    "which": ("times", "called", "which"),
    "who": ("times", "called", "who"),
    "correct": ("times", "time 3"),
    "rate": ("rate",),
    "rate three": ("rate", "cycles"),
    "rate taken": ("rate", "tap", "wait", "tap", "wait", "tap"),
    "length": ("rate", "length", "pad 1", "pad 9", "time", "pad 1", "pad 8"),
    "watch": ("watch", "start", "wait", "start", "stop 1"),
    "file": ("watch", "start", "wait", "split 1", "wait", "stop 1", "file 1"),
    "notes": ("notes", "who", "place 1", "line"),
    "marks": ("notes", "marks"),
    "write": ("notes", "write"),
    "heads": ("heads", "pad 2", "pad 4", "into", "pad 2", "pad 3", "out"),
    "sum": ("sum", "amount as", "feel well", "again no", "amount less"),
    "sum kept": ("sum", "amount as", "feel well"),
    "sum left": ("sum", "again no", "lane 1"),
}


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("look", LOOKS)
def test_words_and_targets_of_what_is_taken_down(deck, size, dpi, look):
    """Nothing overflows or is cut off, nothing is too small to touch, nothing lies over another."""
    deck = deck(size, dpi, lanes=4)
    deck.begin(0)
    deck.skip_to(ends_ms(deck, 1, 1))
    if look in ("times", "correct"):
        for lane in (0, 1, 1):
            water(deck, lane)
    if look.startswith("sum"):
        assert deck.driver.do(deck.driver.end()) == ()
        deck.go(100)
        deck.press("record", 60)
    else:
        hand(deck, 1)
        deck.press("record", 60)
    for name in LOOKS[look]:
        if name == "wait":
            deck.go(1_500)
        elif name:
            on_sheet(deck, name)
    fits(deck, dpi)
    deck.go(6_000)  # without what was told
    fits(deck, dpi)


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("name", LEAVES)
def test_no_row_of_a_sheet_is_cut_at_its_edge(deck, size, dpi, name):
    """The row after the last one in sight begins below the edge."""
    made = deck(size, dpi)
    made.begin()
    made.skip_to(60_000)
    made.shell.choose_lane(0)
    made.shell.deck.open(opened(made.shell.deck.deck, name))
    made.frame(20)
    body = made.shell.sheet.body
    assert [tile.name for tile in body.tiles if tile.top < body.seen - 1 < tile.bottom - 1] == []


def test_after_times_were_taken_the_rest_can_still_be_fitted(deck):
    """The fit is worked out aside for one and the same run, asked about frame after frame."""
    deck = deck(made=roomy())
    deck.begin(0)
    for place in range(3):
        deck.skip_to(ends_ms(deck, 0) + 10_000 + 5_000 * place)
        water(deck, 0)
    assert deck.driver.seen is not deck.driver.run
    deck.press("change", 60)
    on_sheet(deck, "out")
    on_sheet(deck, "step -1")
    on_sheet(deck, "do", 600)
    assert kinds(deck)[-1] is Refitted


def test_a_lanes_number_opens_its_buttons_also_where_the_records_are_open(deck):
    deck = deck()
    deck.begin(20_000)
    deck.press("record", 60)
    hand(deck, 1)
    assert isinstance(deck.shell.deck.deck.leaf, ChangeLeaf)
    deck.press("record", 60)
    hand(deck, 0)
    deck.press("record", 60)
    on_sheet(deck, "times")
    hand(deck, 1)
    assert isinstance(deck.shell.deck.deck.leaf, TimesLeaf) and "press Close" in deck.shell.deck.deck.note()[0][0]
    on_sheet(deck, "close")
    assert isinstance(deck.shell.deck.deck.leaf, ChangeLeaf), "as it said"
