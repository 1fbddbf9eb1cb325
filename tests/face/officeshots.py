"""Pictures of every page around the session, without a screen: `python tests/face/officeshots.py FOLDER [NAME …]`.

Names are those of `officepages`. `--bright` for the bright theme, `--large` for the tablet's own text at half as large
again, `--split` for parts of a split screen, `--focus` with a keyboard's focus on what it comes to first.
"""

from __future__ import annotations

import shutil
import sys
import tempfile
from dataclasses import replace
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.face.shots import SIZES, prepare

SPLIT = {"640x800": (640, 800, 149.5), "512x600": (512, 600, 117.5)}
TABBED = 3  #: how often the focus is moved on


def take(
    folder: Path,
    names: list[str],
    sizes=None,
    theme: str = "dark",
    fontscale: float = 1.0,
    focus: bool = False,
    mark: str = "",
) -> None:
    """Draw each page at each size, and write it down."""
    prepare()
    from kivy.config import Config

    for edge in ("width", "height"):
        Config.set("graphics", edge, "1280")
    Config.set("graphics", "multisamples", "0")
    from kivy.base import EventLoop

    EventLoop.ensure_window()
    from tests.face.coach import READ, TAB, Coach
    from tests.face.drawing import pixels
    from tests.face.officepages import PAGES

    folder.mkdir(parents=True, exist_ok=True)
    for size, (width, height, dpi) in (sizes or SIZES).items():
        for name, arrive in PAGES.items():
            if names and name not in names:
                continue
            home = Path(tempfile.mkdtemp())
            coach = Coach(
                EventLoop.window, home, (width, height), dpi, settings=replace(READ, theme=theme), fontscale=fontscale
            )
            arrive(coach)
            for _ in range(TABBED if focus else 0):
                coach.key(TAB)
            for _ in range(4):
                coach.frame(20)
            pixels((width, height)).save(folder / f"{name.replace(' ', '-')}-{size}{mark}.png")
            coach.leave()
            shutil.rmtree(home, ignore_errors=True)


if __name__ == "__main__":
    flags = {word for word in sys.argv[1:] if word.startswith("--")}
    to, *wanted = [word for word in sys.argv[1:] if word not in flags]
    take(
        Path(to),
        wanted,
        SPLIT if "--split" in flags else None,
        "bright" if "--bright" in flags else "dark",
        1.5 if "--large" in flags else 1.0,
        "--focus" in flags,
        "".join(sorted(flags)).replace("--", "-"),
    )
