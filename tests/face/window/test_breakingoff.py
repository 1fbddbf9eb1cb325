"""A press that ends what a lane swims.

The glass says so from that instant, and what it draws is what a swimmer can do.
"""

from __future__ import annotations

import os
import random

import pytest

from pacer.cli.textform import block
from pacer.plan.notation.planreader import read_plan
from pacer.session.journal.entries import Begun, Stopped, Unit
from pacer.session.running import presses
from pacer.session.running.instant import NOTICE_MS
from pacer.session.running.replay import apply, fresh
from pacer.session.running.whereabouts import last_swims
from pacer.show.view.instantview import dial_view, lane_view, pool_view
from pacer.show.view.swimmerplaces import FAR, HOME
from pacer.show.wording.viewtext import say
from pacer.squad.files.squadreader import read_squad
from pacer.timeline.timeline import build_timeline
from pacer.timeline.track import NEVER
from tests.session.deck import SQUAD

S = 1000
#: Every repeat ends at the home wall, in time for the next; then some of odd lengths, and some that are too tight.
PLAN = """\
pool: 25 m
Warm-up, at most 6 min
  200 choice
  4 x 50 as 25 kick / 25 back, rest 0:15
Skill set, run on
  4 x 50 as 25 scull / 25 back easy, rest 0:20
Main set, 2 rounds
  3 x 100 as 50 drill / 50 back, rest 0:15
  rest 0:30
  2 x 400 back build, rest 0:20
Swim-down
  2 x 100 choice
"""
ODD = """\
pool: 25 m
Warm-up, at most 6 min
  8 x 25 choice, rest 0:15
  75 free
Main set, 2 rounds
  5 x 75 as 25 drill / 50 back, rest 0:15
  2 x 0:30 kick vertical, rest 0:10
  3 x 100 back, rest 0:10
Swim-down
  175 choice
  3 x 25 free, rest 0:20
"""
TIGHT = """\
pool: 25 m
Main set
  6 x 100 free on 1:20
  rest 1:00
  5 x 75 free on 1:00
Swim-down
  2 x 100 choice
"""
STEP_MS = 500
FASTEST = 25 / (0.8 * 78 / 4) / 25 * 1.3  # lengths a second: well above everybody's best


def begun_on(text):
    return apply(fresh(build_timeline(read_plan(text), read_squad(SQUAD))), Begun(0, 0, 0))


@pytest.fixture(scope="module")
def begun():
    return begun_on(PLAN)


def pressed(rng, run, at_ms):
    """A press that ends, or begins, what lanes swim; None where that cannot be."""
    lanes = rng.choice((None, None, (0,), (1,), (2,), (0, 2)))
    section = rng.randrange(len(run.timeline.plan.sections))
    unit = rng.choice(list(Unit))
    return rng.choice(
        (
            lambda: presses.start_section(run, at_ms, section, lanes),
            lambda: presses.start_section_at_top(run, at_ms, section, lanes),
            lambda: presses.start_section_at(run, at_ms, section, at_ms + rng.choice((5, 20, 60, 300)) * S, lanes),
            lambda: presses.move(run, at_ms, unit, rng.choice((1, 1, -1)), lanes),
            lambda: presses.pause(run, at_ms, lanes),
            lambda: presses.resume(run, at_ms, lanes),
            lambda: Stopped(at_ms),
        )
    )()


def where(place):
    """Round the lane, from 0 to 2."""
    return 0.0 if place == HOME else 1.0 if place == FAR else place


def touched(run, lane, swimmer, at_ms):
    """Whether a swimmer's swim has ended since the step before, so that they turn only because they swim back."""
    swim = last_swims(run.timeline, lane, at_ms)[swimmer]
    return swim is not None and at_ms - STEP_MS < swim.touch_ms <= at_ms


SEEDS = int(os.environ.get("PACER_EXAMPLES", "60"))


@pytest.mark.parametrize("seed", range(SEEDS))
@pytest.mark.parametrize("text", [PLAN, ODD, TIGHT], ids=["even", "odd", "tight"])
def test_nobody_jumps_and_who_breaks_off_is_told_until_all_are_home(text, seed):
    rng, run, at_ms = random.Random(seed), begun_on(text), 0
    before = pool_view(run, 0)
    stood = [(NEVER, set()) for _ in before.bands]
    for _ in range(12):
        until = at_ms + rng.randrange(3, 200) * S
        while at_ms < until:
            at_ms += STEP_MS
            now = pool_view(run, at_ms)
            for lane, (was, band) in enumerate(zip(before.bands, now.bands)):
                for old, new in zip(was.places, band.places):
                    gap = abs(where(new) - where(old)) % 2
                    assert min(gap, 2 - gap) <= FASTEST * STEP_MS / S, (lane, at_ms, old, new, run.by)
                track = run.timeline.tracks[lane]
                index = track.index_at(at_ms if track.paused_ms is None else min(at_ms, track.paused_ms))
                cut = track.cuts.get(index, NEVER)
                if stood[lane][0] != cut:
                    stood[lane] = cut, set()
                far = stood[lane][1]  # who has stood at the far wall since the lane broke off
                if at_ms - STEP_MS >= cut:
                    pairs = enumerate(zip(was.places, band.places))
                    far |= {
                        k
                        for k, (old, new) in pairs
                        if old == FAR or 0 <= old <= 1 < new and touched(run, lane, k, at_ms)
                    }
                swim = {k for k, place in enumerate(band.places) if place not in (HOME, FAR) and at_ms >= cut}
                told_back = say("swim back") in band.text.tight
                if swim - far:
                    assert band.text.state == "stop", (lane, at_ms, run.by)
                if swim & far:  # the lane gathers at the home wall
                    assert told_back, (lane, at_ms, run.by)
                if told_back:
                    assert any(place != HOME for place in (*was.places, *band.places)), "somebody is to swim back"
                    assert (
                        text is TIGHT
                        or band.text.upcoming < 0
                        or track.sendoffs[band.text.upcoming] >= at_ms + NOTICE_MS - STEP_MS
                    )
                if band.text.state == "stop":
                    assert any(place != HOME for place in (*was.places, *band.places)), (
                        "nobody is told to stop who stands at the wall"
                    )
                    # Where it is too tight a late swimmer may get less than the 5 s.
                    assert (
                        text is TIGHT
                        or band.text.upcoming < 0
                        or track.sendoffs[band.text.upcoming] >= at_ms + NOTICE_MS - STEP_MS
                    )
            before = now
        entry = pressed(rng, run, at_ms)
        if entry is not None:
            run = apply(run, entry)
            for old, new in zip(before.bands, pool_view(run, at_ms).bands):
                assert [where(place) for place in old.places] == pytest.approx(
                    [where(place) for place in new.places], abs=0.01
                ), (at_ms, entry, "a press moves nobody")


def test_every_view_says_it_in_words_and_shape(begun):
    at_ms = 60 * S
    run = apply(begun, presses.start_section(begun, at_ms, 1))
    for band in pool_view(run, at_ms).bands:
        assert (band.text.state, band.text.shape, band.text.distance) == ("stop", "wall", "STOP AT WALL")
    view = lane_view(run, 0, at_ms)
    assert (view.hero, view.text.doing) == ("STOP", ("STOP AT WALL",)) and view.hero_label.startswith("leave in")
    assert dial_view(run, at_ms).section == "STOP AT WALL" and {
        band.text.word for band in dial_view(run, at_ms).bands
    } == {"STOP"}
    assert block(pool_view(run, at_ms)).count("STOP AT WALL") == 3
    assert all(band.text.state != "stop" for band in pool_view(begun, at_ms).bands)
