"""Runs the app by itself in a process of its own, with fingers on it, through the app's own frame callback and player.

`session_child.py short`, `late` or `long`. Prints one JSON line: the journal, what the coach pressed when and when
clips were started, in session time. `long` runs in real time, and SDL may write what would be heard to a file; the
others go by a clock of their own (`Steps`).
"""

from __future__ import annotations

import json
import sys
import threading
import time

from tests.face.sessions import line, plan, squad

SOUNDING = 5  #: the lane that the coach chose

#: Session time in ms, what is pressed, for how long; the last is when it is over.
PRESSES = {
    "late": [(2_800, "busy", 0), (8_500, "", 0)],
    "short": [(22_600, "stop", 600), (25_800, "", 0)],
    "long": [(82_500, "mute", 60), (95_500, "mute", 60), (171_800, "stop", 600), (176_000, "", 0)],
}


def session(kind: str):
    """The plan and the squad: lanes 4, 5, 6, one swimmer each, 25 in about five seconds."""
    from dataclasses import replace

    if kind in ("short", "late"):
        sections = [("Warm-up", line(2, 25, on=6)), ("Main set", line(2, 25, on=(6, 7, 8)))]
    else:
        sections = [
            ("Warm-up", line(4, 25, on=7)),
            ("Skill set", line(3, 25, on=8), line(2, 25)),
            ("Main set", line(8, 25, on=(7, 8, 9))),
            ("Swim-down", line(9, 25, on=9)),
        ]
    return replace(plan(*sections), changeover_ms=4_000, starts_ms=5_000, clock_ms=1_000), squad(3, swimmers=1, base=17)


def note_calls(player, driver, called: list) -> None:
    """Write down what the player is told to sound, and at which session time, from now on."""
    play = player.output.play

    def noted(clip, volume) -> None:
        called.append((driver.at_ms(), clip.name))
        play(clip, volume)

    player.output.play = noted


class Steps:
    """The module `time` as the app's clock sees it.

    A clock that goes on by a step a frame, however long the frame takes.

    Before and after each step the player's thread is given the time to take up all that is due.
    """

    STEP_MS = 20

    def __init__(self):
        self.ms = 100_000_000
        self._waiting = threading.Event()  # the player's thread has nothing to do now

    def clock_gettime_ns(self, _clock) -> int:
        return self.ms * 1_000_000

    def monotonic_ns(self) -> int:
        return self.ms * 1_000_000

    def time_ns(self) -> int:
        return (1_800_000_000_000 + self.ms) * 1_000_000

    def watch(self, player) -> None:
        """From now on see when the player's thread waits."""
        wait = player.changed.wait

        def watched(timeout=None):
            self._waiting.set()
            return wait(timeout)

        player.changed.wait = watched

    def go_on(self, player) -> None:
        """One step."""
        self._settle(player)
        self.ms += self.STEP_MS
        self._settle(player)

    def keep_busy(self, player, until_ms: int) -> None:
        """Another volume, and a device that takes its time over it.

        The player's thread is late for whatever starts meanwhile.
        """

        def prepare(_volume) -> None:
            while self.ms < until_ms:
                self._waiting.set()
                time.sleep(0.001)

        player.output.prepare = prepare
        player.volume = 90

    def _settle(self, player) -> None:
        with player.changed:
            self._waiting.clear()
            player.changed.notify()
        assert self._waiting.wait(60), "the player's thread stands still"


def run(kind: str, steps: Steps | None) -> None:
    """The whole of it; without `steps` in real time."""
    from pacer.face.kit.kivysetup import prepare_kivy
    from pacer.session import timesource

    prepare_kivy()
    from kivy.clock import Clock
    from kivy.core.window import Window
    from kivy.graphics.opengl import glFinish
    from kivy.tests.common import UnitTestTouch

    from pacer.face.window import kivyapp
    from pacer.show.drive.settings import Settings

    if steps is not None:
        timesource.time, Clock._max_fps = steps, 0  # no frame waits for its turn
    pressed, held, drivers, called = [], [], [], []
    presses = list(PRESSES[kind])

    def step(_dt) -> None:
        face = kivyapp.App.get_running_app()
        shell = face.shell
        driver = shell.driver
        drivers[:] = [driver]
        at_ms = driver.at_ms()
        if at_ms is None:
            if face.player is not None:
                note_calls(face.player, driver, called)
                if steps is not None:
                    steps.watch(face.player)
                driver.do(driver.begin(5_000))
            return
        if steps is not None:
            steps.go_on(face.player)
            at_ms = driver.at_ms()
        if held and at_ms >= held[0][1]:
            held.pop()[0].touch_up()
        if held or at_ms < presses[0][0]:
            return
        _, name, ms = presses.pop(0)
        pressed.append((at_ms, name or "over"))
        if name == "busy":
            steps.keep_busy(face.player, steps.ms + 1_300)
        elif ms > 0:
            x, y, width, height = dict(shell.bar.placed())[name]
            touch = UnitTestTouch(x + width / 2, y + height / 2)
            touch.touch_down()
            held.append((touch, at_ms + ms))
        else:
            face.stop()

    # A window on a screen waits for its picture; without one the renderer's queue would hold everything up now and
    # then.
    Window.bind(on_flip=lambda *_: glFinish())
    Clock.schedule_interval(step, 0)
    written, lanes = session(kind)
    kivyapp.run_app(written, lanes, settings=Settings(cautions_read=1_000, lanes_that_sound=(SOUNDING,), latency_ms=0))
    journal = [[type(entry).__name__, entry.at_ms, getattr(entry, "leave_ms", None)] for entry in drivers[0].journal]
    print(json.dumps({"journal": journal, "pressed": pressed, "called": called}))


if __name__ == "__main__":
    run(sys.argv[1], None if sys.argv[1] == "long" else Steps())
