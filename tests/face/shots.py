"""Pictures of the views, without a screen: `python tests/face/shots.py FOLDER [NAME …]`.

Sizes and states are those that a designer looks at first; the README's pictures are made with it too.
"""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
SIZES = {"1280x800": (1280, 800, 149.5), "800x1280": (800, 1280, 149.5), "1024x600": (1024, 600, 117.5)}  # 10.1 inch


def prepare() -> None:
    """Kivy without a screen and without anybody's settings; before it is imported."""
    os.environ.setdefault("SDL_VIDEODRIVER", "offscreen")
    os.environ.update(KIVY_NO_ARGS="1", KIVY_NO_CONFIG="1", KIVY_NO_FILELOG="1", KIVY_NO_CONSOLELOG="1")
    os.environ.setdefault("KIVY_HOME", tempfile.mkdtemp())
    sys.path.insert(0, str(ROOT))


def demo_run(
    squad_name: str = "thursday", plan: str = "long-axis-rotation-3", lanes: int | None = None, swimmers: int = 8
):
    """A demo plan begun at 18:00, swum by a demo squad, or by `lanes` lanes from fast to slow."""
    from pacer.plan.notation.planreader import read_plan
    from pacer.session.journal.entries import Begun
    from pacer.session.running.replay import apply, fresh
    from pacer.squad.files.squadreader import read_squad
    from pacer.squad.squad import Lane, Pace, Squad, Swimmer
    from pacer.timeline.fit.fitcounts import fit
    from pacer.timeline.timeline import build_timeline

    written = read_plan((ROOT / "assets" / "plans" / f"{plan}.txt").read_text(encoding="utf-8"))
    if lanes is None:
        squad = read_squad((ROOT / "assets" / "squads" / f"{squad_name}.toml").read_text(encoding="utf-8"))
    else:
        paces = [Pace(78_000 + 4_000 * i) for i in range(lanes)]
        squad = Squad(tuple(Lane(i + 1, pace, (Swimmer(pace),) * swimmers) for i, pace in enumerate(paces)))
    timeline = build_timeline(written, squad, fit(written, squad).counts)
    return apply(fresh(timeline), Begun(-10_000, 0, 1_764_003_600_000, "+01:00"))


def instant(run, lane: int, state: str, after_ms: int = 20 * 60_000, later_ms: int = 0) -> int:
    """The first whole second after `after_ms` at which the lane is in that state, and `later_ms` on."""
    from pacer.show.view.instantview import pool_view

    for at_ms in range(after_ms, 4 * 3_600_000, 1000):
        if pool_view(run, at_ms, places=False).bands[lane].text.state == state:
            return at_ms + later_ms
    raise ValueError(state)


def views() -> dict:
    """Name to the widget's class and a function that makes what it shows."""
    from pacer.face.clock.changeoverview import ChangeoverView
    from pacer.face.clock.dialview import DialView
    from pacer.face.clock.laneview import LaneView
    from pacer.face.clock.poolview import PoolView
    from pacer.plan.notation.planreader import read_plan
    from pacer.session.journal.entries import Begun, Paused
    from pacer.session.running.replay import apply, fresh
    from pacer.show.view.instantview import dial_view, lane_view, pool_view
    from pacer.show.wording.changeovertext import changeover_view
    from pacer.squad.files.squadreader import read_squad
    from pacer.timeline.timeline import build_timeline
    from tests.show.view.test_tight import PLAN, SQUAD

    three = demo_run("masters")
    four = demo_run(lanes=4, swimmers=4)
    six = demo_run()
    ten = demo_run(lanes=10)
    one = demo_run(lanes=1, swimmers=5)
    busy = instant(four, 0, "rest", 26 * 60_000, 2_000)
    held = apply(four, Paused(busy - 30_000, (3,)))
    talk = instant(six, 2, "talk", later_ms=4_000)
    tight = apply(fresh(build_timeline(read_plan(PLAN), read_squad(SQUAD))), Begun(0, 0, 1_764_003_600_000))
    return {
        "pool": (PoolView, lambda: pool_view(held, busy)),
        "pool-three": (PoolView, lambda: pool_view(three, instant(three, 1, "ready", later_ms=4_000))),
        "pool-six": (PoolView, lambda: pool_view(six, instant(six, 1, "go"))),
        "pool-busy": (PoolView, lambda: pool_view(six, 2_252_000)),
        "pool-ten": (PoolView, lambda: pool_view(ten, instant(ten, 0, "ready", 26 * 60_000))),
        "pool-one": (PoolView, lambda: pool_view(one, instant(one, 0, "swim", later_ms=40_000))),
        "pool-tight": (PoolView, lambda: pool_view(tight, 98_000)),
        "lane-tight": (LaneView, lambda: lane_view(tight, 1, 98_000)),
        "pool-lead-in": (PoolView, lambda: pool_view(six, -4_000)),
        "pool-before": (PoolView, lambda: pool_view(fresh(six.timeline), 0)._replace(whose="off")),
        "pool-after": (PoolView, lambda: pool_view(six, 2 * 3_600_000)),
        "lane-rest": (LaneView, lambda: lane_view(six, 0, instant(six, 0, "rest", later_ms=2_000))),
        "lane-ready": (LaneView, lambda: lane_view(six, 0, instant(six, 0, "ready", later_ms=3_000))),
        "lane-go": (LaneView, lambda: lane_view(six, 0, instant(six, 0, "go", later_ms=500))),
        "lane-go-next": (LaneView, lambda: lane_view(six, 0, instant(six, 0, "go", later_ms=2_500))),
        "lane-swim": (LaneView, lambda: lane_view(six, 1, instant(six, 1, "swim", later_ms=62_000))),
        "lane-held": (LaneView, lambda: lane_view(held, 3, busy)),
        "lane-talk": (LaneView, lambda: lane_view(six, 2, talk)),
        "lane-before": (LaneView, lambda: lane_view(fresh(six.timeline), 2, 0)._replace(whose="off")),
        "lane-done": (LaneView, lambda: lane_view(six, 2, 3 * 3_600_000)),
        "dial": (DialView, lambda: dial_view(four, busy)),
        "dial-six": (DialView, lambda: dial_view(six, instant(six, 1, "go", 40 * 60_000))),
        "dial-ten": (DialView, lambda: dial_view(ten, instant(ten, 0, "rest", 26 * 60_000))),
        "changeover": (ChangeoverView, lambda: changeover_view(six, talk)),
        "changeover-gear": (ChangeoverView, lambda: changeover_view(six, instant(six, 2, "talk", 60_000))),
        "changeover-ten": (ChangeoverView, lambda: changeover_view(ten, instant(ten, 0, "ready", 14 * 60_000))),
    }


def take(folder: Path, names: list[str], sizes=None, themes=("dark", "bright")) -> None:
    """Draw each view at each size in each theme, and write it down."""
    prepare()
    sizes = sizes or SIZES
    from kivy.config import Config

    for side, name in enumerate(("width", "height")):
        Config.set("graphics", name, str(max(size[side] for size in sizes.values())))
    from kivy.base import EventLoop

    from pacer.show.measure.legibility import Glass
    from pacer.show.measure.theme import THEMES
    from tests.face.drawing import drawn_in, pixels

    EventLoop.ensure_window()
    folder.mkdir(parents=True, exist_ok=True)
    for size, (width, height, dpi) in sizes.items():
        for name, (widget_class, view) in views().items():
            if names and name not in names:
                continue
            for theme in themes:
                widget = drawn_in(
                    EventLoop.window,
                    widget_class(theme=THEMES[theme], glass=Glass.of_dpi(dpi)),
                    view(),
                    (width, height),
                )
                pixels((width, height)).save(folder / f"{name}-{size}-{theme}.png")
                EventLoop.window.remove_widget(widget)


if __name__ == "__main__":
    take(Path(sys.argv[1]), sys.argv[2:])
