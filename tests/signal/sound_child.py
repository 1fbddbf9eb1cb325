"""Runs in a process of its own, with SDL writing what would be heard to a file.

Prints one JSON line: what was meant to be heard when, on the child's own clock. Modes:
`session` plays a short one through Starter, Player and Kivy; `ours` starts many single
beeps through Player; `naive` starts them from the frame callback on Kivy's own buffer, as
the rival that the bench compares with; `open` opens the player and closes it.
"""

from __future__ import annotations

import json
import sys
import tempfile
import time
from pathlib import Path

from pacer.signal.clip import STOP_ALL, TICK, TUNING, clip_file
from pacer.signal.player import monotonic_ms, open_player
from pacer.signal.schedule import Wanted, plan_sounds
from pacer.signal.starter import Starter

SETTLE_MS = 1_000
#: Single beeps at distances that no buffer divides evenly.
BEEPS = 40
DISTANCE_MS = 263


def frames(until_ms: float, clock_ms, frame, burden_ms: float = 0) -> None:
    """Kivy's own clock ticks as it would below a window, and every frame costs some Python."""
    from kivy.clock import Clock

    while (now_ms := clock_ms()) < until_ms:
        frame(now_ms)
        burnt_ms = now_ms + burden_ms
        while clock_ms() < burnt_ms:
            pass
        Clock.tick()


def noting_calls(player, clock_ms) -> list[float]:
    """When the player calls its back end to play, from now on."""
    called: list[float] = []
    play = player._output.play

    def noted(clip, volume) -> None:
        called.append(clock_ms())
        play(clip, volume)

    player._output.play = noted
    return called


def session(clock_ms) -> dict:
    player = open_player("linux", clock_ms=clock_ms)
    called = noting_calls(player, clock_ms)
    starter = Starter(player, latency_ms=0)
    held_ms, stop_ms, end_ms = 9_100, 10_200, 13_900
    every = [Wanted(4_000), Wanted(5_500, 0), Wanted(7_600, 1), Wanted(7_600, 3)]
    before = plan_sounds([*every, Wanted(11_500, 2)])   # its first beep sounds at 8,500, its second at 9,500
    after = plan_sounds(every)                          # the lane is held in between
    ticks = [held_ms + 100 + 73 * n for n in range(12)]
    told: list[float] = []

    def frame(now_ms: float) -> None:
        starter.update(int(now_ms), before if now_ms < held_ms else after)
        while ticks and ticks[0] - 200 <= now_ms:
            player.start(TICK, ticks.pop(0))
        if now_ms >= stop_ms and not told:
            told.append(now_ms)
            player.start(STOP_ALL)

    frames(end_ms, clock_ms, frame)
    facts = {"name": player.name, "notes": player.notes(), "stop_ms": told[0], "called": called}
    player.close()
    return facts


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

    if mode == "session":
        result = session(since_start_ms)
    elif mode == "open":
        result = opened(since_start_ms)
    else:
        result = {"ours": ours, "naive": naive}[mode](since_start_ms, burden)
    print(json.dumps(result))
