"""Which lane has which entry of a line: said beside the text, after all that is wrong with it."""

from dataclasses import replace

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.show.editing.lanevalues import entries_said
from pacer.squad.defaultsquad import default_squad
from tests.face.coach import Coach
from tests.face.editor.test_editorpage import settled

LANE = default_squad(()).lanes[0]
LANES = [replace(LANE, number=number, group=group) for number, group in ((1, "A"), (2, "A"), (3, "B"), (4, None))]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("4 x 100 free, on 1:50 / 2:00 / 2:20", "Lane 1 on 1:50; lane 2 on 2:00; lanes 3, 4 on 2:20."),
        (
            "4 x 100 free, on 1:50 / 2:00 / 2:20 / 2:30 / 2:40",
            "Lane 1 on 1:50; lane 2 on 2:00; lane 3 on 2:20; lane 4 on 2:30; on 2:40 not used.",
        ),
        ("4 x 100 free, on A 1:50 / B base+0:15", "Lanes 1, 2 on 1:50; lane 3 on base+0:15."),
        ("A: 4 x 100 free, on 1:50 / 2:00", "Lane 1 on 1:50; lane 2 on 2:00."),
        ("4 / 2 x 100 / 75 free, on 1:50 then 1:40", "Lane 1: 4 x 100; lanes 2–4: 2 x 75."),
        (
            "4 x 100 free, rest 0:15 / 0:20, hold 1:20 / 1:30",
            "Lane 1 rest 0:15, hold 1:20; lanes 2–4 rest 0:20, hold 1:30.",
        ),
        ("rest 1:00 / 1:20", "Lane 1 rest 1:00; lanes 2–4 rest 1:20."),
        ("4 x 100 free, on 1:50", ""),
    ],
)
def test_each_lane_is_told_what_it_has(line, said):
    plan = read_plan(f"pool: 25 m\n\nMain set, rounds 3 / 1\n  100 free\n  {line}\n")
    assert entries_said(plan, 5, LANES) == said
    assert entries_said(plan, 3, LANES) == "Lane 1: 3 rounds; lanes 2–4: 1 round."
    assert entries_said(plan, 4, LANES) == entries_said(plan, 1, LANES) == entries_said(None, 1, LANES) == ""


@pytest.mark.parametrize("size", [(1280, 800), (800, 1280), (1024, 600)])
def test_the_line_in_hand_says_which_lane_has_which_interval_after_what_is_wrong_with_it(window, tmp_path, size):
    coach = Coach(window, tmp_path, size)
    coach.office.write(
        coach.office.shelf.add("pool: 25 m\n\nMain set\n  4 x 100 free on 0:40 / 3:00 / 3:10\n  100 free\n").name
    )
    page = coach.page
    page.go_to(3)
    coach.frame()

    def said():
        wrong = [text.ways[0] for tile in page.board.tiles if tile.bars for text in tile.texts]
        return wrong + [
            text.ways[0] for tile in page.head.tiles for text in tile.texts if text.ways[0].startswith("Lanes 1, 2 on")
        ]

    assert said()[-1] == "Lanes 1, 2 on 0:40; lanes 3, 4 on 3:00; lanes 5, 6 on 3:10."
    settled(page)
    while page.remarks.untried():
        page.remarks.try_next()
    page.remarks.settle()
    coach.frame()
    told = said()
    assert len(told) > 1 and told[-1].startswith("Lanes 1, 2 on 0:40;") and told[0].startswith("Too tight"), told
    page.go_to(4)
    coach.frame()
    (told,) = said()
    assert told.startswith("Main set: 4 x 100 free on 0:40 …, lane 1: too tight"), "the worst check stays in sight"
    coach.leave()
