"""The whole face against an empty Kivy app in the same run.

Start, frames, memory, an hour at speed.

    python tests/bench/bench_face.py

Each app runs in a separate process, in turn, drawn by software without a screen, 1280 x 800. The session has ten lanes,
eighty swimmers and two hours. The empty app is a default Kivy app, with Kivy's own configuration and log; the bare app
is just as empty, with Kivy set up as this app does it.
"""

from __future__ import annotations

import ctypes
import gc
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from itertools import pairwise
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(Path(__file__).parent)]

STARTS = 9
SECONDS = 8
FRAME_MS = 17
FRAMES = 6_000
HOUR_STEP_MS = 40
AGAIN = 3
WAVERS_KB = 400
BYTECODE, KIVY = (
    tempfile.TemporaryDirectory(),
    tempfile.TemporaryDirectory(),
)  #: what Python and Kivy write on the first start, as for an installed app


# -- in the children ----------------------------------------------------------------------------


def memory_kb() -> int:
    """The process's own memory: resident and not shared with others."""
    with open("/proc/self/status", encoding="ascii") as status:
        fields = dict(line.split(":", 1) for line in status)
    return int(fields["RssAnon"].split()[0])


def sized(own: bool) -> None:
    """Set up Kivy, by its defaults or as this app does (`own`), for a window of the measured size."""
    if own:
        from pacer.face.kit.kivysetup import prepare_kivy

        prepare_kivy(full=False)
    from kivy.config import Config

    Config.set("graphics", "width", "1280")
    Config.set("graphics", "height", "800")


def empty_app(own: bool):
    """The smallest possible Kivy app."""
    sized(own)
    from kivy.app import App
    from kivy.uix.widget import Widget

    class Empty(App):
        def build(self):
            return Widget()

    return Empty()


def face_app():
    """The app with the session, from reading the plan on; there is nothing to confirm."""
    sized(own=True)
    from pacer.face.kit.kivysetup import open_window

    open_window(full=False)
    from sessions import ten_lanes, two_hours

    from pacer.face.window.kivyapp import FaceApp
    from pacer.show.drive.settings import Settings
    from pacer.timeline.timeline import build_timeline

    return FaceApp(build_timeline(two_hours(), ten_lanes()), "", (), Settings(cautions_read=1_000))


def child(kind: str, seconds: float) -> None:
    """Run an app that long; print when its first picture was complete, its number of frames, and its memory."""
    app = {"empty": lambda: empty_app(own=False), "bare": lambda: empty_app(own=True), "face": face_app}[kind]()
    from kivy.clock import Clock
    from kivy.core.window import Window
    from kivy.graphics.opengl import glFinish

    facts = {}
    frames = [0]

    def flipped(*_args) -> None:
        # A window on a screen waits for its picture; without one the software renderer would queue pictures up in
        # memory.
        glFinish()
        if "first" not in facts:
            facts["first"], facts["processor"] = time.time(), time.process_time()
            Clock.schedule_once(begin, 2)

    def begin(_dt) -> None:
        if kind == "face":
            driver = app.shell.driver
            driver.do(driver.begin(1_000))
        Clock.schedule_once(settled, 2)  # swimmers are swimming when it is measured

    def settled(_dt) -> None:
        Clock.schedule_interval(count, 0)
        Clock.schedule_once(over, seconds)
        frames[0] = 0
        facts["from"] = time.perf_counter()

    def count(_dt) -> None:
        frames[0] += 1

    def over(_dt) -> None:
        facts["frames"] = frames[0] / (time.perf_counter() - facts.pop("from"))
        gc.collect()
        facts["memory"] = memory_kb()
        app.stop()

    Window.bind(on_flip=flipped)
    app.run()
    print(json.dumps(facts))


def look_at_all(run) -> None:
    """Let the views work out every repeat of the session once: they remember the result while the session runs."""
    from pacer.show.view.instantview import pool_view

    for at_ms in range(0, run.timeline.end_ms, 2_000):
        pool_view(run, at_ms)


def at_speed() -> None:
    """Python's time per frame of the whole shell, then an hour of session time at speed; prints times and growth."""
    sized(own=True)
    from kivy.core.window import Window
    from kivy.graphics.opengl import glFinish
    from sessions import ten_lanes, two_hours

    from pacer.timeline.timeline import build_timeline
    from tests.face.deck.leaves import Deck

    made = build_timeline(two_hours(), ten_lanes())
    deck = Deck(Window, (1280, 800), made=made)
    deck.begin(20_000)
    Window.bind(on_flip=lambda *_: glFinish())
    times = []
    for frame in range(FRAMES):
        deck.now_ms += FRAME_MS
        begun = time.thread_time()
        deck.shell.frame()
        times.append(time.thread_time() - begun)
        if frame % 50 == 0:
            deck.settle()
    times.sort()

    def stretch(minutes: int) -> tuple[int, int]:
        for _ in range(minutes * 60_000 // HOUR_STEP_MS):
            deck.frame(HOUR_STEP_MS)
            if deck.now_ms % 4_000 == 0:
                deck.settle()
        gc.collect()
        ctypes.CDLL(None).malloc_trim(0)  # return free memory to the system, on Linux
        return memory_kb(), len(gc.get_objects())

    look_at_all(deck.driver.run)
    stood = [stretch(20), stretch(60)]
    for _ in range(AGAIN):
        deck.leave()
        deck = Deck(Window, (1280, 800), made=made)
        deck.begin(20_000)
        stood.append(stretch(60))
    grown = [(after[0] - before[0], after[1] - before[1]) for before, after in pairwise(stood)]
    print(
        json.dumps(
            {
                "frame_99": times[int(0.99 * FRAMES)],
                "frame_median": statistics.median(times),
                "frame_most": times[-1],
                "within": grown[0],
                "again": grown[-1],
            }
        )
    )


# -- measuring ---------------------------------------------------------------------------------------


def run(*arguments: str, script: str = __file__) -> dict:
    """The facts from a child running `script`, with the seconds from its start to its first picture."""
    with tempfile.TemporaryDirectory() as folder:
        environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        environment |= {
            "HOME": folder,
            "PACER_HOME": folder,
            "PYTHONPYCACHEPREFIX": BYTECODE.name,
            "KIVY_HOME": KIVY.name,
            "KIVY_NO_ARGS": "1",
            "PYTHONPATH": str(ROOT),
            "SDL_VIDEODRIVER": "offscreen",
            "SDL_AUDIODRIVER": "dummy",
        }
        begun = time.time()
        done = subprocess.run(
            [sys.executable, script, *arguments], env=environment, capture_output=True, text=True, check=False
        )
    assert done.returncode == 0, done.stderr
    facts = json.loads(done.stdout.splitlines()[-1])
    if "first" in facts:
        facts["start"] = facts.pop("first") - begun
    return facts


def seconds(duration: float) -> str:
    """A duration in ms."""
    return f"{duration * 1e3:.2f} ms" if duration < 0.1 else f"{duration * 1e3:.0f} ms"


def spread(values: list[float], form) -> str:
    """The least and the greatest value."""
    return f"{form(min(values))} to {form(max(values))}"


def grown(left: tuple[int, int]) -> str:
    """What an hour left behind, memory in KB and objects; the app's memory varies by half a per cent anyway."""
    found = f"{left[0] / 1024:.1f} MB, {left[1]} objects"
    return f"none ({found})" if left[0] < WAVERS_KB else found


def compared(
    what: str,
    key: str,
    runs: dict[str, list[dict]],
    form,
    allowed: str,
    *,
    difference: bool = False,
    kind: str = "empty",
):
    """The face's median against another app's, as a row."""
    from table import Row

    ours, theirs = ([each[key] for each in runs[one]] for one in ("face", kind))
    mine, rival = statistics.median(ours), statistics.median(theirs)
    ratio = f"{form(mine - rival)} over" if difference else f"{mine / rival:.2f}"
    return Row(
        f"{what} ({allowed} allowed)" if allowed else what,
        form(mine),
        f"{kind} app {form(rival)}",
        ratio,
        spread(ours, form),
        len(ours),
    )


def main() -> None:
    """Measure and print."""
    from table import Row, print_table

    runs: dict[str, list[dict]] = {"empty": [], "bare": [], "face": []}
    for kind in runs:
        run(kind, "0.2")
    for number in range(STARTS):
        for kind in runs:
            runs[kind].append(run(kind, str(SECONDS if number % 3 == 0 else 0.2)))
    long = {kind: each[::3] for kind, each in runs.items()}
    speed = run("speed")
    print_table(
        [
            compared("start to first face", "start", runs, seconds, "1.25"),
            compared("the same", "start", runs, seconds, "", kind="bare"),
            compared("the same in processor time, which load changes less", "processor", runs, seconds, "1.25"),
            compared("frames a second", "frames", long, lambda value: f"{value:.1f}", "0.95 and more"),
            compared("memory", "memory", long, lambda value: f"{value / 1024:.1f} MB", "30 MB", difference=True),
            compared(
                "the same", "memory", long, lambda value: f"{value / 1024:.1f} MB", "", difference=True, kind="bare"
            ),
            Row(
                "Python time per frame of the whole shell, 10 lanes, 80 swimmers: 99th percentile (2 ms allowed)",
                seconds(speed["frame_99"]),
                "",
                "",
                f"median {seconds(speed['frame_median'])}, greatest {seconds(speed['frame_most'])}",
                FRAMES,
            ),
            Row(
                "an hour of session time at speed: growth, from 0:20 to 1:20",
                grown(speed["within"]),
                "texts that had not been shown before",
                "",
                "",
                1,
            ),
            Row(
                f"the same when the session was swum {AGAIN} times before: growth (none allowed)",
                grown(speed["again"]),
                "",
                "",
                "",
                1,
            ),
        ]
    )


if __name__ == "__main__":
    if len(sys.argv) == 1:
        main()
    elif sys.argv[1] == "speed":
        at_speed()
    else:
        child(sys.argv[1], float(sys.argv[2]))
