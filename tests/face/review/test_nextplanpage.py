"""From Thursday's review, and from the series, to the next page: steps are switched, then it is written, or not."""

from dataclasses import replace

import pytest

from pacer.plan.notation.planreader import read_plan
from tests.face.coach import ESCAPE, Coach
from tests.face.review.seriesscene import TUESDAY_MS, keep_series

SIZES = {"across": (1280, 800, 149.5), "upright": (800, 1280, 149.5), "small": (1024, 600, 117.5)}


@pytest.fixture(params=list(SIZES))
def coach(request, window, tmp_path):
    keep_series(tmp_path)
    *size, dpi = SIZES[request.param]
    made = Coach(window, tmp_path, tuple(size), dpi, wall_ms=TUESDAY_MS)
    yield made
    made.leave()


def names(coach):
    return {card.name for card in coach.office.shelf.cards()}


def test_from_thursdays_review_to_the_page_it_is_written_on(coach):
    before = names(coach)
    coach.office.log(3)
    coach.frame()
    coach.touch("Review")
    coach.touch("Draft next plan")
    page = coach.page
    assert type(page).__name__ == "NextPlanPage"
    assert coach.sees("Skill set halved because it's a revisit: 3 x 50 instead of 6 x 50.")
    assert coach.sees("follow-up to this plan: Long-axis rotation 4")
    assert coach.sees("4 x 50 as 25 drill three-stroke switch / 25 back, rest 0:20")
    marked = [tile for tile in page.board.tiles if tile.bars and len(tile.texts) == 1 and tile.texts[0].bold]
    assert len(marked) >= 5
    # A switch takes one step out of the page, and puts it in again.
    page.press("step 3")
    coach.frame()
    assert not any(
        tile.texts and tile.texts[0].ways[0].startswith("4 x 50 as 25 drill three") for tile in page.board.tiles
    )
    page.press("step 3")
    page.press("step 2")
    coach.frame()
    assert coach.sees("focus: backstroke rotation")
    assert names(coach) == before, "nothing is written unasked"
    coach.touch("Save and open")
    (made,) = names(coach) - before
    assert type(coach.page).__name__ == "EditorPage" and made == "long-axis-rotation-5"
    plan = read_plan(coach.office.shelf.text(made))
    assert plan.focus == "backstroke rotation" and plan.revisits == "Long-axis rotation 3"
    assert "three-stroke switch" in coach.page.draft.text


def test_from_the_series_and_back_with_nothing_written(coach):
    before = names(coach)
    coach.office.series()
    for _ in range(40):
        coach.frame(20)
        if coach.page.loading.unread == 0:
            break
    coach.touch("Draft next plan")
    assert coach.sees("Nothing is saved yet.")
    coach.key(ESCAPE)
    assert type(coach.page).__name__ == "SeriesPage" and names(coach) == before
    coach.frame(20)
    coach.touch("Draft next plan")
    coach.touch("Open Long-axis rotation 4")
    assert type(coach.page).__name__ == "EditorPage" and names(coach) == before


def test_the_shelf_drafts_the_same_page_as_the_review(coach):
    """From a plan that was swum: its last session. From one that was not: its own sets, the main set as it is."""
    coach.office.next_page(3, coach.office.home)
    coach.frame(20)
    wanted = coach.page.draft.text()
    coach.office.home()
    coach.frame()
    coach.touch("Long-axis rotation 3")
    coach.touch("Draft next plan")
    assert coach.sees("Drafted from Long-axis rotation 3, Thursday 19 March 2026.")
    assert coach.page.draft.text() == wanted
    coach.key(ESCAPE)
    assert coach.page.card.card.title == "Long-axis rotation 3"


def test_words_stay_inside(coach):
    coach.office.next_page(3, coach.office.home)
    coach.frame(20)
    board = coach.page.board
    for tile in board.tiles:
        assert tile.x >= 0 and tile.x + tile.width <= board.width + 1, tile
        for text in tile.texts:
            if text.box is not None:
                assert text.box[0] + text.box[2] <= tile.width + 2, text


def test_the_focus_goes_with_its_drill_and_can_be_put_back_alone(coach):
    coach.office.log(3)
    coach.office.next_page(3, coach.office.log)
    coach.frame()
    page = coach.page
    names = {step.name.split()[0]: number for number, step in enumerate(page.draft.steps, 1) if number < 4}
    drill, focus = names["drill"], names["focus"]
    page.press(f"step {drill}")
    assert page.without == {drill, focus} and "rolling from the hips" not in page.draft.text(page.without)
    page.press(f"step {focus}")
    assert page.without == {drill}
    page.press(f"step {drill}")
    assert page.without == frozenset()


def test_the_draft_lasts_as_long_as_the_plan_that_it_becomes_without_those_who_are_absent(coach):
    from pacer.squad.register.roster import Roster

    roster = coach.office.roster
    slowest = len(roster.squad.lanes) - 1
    coach.office.squads.keep(
        coach.office.squads.current,
        Roster(roster.squad, frozenset({(slowest, len(roster.squad.lanes[slowest].swimmers) - 1)})),
        coach.office.clocks.day(),
    )
    coach.office.next_page(3, coach.office.home)
    coach.frame(20)
    assert coach.page.here.lanes != coach.page.draft.squad.lanes
    assert sum(len(lane.swimmers) for lane in coach.page.here.lanes) == 25


def test_what_nobody_swam_is_said_to_stay_as_planned(coach):
    coach.office.log(3)
    coach.office.next_page(3, coach.office.log)
    coach.frame()
    page = coach.page
    page.draft = replace(page.draft, notes=("Main set: not swum last time, so it stays as planned.",))
    page.lay_out()
    assert coach.sees("Main set: not swum last time, so it stays as planned.")
