"""How well beeps keep time, and what they cost a frame. Run it: `python tests/bench/bench_sound.py [repeats]`.

Starts are taken from what SDL's disk driver recorded (no loudspeaker, no operating system's
mixer behind it), as the distance of each start from a line of least squares through all of
one run: the driver's clock runs a few per cent fast, and a constant lateness is tuned away.
The rival is the plain way: `Sound.play()` from the frame callback on Kivy's own buffer.
Every frame burns 2 ms of Python, which is what the face may cost, or 8 ms. Every figure is a median of the repeats
and its spread is (greatest - least) / 2. The caveat: the machine shares its cores.
"""

from __future__ import annotations

import platform
import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from pacer.signal import clip as clip_module
from pacer.signal.clip import CLIPS, samples
from pacer.signal.schedule import Wanted, plan_sounds
from pacer.signal.starter import Starter
from tests.signal.recording import child, heard, lateness_ms
from tests.signal.recording import samples as recorded

GRID_MS = 512 * 1000 / 44_100


def starts(mode: str, burden_ms: int) -> dict[str, float]:
    """95th percentiles in one run: of |deviation|, of the lateness behind the earliest, of the call itself."""
    with tempfile.TemporaryDirectory() as folder:
        facts, raw = child(Path(folder), mode, str(burden_ms))
        tones = heard(recorded(raw))
    assert len(tones) == len(facts["wanted"]), f"{len(tones)} of {len(facts['wanted'])} beeps were heard"
    late = lateness_ms(facts["wanted"], [tone.first for tone in tones])
    called = np.array(facts["called"]) - np.array(facts["wanted"])
    return {
        "deviation": float(np.percentile(np.abs(late), 95)),
        "behind": float(np.percentile(late - late.min(), 95)),
        "call": float(np.percentile(called, 95)),
    }


class Deaf:
    """A player that costs nothing."""

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
    mine, other = statistics.median(ours), statistics.median(theirs)
    spread = (max(ours) - min(ours)) / 2
    figures = f"{mine:9.2f} {unit:<3} {against:<30} {other:9.2f} {unit:<3} {mine / other:7.3f}"
    print(f"{what:<52} {figures} {len(ours):4d} {spread:7.2f}")


def main(repeats: int) -> None:
    print(f"{platform.machine()}, Python {platform.python_version()}, disk audio driver, {repeats} runs of 40 beeps each")
    heads = f"{'figure':>13} {'floor or rival, same run':<30} {'':>13} {'ratio':>7} {'runs':>4} {'spread':>7}"
    print(f"{'what':<52} {heads}")
    for burden_ms, load in ((2, "2 ms a frame"), (8, "8 ms a frame")):
        ours, rival = [], []
        for _ in range(repeats):   # in turn, so that a change of the machine's mood meets both
            ours.append(starts("ours", burden_ms))
            rival.append(starts("naive", burden_ms))
        for key, says in (("deviation", "start off its line, 95th"), ("behind", "start behind the earliest, 95th")):
            figures = [[run[key] for run in runs] for runs in (ours, rival)]
            row(f"{says}, {load}", figures[0], "Sound.play() in the frame", figures[1], "ms")
        behind = [run["behind"] for run in ours]
        row(f"start behind the earliest, 95th, {load}", behind, "the buffer of 512 frames", [GRID_MS], "ms")
        calls = [[run["call"] for run in runs] for runs in (ours, rival)]
        row(f"call behind its instant, 95th, {load}", calls[0], "call in the frame", calls[1], "ms")
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
        clip_module._wave_form.cache_clear()
        fresh.append(timed_us(lambda: [samples(clip) for clip in CLIPS], 1) / 1000)
    row("rendering all clips", fresh, "one 60 Hz frame", [1000 / 60], "ms")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
