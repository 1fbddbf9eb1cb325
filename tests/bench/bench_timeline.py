"""Measure reading a plan, building the timeline, and the state at an instant.

    python tests/bench/bench_timeline.py [--profile]

Why building takes 1/8 of SimPy's time in medians (1/10 in the fastest of many runs of both), not 1/10: a profile shows
8,400 calls, and no single expensive step. Working out 100 lines for their lanes takes about half of the profiled time,
including their 14 shapes; the loop that lays out 160 passes takes an eighth by itself. Tried, each measured alternately
with the current code, and rejected because it gained nothing: later rounds as shifted copies of the first; identities
as keys for what lanes share; looking up each lane's page only once; not looking for changes on deck if there are none.

Listing 15,120 events takes 1/2.7 to 1/3.1 of SimPy's time, depending on the load. A third of that makes the event
tuples, a tenth sorts them. Tried and rejected likewise: each swimmer's events in order from the start, so that the sort
has an eighth as many runs; and times shared by all rounds of a line.
"""

from __future__ import annotations

import cProfile
import os
import pstats
import random
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parent)]

import simpy
from sessions import sixty_lines, ten_lanes, two_hours
from table import Row, against, alone, print_table, shown, spread_of

from pacer.plan.notation.planreader import read_plan
from pacer.session.running.instant import lane_states
from pacer.timeline.timeline import build_timeline

MOST_ROWS = 14  #: of a profile

FIRST_READING = """
import time
begun = time.process_time()
from pacer.plan.notation.planreader import read_plan
read_plan({text!r})
print(time.process_time() - begun)
"""


def rival(timeline) -> object:
    """SimPy running the same schedule.

    A process per swimmer that waits, in whole milliseconds, for each of its events and logs it.

    It is given every duration ready-made and leaves out which set, round and repeat an event belongs to, so it has less
    to do than the engine. Both know the same events at the same times.
    """
    waits: dict[tuple[int, int], list[tuple[int, str]]] = {}
    known = []
    for lane in range(len(timeline.lanes)):
        last_ms = dict.fromkeys(range(1, len(timeline.lanes[lane].swimmers) + 1), 0)
        for event in timeline.events(lane):
            waits.setdefault((lane, event.swimmer), []).append((event.at_ms - last_ms[event.swimmer], event.kind))
            last_ms[event.swimmer] = event.at_ms
            known.append((event.at_ms, lane, event.swimmer, event.kind))

    def run():
        environment, log = simpy.Environment(), []

        def swims(lane, swimmer, own):
            for wait_ms, kind in own:
                yield environment.timeout(wait_ms)
                log.append((environment.now, lane, swimmer, kind))

        for (lane, swimmer), own in waits.items():
            environment.process(swims(lane, swimmer, own))
        environment.run()
        return log

    assert sorted(run()) == sorted(known), "both swim the same session"
    return run


def first_readings(text: str, repeats: int) -> list[float]:
    """Processor seconds of the first reading in a new process, imports included.

    Compiled before, as what is installed is.
    """
    script = FIRST_READING.format(text=text)
    with tempfile.TemporaryDirectory() as compiled:
        surroundings = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        surroundings["PYTHONPYCACHEPREFIX"] = compiled
        return [
            float(
                subprocess.run(
                    [sys.executable, "-c", script],
                    capture_output=True,
                    text=True,
                    check=True,
                    env=surroundings,
                    cwd=Path(__file__).parents[2],
                ).stdout
            )
            for _ in range(repeats + 1)
        ][1:]


def print_profile(what: str, function: Callable[[], object], repeats: int) -> None:
    """Where the time of `function` goes: own time by function, as a share of all."""
    profile = cProfile.Profile()
    function()
    profile.enable()
    for _ in range(repeats):
        function()
    profile.disable()
    rows = [(own, calls, key) for key, (_, calls, own, _, _) in pstats.Stats(profile).stats.items()]
    whole = sum(own for own, _, _ in rows)
    print(f"\n{what}: {sum(calls for _, calls, _ in rows) // repeats:,} calls; own time")
    for own, calls, (path, _, name) in sorted(rows, reverse=True)[:MOST_ROWS]:
        print(f"{own / whole:6.1%}  {calls // repeats:>6} calls  {Path(path).stem}.{name}")


def main() -> None:
    plan, squad = two_hours(), ten_lanes()
    timeline = build_timeline(plan, squad)
    lanes = range(len(squad.lanes))
    count = sum(len(timeline.events(lane)) for lane in lanes)
    simulated = rival(timeline)
    instants = random.Random(7).choices(range(timeline.end_ms), k=500)
    text = sixty_lines()
    firsts = first_readings(text, 9)
    said = f"{timeline.end_ms / 3_600_000:.2f} h, {len(lanes)} lanes, 80 swimmers"
    print_table(
        [
            alone("reading a 60-line plan", lambda: read_plan(text), 30),
            Row(
                "the first in a new process, imports included",
                shown(sorted(firsts)[4]),
                spread=spread_of(firsts),
                repeats=9,
            ),
            against(f"timeline built ({said})", lambda: build_timeline(plan, squad), "SimPy", simulated, 15),
            against(
                f"all {count:,} events listed",
                lambda: [timeline.events(lane) for lane in lanes],
                "SimPy",
                simulated,
                15,
            ),
            alone(
                "state of 10 lanes at a random instant",
                lambda: [lane_states(timeline, t) for t in instants],
                20,
                per=500,
            ),
        ]
    )
    if "--profile" in sys.argv:
        print_profile("timeline built", lambda: build_timeline(plan, squad), 200)
        print_profile("events listed", lambda: [build_timeline(plan, squad).events(lane) for lane in lanes], 30)


if __name__ == "__main__":
    main()
