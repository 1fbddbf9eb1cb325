"""How exact beeps are, and what they cost a frame. Run it: `python tests/bench/bench_sound.py [repeats]`.

A clip starts in two steps: the call, measured by the clock, and the mixer's next buffer, whose
size is the grid of the starts in the recording. "Start" is the sum: the measured calls, each with
a wait spread evenly over the measured grid (tuning removes a constant rest). "Recorded start" is
the distance of the starts from a least-squares line through all of a run's starts: it only means
something on an idle machine, because the recording's own clock drifts under load. SDL's disk
driver makes the recording: there is no loudspeaker and no system mixer.

The rival is the simple way: `Sound.play()` from the frame callback on Kivy's own buffer.
Every frame burns 2 ms of Python, which is the face's budget, or 8 ms. Every figure is a median of
the runs, its spread (greatest - least) / 2.
"""

from __future__ import annotations

import math
import os
import platform
import random
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from pacer.signal import clip as clip_module
from pacer.signal.clip import CLIPS, samples
from pacer.signal.clipschedule import Wanted, plan_sounds
from pacer.signal.clipstarter import Starter
from tests.signal.recording import child, heard, lateness_ms
from tests.signal.recording import samples as recorded

FRAME_MS = 1000 / 44_100


def run(mode: str, burden_ms: int) -> dict[str, float]:
    """95th percentiles of one run, in ms, and its grid."""
    with tempfile.TemporaryDirectory() as folder:
        facts, raw = child(Path(folder), mode, str(burden_ms))
        firsts = [tone.first for tone in heard(recorded(raw))]
    called, wanted = np.array(facts["called"]), np.array(facts["wanted"])
    called -= wanted[np.searchsorted(wanted, called + 1) - 1]  # the player skips a beep that is far too late
    grid_ms = math.gcd(*np.diff(firsts).tolist()) * FRAME_MS
    waits = (np.arange(100) + 0.5) / 100 * grid_ms
    complete = len(firsts) == len(wanted)  # on a busy machine two of the rival's beeps may merge
    off = np.abs(lateness_ms(facts["wanted"], firsts)) if complete else [math.nan]
    return {
        "call": float(np.percentile(called, 95)),
        "grid": grid_ms,
        "start": float(np.percentile(np.add.outer(called, waits), 95)),
        "recorded start": float(np.percentile(off, 95)),
    }


class Deaf:
    """A player that does nothing."""

    usual_latency_ms = 0

    def start(self, clip, at_ms):
        return 1

    def stop(self, token):
        pass


def wanted_of_a_session() -> list[Wanted]:
    chance = random.Random(11)
    sendoffs = [Wanted(n * 90_000 + 5_000 * chance.randrange(6), lane) for lane in range(10) for n in range(80)]
    return sendoffs + [Wanted(n * 900_000) for n in range(8)]


def timed_us(act: Callable[[], object], times: int) -> float:
    before = time.perf_counter_ns()
    for _ in range(times):
        act()
    return (time.perf_counter_ns() - before) / times / 1000


def row(what: str, ours: list[float], against: str, theirs: list[float], unit: str) -> None:
    if np.isnan(ours).all() or np.isnan(theirs).all():
        print(f"{what:<52} none: the machine was too busy for a whole run")
        return
    mine, other = float(np.nanmedian(ours)), float(np.nanmedian(theirs))
    spread = float(np.nanmax(ours) - np.nanmin(ours)) / 2
    figures = f"{mine:9.2f} {unit:<3} {against:<30} {other:9.2f} {unit:<3} {mine / other:7.3f}"
    print(f"{what:<52} {figures} {len(ours):4d} {spread:7.2f}")


def main(repeats: int) -> None:
    print(f"{platform.machine()}, Python {platform.python_version()}, disk audio, {repeats} runs of 40 beeps each")
    print(f"load average at the start {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores; beeps: 95th percentiles")
    heads = f"{'figure':>13} {'floor or rival, same run':<30} {'':>13} {'ratio':>7} {'runs':>4} {'spread':>7}"
    print(f"{'what':<52} {heads}")
    for burden_ms in (2, 8):
        ours, rival = [], []
        for _ in range(repeats):  # in turn, so that changes in the machine's load affect both
            ours.append(run("ours", burden_ms))
            rival.append(run("naive", burden_ms))
        for what in ("call", "grid", "start", "recorded start"):
            figures = [[each[what] for each in runs] for runs in (ours, rival)]
            row(f"{what}, {burden_ms} ms a frame", figures[0], "Sound.play() in the frame", figures[1], "ms")
    wanted = wanted_of_a_session()
    programme = plan_sounds(wanted)
    starter = Starter(Deaf())
    frames = iter(range(0, 10**9, 17))
    frame = [timed_us(lambda: starter.update(next(frames) % 7_200_000, programme), 20_000) for _ in range(5)]
    row("starter.update, a frame", frame, "2 ms of Python a frame", [2_000.0], "us")
    plan = [timed_us(lambda: plan_sounds(wanted), 5) for _ in range(5)]
    in_order = [timed_us(lambda: sorted(wanted, key=lambda each: each.at_ms), 5) for _ in range(5)]
    row(f"plan_sounds of {len(wanted)} instants", plan, "sorted() of them by time", in_order, "us")
    fresh = []
    for _ in range(5):
        clip_module.tone_samples.cache_clear()
        fresh.append(timed_us(lambda: [samples(clip) for clip in CLIPS], 1) / 1000)
    row("rendering all clips", fresh, "one 60 Hz frame", [1000 / 60], "ms")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
