"""The processor time of a session that nobody touches, against an empty Kivy app that draws every frame.

Both are measured in the same run.

    python tests/bench/bench_idle.py

Each app runs in a separate process, in turn, drawn by software without a screen, 1280 x 800. The session has ten lanes,
eighty swimmers and two hours. A figure is the processor time of the whole process, user and system, per second: the
median of several periods after a warm-up, when everything has been drawn once (shaders compiled, letters painted).
"""

from __future__ import annotations

import json
import statistics
import sys
import time

from bench_face import empty_app, face_app, run, spread
from table import Row, print_table

WARM_UP, STRETCH, STRETCHES, ROUNDS = 10, 5, 3, 2
VIEWS = ("pool", "lane", "dial")
BEGUN_MS = 60_000  #: the session's time when the warm-up begins: swimmers are swimming
HALF = 0.5


def child(kind: str) -> None:
    """Run the empty app, or the app in a view; print processor time and pictures per second for each period."""
    app = empty_app(own=False) if kind == "empty" else face_app()
    from kivy.clock import Clock
    from kivy.core.window import Window
    from kivy.graphics.opengl import glFinish

    flips, found, begun = [0], [], []

    def flipped(*_args) -> None:
        glFinish()  # without a screen to wait for, pictures would queue up in memory
        flips[0] += 1

    def begin(_dt) -> None:
        if kind == "empty":
            Clock.schedule_interval(lambda _dt: Window.canvas.ask_update(), 0)
        else:
            from dataclasses import replace

            shell, driver = app.shell, app.shell.driver
            if kind == "lane":
                shell.fill(4)
            else:
                shell.show_view(kind)
            proposal = driver.begin(1_000)
            driver.do(
                replace(
                    proposal,
                    entry=replace(
                        proposal.entry,
                        boot_ms=proposal.entry.boot_ms - BEGUN_MS,
                        wall_ms=proposal.entry.wall_ms - BEGUN_MS,
                    ),
                )
            )
        Clock.schedule_once(stretch, WARM_UP)

    def stretch(_dt) -> None:
        now = time.process_time(), time.perf_counter(), flips[0]
        if begun:
            seconds = now[1] - begun[1]
            found.append(((now[0] - begun[0]) / seconds, (now[2] - begun[2]) / seconds))
        begun[:] = now
        if len(found) == STRETCHES:
            app.stop()
        else:
            Clock.schedule_once(stretch, STRETCH)

    Window.bind(on_flip=flipped)
    Clock.schedule_once(begin, 2)
    app.run()
    print(json.dumps({"found": found}))


def ms(share: float) -> str:
    """A share of a core as milliseconds of each second."""
    return f"{1e3 * share:.0f} ms"


def main() -> None:
    """Measure and print."""
    runs: dict[str, list[list[float]]] = {kind: [] for kind in ("empty", *VIEWS)}
    for _ in range(ROUNDS):
        for kind, found in runs.items():
            found += run(kind, script=__file__)["found"]
    work = {kind: [each[0] for each in found] for kind, found in runs.items()}
    pictures = {kind: statistics.median(each[1] for each in found) for kind, found in runs.items()}
    empty = statistics.median(work["empty"])
    print_table(
        [
            Row(
                f"{view}, nobody touching: processor time a second, {pictures[view]:.1f} pictures ({HALF} of an "
                "empty app's allowed)",
                ms(statistics.median(work[view])),
                f"empty app, {pictures['empty']:.0f} pictures, {ms(empty)}",
                f"{statistics.median(work[view]) / empty:.2f}",
                spread(work[view], ms),
                len(work[view]),
            )
            for view in VIEWS
        ]
    )


if __name__ == "__main__":
    if len(sys.argv) == 1:
        main()
    else:
        child(sys.argv[1])
