"""The shelf by touch, held across and upright.

Found by a word, copied, followed, put away and brought back, moved to another pool, last swum when.
"""

import time

import pytest
from kivy.tests.common import UnitTestTouch

from pacer.timeline.findings import Finding, Severity
from pacer.timeline.summary.totals import Totals
from tests.face.coach import Coach

BOTH = pytest.mark.parametrize("size", [(1280, 800), (800, 1280)], ids=["across", "upright"])


@pytest.fixture
def coach(window, tmp_path):
    made = []

    def make(size, **more):
        made.append(Coach(window, tmp_path, size, **more))
        return made[-1]

    yield make
    for each in reversed(made):
        each.leave()


def titles(coach):
    return [card.title for card in coach.page.shown()]


def typed(coach, text):
    for char in text:
        coach.window.dispatch("on_textinput", char)
    coach.frame()


@BOTH
def test_a_word_finds_plans_and_all_come_back(coach, size):
    coach = coach(size)
    everything = titles(coach)
    coach.touch("Search")
    typed(coach, "masters")
    few = titles(coach)
    assert len(few) < len(everything)
    for _ in "masters":
        coach.key(8)
    typed(coach, "six-kick")
    found = titles(coach)
    assert "Long-axis rotation 3" in found
    assert all("six-kick" in coach.office.shelf.card(card.name).text for card in coach.page.shown())
    assert not coach.sees("Show results"), "they are in sight already"
    coach.touch("Keyboard")
    coach.touch("Show results")
    assert titles(coach) == found, "the words stand when the keyboard goes"
    coach.touch("Close")
    assert titles(coach) == everything


@BOTH
def test_put_away_and_brought_back_as_it_was(coach, size):
    coach = coach(size)
    text = coach.office.shelf.text("long-axis-rotation-2")
    coach.touch("Long-axis rotation 2")
    coach.touch("Hide")
    assert "Long-axis rotation 2" not in titles(coach)
    coach.touch("Hidden plans")
    assert titles(coach) == ["Long-axis rotation 2"] and coach.sees("Hidden plans")
    coach.touch("Long-axis rotation 2")
    coach.touch("Show again")
    assert coach.sees("Nothing is hidden.")
    coach.touch("Close")
    assert "Long-axis rotation 2" in titles(coach) and coach.office.shelf.text("long-axis-rotation-2") == text


@BOTH
def test_a_copy_and_the_next_of_a_series_are_plans_of_their_own(coach, size):
    coach = coach(size)
    text = coach.office.shelf.text("long-axis-rotation-3")
    coach.touch("Long-axis rotation 3")
    coach.touch("Duplicate")
    assert coach.page.reading.plan.title == "Long-axis rotation 3, copy"
    coach.touch("Close")
    assert coach.page.card.card.title == "Long-axis rotation 3, copy", "back to where it was pressed"
    coach.touch("Edit")
    coach.touch("Close")
    assert coach.page.card.card.title == "Long-axis rotation 3, copy"
    coach.touch("Close")
    assert "Long-axis rotation 3, copy" in titles(coach)
    coach.touch("Long-axis rotation 4")
    coach.touch("Draft next plan")
    assert coach.sees("Drafted from Long-axis rotation 4, which hasn't been swum yet")
    coach.touch("Close")
    assert coach.page.card.card.title == "Long-axis rotation 4", "back to where it was pressed; nothing is saved"
    coach.touch("Draft next plan")
    coach.touch("Save and open")
    assert coach.page.draft.text.splitlines()[0].startswith("title: Long-axis rotation 5")
    assert any("rotation 4" in line and line.startswith("revisits") for line in coach.page.draft.lines)
    coach.touch("Close")
    assert coach.page.card.card.title == "Long-axis rotation 5"
    coach.touch("Close")
    assert "Long-axis rotation 5" in titles(coach) and coach.office.shelf.text("long-axis-rotation-3") == text


@BOTH
def test_a_plan_with_a_swimmers_name_leaves_only_when_asked_for_again(coach, size, monkeypatch):
    monkeypatch.setattr("pacer.face.pages.filechooser.open_facade", lambda name: None)
    coach = coach(size)
    shelf = coach.office.shelf
    shelf.keep("long-axis-rotation-2", shelf.text("long-axis-rotation-2") + "\n# Orla leads lane 3\n")
    coach.touch("Long-axis rotation 1")
    coach.touch("Export")
    assert (coach.home / "out" / "long-axis-rotation-1.txt").exists(), "no name: no question"
    coach.touch("Close")
    coach.touch("Long-axis rotation 2")
    coach.touch("Export")
    written = coach.home / "out" / "long-axis-rotation-2.txt"
    assert coach.sees("swimmer's name is in this plan") and not written.exists()
    coach.touch("Export")
    assert "Orla" in written.read_text()


@BOTH
def test_another_pool_says_first_what_it_changes(coach, size):
    coach = coach(size)
    coach.touch("Long-axis rotation 3")
    coach.touch("Change pool")
    coach.touch("50 m")
    assert coach.sees("pool: 50 m instead of pool: 25 m")
    coach.touch("Cancel")
    assert str(coach.page.card.card.plan.pool) == "25 m"
    coach.touch("Change pool")
    coach.touch("50 m")
    coach.touch("Save changes")
    assert str(coach.page.card.card.plan.pool) == "50 m" and coach.sees("50 m")
    coach.touch("Close")
    assert next(card.pool for card in coach.page.shown() if card.title == "Long-axis rotation 3") == "50 m"


@BOTH
def test_a_new_title_is_written_and_kept(coach, size):
    coach = coach(size)
    coach.touch("Long-axis rotation 1")
    coach.touch("Rename")
    typed(coach, "Balance first")
    coach.touch("Rename")
    coach.touch("Close")
    assert "Balance first" in titles(coach) and "Long-axis rotation 1" not in titles(coach)


@BOTH
def test_when_it_was_last_swum_stands_on_its_tile_and_its_card(coach, size):
    coach = coach(size)
    assert not coach.sees("swum 2 Mar")
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    coach.touch("Start", 500)
    coach.go(130_000, 10_000)
    coach.kill()
    coach.open()
    coach.office.home()
    coach.frame()
    assert not coach.sees("swum today"), "it is still running"
    coach.kill()
    coach.open()
    coach.touch("Resume")
    driver = coach.shell.driver
    assert driver.do(driver.end()) == ()
    coach.frame(20)
    coach.office.home()
    coach.frame()
    assert coach.sees("swum today")
    assert titles(coach)[0] == "Long-axis rotation 3", "the others were never touched"
    coach.touch("Long-axis rotation 3")
    assert coach.sees("swum today")
    coach.touch("Rename")
    typed(coach, "Balance first")
    coach.touch("Rename")
    coach.touch("Close")
    assert coach.sees("swum today"), "under its new title"
    # The plan that revisits it was rewritten to name the new title.
    assert set(titles(coach)[:2]) == {"Balance first", "Long-axis rotation 4"}


def test_a_plan_of_ones_own_stays_first_when_it_has_been_swum(coach):
    coach = coach((1280, 800))
    coach.office.run(coach.office.shelf.text("long-axis-rotation-1"))
    coach.frame()
    coach.touch("Close")
    coach.office.shelf.add("title: Ours\npool: 25 m\n\nMain set\n  4 x 100 free on 2:30\n")
    coach.office.home()
    coach.frame()
    assert titles(coach) == ["Ours", *(f"Long-axis rotation {n}" for n in (1, 2, 3, 4))]
    coach.touch("Ours")
    coach.touch("Get ready")
    coach.touch("Start", 500)
    coach.go(130_000, 10_000)
    coach.hold("end")
    coach.touch("close")
    assert titles(coach) == ["Ours", *(f"Long-axis rotation {n}" for n in (1, 2, 3, 4))] and coach.sees("swum today")


def test_a_plan_without_a_title_has_one_name_everywhere_and_is_swum_after_it_was(coach):
    coach = coach((1280, 800))
    made = coach.office.shelf.add("pool: 25 m\n\nMain set\n  4 x 100 free on 2:30\n", "thursday")
    coach.office.home()
    coach.frame()
    assert made.title == "thursday"
    coach.touch("thursday")
    coach.touch("Get ready")
    assert coach.sees("thursday")
    coach.touch("Start", 500)
    coach.go(130_000, 10_000)
    coach.kill()
    coach.open()
    assert coach.sees("thursday is running")
    coach.touch("Resume")
    coach.hold("end")
    coach.touch("close")
    assert titles(coach)[0] == "thursday" and coach.sees("swum today")
    coach.touch("Log")
    assert coach.sees("thursday") and not coach.sees("Untitled")


def test_who_starts_another_session_is_told_that_the_last_cannot_be_resumed_then(coach):
    coach = coach((1280, 800))
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    assert not coach.sees("you can't resume that session")
    coach.touch("Start", 500)
    coach.go(130_000, 10_000)
    coach.hold("end")
    coach.touch("close")
    coach.touch("Long-axis rotation 1")
    coach.touch("Get ready")
    assert coach.sees("Long-axis rotation 3 ended just now. Once you start this plan, you can't resume that session.")
    coach.office.home()
    coach.office.quick_set()
    coach.frame()
    assert coach.sees("you can't resume that session.")


def test_a_session_broken_off_after_seconds_was_not_swum(coach):
    coach = coach((1280, 800))
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    coach.touch("Start", 500)
    coach.go(30_000, 5_000)
    coach.hold("end")
    coach.touch("close")
    assert not coach.sees("swum today") and titles(coach)[0] == "Long-axis rotation 1"


def test_a_demo_says_that_it_is_one_and_a_plan_of_ones_own_does_not(coach):
    coach = coach((1280, 800))
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    assert coach.sees("A demo plan")
    coach.touch("Close")
    name = coach.office.shelf.add("title: Ours\npool: 25 m\n\n4 x 100 free on 2:30\n").name
    coach.office.run(coach.office.shelf.text(name))
    coach.frame()
    assert type(coach.page).__name__ == "ReadyPage" and not coach.sees("A demo plan")


def test_a_finger_that_bounces_on_close_goes_one_page_back(coach):
    """From the squad to the page before the start, whose own Close is where the squad's was."""
    coach = coach((1280, 800))
    coach.touch("Long-axis rotation 3")
    coach.touch("Get ready")
    coach.touch("Who is here")
    place = coach.place("Close")
    for bounced in (False, True):
        touch = UnitTestTouch(*place)
        touch.is_double_tap = bounced
        touch.touch_down()
        coach.frame(40)
        touch.touch_up()
        coach.frame(20)
    assert coach.sees("A demo plan"), "not on the shelf"
    coach.touch("Close")
    assert coach.sees("Quick set")


def test_a_digit_that_is_tapped_twice_is_typed_twice(coach):
    coach = coach((1280, 800))
    coach.office.squad()
    coach.frame()
    coach.page.press("base")
    coach.frame()
    coach.touch("1")
    for bounced in (False, True):
        touch = UnitTestTouch(*coach.place("2"))
        touch.is_double_tap = bounced
        touch.touch_down()
        touch.touch_up()
        coach.frame(20)
    assert coach.page.pad.shown == "1:22"


@BOTH
def test_what_helps_a_plan_that_cannot_be_run_is_said_before_why_where_both_have_no_room(coach, size):
    from pacer.face.shelf.shelftotals import totals_words  # it brings Kivy

    coach = coach(size)
    page = coach.page
    counted = Totals(
        "m",
        (),
        0,
        None,
        (
            Finding(
                Severity.STOPS,
                4,
                (1, 2),
                "lanes 1, 2 have no value: this set has values for A, B, C only",
                "give the lanes a Group in the squad",
            ),
        ),
    )
    ways, _, colour = totals_words(page.cards[0], counted)
    assert (
        colour == "warn"
        and ways[1] == "Can't run: give the lanes a Group in the squad"
        and "have no value" in ways[2]
        and len(ways[0]) > len(ways[1])
    )
    ways, bold, colour = totals_words(page.cards[0], counted, demo=True)
    assert "Group in the squad" in ways[0] and not bold and colour == "dim", "it is nobody's mistake"


@BOTH
def test_each_plan_on_the_shelf_has_its_strip(coach, size):
    """Every lane's row, from the start to the plan's end: the same figure as on its own page."""
    coach = coach(size)
    page = coach.page
    end = time.monotonic() + 60
    while not all(page.counting.of(card) for card in page.cards) and time.monotonic() < end:
        coach.frame(20)
    for card in page.cards:
        tile, figure = page.board.tile(f"plan {card.name}"), page.counting.strip_of(card)
        assert [picture.figure for picture in tile.pictures] == [figure]
        assert {bar.spot.lane for bar in figure.bars} == set(range(len(page.squad.lanes)))
        assert max(bar.right for bar in figure.grounds if bar.fill == "water") == page.counting.of(card).end_ms
        page.open_card(card.name)
        coach.frame()
        shown = [picture for each in page.card.board.tiles for picture in each.pictures]
        assert len(shown) == 1 and shown[0].figure == figure and shown[0].words
        page.close_card()


@BOTH
def test_plans_stand_as_a_coach_looks_for_them_and_a_letter_finds_one(coach, size):
    coach = coach(size)
    page = coach.page
    assert coach.sees("Long-axis rotation") and not coach.sees("This week")
    coach.office.shelf.add("title: Sprint evening\npool: 25 m\n\nMain set\n  8 x 25 fast, on 1:00\n")
    page.refresh()
    coach.frame()
    heads = [tile.texts[0].ways[0] for tile in page.board.tiles if not tile.name and tile.texts]
    assert heads[heads.index("This week") + 1] == "Long-axis rotation: sample plans", heads
    assert coach.sees("sample plan") and coach.sees("not swum yet"), "the coach's own is none"
    coach.key(ord("s"), "s")
    assert page.searching and page.search.focus
    for char in "sprint":
        coach.window.dispatch("on_textinput", char)
    coach.frame()
    assert [card.title for card in page.shown()] == ["Sprint evening"]
