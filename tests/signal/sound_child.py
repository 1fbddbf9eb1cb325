"""A child process whose sound SDL writes to a file.

It prints one JSON line: what should be heard when, on the child's own clock. Modes: `clips` plays every
clip through Player and Kivy, however long that takes; `ours` starts many single beeps through Player;
`naive` starts them from the frame callback on Kivy's own buffer, for the bench to compare with; `open`
opens the player and closes it.
"""

from __future__ import annotations

import json
import os
import sys
import tempfile
import time
from pathlib import Path

from pacer.signal.clip import CLIPS, COUNTDOWNS, LEAD_MS, RATE_HZ, TUNING, clip_file
from pacer.signal.player import monotonic_ms, open_player

SETTLE_MS = 1_000
MARGIN = 8_192  #: frames that may still be in the mixer's and the file's buffers
#: Single beeps, at distances that are not multiples of any buffer.
BEEPS = 40
DISTANCE_MS = 263


def frames(until_ms: float, clock_ms, frame, burden_ms: float = 0) -> None:
    """Run Kivy's own clock as a window would, with some Python work in every frame."""
    from kivy.clock import Clock

    while (now_ms := clock_ms()) < until_ms:
        frame(now_ms)
        burnt_ms = now_ms + burden_ms
        while clock_ms() < burnt_ms:
            pass
        Clock.tick()


def noting_calls(player, clock_ms) -> list[float]:
    """Record, from now on, when the player calls its back end to play."""
    called: list[float] = []
    play = player.output.play

    def noted(clip, volume) -> None:
        called.append(clock_ms())
        play(clip, volume)

    player.output.play = noted
    return called


def clips(_clock_ms) -> dict:
    """Play every clip, each after the one before is completely recorded; finally a count-down that is stopped.

    No time is measured: the player's clock stops while a clip sounds, and the length of the recording says when to
    continue.
    """
    raw, now = Path(os.environ["SDL_DISKAUDIOFILE"]), [0.0]
    player = open_player("linux", clock_ms=lambda: now[0])
    called = noting_calls(player, lambda: now[0])

    def begun(clip) -> tuple[int, int]:
        """Start a clip; return its token, and how many frames were recorded by then."""
        before = len(called)
        token = player.start(clip)
        until(lambda: len(called) > before)
        return token, written(raw)

    for clip in CLIPS:
        _, first = begun(clip)
        until(lambda: written(raw) > first + clip.length_ms * RATE_HZ // 1000 + MARGIN)
        now[0] += clip.length_ms
    tries = 0
    while True:  # on a busy machine it may have ended before it is stopped: then try again
        tries += 1
        token, first = begun(COUNTDOWNS[3])
        until(lambda: written(raw) > first + MARGIN)
        player.stop(token)
        until(lambda: player.sounding is None)
        last = written(raw)
        until(lambda: written(raw) > last + MARGIN)
        if last - first < LEAD_MS * RATE_HZ // 1000 - MARGIN or tries == 20:
            break
        now[0] += COUNTDOWNS[3].length_ms
    facts = {"name": player.name, "notes": player.notes(), "fine_grid": player.output.fine_grid, "tries": tries}
    player.close()
    return facts


def written(raw: Path) -> int:
    """The number of recorded frames on disk."""
    return raw.stat().st_size // 4 if raw.exists() else 0


def until(happened) -> None:
    """Wait until it has happened, however long the machine takes."""
    while not happened():
        time.sleep(0.002)


def ours(clock_ms, burden_ms: float) -> dict:
    player = open_player("linux", clock_ms=clock_ms)
    called = noting_calls(player, clock_ms)
    wanted = [SETTLE_MS + n * DISTANCE_MS for n in range(BEEPS)]
    waiting = list(wanted)

    def frame(now_ms: float) -> None:
        while waiting and waiting[0] < now_ms + 500:
            player.start(TUNING, waiting.pop(0))

    frames(wanted[-1] + 500, clock_ms, frame, burden_ms)
    facts = {"name": player.name, "notes": player.notes(), "wanted": wanted, "called": called}
    player.close()
    return facts


def naive(clock_ms, burden_ms: float) -> dict:
    from kivy.core.audio import SoundLoader

    with tempfile.TemporaryDirectory() as folder:
        sound = SoundLoader.load(str(clip_file(TUNING, Path(folder))))
    wanted = [SETTLE_MS + n * DISTANCE_MS for n in range(BEEPS)]
    waiting = list(wanted)

    called: list[float] = []

    def frame(now_ms: float) -> None:
        if waiting and waiting[0] <= now_ms:
            waiting.pop(0)
            called.append(clock_ms())
            sound.play()

    frames(wanted[-1] + 500, clock_ms, frame, burden_ms)
    return {"name": "naive", "wanted": wanted, "called": called}


def opened(clock_ms) -> dict:
    before_ms = monotonic_ms()
    player = open_player("linux", clock_ms=clock_ms)
    after_ms = monotonic_ms()
    facts = {"name": player.name, "notes": player.notes(), "open_ms": after_ms - before_ms}
    player.close()
    return facts


if __name__ == "__main__":
    mode, burden = sys.argv[1], float(sys.argv[2]) if len(sys.argv) > 2 else 0.0
    zero_ms = time.monotonic_ns() / 1e6

    def since_start_ms() -> float:
        return monotonic_ms() - zero_ms

    if mode == "clips":
        result = clips(since_start_ms)
    elif mode == "open":
        result = opened(since_start_ms)
    else:
        result = {"ours": ours, "naive": naive}[mode](since_start_ms, burden)
    print(json.dumps(result))
