"""The app's entry: `python main.py` opens the coach's app, `python main.py PLAN [--squad SQUAD]` one session."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

ASSETS = Path(__file__).parent / "assets"
DEMO_PLAN = ASSETS / "plans" / "long-axis-rotation-3.txt"
DEMO_SQUAD = ASSETS / "squads" / "thursday.toml"


def main(arguments: list[str] | None = None) -> int:
    """Open the coach's app, or a session; where there is no screen, the demo session's text form. The exit code is the command line's."""
    parser = argparse.ArgumentParser(prog="main.py", description="pacer on the glass: a poolside pace clock and interval timer.")
    parser.add_argument("plan", metavar="PLAN", nargs="?", help="the plan's text file; without it the coach's app")
    parser.add_argument("--squad", metavar="SQUAD", help="the squad's TOML file; without it one lane at 1:40")
    options = parser.parse_args(arguments)

    if options.plan is None and options.squad is None:
        from pacer.face.screen import has_screen

        if has_screen():
            from pacer.face.deskapp import open_desk

            open_desk()
            return 0
    from pacer.commands import main as run_command

    if options.plan is None:
        return run_command(["run", str(DEMO_PLAN), "--squad", options.squad or str(DEMO_SQUAD)])
    return run_command(["run", options.plan, *(["--squad", options.squad] if options.squad else [])])


if __name__ == "__main__":
    sys.exit(main())
