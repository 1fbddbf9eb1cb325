"""Pictures of two evenings at the office, step by step, without a screen: `python tests/face/walkshots.py FOLDER`.

Sunday: Thursday's session is looked at, two bases are accepted, next Thursday's page is opened. Tuesday: the next page
is drafted, printed, put into the calendar, and found on the other tablet. The tests of the same names walk them, too.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from pathlib import Path
from unittest.mock import patch

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.face.shots import SIZES, prepare


def take(folder: Path) -> None:
    """Walk both at each size."""
    prepare()
    from kivy.config import Config

    for edge in ("width", "height"):
        Config.set("graphics", edge, "1280")
    Config.set("graphics", "multisamples", "0")
    from kivy.base import EventLoop

    EventLoop.ensure_window()
    from tests.face.coach import Coach
    from tests.face.drawing import pixels
    from tests.face.review.scene import SUNDAY_MS
    from tests.face.review.seriesscene import TUESDAY_MS, keep_series
    from tests.face.review.test_nextevening import walk
    from tests.face.review.test_reviewpage import sunday

    folder.mkdir(parents=True, exist_ok=True)
    window = EventLoop.window
    for size, (width, height, dpi) in SIZES.items():
        home = Path(tempfile.mkdtemp())
        made = []

        def coach(name: str, wall_ms: int) -> Coach:
            made.append(Coach(window, home / name, (width, height), dpi, wall_ms=wall_ms))
            return made[-1]

        def step(evening: str):
            def taken(name: str) -> None:
                made[0].frame()
                pixels((width, height)).save(folder / f"{evening}-{name}-{size}.png")

            return taken

        sunday(coach("sunday", SUNDAY_MS), step("sunday"))
        made.pop().leave()
        keep_series(home / "one")
        one = coach("one", TUESDAY_MS)
        one.window.remove_widget(one.office)
        two = coach("two", TUESDAY_MS)
        one.window.add_widget(one.office)
        with patch("pacer.face.pages.filechooser.open_facade", lambda name: None):
            walk(one, two, step("tuesday"))
        two.leave()
        one.leave()
        shutil.rmtree(home, ignore_errors=True)


if __name__ == "__main__":
    take(Path(sys.argv[1]))
