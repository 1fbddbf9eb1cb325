"""Pictures of the session's own face with the sheet beside the view: `python tests/face/sheetshots.py FOLDER [NAME …]`.

A name is a leaf (`interval`), or one of those in `FIRST`. The README's picture of it is made with this. `--bright` for
the bright theme, `--lanes=10` for so many lanes.
"""

from __future__ import annotations

import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT), str(Path(__file__).parent)]

from shots import SIZES, demo_run, prepare  # noqa: E402

BEGUN_MS, WALL_MS = 50_000_000, 1_764_003_600_000
LANE, AT_MS = 2, 26 * 60_000 + 47_000  #: the lane by its place, the last if there are fewer

#: What is done before the picture.
FIRST = {
    "pool": lambda shell: None,
    "lane": lambda shell: shell.choose_lane(_lane(shell)),
    "stopped": lambda shell: shell.stop_all(),
    "over": lambda shell: shell.act("end", shell.ask("end")),
    "change": lambda shell: shell.press("change"),
    "record": lambda shell: shell.press("record"),
    "screens": lambda shell: _screens(shell),
    "onescreen": lambda shell: (_screens(shell), shell.deck.deck.leaf.press("screen 2")),
    "taken": lambda shell: [shell.deck.arrival(lane) for lane in range(_lane(shell) + 1)],
    "write": lambda shell: _write(shell, "letter h", "letter i", "others", "letter p", "letter s"),
    "full": lambda shell: shell.fill(0),
    "full-quiet": lambda shell: _left_alone(shell, lambda: shell.fill(0)),
    "full-quiet-locked": lambda shell: _left_alone(shell, lambda: (shell.fill(0), shell.lock())),
    "dial": lambda shell: shell.press("dial"),
    "dial-quiet": lambda shell: _left_alone(shell, lambda: shell.press("dial")),
    "newcomer": lambda shell: _newcomer(shell, 1),
    "newcomer-many": lambda shell: _newcomer(shell, 8),
    "changed": lambda shell: shell.act("pause", shell.ask("pause")),
    "stopping": lambda shell: (shell.act("pause", shell.ask("pause")), shell.foretelling.drop()),
}


def _lane(shell) -> int:
    """The place of the lane that the pictures are about."""
    return min(LANE, len(shell.driver.run.timeline.lanes) - 1)


def _left_alone(shell, view) -> None:
    """Nobody has touched the screen for a minute."""
    view()
    shell.frame()
    shell.touched_ms = shell.needed_ms = shell.driver.now_ms() - 60_000


def _screens(shell) -> None:
    """Lane screens, with some that have joined."""
    from types import SimpleNamespace

    from pacer.screens.laneserver import Row

    rows = (
        Row(1, 0, "lane", True, None, 6.0, False, False),
        Row(2, 3, "lane", True, None, 9.0, False, True, True),
        Row(3, 4, "lane", False, 0, None, True, True),
        Row(4, None, "pool", True, None, None, False, False),
    )
    shell.switch.screens = SimpleNamespace(
        rows=rows, scanned="http://192.168.43.1:8080/#" + "0f" * 16, code="482913", trouble="",
        address="http://192.168.43.1:8080", others=("http://10.0.0.7:8080",), gone_s=lambda row: 83, frame=lambda: (),
        close=lambda: None,
    )  # fmt: skip
    shell.press("screens")


def _newcomer(shell, count: int) -> None:
    """Who joins the lane, of two who got out and so many absent."""
    from pacer.session.running import presses
    from pacer.squad.squad import Absent

    driver, number = shell.driver, shell.driver.run.timeline.lanes[_lane(shell)].number
    for lane in dict.fromkeys((_lane(shell), 0)):
        driver.do(driver.offer(lambda run, at_ms, lane=lane: presses.leave(run, at_ms, lane, 1)))
    names = ("Una", "Hal", "Maximiliana", "Zoe", "Ash Weir", "Kit", "Rowan", "Bartholomew Q")[:count]
    driver.absent = tuple(Absent(name, number + place % 3) for place, name in enumerate(names))
    shell.choose_lane(_lane(shell))
    from pacer.face.deck.leaves.leaftable import opened

    shell.deck.open(opened(shell.deck.deck, "swimmers"))
    shell.deck.deck.leaf.press("join")
    shell.frame()


def _write(shell, *names: str) -> None:
    """A note being written."""
    from pacer.face.deck.leaves.leaftable import opened

    shell.choose_lane(_lane(shell))
    shell.deck.open(opened(shell.deck.deck, "notes"))
    for name in ("write", *names):
        shell.deck.deck.leaf.press(name)
        shell.deck.deck.changed += 1
        shell.frame()


def take(folder: Path, names: list[str], theme: str = "dark", lanes: int | None = None) -> None:
    """Draw them at each size, and write them down."""
    prepare()
    from kivy.config import Config

    for side in ("width", "height"):
        Config.set("graphics", side, "1280")
    from kivy.base import EventLoop
    from kivy.metrics import Metrics

    from pacer.face.deck.leaves.leaftable import LEAVES, opened
    from pacer.face.window.shell import Shell
    from pacer.show.drive.driver import Driver
    from pacer.show.drive.settings import Settings
    from tests.face.drawing import pixels

    EventLoop.ensure_window()
    window, run = EventLoop.window, demo_run(lanes=lanes)
    mark = f"{f'-{lanes}' if lanes else ''}{'-bright' if theme == 'bright' else ''}"
    folder.mkdir(parents=True, exist_ok=True)
    for size, (width, height, dpi) in SIZES.items():
        for name in names or (*FIRST, *LEAVES):
            now = [BEGUN_MS]
            Metrics.dpi, window.size = dpi, (width, height)
            driver = Driver(
                run.timeline, now_ms=lambda: now[0], wall_ms=lambda: WALL_MS + now[0] - BEGUN_MS, boot=lambda: "boot"
            )
            shell = Shell(driver, Settings(cautions_read=99, theme=theme), size_hint=(None, None), size=(width, height))
            window.add_widget(shell)
            driver.do(driver.begin())
            now[0] += 10_000 + AT_MS
            shell.touched_ms = now[0]
            _frames(shell, EventLoop)
            if name in FIRST:
                FIRST[name](shell)
            else:
                shell.choose_lane(_lane(shell))
                shell.deck.open(opened(shell.deck.deck, name))
            _frames(shell, EventLoop)
            pixels((width, height)).save(folder / f"{name.replace(' ', '-')}-{size}{mark}.png")
            window.remove_widget(shell)
            shell.leave()


def _frames(shell, loop) -> None:
    for _ in range(6):
        shell.frame()
        loop.idle()


if __name__ == "__main__":
    asked = [name for name in sys.argv[2:] if name.startswith("--")]
    several = next((int(name.removeprefix("--lanes=")) for name in asked if name.startswith("--lanes=")), None)
    take(
        Path(sys.argv[1]),
        [name for name in sys.argv[2:] if name not in asked],
        "bright" if "--bright" in asked else "dark",
        several,
    )
