"""No press sends anybody off before they are, by prediction, back at the wall and have had five seconds there.

In lanes with sets that are too tight, the slower swimmers leave late, at their own touch: it matters where they are,
not when they were told to leave.
"""

import random

import pytest

from pacer.session.journal.entries import LeftLate, Moved, SectionSet, TakenBack, Unit
from pacer.session.running import presses
from pacer.session.running.instant import NOTICE_MS
from pacer.session.running.replay import apply, fresh
from pacer.session.running.undo import touched_lanes
from pacer.session.running.whereabouts import last_swims
from pacer.timeline.findings import CannotRun
from tests.session.pages import run, session

S = 1000
TIGHT = """\
pool: 25 m
Warm-up
  4 x 100 on 1:20
Main set
  3 x 200 on 2:45
  4 x 50 on 0:40
  3 x 75 on 1:05
Swim-down
  2 x 100 on 1:30
"""
#: 78 s a hundred, 85 and 104 s, 91 s: lanes 2 and 3 cannot make 1:20.
SQUAD = """\
[[lane]]
base = "1:18"
swimmers = 3
[[lane]]
  [[lane.swimmer]]
  base = "1:25"
  [[lane.swimmer]]
  base = "1:44"
[[lane]]
base = "1:31"
"""


@pytest.fixture(scope="module")
def timeline():
    return session(TIGHT, SQUAD)


def press(rng, here, at_ms):
    """One press that can break off a swim, or give lanes a send-off; None if it would do nothing."""
    lanes = rng.choice((None, (0,), (1,), (2,), (0, 1), (1, 2)))
    return rng.choice((
        lambda: presses.pause(here, at_ms, lanes),
        lambda: presses.resume(here, at_ms, lanes),
        lambda: presses.resume(here, at_ms, lanes),
        lambda: presses.move(here, at_ms, rng.choice(list(Unit)), rng.choice((1, -1)), lanes),
        lambda: presses.move(here, at_ms, rng.choice(list(Unit)), rng.choice((1, -1)), lanes),
        lambda: presses.start_section(here, at_ms, rng.randrange(3), lanes),
        lambda: presses.take_back(here, at_ms),
        lambda: presses.late(here, at_ms, lanes),
    ))()  # fmt: skip


def sent_too_soon(before, after, entry):
    """Swimmers whom `entry` gives a send-off before they are back: lane, swimmer, when home, when sent off."""
    found = []
    told = touched_lanes(before, entry.at_ms) if isinstance(entry, TakenBack) else range(3)
    for lane in told:
        track, was = after.timeline.tracks[lane], before.timeline.tracks[lane]
        leave_ms = next((at for at in track.sendoffs if at > entry.at_ms), None)
        if track.paused_ms is not None or leave_ms is None or isinstance(entry, LeftLate):
            continue
        if leave_ms != getattr(entry, "leave_ms", None):
            continue
        if was.paused_ms is None and leave_ms in was.sendoffs:
            continue  # as planned
        spacing_ms = after.timeline.squad.lanes[lane].spacing_ms
        for swimmer, swim in enumerate(last_swims(after.timeline, lane, leave_ms - 1)):
            if swim is None or swim.home_ms <= entry.at_ms:
                continue
            leaves_ms = leave_ms + (0 if swim.index in track.cuts else swimmer * spacing_ms)
            if leaves_ms < swim.home_ms + NOTICE_MS:
                found.append((lane, swimmer, swim.home_ms, leave_ms))
    return found


@pytest.mark.parametrize("seed", range(150))
def test_nobody_is_sent_off_before_they_are_back(timeline, seed):
    rng, here, at_ms = random.Random(seed), fresh(timeline), 0
    for _ in range(6):
        at_ms += rng.randint(1, 150) * S
        entry = press(rng, here, at_ms)
        if entry is None:
            continue
        try:
            after = apply(here, entry)
        except CannotRun:
            continue
        assert not sent_too_soon(here, after, entry), entry
        here = after


@pytest.mark.parametrize(
    "journal",
    [
        # The second of lane 2 leaves 5, 109, 213, 317: at 367, told to leave on the main set long ago, still on that.
        (Moved(367 * S, Unit.SECTION, 1, 390 * S),),
        (SectionSet(364 * S, 2, 375 * S, (1, 2)),),
    ],
)
def test_a_late_swimmer_is_told_to_stop_on_their_own_repeat(timeline, journal):
    made = run(timeline, *journal)
    swim = last_swims(made.timeline, 1, journal[-1].at_ms)[1]
    assert swim.left_ms == 317 * S and swim.index in made.timeline.tracks[1].cuts
    assert swim.home_ms == (317 + 52) * S, "with the first 50 of it"


def test_after_undo_all_come_home_including_those_still_to_leave(timeline):
    # Lane 3, 91 s a hundred: sent back at 26 it leaves at 60, is told to at 140 and 220, and does at 151 and 242.
    # Undone at 229, it is home at 333.
    sent = run(timeline, Moved(26 * S, Unit.SECTION, -1, 60 * S, (2,)))
    assert presses.take_back(sent, 229 * S).leave_ms == 340 * S
