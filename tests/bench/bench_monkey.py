"""Touch every page at random for some minutes: no exception, no dead end, no loss.

    python tests/bench/bench_monkey.py [MINUTES] [SEED]

Each page gets 60 random acts on a separate tablet, again and again with other seeds. If something breaks, the last acts
are printed.
"""

from __future__ import annotations

import sys
import tempfile
import time
import traceback
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

ACTS = 60


def main(minutes: float, seed: int) -> int:
    """Play; return 1 if something broke."""
    from kivy.config import Config

    import tests.face.conftest  # noqa: F401  sets up Kivy as for the tests

    Config.set("graphics", "width", "1280")
    Config.set("graphics", "height", "1280")
    from kivy.base import EventLoop

    EventLoop.ensure_window()
    import pacer.face.pages.filechooser

    pacer.face.pages.filechooser.open_facade = lambda name: None
    from tests.face.coach import Coach
    from tests.face.officepages import PAGES
    from tests.face.window.monkey import Monkey

    until, acts, pages = time.monotonic() + 60 * minutes, 0, {}
    while time.monotonic() < until:
        for name, arrive in PAGES.items():
            with tempfile.TemporaryDirectory() as home:
                coach = Coach(EventLoop.window, Path(home))
                monkey = Monkey(coach, seed)
                try:
                    arrive(coach)
                    coach.frame()
                    monkey.play(ACTS)
                    monkey.go_home()
                    monkey.check_kept()
                except BaseException:  # noqa: BLE001 - on any exception, print what led to it
                    print(f"seed {seed}, from {name}: the last of {len(monkey.did)} things done:", file=sys.__stderr__)
                    for did in monkey.did[-12:]:
                        print("  ", *did, file=sys.__stderr__)
                    traceback.print_exc(file=sys.__stderr__)  # Kivy swallows sys.stderr
                    return 1
                finally:
                    coach.leave()
                acts += len(monkey.did)
                for page in monkey.pages:
                    pages[page] = pages.get(page, 0) + 1
            seed += 1
            if time.monotonic() > until:
                break
    print(
        f"{acts} acts, the last seed {seed}; seen: "
        f"{', '.join(f'{page} {count}' for page, count in sorted(pages.items()))}"
    )
    return 0


if __name__ == "__main__":
    sys.exit(main(float(sys.argv[1]) if len(sys.argv) > 1 else 10, int(sys.argv[2]) if len(sys.argv) > 2 else 1))
