"""The cost of the face: the views at an instant, and Python's time per frame.

    python tests/bench/bench_view.py

Time per frame is the drawing thread's, so that everything else on the machine (such as a software renderer's own
threads) does not count; drawing itself, in Kivy's C code, is not Python's time.
"""

from __future__ import annotations

import os
import random
import statistics
import sys
import tempfile
import time
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parent)]
os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
os.environ.update(
    KIVY_NO_ARGS="1", KIVY_NO_CONFIG="1", KIVY_NO_FILELOG="1", KIVY_NO_CONSOLELOG="1", KIVY_HOME=tempfile.mkdtemp()
)

from sessions import ten_lanes, two_hours
from table import Row, alone, print_table, shown

from pacer.session.journal.entries import Begun
from pacer.session.running.replay import apply, fresh
from pacer.show.view.instantview import dial_view, lane_view, pool_view
from pacer.timeline.timeline import build_timeline

FRAME_MS = 17
FRAMES = 6_000


def run_of_ten_lanes():
    """A started session: two hours, eighty swimmers."""
    return apply(fresh(build_timeline(two_hours(), ten_lanes())), Begun(-10_000, 0, 1_764_003_600_000, "+01:00"))


def frames(what: str, widget, view, start_ms: int) -> Row:
    """Python's time for each of `FRAMES` frames in a row: working out the view, and drawing what has changed in it."""
    from kivy.base import EventLoop

    EventLoop.window.add_widget(widget)
    widget.show(view(start_ms))
    EventLoop.idle()
    times = []
    for frame in range(FRAMES):
        at_ms = start_ms + frame * FRAME_MS
        begun = time.thread_time()
        widget.show(view(at_ms))
        times.append(time.thread_time() - begun)
        if frame % 50 == 0:
            EventLoop.idle()
    EventLoop.window.remove_widget(widget)
    times.sort()
    return Row(
        f"Python time per frame, {what}: 99th percentile",
        shown(times[int(0.99 * FRAMES)]),
        "2 ms allowed for the pool view",
        "",
        f"median {shown(statistics.median(times))}, greatest {shown(times[-1])}",
        FRAMES,
    )


def main() -> None:
    """Measure and print."""
    run = run_of_ten_lanes()
    end_ms = run.timeline.end_ms
    rng = random.Random(1)
    instants = [rng.randrange(-10_000, end_ms) for _ in range(500)]
    onward = [end_ms // 2 + frame * FRAME_MS for frame in range(500)]
    rows = [
        alone(
            "pool view of 10 lanes, frame after frame",
            lambda: [pool_view(run, t, places=False) for t in onward],
            20,
            per=500,
        ),
        alone(
            "pool view of 10 lanes, at random instants",
            lambda: [pool_view(run, t, places=False) for t in instants],
            20,
            per=500,
        ),
        alone(
            "with the places of 80 swimmers, frame after frame",
            lambda: [pool_view(run, t) for t in onward],
            20,
            per=500,
        ),
        alone(
            "with the places of 80 swimmers, at random instants",
            lambda: [pool_view(run, t) for t in instants],
            20,
            per=500,
        ),
        alone("lane view, frame after frame", lambda: [lane_view(run, 0, t) for t in onward], 20, per=500),
    ]
    from kivy.base import EventLoop

    from pacer.face.clock.dialview import DialView
    from pacer.face.clock.laneview import LaneView
    from pacer.face.clock.poolview import PoolView
    from pacer.show.measure.legibility import Glass

    EventLoop.ensure_window()
    size = {"size": (1280, 800), "size_hint": (None, None), "glass": Glass.of_dpi(149.5)}
    rows += [
        frames("10 lanes, 80 swimmers, pool view", PoolView(**size), lambda t: pool_view(run, t), end_ms // 2),
        frames("lane view", LaneView(**size), lambda t: lane_view(run, 0, t), end_ms // 2),
        frames("dial, 10 lanes", DialView(**size), lambda t: dial_view(run, t), end_ms // 2),
    ]
    print_table(rows)


if __name__ == "__main__":
    main()
