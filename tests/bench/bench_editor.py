"""The time from a key press to the painted frame, in a plan of 300 lines (target: 50 ms, 95th percentile).

    python tests/bench/bench_editor.py

It uses a real, invisible window, drawn in software; keys come as SDL gives them to Kivy. The time runs from
the key to the end of the frame that shows it, with the graphics finished. Totals are worked out meanwhile, as
they are for a coach who keeps typing.
"""

from __future__ import annotations

import os
import random
import statistics
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(Path(__file__).parent)]
os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
os.environ.update(KIVY_NO_ARGS="1", KIVY_NO_CONFIG="1", KIVY_NO_FILELOG="1", KIVY_NO_CONSOLELOG="1")
os.environ.setdefault("KIVY_HOME", tempfile.mkdtemp())

from table import Row, print_table

SECTION = """\
Part {n}, 1 to 2 rounds
  2 x 50 as 25 scull "hips at the surface" / 25 back easy, rest 0:10, with snorkel
  "The head never moves."
  4 x 25 drill six-kick switch "six kicks, then roll", rest 0:{m:02d}
  # visit {n}
  100 back build, rate 32-40, on base+0:25
  2 x 50 back fast, on 1:10 / 1:20 / 1:40

"""
TEXT = "title: Long\npool: 25 m\nbooking: 20:00:00\n\n" + "".join(SECTION.format(n=n, m=10 + n % 40) for n in range(37))
SIZE, DPI = (1280, 800), 149.5
KEYS = 160


def percentile(times: list[float], share: float) -> float:
    """The value below which that share of the times is."""
    return sorted(times)[min(len(times) - 1, int(share * len(times)))]


def page_on_window():
    """An editor on the plan, on Kivy's window."""
    from kivy.config import Config

    for key, value in (("width", SIZE[0]), ("height", SIZE[1]), ("maxfps", 0), ("multisamples", 0)):
        Config.set("graphics", key, str(value))
    from kivy.base import EventLoop

    EventLoop.ensure_window()
    from pacer.face.editor.editorpage import EditorPage
    from pacer.plan.library.shelf import Shelf
    from pacer.show.measure.legibility import Glass
    from pacer.squad.files.squadreader import read_squad

    squad = read_squad((ROOT / "assets" / "squads" / "thursday.toml").read_text(encoding="utf-8"))
    shelf = Shelf(Path(tempfile.mkdtemp()))
    page = EditorPage(shelf, shelf.add(TEXT).name, squad, glass=Glass.of_dpi(DPI), size=SIZE, size_hint=(None, None))
    EventLoop.window.add_widget(page)
    page.pos, page.size = (0, 0), SIZE
    EventLoop.idle()
    return page


def typed(page, rng: random.Random) -> float:
    """Type one thing somewhere, wait until it is painted, and return the seconds."""
    from kivy.base import EventLoop
    from kivy.core.window import Window
    from kivy.graphics.opengl import glFinish

    begun = time.perf_counter()
    what = rng.random()
    if what < 0.72:
        Window.dispatch("on_textinput", rng.choice("4 x50free,onrest1:40/kickback "))
    elif what < 0.86:
        Window.dispatch("on_key_down", 8, 42, None, [])
    elif what < 0.9:
        Window.dispatch("on_key_down", 13, 40, None, [])
    elif what < 0.94:
        Window.dispatch("on_key_down", 122, 29, "z", ["ctrl"])
    else:
        Window.dispatch("on_key_down", 274, 81, None, [])
    EventLoop.idle()
    glFinish()
    return time.perf_counter() - begun


def measured(page, pause_s: float) -> list[float]:
    """Keys all over the plan, `pause_s` apart, with frames in between."""
    from kivy.base import EventLoop

    from pacer.plan.text.textbuffer import Spot

    rng, times = random.Random(7), []
    page.write()
    EventLoop.idle()
    for count in range(KEYS):
        if count % 25 == 0:
            line = rng.randrange(len(page.draft.lines))
            page.draft.go(Spot(line, 999))
            page.pane.went()
            EventLoop.idle()
        times.append(typed(page, rng))
        until = time.perf_counter() + pause_s
        while time.perf_counter() < until:
            EventLoop.idle()
    return times[20:]


def main() -> None:
    page = page_on_window()
    rows = []
    for what, pause_s in (
        ("as fast as it goes", 0.0),
        ("ten keys a second", 0.1),
        ("in the middle of working out totals", 0.4),
        ("after rests in which totals are worked out", 0.7),
    ):
        times = measured(page, pause_s)
        ms = [f"{1000 * value:.1f} ms" for value in (statistics.median(times), percentile(times, 0.95), max(times))]
        rows.append(
            Row(
                f"key to painted, {len(page.draft.lines)} lines, {what}",
                ms[0],
                "95th percentile " + ms[1],
                "",
                f"to {ms[2]}",
                len(times),
            )
        )
    page.close_down()
    print_table(rows)


if __name__ == "__main__":
    main()
