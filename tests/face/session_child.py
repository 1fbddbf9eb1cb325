"""Runs the app by itself in a process of its own, with fingers on it, while SDL writes what would be heard to a file.

`session_child.py short`, `late` or `long`. Prints one JSON line: the journal, what the coach pressed when and when clips were started, in session time.
Everything runs in real time, through the app's own frame callback and player.
"""

from __future__ import annotations

import json
import sys
import time

from tests.face.sessions import line, plan, squad

SOUNDING = 5      #: the lane that the coach chose

#: Session time in ms, what is pressed, for how long; the last is when it is over.
PRESSES = {
    "late": [(2_800, "busy", 0), (8_500, "", 0)],
    "short": [(22_600, "stop", 600), (25_800, "", 0)],
    "long": [(82_500, "mute", 60), (95_500, "mute", 60), (130_000, "lock", 60), (171_800, "stop", 600), (176_000, "", 0)],
}


def session(kind: str):
    """The plan and the squad: lanes 4, 5, 6, one swimmer each, 25 in about five seconds."""
    from dataclasses import replace

    if kind in ("short", "late"):
        sections = [("Warm-up", line(2, 25, on=6)), ("Main set", line(2, 25, on=(6, 7, 8)))]
    else:
        sections = [("Warm-up", line(4, 25, on=7)), ("Skill set", line(3, 25, on=8), line(2, 25)), ("Main set", line(8, 25, on=(7, 8, 9))),
                    ("Swim-down", line(9, 25, on=9))]
    return replace(plan(*sections), changeover_ms=4_000, starts_ms=5_000, clock_ms=1_000), squad(3, swimmers=1, base=17)


def note_calls(player, driver, called: list) -> None:
    """Write down what the player is told to sound, and at which session time, from now on."""
    play = player._output.play

    def noted(clip, volume) -> None:
        called.append((driver.at_ms(), clip.name))
        play(clip, volume)

    player._output.play = noted


def keep_busy(player) -> None:
    """Another volume, and a device that takes its time over it: the player's thread is late for whatever starts meanwhile."""
    player._output.prepare = lambda volume: time.sleep(1.3)
    player.volume = 90


def run(kind: str) -> None:
    """The whole of it."""
    from kivy.clock import Clock
    from kivy.core.window import Window
    from kivy.graphics.opengl import glFinish
    from kivy.tests.common import UnitTestTouch

    from pacer.face import app
    from pacer.face.settings import Settings

    pressed, held, drivers, called = [], [], [], []
    presses = list(PRESSES[kind])

    def step(_dt) -> None:
        face = app.App.get_running_app()
        shell = face.shell
        driver = shell.driver
        drivers[:] = [driver]
        at_ms = driver.at_ms()
        if at_ms is None:
            if face.player is not None:
                note_calls(face.player, driver, called)
                driver.do(driver.begin(5_000))
            return
        if held and at_ms >= held[0][1]:
            held.pop()[0].touch_up()
        if held or at_ms < presses[0][0]:
            return
        _, name, ms = presses.pop(0)
        pressed.append((at_ms, name or "over"))
        if name == "busy":
            keep_busy(face.player)
        elif ms > 0:
            x, y, width, height = dict(shell.bar.placed())[name]
            touch = UnitTestTouch(x + width / 2, y + height / 2)
            touch.touch_down()
            held.append((touch, at_ms + ms))
        else:
            face.stop()

    # A window on a screen waits for its picture; without one the renderer's queue would hold everything up now and then.
    Window.bind(on_flip=lambda *_: glFinish())
    Clock.schedule_interval(step, 0)
    written, lanes = session(kind)
    app.run_app(written, lanes, settings=Settings(cautions_read=1_000, lanes_that_sound=(SOUNDING,), latency_ms=0))
    journal = [[type(entry).__name__, entry.at_ms, getattr(entry, "leave_ms", None)] for entry in drivers[0].journal]
    print(json.dumps({"journal": journal, "pressed": pressed, "called": called}))


if __name__ == "__main__":
    run(sys.argv[1])
