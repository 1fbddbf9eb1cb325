"""Card lists of the lane screens: how long a slice takes, how large they are, and what building them costs the window.

    python tests/bench/bench_cards.py

Two hours, ten lanes, eighty swimmers. The window's part is asked for frame after frame while another thread makes the
cards of all lanes, the dial and the pool again and again, a minute at a time with a rest as long as the slice took.
"""

from __future__ import annotations

import json
import statistics
import sys
import threading
import time
import zlib
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(Path(__file__).parent)]

from sessions import ten_lanes, two_hours

from pacer.screens.cardmaking import CardMaker, card_list, pack
from pacer.screens.screenpage import page_bytes
from pacer.session.journal.entries import Begun
from pacer.session.running.replay import Run, apply, fresh
from pacer.show.view.instantview import pool_view
from pacer.timeline.timeline import build_timeline

SLICE_MS, FRAMES, FRAME_S = 60_000, 1_500, 1 / 60


def slices(run: Run) -> list[tuple[int, int]]:
    """From when to when each slice of the rest of the session is."""
    return [(at, at + SLICE_MS) for at in range(-10_000, run.timeline.end_ms, SLICE_MS)]


def built(run: Run, kind: str) -> None:
    """Print how long slices take and how large all of them are."""
    times, cards = [], []
    for from_ms, until_ms in slices(run):
        begun = time.process_time()
        made = card_list(run, 0, kind, from_ms, until_ms)
        times.append(time.process_time() - begun)
        cards += made
    packed = json.dumps(pack(cards)).encode()
    print(f"{kind}: {len(cards)} cards; a minute's slice {statistics.median(times) * 1e3:.1f} ms, "
          f"at most {max(times) * 1e3:.1f} ms; all of it {sum(times) * 1e3:.0f} ms; "
          f"{len(packed) / 1e3:.0f} kB packed, {len(zlib.compress(packed)) / 1e3:.0f} kB deflated")  # fmt: skip


def frames(run: Run, beside: bool) -> list[float]:
    """How long each frame's `pool_view` took by the clock, with a thread that makes cards beside it or without."""
    over = threading.Event()

    def make() -> None:
        while not over.is_set():
            maker = CardMaker(run)
            for from_ms, until_ms in slices(run):
                begun = time.perf_counter()
                maker.pool(from_ms, until_ms)
                for lane in range(10):
                    maker.band(lane, True, from_ms, until_ms)
                if over.wait(time.perf_counter() - begun):
                    return

    thread = threading.Thread(target=make)
    if beside:
        thread.start()
    taken = []
    for frame in range(FRAMES):
        begun = time.perf_counter()
        pool_view(run, 600_000 + frame * 16)
        taken.append(time.perf_counter() - begun)
        time.sleep(FRAME_S / 2)
    over.set()
    if beside:
        thread.join()
    return sorted(taken)


def main() -> None:
    """Print it all."""
    run = apply(fresh(build_timeline(two_hours(), ten_lanes())), Begun(-10_000, 0, 0))
    print(f"page: {len(page_bytes()):,} bytes, {len(zlib.compress(page_bytes())):,} deflated")
    for kind in ("lane", "dial", "pool"):
        built(run, kind)
    for beside in (False, True, False, True):
        taken = frames(run, beside)
        middle, most, greatest = (taken[place] * 1e3 for place in (FRAMES // 2, FRAMES * 99 // 100, -1))
        beside_what = "while cards are made" if beside else "alone"
        print(
            f"pool view {beside_what}: median {middle:.2f} ms, 99th percentile {most:.2f}, greatest {greatest:.1f} ms"
        )


if __name__ == "__main__":
    main()
