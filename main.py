"""The app's entry: `python main.py` opens the coach's app, `python main.py PLAN [--squad SQUAD]` one session."""

from __future__ import annotations

import argparse
import sys

from pacer.__main__ import main as pacer
from pacer.shippedfiles import DEMO_PLAN


def main(arguments: list[str] | None = None) -> int:
    """What `pacer` does without a command, or `pacer run`. The exit code is the command line's."""
    parser = argparse.ArgumentParser(
        prog="main.py", description="pacer on the screen: a poolside pace clock and interval timer."
    )
    parser.add_argument(
        "plan", metavar="PLAN", nargs="?", help="the plan's text file; without it the coach's app opens"
    )
    parser.add_argument("--squad", metavar="SQUAD", help="the squad's TOML file; without it one lane at 1:40")
    options = parser.parse_args(arguments)
    if options.plan is None and options.squad is None:
        return pacer([])
    return pacer(["run", options.plan or str(DEMO_PLAN), *(["--squad", options.squad] if options.squad else [])])


if __name__ == "__main__":
    sys.exit(main())
