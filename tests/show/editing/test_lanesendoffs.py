"""How often each lane leaves in a set whose page does not say it: as the timeline has it."""

from pacer.plan.notation.planreader import read_plan
from pacer.plan.times import text_from_ms
from pacer.show.editing.lanesendoffs import send_offs_said
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.timeline import build_timeline

PAGE = """pool: 25 m
Warm-up
  300 choice
Main set, 2 rounds
  4 x 100 free on base+0:20
  4 x 50 kick, rest 0:15
  4 x 100 free on 2:00 / 2:30
  4 x 100 free descend 1-4, rest 0:10
  B: 2 x 50 easy, rest 0:20
"""
SQUAD = (
    '[[lane]]\nbase = "1:20"\ngroup = "A"\n[[lane]]\nbase = "1:20"\ngroup = "A"\n[[lane]]\nbase = "1:35"\ngroup = "B"\n'
)


def said(line, squad=SQUAD):
    return send_offs_said(build_timeline(read_plan(PAGE), read_squad(squad)), line)


def test_each_lane_leaves_as_in_the_timeline():
    assert said(5) == ("Lanes 1, 2 every 1:40; lane 3 every 1:55.", "Every 1:40 / 1:40 / 1:55", "Lane 1 every 1:40")
    timeline = build_timeline(read_plan(PAGE), read_squad(SQUAD))
    for lane, track in enumerate(timeline.tracks):
        first = next(found.first for found in track.passes if found.laneline.line.span.line == 6)
        each = text_from_ms(track.sendoffs[first + 1] - track.sendoffs[first])
        assert said(6)[1].removeprefix("Every ").split(" / ")[lane] == each


def test_what_the_page_says_is_not_said_again():
    assert said(7) == () and said(3) == () and said(1) == () and send_offs_said(None, 5) == ()


def test_a_set_that_descends_and_one_of_some_lanes():
    assert said(8)[1] == "Every 1:30–1:40 / 1:30–1:40 / 1:45–1:55"
    assert said(9)[:2] == ("Lane 3 every 1:15.", "Every – / – / 1:15")
    assert send_offs_said(build_timeline(read_plan(PAGE), read_squad(SQUAD)), 9, 2)[2] == "Lane 3 every 1:15"
