"""Sessions that ask the most of a screen: the longest words and times, every state, one to ten lanes."""

from __future__ import annotations

from functools import lru_cache

from pacer.plan.notation.planreader import read_plan
from pacer.session.journal.entries import Begun, Ended, Paused, Stopped
from pacer.session.running.replay import apply, fresh
from pacer.squad.squad import Lane, Pace, Squad, Swimmer
from pacer.timeline.timeline import build_timeline

DRILL = "shoulder-to-the-sky switch with long pause"[:40]
CUE = "The head never moves, the ceiling line does not either; six kicks, then roll from the hips, not the shoulders."

GEAR = "with fins and snorkel and ankle band"

PLAN = f"""title: The Brackenmere club's long-axis rotation series, evening number 13
pool: 25 m
booking: 3:00:00

Warm-up and getting used to the water, easy
  2 x 50 choice, on 1:30

Main set of the long-axis series, 1 to 2 rounds
  4 x 200 as 50 drill {DRILL} back "{CUE}" / 50 back build "same roll", on 4:00 / 4:20 / 4:45 / 5:00, {GEAR}
  2000 as 25 drill {DRILL} "{CUE}" / 25 free, on 1:10:00
  rest 1:00
  6 x 0:30 kick vertical "tall", rest 0:30

Swim-down, easy
  100 choice
"""


@lru_cache
def run(lanes: int, swimmers: int = 8):
    """Begun at noon, with so many lanes, numbered so that the widest number is among them."""
    paces = [Pace(78_000 + 3_000 * i) for i in range(lanes)]
    numbers = [i + 1 for i in range(lanes)] if lanes != 1 else [10]
    squad = Squad(tuple(Lane(number, pace, (Swimmer(pace),) * swimmers) for number, pace in zip(numbers, paces)))
    timeline = build_timeline(read_plan(PLAN), squad, {(1, None): (2,) * lanes})
    return apply(fresh(timeline), Begun(-10_000, 0, 1_764_003_600_000, "+00:00"))


@lru_cache
def moments(lanes: int) -> dict:
    """Name to a run and an instant: every state is among them."""
    begun = run(lanes)
    main = begun.timeline.gates[1]
    long = next(
        at for at, pass_ in ((p.start_ms, p) for p in begun.timeline.tracks[0].passes) if pass_.laneline.number == 2
    )
    return {
        "before": (fresh(begun.timeline), 42_000),
        "lead-in": (begun, -8_000),
        "talk": (begun, main - 31_000),
        "ready": (begun, main - 7_000),
        "go": (begun, main + 600),
        "go-next": (begun, main + 3_000),
        "swim": (begun, main + 70_000),
        "rest": (begun, main + 218_000),
        "an hour to go": (begun, long + 62_000),
        "paused": (apply(begun, Paused(main + 80_000, (0,))), main + 90_000),
        "stopped": (apply(begun, Stopped(main + 80_000)), main + 90_000),
        "ended": (apply(begun, Ended(main + 80_000)), main + 90_000),
        "ended late": (apply(begun, Ended(begun.timeline.end_ms - 60_000)), begun.timeline.end_ms),
        "done": (begun, begun.timeline.end_ms + 5_000),
        "last set": (begun, begun.timeline.end_ms - 20_000),
    }
