"""The strip against the timeline's own events."""

from __future__ import annotations

from itertools import groupby, pairwise

import pytest

from pacer.plan.notation.planreader import read_plan
from pacer.session.journal.entries import Begun, Paused, Resumed, Stopped
from pacer.session.running.replay import apply, fresh
from pacer.shippedfiles import PLANS, SQUADS
from pacer.show.figures.fills import PATTERNS
from pacer.show.figures.planstrip import strip
from pacer.squad.defaultsquad import default_squad
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.summary.planned import planned
from pacer.timeline.timeline import build_timeline

DEMOS = sorted(PLANS.glob("*.txt"))


def session(plan, squad=SQUADS / "thursday.toml"):
    return planned(read_plan(plan.read_text(encoding="utf-8")), read_squad(squad.read_text(encoding="utf-8")))[0]


def swum(bars, lane):
    """The spans of a lane that bars cover, neighbours in one."""
    made = []
    for bar in sorted(bar for bar in bars if bar.spot.lane == lane):
        if made and made[-1][1] == bar.left:
            made[-1][1] = bar.right
        else:
            made.append([bar.left, bar.right])
    return made


def leader_swims(timeline, lane):
    """From each send-off of the leader to the touch, swims without a rest between them in one."""
    made = []
    events = [e for e in timeline.events(lane) if e.swimmer == 1 and e.kind != "change"]
    for kind, group in groupby(events, lambda event: event.kind):
        assert len(list(group)) == 1, kind
    for left, touch in zip(events[::2], events[1::2]):
        assert (left.kind, touch.kind) == ("send-off", "touch")
        if made and made[-1][1] == left.at_ms:
            made[-1][1] = touch.at_ms
        else:
            made.append([left.at_ms, touch.at_ms])
    return made


@pytest.mark.parametrize("plan", DEMOS, ids=lambda path: path.stem)
@pytest.mark.parametrize("squad", ["thursday", "masters"])
def test_bars_are_the_swims_of_the_events(plan, squad):
    timeline = session(plan, SQUADS / f"{squad}.toml")
    figure = strip(timeline)
    figure.check()
    for lane in range(len(timeline.tracks)):
        assert swum(figure.bars, lane) == leader_swims(timeline, lane)
    assert {bar.fill for bar in figure.bars} <= PATTERNS.keys()


def test_changes_part_the_bars():
    timeline = build_timeline(read_plan("pool: 25 m\n100 as 25 kick / 75 free\n2 x 50 back, on 1:30"), default_squad())
    bars = strip(timeline).bars
    assert [(bar.fill, bar.left, bar.right) for bar in bars] == [
        ("kick", 0, 36_250),
        ("swim", 36_250, 111_250),
        ("swim", 115_000, 170_000),
        ("swim", 205_000, 260_000),
    ]
    assert [bar.spot.line for bar in bars] == [1, 1, 2, 2]
    assert [bar.spot.repeat for bar in bars] == [1, 1, 1, 2]


def test_sections_are_parted_and_hold_their_bars():
    timeline = session(DEMOS[2])
    figure = strip(timeline)
    for lane in range(len(timeline.tracks)):
        grounds = [ground for ground in figure.grounds if ground.spot.lane == lane]
        assert [ground.said for ground in grounds] == ["Warm-up", "Skill set", "Main set", "Swim-down"]
        assert all(there.left - here.right >= timeline.plan.changeover_ms for here, there in pairwise(grounds))
        for bar in (bar for bar in figure.bars if bar.spot.lane == lane):
            ground = grounds[bar.spot.section]
            assert ground.left <= bar.left < bar.right <= ground.right
    assert [head.text for head in figure.heads] == ["Warm-up", "Skill set", "Main set", "Swim-down"]


def test_booking_is_an_edge_and_what_lies_beyond_it_is_marked():
    within = strip(session(DEMOS[2]))
    assert [trace.points for trace in within.traces] == [((3_600_000, 0), (3_600_000, 6))]
    assert not [ground for ground in within.grounds if ground.fill == "over"]
    late = strip(build_timeline(read_plan("pool: 25 m\nbooking: 10 min\n10 x 100, on 2:00"), default_squad()))
    over = [ground for ground in late.grounds if ground.fill == "over"]
    assert [(ground.left, ground.right) for ground in over] == [(600_000, 18 * 60_000 + 100_000)]


def test_a_lane_that_waited_swims_no_more_and_what_was_broken_off_ends_there():
    timeline = build_timeline(read_plan("pool: 25 m\n4 x 100, on 2:00"), default_squad())
    run = apply(fresh(timeline), Begun(0, 0, 1_764_003_600_000))
    held = apply(run, Paused(150_000, (0,)))
    assert swum(strip(held.timeline).bars, 0) == [[0, 100_000], [120_000, 220_000]]
    stopped = apply(run, Stopped(150_000))
    assert swum(strip(stopped.timeline).bars, 0) == [[0, 100_000], [120_000, 150_000]]
    resumed = apply(held, Resumed(260_000, 300_000, (0,)))
    again = swum(strip(resumed.timeline).bars, 0)
    assert again[:2] == [[0, 100_000], [120_000, 220_000]] and len(again) > 2 and again[2][0] == 300_000
    assert swum(strip(run.timeline, until_ms=260_000).bars, 0) == [[0, 100_000], [120_000, 220_000], [240_000, 260_000]]


def test_nothing_to_swim_is_still_a_figure():
    figure = strip(
        build_timeline(read_plan("pool: 25 m\nMain set, 0 to 1 rounds\n  4 x 100, on 2:00"), default_squad())
    )
    figure.check()
    assert figure.bars == () and "nothing to swim" in figure.words
