"""A random evening on deck: presses that a coach might make, reproducible from a seed."""

from __future__ import annotations

from pacer.session.journal.entries import (
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
    Resumed,
    SectionSet,
    Stopped,
    SwimmerChanged,
    SwimmerJoined,
    SwimmerLeft,
    TakenBack,
    Unit,
)
from pacer.session.journal.recordentries import (
    Amount,
    Corrected,
    Feel,
    HeadsCounted,
    LaneSummed,
    Noted,
    Press,
    Rated,
    Touched,
    Watched,
)
from pacer.session.running import presses
from pacer.session.running.addandskip import lines_ahead
from pacer.session.running.instant import NOTICE_MS
from pacer.session.running.leavingagain import late_mark, move_mark, resume_mark
from pacer.session.running.replay import apply
from pacer.timeline.findings import CannotRun
from pacer.timeline.shape import up_to

PLAN = """\
title: Long-axis rotation 3
pool: 25 m
booking: 60 min
Warm-up, at most 6 min
  200 choice
  4 x 50 as 25 kick / 25 back, rest 0:15
Skill set, run on
  4 x 50 as 25 scull / 25 back easy, rest 0:20
Kick set
  A: 4 x 25 kick
  rest 0:20
  4 x 50 kick on 1:15 / 1:30
Main set, 2 rounds
  3 x 100 as 50 drill / 50 back, on 1:50 / 2:05 / 2:20
  rest 0:30
  2 x 50 back build, on base+0:25
Turns, for 4 min
  2 x 25 fly on 0:40
Swim-down
  2 x 100 choice
"""

SQUAD = """\
[[lane]]
number = 4
group = "A"
base = "1:18"
swimmers = 4
[[lane]]
group = "B"
base = "1:31.25"
spacing = "0:10"
swimmers = 2
[[lane]]
group = "B"
  [[lane.swimmer]]
  base = "1:44"
  [[lane.swimmer]]
  base = "1:52"
"""

#: Lines to add; the last has no entry for lanes of group B.
LINES = (
    "4 x 50 on 1:15",
    "100 choice",
    "2 x 25 sprint, rest 0:20\nrest 0:30\n50 easy",
    "  A: 4 x 25 fly on 0:40",
    "3 x (25 kick on 0:45 + 25 on 0:40)",
    "2 x 50 on A 1:00",
)


def lanes_of(rng, run):
    """All lanes, or some."""
    count = len(run.timeline.tracks)
    if rng.random() < 0.3:
        return None
    return tuple(sorted(rng.sample(range(count), rng.randint(1, count))))


def press(rng, run, at_ms):
    """One press that steers the session, or None if it would do nothing."""
    tracks, squad = run.timeline.tracks, run.timeline.squad
    lanes = lanes_of(rng, run)
    lane, other = rng.randrange(len(tracks)), rng.randrange(len(tracks))
    mark = up_to(at_ms + NOTICE_MS, run.timeline.plan.clock_ms)
    kind = rng.randrange(20)
    if kind <= 3 and run.paused() or kind == 0:
        if not run.paused():
            return None
        lanes = rng.choice((None, (rng.choice(run.paused()),), run.paused()))
        return Resumed(at_ms, resume_mark(run, at_ms, lanes) + 5_000 * rng.choice((0, 0, 1, 6)), lanes)
    match kind:
        case 1 | 2:
            return Paused(at_ms, lanes, rng.random() < 0.8)
        case 3:
            return Stopped(at_ms)
        case 4 | 5 | 6:
            unit, step = rng.choice(tuple(Unit)), rng.choice((-1, 1))
            together = unit is Unit.LINE and step > 0
            leave_ms = move_mark(run, at_ms, unit, step, lanes, together=together)
            return Moved(at_ms, unit, step, leave_ms, lanes, together)
        case 7:
            return LeftLate(at_ms, late_mark(run, at_ms, lanes), lanes)
        case 8:
            return Missed(at_ms, lanes)
        case 9 | 10:
            return CountChanged(at_ms, rng.choice((-1, 1)), mark, rng.random() < 0.3, lanes, True, True)
        case 11:
            return IntervalChanged(at_ms, rng.choice((45, 60, 75, 100, 130)) * 1000, mark, lanes)
        case 12:
            section = rng.randrange(len(run.timeline.plan.sections))
            return SectionSet(at_ms, section, up_to(at_ms + rng.choice((5, 60, 400)) * 1000, 30_000), lanes)
        case 13:
            return SwimmerJoined(at_ms, lane, mark, rng.choice((None, 0)), rng.choice((None, 95_000, 120_000)), "")
        case 14:
            here = len(squad.lanes[lane].swimmers)
            return SwimmerLeft(at_ms, lane, rng.randrange(here)) if here else None
        case 15:
            here = len(squad.lanes[lane].swimmers)
            place = rng.randrange(here) if here else 0
            if at_ms % 2:
                return presses.change_lane(run, at_ms, lane, place, other)
            return SwimmerChanged(at_ms, lane, place, other, mark) if here else None
        case 16:
            ahead = [at for at in tracks[other].sendoffs if at >= at_ms + NOTICE_MS]
            if lane == other or not ahead or tracks[other].paused_ms is not None:
                return None
            return LaneJoined(at_ms, lane, other, ahead[0], breaks_off=at_ms % 2 == 0)
        case 17:
            return TakenBack(at_ms)
        case 18:
            return LinePutIn(at_ms, rng.choice(LINES), mark, lanes, one_place=at_ms % 2 == 0, in_wait=at_ms % 3 == 0)
        case 19:
            coming = lines_ahead(run, at_ms, lanes)
            return LineLeftOut(at_ms, *rng.choice(coming), lanes) if coming else None
    return None


def taken_down(rng, at_ms):
    """One record, which changes no send-off."""
    lane, swimmer = rng.randrange(3), rng.randrange(4)
    return rng.choice((
        Touched(at_ms, lane, swimmer, rng.randrange(5), 1, 1, rng.randint(1, 4), at_ms - 47_123,
            rng.randint(2000, 12_000)),
        Touched(at_ms, lane, swimmer, rng.randrange(5), 1, 1, rng.randint(1, 4), at_ms - 47_123,
            rng.randint(2000, 12_000), called=True),
        Corrected(at_ms, rng.randint(1, 20), rng.choice((None, 4812))),
        Rated(at_ms, lane, (0, 148, 301, 447)),
        Noted(at_ms, rng.choice(("head still", "zu tief", "late catch ✓")), lane=lane),
        Watched(at_ms, 1, Press.SPLIT),
        HeadsCounted(at_ms, rng.randint(1, 12), True),
        LaneSummed(at_ms, lane, Amount.LESS, Feel.WELL, True),
        Matched(at_ms, rng.randrange(60_000)),
    ))  # fmt: skip


def evening(rng, run, length, *, steering=0.35):
    """Entries one after another, with the run after each: `(entry, run)`."""
    at_ms = rng.randint(-8_000, 20_000)
    made = 0
    while made < length:
        at_ms += (
            rng.choice((400, 3_000, 15_000, 40_000, 120_000)) if rng.random() < steering else rng.randint(100, 2_000)
        )
        entry = press(rng, run, at_ms) if rng.random() < steering else taken_down(rng, at_ms)
        if entry is None:
            continue
        try:
            run = apply(run, entry)
        except CannotRun:
            continue
        made += 1
        yield entry, run
