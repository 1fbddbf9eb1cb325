"""A lane that was told to swim what is too tight for it.

Marked while it runs, with who is not back when the others leave.
"""

from __future__ import annotations

import pytest

from pacer.cli.textform import block
from pacer.plan.notation.planreader import read_plan
from pacer.session.journal.entries import Begun
from pacer.session.running import presses
from pacer.session.running.replay import apply, fresh
from pacer.session.running.whereabouts import places
from pacer.show.view.instantview import lane_view, pool_view
from pacer.show.view.swimmerplaces import FAR, HOME
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.timeline import build_timeline

S = 1000
PLAN = """\
pool: 25 m
Main set
  4 x 100 free on 1:30
Swim-down
  2 x 100 free, rest 0:01
"""
#: Predicted times for 100: 1:20 and 1:28 in lane 1, 1:20 and twice 1:40 in lane 2.
SQUAD = """
[[lane]]
base = "1:20"
swimmers = 2
[[lane]]
  [[lane.swimmer]]
  base = "1:20"
  [[lane.swimmer]]
  base = "1:40"
  [[lane.swimmer]]
  base = "1:40"
"""


@pytest.fixture(scope="module")
def begun():
    return apply(fresh(build_timeline(read_plan(PLAN), read_squad(SQUAD))), Begun(0, 0, 0))


def test_only_the_lane_that_cannot_make_it_is_marked_and_only_on_that_set(begun):
    assert [band.text.tight for band in pool_view(begun, 30 * S).bands] == [(), ("too tight",)]
    later = begun.timeline.tracks[1].sendoffs[5] + 20 * S  # a rest, however short, is as it was written
    assert [band.text.tight for band in pool_view(begun, later).bands] == [(), ()]


def test_a_lane_says_who_is_still_out_until_they_are_in(begun):
    # the leader leaves again at 1:30; the others left at :05 and :10 and come in at 1:45 and 1:50, when they leave at
    # once
    def tight(at_s):
        return pool_view(begun, at_s * S).bands[1].text.tight

    assert tight(89) == ("too tight",)
    assert tight(90) == tight(104) == ("2 swimmers still on repeat 1", "2 swimmers still out")
    assert tight(105) == tight(109) == ("1 swimmer still on repeat 1", "1 swimmer still out")
    assert tight(110) == ("too tight",)
    assert (
        tight(180)[0] == "2 swimmers still on repeat 2"
        and tight(204)[0] == "2 swimmers still on repeat 2"
        and tight(205)[0] == "1 swimmer still on repeat 2"
    )
    assert lane_view(begun, 1, 90 * S).text.tight == tight(90)
    assert (
        "/!\\ 2 swimmers still on repeat 1" in block(pool_view(begun, 90 * S))
        and block(pool_view(begun, 90 * S)).count("/!\\") == 1
    )


def where(place):
    return 0.0 if place == HOME else 1.0 if place == FAR else place


def test_who_is_late_is_drawn_swimming_in_and_then_on(begun):
    before = None
    for at_ms in range(0, begun.timeline.end_ms + 60 * S, 500):
        now = pool_view(begun, at_ms).bands[1].places
        for old, new in zip(before or now, now):
            gap = abs(where(new) - where(old)) % 2
            assert min(gap, 2 - gap) < 0.04, (at_ms, old, new)
        told = [
            2 - place.along / 1000 if place.moving and not place.outward else place.along / 1000
            for place in places(begun.timeline, 1, at_ms)
        ]
        assert [where(place) for place in now] == pytest.approx(told, abs=0.002)
        before = now


def test_a_lane_that_is_given_another_interval_is_marked_by_that_from_then_on(begun):
    """So is the repeat that is swum: its next send-off comes too early now, or no longer does."""

    def tight(run, at_s):
        return pool_view(run, at_s * S).bands[0].text.tight

    run = apply(begun, presses.change_interval(begun, 100 * S, 80 * S, (0,)))
    assert tight(begun, 100) == () and tight(run, 100) == tight(run, 200) == ("too tight",)
    undone = apply(run, presses.take_back(run, 200 * S))
    assert undone.timeline.tracks[0].sendoffs[1] < 200 * S, "it has left by the new interval"
    assert tight(undone, 200) == ()
