"""The cost of recording a time in a running session: the frame in which it counts, and the frame before it.

    python tests/bench/bench_expected.py

Two hours, ten lanes, eighty swimmers, all 5 % slower than written, every repeat timed. A frame is Python's time for
the pool view with the swimmers' places, by this thread's processor clock.
"""

from __future__ import annotations

import random
import statistics
import sys
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parent)]

from sessions import ten_lanes, two_hours
from table import Row, print_table, shown

from pacer.session.journal.entries import Begun
from pacer.session.records.touches import swim, touched
from pacer.show.drive.driver import Driver
from pacer.show.view.instantview import pool_view
from pacer.timeline.timeline import build_timeline


def main() -> None:
    """Measure and print."""
    rng, now = random.Random(1), [0]
    driver = Driver(
        build_timeline(two_hours(), ten_lanes()),
        now_ms=lambda: now[0],
        wall_ms=lambda: now[0],
        boot=lambda: "",
        journal=[Begun(-10_000, 0, 1_764_003_600_000, "+01:00")],
    )
    swims = [
        (found.left_ms + round(found.predicted_ms * rng.gauss(1.05, 0.01)), found)
        for lane, track in enumerate(driver.run.timeline.tracks)
        for index in range(len(track.sendoffs))
        for swimmer in range(8)
        if (found := swim(track, lane, index, swimmer)) is not None
    ]
    before, after = [], []
    for at_ms, found in sorted(swims):
        now[0] = at_ms
        before.append(frame(driver, at_ms - 17))
        begun = time.thread_time()
        driver.append(touched(found, at_ms))
        after.append(time.thread_time() - begun + frame(driver, at_ms))
    print_table([row("before a time is taken", before), row("in which a time is taken", after)])


def frame(driver: Driver, at_ms: int) -> float:
    """The cost of a frame of the pool view."""
    begun = time.thread_time()
    pool_view(driver.seen, at_ms, walls=driver.at_wall(at_ms))
    return time.thread_time() - begun


def row(what: str, times: list[float]) -> Row:
    """The 99th percentile of some frames."""
    times.sort()
    return Row(
        f"Python time of the frame {what}: 99th percentile",
        shown(times[int(0.99 * len(times))]),
        "2 ms allowed",
        "",
        f"median {shown(statistics.median(times))}, greatest {shown(times[-1])}",
        len(times),
    )


if __name__ == "__main__":
    main()
