"""The sheet beside the view.

Every live change by touch, told before it is confirmed and taken back by the next press.
"""

import re
import threading
from types import SimpleNamespace

import pytest

from pacer.face.deck.leaves.changeleaf import ChangeLeaf
from pacer.face.deck.leaves.tileaction import TileAction
from pacer.face.kit.ink import HANGING
from pacer.face.tiles.longpressboard import TRACK_MM
from pacer.plan.times import ms_from_text, whole_up
from pacer.session.journal.entries import (
    Begun,
    CountChanged,
    IntervalChanged,
    LaneJoined,
    LeftLate,
    LineLeftOut,
    LinePutIn,
    Matched,
    Missed,
    Moved,
    Paused,
    Refitted,
    Resumed,
    SectionSet,
    SwimmerChanged,
    SwimmerJoined,
    SwimmerLeft,
    TakenBack,
)
from pacer.session.journal.recordentries import Touched
from pacer.session.running.replay import apply, fresh
from pacer.session.running.undo import next_ms
from pacer.show.drive.barkeychoice import keys_for
from pacer.show.drive.deckchanges import MATCH, offered
from pacer.show.drive.driver import Driver
from pacer.show.view.instantview import out_words
from pacer.show.wording.forecasttext import finish_at
from pacer.show.wording.leavetext import when
from tests.face.deck.sheet import GLASSES, all_touch, fits, hand, kinds, on_sheet, roomy, tag, tile, water
from tests.session.pages import TWO_LANES, session


@pytest.mark.parametrize(
    ("name", "kind"),
    [("pause", Paused), ("next", Moved), ("late", LeftLate), ("miss", Missed), ("fewer", CountChanged)],
)
def test_the_usual_six_are_one_press_from_a_lane(deck, name, kind):
    deck = deck()
    deck.begin(20_000)
    hand(deck, 1)
    before = deck.driver.run
    said = on_sheet(deck, name, 500)
    assert kinds(deck) == [Begun, kind] and deck.driver.journal[-1].lanes == (1,)
    assert "ane 5" in said
    assert deck.driver.run.timeline.tracks[0] is before.timeline.tracks[0], "the others go on as they did"
    deck.go(1_000)
    on_sheet(deck, "close")
    assert not deck.shell.on_deck.tags.tiles, "the bar has the key that undoes it"
    deck.press("take back")
    assert kinds(deck)[-1] is TakenBack
    assert [track.sendoffs for track in deck.driver.run.timeline.tracks] == [
        track.sendoffs for track in before.timeline.tracks
    ]


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("lane", [None, 1], ids=["all lanes", "a lane"])
def test_what_belongs_together_is_in_a_row(deck, size, dpi, lane):
    """Undo is among those seen at first, moves are side by side, and so are the changes of one kind."""
    deck = deck(size, dpi)
    deck.begin(20_000)
    if lane is None:
        deck.press("change", 60)
    else:
        hand(deck, lane)
    tiles = {each.name: each for each in deck.shell.sheet.body.tiles if each.name}
    rows = {}
    for name, each in tiles.items():
        rows.setdefault(each.top, set()).add(name)
    together = [{"previous", "previous line", "next line"}, {"section", "line in", "line out"}]
    together += [{"late", "miss"}, {"fewer", "one more"}, {"one round fewer", "one round more"}]
    for names in together:
        assert any(names <= row for row in rows.values()), (names, rows)
    assert "take back" in rows[min(rows)], "always in sight"
    assert len(tiles) == sum(map(len, rows.values())) == (16 if lane is None else 22)


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_after_a_pause_of_all_and_one_lane_resumed_one_key_resumes_the_others(deck, size, dpi):
    deck = deck(size, dpi)
    deck.begin(20_000)
    deck.press("change", 60)
    assert "resume" not in [each.name for each in deck.shell.sheet.body.tiles], "nobody is paused"
    on_sheet(deck, "close")
    deck.press("pause", 600)
    deck.go(5_000)
    hand(deck, 1)
    on_sheet(deck, "resume", 600)
    on_sheet(deck, "close")
    assert deck.driver.run.paused() == (0, 2)
    deck.go(1_000)
    deck.press("change", 60)
    deck.settle()
    (said,) = (words.fitted.lines for each, words in deck.shell.sheet.body.words if each.name == "resume")
    assert " ".join(said) == "Resume all"
    assert "leave" in on_sheet(deck, "resume", 600)
    assert deck.driver.run.paused() == () and deck.driver.journal[-1].lanes is None


def test_too_short_a_press_changes_nothing(deck):
    deck = deck()
    deck.begin(20_000)
    hand(deck, 1)
    on_sheet(deck, "late", 200)
    assert kinds(deck) == [Begun] and deck.shell.deck.deck.note()[0][0].endswith("hold down")


def test_a_finger_that_slides_off_changes_nothing(deck):
    deck = deck()
    deck.begin(20_000)
    hand(deck, 1)
    touch = deck.finger(*tile(deck, "late"))
    deck.go(500)
    touch.touch_move(5, 700)
    deck.go(100)
    touch.touch_up()
    deck.frame(20)
    assert kinds(deck) == [Begun]


def test_what_cannot_be_done_says_why(deck):
    deck = deck()
    deck.begin(20_000)
    deck.press("change", 60)
    assert on_sheet(deck, "take back", 500) == "Nothing to undo"
    assert kinds(deck) == [Begun]


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_nothing_covers_the_view(deck, size, dpi):
    deck = deck(size, dpi)
    deck.begin(20_000)
    hand(deck, 1)
    view, sheet = deck.shell.view, deck.shell.sheet
    assert sheet.right <= size[0] + 0.5 and sheet.y >= deck.bar.top - 0.5
    assert view.right <= sheet.x + 0.5 if size[0] > size[1] else view.y >= sheet.top - 0.5
    assert view.width * view.height > 0.4 * size[0] * (size[1] - deck.bar.height)
    on_sheet(deck, "close")
    assert deck.shell.sheet is None and deck.shell.hand is None and deck.shell.view.width == size[0]


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("what", ["lane", "change"])
def test_keys_are_seen_whole_and_their_words_stand_in_the_middle(deck, size, dpi, what):
    deck = deck(size, dpi)
    deck.begin(20_000)
    hand(deck, 1) if what == "lane" else deck.press("change", 60)
    deck.settle()
    body = deck.shell.sheet.body
    for each in body.tiles:
        box = body.box_of(each)
        low = body.y + body.foot  # words below it say that there is more
        assert box.y >= low - 0.5 or box.top <= low + 0.5, f"{each.name} is cut off"
    seen = [(each, words) for each, words in body.words if len(words.ink) == 2]
    assert len(seen) > 4
    for each, words in seen:
        box = body.box_of(each)
        strip = 2 * TRACK_MM * body.glass.px_per_mm if each.name in body.long_presses else 0
        above, below = box.top - words.ink[0].top, words.ink[1].top - words.cap - box.y - strip
        hangs = bool(HANGING & set(words.fitted.lines[1]))  # a `p` has to have room
        assert abs(above - below) < (0.3 if hangs else 0.15) * words.cap, (each.name, above, below)


def test_another_lane_takes_over_the_sheet_and_the_bar_stays_for_all(deck):
    deck = deck()
    deck.begin(20_000)
    hand(deck, 1)
    hand(deck, 2)
    assert on_sheet(deck, "pause", 500).startswith("Lane 6 stops at the wall and pauses")
    assert "lanes 4, 5 stop at the wall" in deck.press("next")
    assert [entry.lanes for entry in deck.driver.journal[1:]] == [(2,), None]


def test_what_was_told_of_one_lane_does_not_stand_over_another(deck):
    deck = deck()
    deck.begin(20_000)
    hand(deck, 1)
    on_sheet(deck, "pause", 500)
    leaves = deck.shell.deck.deck
    assert leaves.note()[0][0].startswith("Done: lane 5 stops at the wall and pauses") and leaves.note()[1]
    hand(deck, 2)
    assert not leaves.note()[1] and leaves.leaf.title.startswith("Lane 6")


def test_an_interval_from_now_on(deck):
    deck = deck()
    deck.begin(20_000)
    hand(deck, 0)
    on_sheet(deck, "interval")
    for key in ("pad 1", "pad 2", "pad 5"):
        on_sheet(deck, key)
    said = on_sheet(deck, "do", 500)
    entry = deck.driver.journal[-1]
    assert (
        isinstance(entry, IntervalChanged) and (entry.interval_ms, entry.lanes) == (85_000, (0,)) and "lane 4" in said
    )
    assert said.startswith("Every 1:25; lane 4: leaves :"), "when it next leaves may stay the same"


def test_an_interval_says_for_which_set_it_is(deck):
    deck = deck(made=session(WARM_UP, TWO_LANES))
    deck.begin(60_000)  # in the 200, of which nothing is left to leave on
    hand(deck, 0)
    on_sheet(deck, "interval")
    leaves = deck.shell.deck.deck
    assert leaves.note()[0][0] == "Next set: 4 × 50 free"
    deck.skip_to(240_000)
    assert leaves.note()[0][0] == "4 × 50 free, from now on"


WARM_UP = "pool: 25 m\nWarm-up\n  200 choice\n  4 x 50 on 1:30\nMain set\n  4 x 100 on 2:30\n"


def test_a_repeat_cut_from_the_next_set_is_not_called_one_of_this(deck):
    """In mid-200 there is none of its repeats to cut."""
    deck = deck(made=session(WARM_UP, TWO_LANES))
    deck.begin(60_000)
    hand(deck, 0)
    assert on_sheet(deck, "fewer", 500).startswith("One repeat fewer in the next set: ")
    deck.skip_to(240_000)
    assert on_sheet(deck, "fewer", 500).startswith("One repeat fewer in this set: ")


def test_a_set_to_skip_has_the_repeats_that_the_lane_has_by_now(deck):
    """One more is added in its middle, so that the lane swims it in two parts."""
    deck = deck(made=session("pool: 25 m\nMain set\n  4 x 50 on 1:30\n", TWO_LANES))
    deck.begin(100_000)
    deck.press("change", 60)
    on_sheet(deck, "one more", 500)
    assert kinds(deck)[-1] is CountChanged
    hand(deck, 0)
    on_sheet(deck, "line out")
    keys = [cell.texts[0].ways[0] for cell in deck.shell.sheet.body.tiles if cell.name.startswith("line ")]
    assert keys[0].startswith("5 × 50 "), keys


def test_a_section_now_at_the_top_or_at_a_time_of_day(deck):
    for name in ("now", "top", "time"):
        made = deck()
        made.begin(20_000)
        made.press("change", 60)
        on_sheet(made, "section")
        on_sheet(made, "section 2")
        said = on_sheet(made, name, 500)
        entry = made.driver.journal[-1]
        assert isinstance(entry, SectionSet) and (entry.section, entry.lanes) == (2, None), said
        assert name != "top" or entry.leave_ms % 60_000 == 0
        assert name != "time" or (made.driver.run.begun.wall_ms + entry.leave_ms) % 300_000 == 0


def test_a_section_at_a_time_of_day_that_is_past_says_so(deck):
    deck = deck()
    deck.begin(20_000)
    deck.press("change", 60)
    on_sheet(deck, "section")
    on_sheet(deck, "earlier")
    on_sheet(deck, "earlier")
    proposal = deck.shell.deck.deck.leaf.ask("time")
    assert proposal.entry is None and proposal.says.endswith(" has passed")


def test_swimmers_come_go_and_change(deck):
    deck = deck()
    deck.begin(20_000)
    hand(deck, 0)
    on_sheet(deck, "swimmers")
    on_sheet(deck, "place 1")
    on_sheet(deck, "forward", 500)
    said = deck.shell.deck.deck.leaf.ask("to 2").says
    assert ", leaves :" in said, "from which send-off on"
    on_sheet(deck, "to 2", 500)
    run = deck.driver.run
    third_ms = next_ms(run.timeline.tracks[2], deck.driver.at_ms()) + 2 * run.timeline.squad.lanes[2].spacing_ms
    assert f" to lane 6, leaves {when(run, third_ms, deck.driver.at_ms())};" in said, "behind the two of that lane"
    on_sheet(deck, "place 0")
    on_sheet(deck, "out", 500)
    on_sheet(deck, "join")
    assert " joins, base " in deck.shell.deck.deck.leaf.ask("new").says
    on_sheet(deck, "new", 500)
    assert deck.shell.deck.deck.leaf.title == "In or out, lane 4"
    assert kinds(deck)[1:] == [SwimmerChanged, SwimmerChanged, SwimmerLeft, SwimmerJoined]
    assert [(e.place, e.to_lane, e.to_place) for e in deck.driver.journal[1:3]] == [(1, 0, 0), (0, 2, None)]


def test_a_lane_goes_with_another(deck):
    deck = deck()
    deck.begin(20_000)
    hand(deck, 0)
    on_sheet(deck, "with")
    on_sheet(deck, "with 2", 500)
    assert isinstance(deck.driver.journal[-1], LaneJoined) and (
        deck.driver.journal[-1].lane,
        deck.driver.journal[-1].leader,
    ) == (0, 2)


def test_a_lane_cannot_join_a_paused_one_and_that_is_said(deck):
    deck = deck()
    deck.begin(20_000)
    deck.driver.do(deck.driver.pause((2,)))
    hand(deck, 0)
    on_sheet(deck, "with")
    assert deck.shell.deck.deck.leaf.ask("with 2").ways == ("lane 6 is paused: resume it first",)


def test_one_more_that_does_not_fit_before_the_next_section_is_refused(deck):
    deck = deck()
    deck.begin(20_000)
    hand(deck, 1)
    assert "There is no time for it before the next section" in on_sheet(deck, "one more", 500)
    assert kinds(deck) == [Begun]


def test_out_by_a_time_of_day_says_what_it_costs_first(deck):
    deck = deck(made=roomy())
    deck.begin(20_000)
    deck.press("change", 60)
    on_sheet(deck, "out")
    on_sheet(deck, "step -1")
    leaf = deck.shell.deck.deck.leaf
    out_ms = leaf.out_ms
    assert "100 m less" in on_sheet(deck, "do", 500)
    assert kinds(deck) == [Begun, Refitted] and deck.driver.journal[-1].out_ms == out_ms
    assert deck.shell.deck.deck.note()[1]
    on_sheet(deck, "step -1")
    assert not deck.shell.deck.deck.note()[1], "what was done was done for another time"


def test_a_lanes_leaf_rounds_like_the_timeline_and_adds_up():
    plan = "pool: 25 m\nMain set\n  2 x 75 back on 2:00\n  2 x 50 kick on 1:45\n  2 x 100 drill on 3:25\n"
    squad = "".join(f'[[lane]]\nbase = "{base}"\nswimmers = 2\n' for base in ("1:17", "1:23.5", "1:31"))
    run, found = apply(fresh(session(plan, squad)), Begun(0, 0, 0, "+00:00")), 0
    for lane, track in enumerate(run.timeline.tracks):
        for index, leaves_ms in enumerate(track.sendoffs):
            driver = SimpleNamespace(run=run, at_ms=lambda leaves_ms=leaves_ms: leaves_ms)
            said = ChangeLeaf(SimpleNamespace(hand=lane, driver=driver)).note()[0]
            parts = re.match(r"swims (\S+), leaves every (\S+), rest (\S+)", said)
            if parts is None:
                continue
            swims, every, rest = map(ms_from_text, parts.groups())
            assert swims + rest == every, said
            exact = track.pass_at(index).laneline.times(track.repeat_in_line(index), 0)[-1]
            assert parts[1] == whole_up(exact), said
            found += exact % 1000 != 0
    assert found > 6, "times with parts of a second"


def test_a_line_is_put_in_and_left_out(deck):
    deck = deck()
    deck.begin(20_000)
    before = deck.driver.run.timeline
    hand(deck, 1)
    on_sheet(deck, "line in")
    refused = on_sheet(deck, "do", 500)
    assert kinds(deck) == [Begun] and refused, "the others go on before one lane could have swum it"
    on_sheet(deck, "close")
    on_sheet(deck, "close")
    deck.press("change", 60)
    on_sheet(deck, "line in")
    on_sheet(deck, "fewer")
    on_sheet(deck, "farther")
    said = on_sheet(deck, "do", 500)
    entry = deck.driver.journal[-1]
    assert (
        isinstance(entry, LinePutIn)
        and entry.lanes is None
        and entry.text.startswith("3 x 75 choice")
        and "more" in said
    )
    deck.frame(20)
    assert (
        deck.shell.deck.deck.note()[0][0].startswith("Done: ")
        and type(deck.shell.deck.deck.leaf).__name__ == "ChangeLeaf"
    )
    assert deck.driver.run.timeline.distance(1) == before.distance(1) + 225
    on_sheet(deck, "line out")
    name = next(tile.name for tile in deck.shell.sheet.body.tiles if tile.name)
    said = on_sheet(deck, name, 500)
    assert isinstance(deck.driver.journal[-1], LineLeftOut) and "less" in said, said


def whose_clock(deck):
    """What the view says of its clock."""
    deck.settle()
    return {
        line
        for piece in deck.shell.view.drawn()
        if piece.name in ("whose clock", "now label")
        for line in piece.fitted.lines
    }


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_the_clock_says_whose_it_is_and_is_matched_to_the_wall_by_two_presses(deck, size, dpi):
    deck = deck(size, dpi)
    assert any("off" in words for words in whose_clock(deck)), "before the start"
    deck.begin(20_000)
    deck.shell.show_view("dial")
    deck.frame()
    assert any("app" in words for words in whose_clock(deck))
    sendoffs = [track.sendoffs for track in deck.driver.run.timeline.tracks]
    deck.press("change", 60)
    assert on_sheet(deck, "match", 200).startswith("Let go at :00 on the pool clock") and kinds(deck) == [Begun], (
        "too short to be meant"
    )
    assert on_sheet(deck, "match", 9_000).startswith("Let go at :00 on the pool clock")
    entry = deck.driver.journal[-1]
    assert isinstance(entry, Matched) and 0 <= deck.driver.at_ms() - entry.at_ms <= deck.frame_ms
    assert (entry.at_ms + deck.driver.run.phase_ms) % 60_000 == 0, "as the key is let go the readings pass the top"
    assert [track.sendoffs for track in deck.driver.run.timeline.tracks] == sendoffs
    assert not deck.shell.on_deck.tags.tile("take back"), "it is no change of the session"
    on_sheet(deck, "close")
    for view in ("dial", "pool"):
        deck.shell.show_view(view)
        deck.frame()
        assert any("pool" in words for words in whose_clock(deck)) and not any(
            "own" in words for words in whose_clock(deck)
        ), view
    deck.shell.fill(1)
    deck.frame()
    assert any("pool" in words for words in whose_clock(deck))
    assert Driver(deck.driver.run.timeline, journal=deck.driver.journal).matched, "and when the session is carried on"


@pytest.mark.parametrize("opened", ["change", "lane"])
@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_the_dial_comes_in_place_of_the_sheet_and_its_key_is_for_what_is_not_in_sight(deck, size, dpi, opened):
    deck = deck(size, dpi)
    deck.begin(20_000)

    def in_sight():
        deck.frame()
        names = {key.name for key in keys_for(deck.shell.bar.moment)}
        assert len({"pool", "dial"} & names) == 1 and deck.shell.shown not in names
        return deck.shell.shown

    def open_sheet():
        deck.shell.choose_lane(1) if opened == "lane" else deck.press("change", 60)

    open_sheet()
    assert in_sight() == "pool" and deck.shell.sheet is not None
    deck.shell.press("dial")
    assert in_sight() == "dial" and deck.shell.sheet is None
    open_sheet()
    assert in_sight() == "pool", "half a screen is too little for a dial"
    deck.shell.press("dial")
    assert in_sight() == "dial" and deck.shell.sheet is None


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
def test_matched_before_the_start_the_clock_does_not_jump_as_the_session_begins(deck, size, dpi):
    deck = deck(size, dpi)
    assert deck.shell.view.drawn() and deck.driver.clock_ms(deck.driver.now_ms()) == 0
    says = deck.press("match", 700)
    assert says in MATCH and not deck.driver.journal
    assert deck.kept[-1].wall_top == deck.driver.top, "and is kept for the sessions that follow"
    assert any("pool" in words for words in whose_clock(deck))
    deck.go(7_000)
    before = deck.driver.clock_ms(deck.driver.now_ms()) % 60_000
    assert 7_000 <= before <= 7_200
    assert deck.press("begin").startswith("Starts in 23 s") and deck.driver.run.phase_ms == 30_000
    after = (deck.driver.clock_ms(deck.driver.now_ms()) + deck.driver.run.phase_ms) % 60_000
    assert 0 < after - before < 1_000
    assert any("pool" in words for words in whose_clock(deck))


def test_a_tap_on_the_water_takes_a_time_leader_first_and_the_swimmer_stands_at_the_wall(deck):
    deck = deck()
    deck.begin(0)
    track = deck.driver.run.timeline.tracks[1]
    ends_ms = track.pass_at(0).laneline.times(0, 0)[-1]
    deck.skip_to(ends_ms - 2_000)
    at_ms = deck.driver.at_ms()
    water(deck, 1)
    entry = deck.driver.journal[-1]
    assert isinstance(entry, Touched) and (entry.lane, entry.swimmer, entry.time_cs) == (1, 0, at_ms // 10)
    leader = deck.driver.run.timeline.squad.lanes[1].swimmers[0].number
    assert deck.driver.at_wall(deck.driver.at_ms())[1] == {leader}
    assert deck.shell.on_deck.tags.tags[1].ways[0].startswith("1st ")
    box = deck.shell.views["pool"].band_box(1)
    # A tap there is the next swimmer's touch; once nobody is due it puts the time right.
    deck.go(3_100)
    assert deck.shell.on_deck.tags.tile("tag 1") is None
    all_touch(deck, 1)
    assert deck.driver.journal[-1].swimmer == 1 and deck.shell.on_deck.tags.tile("tag 1") is None, (
        "a finger that bounces puts nothing right"
    )
    deck.go(3_100)
    assert box.y <= tag(deck, "tag 1")[1] < box.top
    deck.go(10_000)
    assert not deck.shell.on_deck.tags.tags
    assert deck.driver.run.timeline.tracks[1] is track, "a time changes nothing"


def test_a_tap_where_nobody_is_due_takes_no_time(deck):
    deck = deck()
    deck.begin(1_000)
    water(deck, 1)
    assert kinds(deck) == [Begun] and deck.shell.on_deck.tags.tags[1].ways[0] == "Nobody is due at the wall"


def test_stop_all_puts_the_sheet_away(deck):
    deck = deck()
    deck.begin(20_000)
    hand(deck, 1)
    deck.press("stop", 600)
    assert deck.driver.run.stopped and deck.shell.sheet is None
    deck.press("resume")
    assert isinstance(deck.driver.journal[-1], Resumed)


def test_under_the_lock_the_sheet_is_gone_and_the_water_dead(deck):
    deck = deck()
    deck.begin(20_000)
    hand(deck, 1)
    deck.press("more", 60)
    deck.press("lock", 60)
    assert deck.shell.sheet is None
    deck.skip_to(28_000)
    water(deck, 1)
    assert kinds(deck) == [Begun]


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("leaf", ["", "lane", "interval", "section", "swimmers", "with", "out", "line in", "line out"])
def test_words_and_targets_of_the_sheet(deck, size, dpi, leaf):
    """Nothing overflows, nothing is too small to touch, nothing lies over another."""
    deck = deck(size, dpi)
    deck.begin(20_000)
    if leaf in ("", "out"):
        deck.press("change", 60)
    else:
        hand(deck, 0)
    if leaf not in ("", "lane"):
        on_sheet(deck, leaf)
    fits(deck, dpi)


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280)])
def test_the_view_beside_the_sheet_is_seen(deck, size):
    """Every lane's number and count-down is on the glass, whatever lies over the view without a ground of its own."""
    from tests.face.drawing import pixels

    deck = deck(size=size)
    deck.begin(20_000)
    hand(deck, 1)
    deck.settle()
    image, view = pixels(size), deck.shell.view
    for band in view.face.bands:
        for box in (band.number.ink[0], band.count.ink[0]):
            part = image.crop((round(box.x), size[1] - round(box.top), round(box.right), size[1] - round(box.y)))
            low, high = part.convert("L").getextrema()
            assert high - low > 100, (band.text.lane, box)


def test_a_press_that_is_held_long_does_what_it_says_at_last(deck):
    """Where it counts down meanwhile, what is read is never out of date; it is done and told."""
    from pacer.show.drive.pressproposal import Proposal

    deck = deck()
    deck.begin(20_000)
    hand(deck, 1)
    leaf = deck.shell.deck.deck.leaf
    ask = leaf.ask

    def counting(name):
        found = ask(name)
        return Proposal(found.entry, (f"{found.ways[0]} ({deck.now_ms // 1000})",), found.asked_ms, found.run)

    leaf.ask = counting
    on_sheet(deck, "late", 3_500)
    assert kinds(deck) == [Begun, LeftLate]
    assert deck.shell.deck.deck.note()[0][0].startswith("Done: ")


def test_out_by_opens_at_the_end_as_it_is(deck):
    """A minute earlier is the first thing that may cost something."""
    from pacer.show.wording.timereadings import wall_reading

    deck = deck()
    deck.begin(20_000)
    deck.press("change", 60)
    on_sheet(deck, "out")
    leaf, run = deck.shell.deck.deck.leaf, deck.driver.run
    assert 0 <= leaf.out_ms - run.timeline.end_ms < 60_000
    shown = wall_reading(run.begun.wall_ms + leaf.out_ms, run.begun.zone)
    assert shown == wall_reading(run.begun.wall_ms + run.timeline.end_ms, run.begun.zone) and shown in " ".join(
        leaf.note()
    )


def test_the_glass_does_not_wait_for_the_fit(deck, monkeypatch):
    from pacer.session.running import presses

    fitted, go_on, asked = presses.fitted, threading.Event(), []

    def slowly(run, rest, out_ms):
        asked.append(threading.current_thread())
        go_on.wait(10)
        return fitted(run, rest, out_ms)

    monkeypatch.setattr(presses, "fitted", slowly)
    monkeypatch.setattr("tests.face.deck.leaves.worked_out", lambda: None)
    deck = deck()
    deck.begin(20_000)
    deck.press("change", 60)
    on_sheet(deck, "out")

    def costs():
        return [text.ways[0] for each in deck.shell.sheet.body.tiles if not each.name for text in each.texts][1:]

    assert costs() == ["…"] and threading.main_thread() not in asked
    assert on_sheet(deck, "do", 500) == "…" and kinds(deck) == [Begun]
    go_on.set()
    asked[-1].join(10)
    deck.frame(20)
    told = costs()
    assert told != ["…"]
    go_on.clear()
    before = len(asked)
    deck.skip_to(deck.driver.run.timeline.tracks[0].sendoffs[1] + 1_000)
    deck.frame(1_000)
    assert len(asked) > before and costs() == told, "what was said last stands while it is worked out anew"
    go_on.set()


def test_undo_says_what_comes_back_before_it_is_done(deck):
    deck = deck()
    deck.begin(20_000)
    hand(deck, 1)
    on_sheet(deck, "pause", 500)
    on_sheet(deck, "close")
    deck.go(1_000)
    touch = deck.finger(*deck.middle("take back"))
    deck.frame(100)
    deck.frame(20)
    assert deck.bar.says.startswith("Undoes “lane 5 paused”"), deck.bar.says
    assert deck.shell.view.face.bands[1].foretold[0].startswith("swims on, leaves :")
    deck.go(100)
    touch.touch_up()
    deck.frame(20)
    assert kinds(deck) == [Begun, Paused]
    deck.press("take back")
    assert kinds(deck) == [Begun, Paused, TakenBack]


def test_beside_a_sheet_the_lanes_keep_their_numbers_between_sections(deck):
    deck = deck()
    deck.begin(20_000)
    run = deck.driver.run
    deck.skip_to(run.timeline.gates[1] - 30_000)
    deck.frame(20)
    assert deck.shell.shown == "changeover"
    deck.press("change", 60)
    deck.frame(20)
    assert deck.shell.shown == "pool"
    hand(deck, 1)
    assert deck.shell.hand == 1
    on_sheet(deck, "close")
    deck.frame(20)
    assert deck.shell.shown == "changeover"


def test_undo_says_a_time_to_finish_by_as_the_time_of_day(deck):
    deck = deck(made=roomy())
    deck.begin(20_000)
    deck.press("change", 60)
    on_sheet(deck, "out")
    on_sheet(deck, "step -1")
    driver = deck.shell.driver
    reading = finish_at(driver.run, deck.shell.deck.deck.leaf.out_ms)
    on_sheet(deck, "do", 500)
    on_sheet(deck, "close")
    assert f"Undoes “finish by {reading}”" in on_sheet(deck, "take back", 300)


def test_while_all_are_paused_the_finish_to_fit_is_that_of_a_resume_now(deck):
    deck = deck(made=roomy())
    deck.begin(20_000)
    driver = deck.driver
    assert driver.do(driver.pause()) == ()
    deck.go(180_000)
    deck.press("change", 60)
    on_sheet(deck, "out")
    deck.go(1_000)
    leaf = deck.shell.deck.deck.leaf
    out = out_words(driver.seen, driver.at_ms())
    assert out[2] and out[0].rpartition(" ")[2] in leaf.note()[0], "the top line: past the booking"
    assert leaf.out_ms <= driver.run.timeline.plan.booking_ms
    assert next(each for each in deck.shell.sheet.body.tiles if each.name == "do").able
    said = on_sheet(deck, "do", 500)
    out = out_words(driver.seen, driver.at_ms())
    assert kinds(deck)[-1] is Refitted and not out[2] and f"finish {out[0].rpartition(' ')[2]}" in said
    deck.go(1_000)
    assert driver.do(driver.resume()) == () and out_words(driver.seen, driver.at_ms()) == out


@pytest.mark.parametrize(("size", "dpi"), GLASSES)
@pytest.mark.parametrize("lanes", [5, 6])
def test_the_order_of_a_lane_is_seen_without_scrolling(deck, size, dpi, lanes):
    if size == (1024, 600) and lanes > 5:
        return  # no room beside each other for five keys that a wet thumb hits
    squad = "".join(f'[[lane]]\nbase = "1:{20 + 5 * lane}"\nswimmers = 4\n' for lane in range(lanes))
    deck = deck(size, dpi, made=session("pool: 25 m\nMain set\n  8 x 100 on 2:30\n", squad))
    deck.begin(20_000)
    hand(deck, 1)
    on_sheet(deck, "swimmers")
    body = deck.shell.sheet.body
    for place in range(4):
        box = body.box_of(body.tile(str(TileAction("place", place))))
        assert body.y - 1 <= box.y and box.top <= body.top + 1, place


def test_undo_is_not_called_after_a_change_that_it_no_longer_undoes(deck):
    """Lane 5's Sit one out is over, so Undo undoes the pause of lane 4 before it."""
    deck = deck(size=(1280, 800), dpi=149.5)
    deck.begin(20_000)
    driver = deck.driver
    assert driver.do(driver.pause((0,))) == ()
    assert driver.do(offered(driver, "miss", (1,))) == ()
    hand(deck, 1)
    deck.frame(20)

    def label():
        return next(each for each in deck.shell.sheet.body.tiles if each.name == "take back").texts[0].ways

    assert "Undo, lane 5" in label()
    for _ in range(16):
        deck.go(10_000)
        does = offered(driver, "take back", None).ways[0]
        if "lane 5: one repeat sat out" not in does:
            break
        assert "Undo, lane 5" in label()
    assert does.startswith("undoes “lane 4 paused”")
    deck.go(5_000)
    assert label() == ("Undo",)
