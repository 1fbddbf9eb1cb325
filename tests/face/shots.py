"""Pictures of the views, without a screen: `python tests/face/shots.py FOLDER [NAME …]`.

Sizes and states are those that a designer looks at first; the README's pictures are made with it too.
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
SIZES = {"1280x800": (1280, 800, 149.5), "800x1280": (800, 1280, 149.5), "1024x600": (1024, 600, 117.5)}   # 10.1 inch


def prepare() -> None:
    """Kivy without a screen and without anybody's settings; before it is imported."""
    os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
    os.environ.update(KIVY_NO_ARGS="1", KIVY_NO_CONFIG="1", KIVY_NO_FILELOG="1", KIVY_NO_CONSOLELOG="1")
    os.environ.setdefault("KIVY_HOME", tempfile.mkdtemp())
    sys.path.insert(0, str(ROOT))


def demo_run(lanes: int = 4, plan: str = "long-axis-rotation-3", swimmers: int = 4):
    """A demo plan begun at 18:00, swum by `lanes` lanes of the Brackenmere club."""
    from pacer.plan.reading import read_plan
    from pacer.session.journal import Begun
    from pacer.session.run import apply, fresh
    from pacer.squad.model import Lane, Pace, Squad, Swimmer
    from pacer.timeline.build import build_timeline

    written = read_plan((ROOT / "assets" / "plans" / f"{plan}.txt").read_text(encoding="utf-8"))
    paces = [Pace(78_000 + 6_000 * i) for i in range(lanes)]
    squad = Squad(tuple(Lane(i + 1, pace, (Swimmer(pace),) * swimmers) for i, pace in enumerate(paces)))
    timeline = build_timeline(written, squad, {(2, None): tuple(max(1, 3 - i // 2) for i in range(lanes))})
    return apply(fresh(timeline), Begun(-10_000, 0, 1_764_003_600_000, "+01:00"))


def views(at_ms: int = 31 * 60_000 + 42_000) -> dict:
    """Name to a function that makes (widget, view) for a theme and a glass."""
    from pacer.face.changeover import ChangeoverView
    from pacer.face.dial import DialView
    from pacer.face.lane import LaneView
    from pacer.face.pool import PoolView
    from pacer.face.told import changeover_view
    from pacer.face.view import dial_view, lane_view, pool_view
    from pacer.session.journal import Held
    from pacer.session.run import apply

    run = demo_run()
    held = apply(run, Held(at_ms - 30_000, (3,)))
    many = demo_run(10, swimmers=8)
    return {
        "pool": (PoolView, lambda: pool_view(held, at_ms)),
        "pool-six": (PoolView, lambda: pool_view(demo_run(6), at_ms + 11_000)),
        "pool-ten": (PoolView, lambda: pool_view(many, at_ms)),
        "pool-one": (PoolView, lambda: pool_view(demo_run(1), at_ms)),
        "pool-lead-in": (PoolView, lambda: pool_view(run, -4_000)),
        "lane-rest": (LaneView, lambda: lane_view(run, 0, at_ms - 5_000)),
        "lane-ready": (LaneView, lambda: lane_view(run, 0, at_ms + 12_000)),
        "lane-go": (LaneView, lambda: lane_view(run, 0, at_ms + 23_500)),
        "lane-go-next": (LaneView, lambda: lane_view(run, 0, at_ms + 26_500)),
        "lane-swim": (LaneView, lambda: lane_view(run, 1, at_ms + 62_000)),
        "lane-held": (LaneView, lambda: lane_view(held, 3, at_ms)),
        "lane-talk": (LaneView, lambda: lane_view(run, 2, 17 * 60_000 + 35_000)),
        "lane-done": (LaneView, lambda: lane_view(run, 2, 3 * 3_600_000)),
        "dial": (DialView, lambda: dial_view(run, at_ms)),
        "dial-ten": (DialView, lambda: dial_view(many, at_ms)),
        "changeover": (ChangeoverView, lambda: changeover_view(run, 17 * 60_000 + 35_000)),
        "changeover-ten": (ChangeoverView, lambda: changeover_view(many, 20 * 60_000)),
    }


def take(folder: Path, names: list[str], sizes=None, themes=("dark", "bright")) -> None:
    """Draw each view at each size in each theme, and write it down."""
    prepare()
    from kivy.base import EventLoop

    from pacer.face.legibility import Glass
    from pacer.face.theme import THEMES

    EventLoop.ensure_window()
    folder.mkdir(parents=True, exist_ok=True)
    for size, (width, height, dpi) in (sizes or SIZES).items():
        for name, (widget_class, view) in views().items():
            if names and name not in names:
                continue
            for theme in themes:
                widget = widget_class(theme=THEMES[theme], glass=Glass.of_dpi(dpi), size=(width, height), size_hint=(None, None))
                widget.show(view())
                EventLoop.idle()
                widget.export_to_png(str(folder / f"{name}-{size}-{theme}.png"))


if __name__ == "__main__":
    take(Path(sys.argv[1]), sys.argv[2:])
